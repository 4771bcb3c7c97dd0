// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package fault finds out what is wrong inside a decade box from readings at its
// terminals.
//
//	d, err := fault.Diagnose(ctx, report) // of verify.Evaluate
//	for _, c := range d.Causes {
//		fmt.Println(c)
//	}
//	fmt.Println(d.Next) // what to do next, with its caution
//
// # The circuit
//
// The box is an electrical network in which every tap, wiper and link is a node. Any two
// nodes can be bridged, any element open, shorted, drifted, replaced or exchanged, any
// contact or wire resistive or open, any knob slipped ([Kind] lists them). [Predict] says
// what a setting reads with given faults. It solves the network by eliminating nodes
// without a subtraction, so that 1 mΩ beside 1 TΩ costs no digits.
//
// # Hypotheses
//
// [Diagnose] predicts the readings under every single fault of every kind at every place,
// and under two faults at once where the second one pays. The score of a hypothesis combines
// the likelihood of the readings, given their uncertainties and the class of the elements (a
// drift inside the class is no fault), a penalty for what was fitted, and the prior weight of
// its kind; see [Options] and [Weights]. Hypotheses whose best fits differ by less than 5 in
// χ² are one [Cause]: the readings cannot tell them apart. Such classes are, as a rule, the
// drift, wrong part, leak and cracked joint of one element; the contact at the last tap and
// the last element; leads, posts, links and wipers; the gain of the meter and the whole box.
// Equal steps exchanged in a ladder, and leakage to a floating case, do not show at the
// terminals and count as healthy.
//
// Large faults are fitted by solving the circuit with the fault in it, small ones by the
// linear response of the healthy circuit.
//
// Not every pair can be fitted so closely. For a bridge, Diagnose first tries three
// resistances between each pair of nodes; it fits the pairs that look best, and all that look
// as good as the best. For two faults at once it tries all pairs of faults with a proportional
// effect, such as drifts and series resistance, and every open element with a bridge around
// it. Of the other pairs it tries those that contain one of the best single faults, or a fault
// of one of the best pairs, and fits both together, with the circuit, inside what a box can
// be. On small boxes the tests compare both choices with an exhaustive search. Two faults may
// take seconds in a box of eight decades: [Options].Progress reports how far the search is.
//
// # The next step, and the repair
//
// [Diagnosis].Next is one [Step]: the reading that separates the leading causes best,
// given what the readings leave of each element and of the errors of the meter; a known
// resistor or another range where the meter may be the cause; and, when no reading tells
// more, to clean, to test the insulation or to open the box at a named place. What was
// dialled twice and agrees is not asked for again. Each [Cause] says how it is repaired, and
// what to read afterwards. Cautions stand with the acts that need them.
//
// # Training
//
// A [Specimen] is a simulated box with faults of your choice and a meter with the errors
// that its limits allow.
//
// # Safety
//
// Disconnect the box from everything and discharge it before it is measured or opened.
// Keep the test current within the rating of the smallest dial in use. Insulation testers
// carry dangerous voltage: joined terminals to case only, within the rating of the box.
// Cleaning solvents are flammable; old boards may contain asbestos, old contacts cadmium or
// beryllium. Local codes and licensed practice come first.
package fault
