// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package winding computes resistors made of wire: how much wire goes on a
// former, what inductance and capacitance it has, how it behaves at frequency and under load,
// and how it is brought to its value.
//
// A [Winding] is a resistor of wire as it lies on its former, plain, bifilar,
// Ayrton–Perry, reversed, as a figure of eight or woven, on a rod or a card. Its
// [Residuals] come from the turns themselves: inductance from the mutual inductances of
// all pairs of turns, capacitance from the field between neighbours; time constant,
// impedance and the frequency up to which it may be used follow.
//
// Closed forms stand beside the model. Inductance: the current sheet with its round-wire
// correction ([Solenoid]), one pair of wires ([Pair]), loops and
// hairpins ([LoopInductance], [Rectangle]), windings in opposition of known
// coupling ([AyrtonPerryInductance]). Capacitance: [Pair.Capacitance], and the rule for
// coils, [SelfCapacitance]. A resistor with both is an [Equivalent] or, when folded, a
// [Line]. [ResistanceRatio] is skin effect, exact at every frequency; the proximity of
// other wires is done to first order ([ProximityFactor]) and no further.
//
// [TemperatureRise] and [MaxCurrent] relate power and surface.
//
// [Requirement.Plans] goes the other way: from a value, a power, a space and limits to
// ranked plans, or to the limit that stands in the way.
//
// Trimming brings the made resistor to its value: down by a parallel pad
// ([Pad]), up by a series link ([Link]), with preferred values of IEC 60063
// ([Pads], [Links]), or by wire ([WireChange]); [TrimWork] has the order of the work,
// [Trim] the power, limits and drift of the pair.
//
//	pads, err := winding.Pads(1001.2, 1000, winding.E24) // best first
//
// Functions of numbers return an error for arguments without meaning; their
// twins named …Of take and return quantities of package uncertainty, which
// carry it. Values are SI; diameters of wire are bare unless said otherwise.
//
// # Caution
//
// Figures for heat and current are physics under stated assumptions, not
// ratings. Measure the rise of what you build. Ovens, varnish, solvents,
// solder and flux have their own dangers: ventilate, keep flames away, follow
// the maker's safety sheet, and for anything on mains or in an installation
// local codes and licensed practice.
package winding
