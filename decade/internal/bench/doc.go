// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package bench simulates benches for tests: decade boxes with true values and faults,
// meters with true errors, and diallings of the boxes read with the meters.
//
// It predicts nothing for packages verify and fault and shares no code with them, so that
// a test against it can fail. The circuit of a box is written down here once more and
// solved in another way: dead ends, series and parallel resistors are taken out, and what
// remains is a nodal analysis in 300 bits. Only the description of a box is common
// ([decade.Spec]).
//
// Everything is drawn from PCG generators: one seed, one bench. Resistances are in ohms,
// tolerances are fractions, temperatures in °C.
//
// What is modelled, in Ω unless said otherwise:
//
//	box      elements, contacts and wires with true values inside their class or limits; a law of
//	         temperature for each dial and one for the residual; contacts new at each dialling
//	network  every tap, wiper and wire a node; any two of them may be bridged
//	meter    gain, zero and cross term common to a range, linearity common to a value, noise and
//	         resolution new in each; certificate and session; leads and null of two wires
//	record   settings, diallings, sessions, ranges, values, the temperature of the box
//	faults   of elements, contacts, wires, insulation, knobs and meter, and one slip of the reader
//
// Not modelled: the time that anything takes, heat of the test current, thermal EMF, input
// current and settling of the meter, humidity, vibration, ranges that change within a dialling,
// and anything that would make a resistor depend on its voltage.
//
// Three numbers tell a test what it may expect of a diagnosis: the size of a fault beyond the
// class in u (Bench.Size), the number of causes that read alike (Bench.Alternatives), and the
// key under which what is repaired alike is one (Key).
package bench
