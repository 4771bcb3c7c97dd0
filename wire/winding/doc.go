// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package winding computes resistors made of wire: how much wire goes on a
// former, what inductance and capacitance it gets, how it behaves at frequency
// and under load, and how it is brought to its value.
//
// On the former, [Former.Wind] turns a length of wire into turns and layers;
// [Former.Bifilar], [SingleLayer] and [AyrtonPerry] give the resistor that comes
// of it.
//
// Inductance comes from the current sheet with its round-wire correction
// ([SolenoidInductance]), from pairs of wires ([PairInductance], a bifilar
// winding) or from loops and hairpins ([LoopInductance],
// [RectangleInductance]); windings in opposition cancel it
// ([AyrtonPerryInductance]). Capacitance follows from [PairCapacitance] or the
// rule for coils, [SelfCapacitance]. A resistor with both is an [Equivalent]
// or, when folded, a [Line]: time constant, impedance and the frequency up to
// which it may be used. [ResistanceRatio] is skin effect, exact at every
// frequency; the proximity of other wires is done to first order
// ([ProximityFactor]) and no further.
//
// [TemperatureRise] and [MaxCurrent] relate power and surface.
//
// Trimming brings the made resistor to its value: down by a parallel pad
// ([Pad]), up by a series link ([Link]), with preferred values of IEC 60063
// ([Pads], [Links]), or by wire ([WireChange]).
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
