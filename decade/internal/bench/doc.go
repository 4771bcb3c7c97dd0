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
package bench
