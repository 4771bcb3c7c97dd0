// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"slices"

	"example.com/ohmwright/thermal"
)

// Spec describes a box: plain data, in the shape of the JSON file that [ReadBox] reads.
// Fields left out are zero and mean "not stated".
//
// Every form of limit in use is a combination of its terms, R being the dialled value:
//
//   - each dial ±(a of its dialled value): Decade.Tolerance;
//   - whole box ±(a·R + b): Tolerance a, Floor b;
//   - per cent of the highest step and so many units of the lowest dial: Floor;
//   - two-number class c/d: [TwoNumberClass];
//   - ±(a·R + b·m) for m dials: Tolerance a, Floor b·m with all dials of the box.
//
// Any number of goroutines may read one at once.
type Spec struct {
	Name    string   // of the box, for reports
	Serial  string   // makes the box the same source of error wherever its file is read
	Decades []Decade // in dial order, 1 to 16

	// Residual is the resistance with all dials at zero, in ohms, and ResidualTolerance
	// the ± limit of it.
	Residual, ResidualTolerance float64
	// ResidualIncluded says how the box is stated. False: the resistance at the terminals
	// is nominal value and residual. True: the nominal value includes the residual, off
	// zero; the lowest decades are then adjusted for it.
	ResidualIncluded bool

	// Tolerance (fraction of the nominal value) and Floor (ohms) are limits of the whole
	// box, ±(Tolerance·nominal + Floor) off zero, in addition to those of the decades.
	Tolerance, Floor float64

	// Contact is the switching variation of one contact as a standard uncertainty, in
	// ohms: the scatter when a dial is moved away and back.
	Contact float64

	// Capacitance is the stray capacitance from terminal to terminal in farads, of the
	// wiring and by way of the case, as the case is connected in use; 0: none, or not stated.
	Capacitance float64
	// StrayTolerance limits how far each stray inductance and capacitance stated here or of a
	// dial may be from its figure, as a fraction of it, up to 1; 0: taken as exact.
	// [Setting.ImpedanceOf] counts it.
	StrayTolerance float64

	// ReferenceTemperature, in °C, is that of all values above; nil: the one in which the
	// temperature laws agree.
	ReferenceTemperature *float64
	// ResidualLaw is the temperature law of the residual: copper or brass.
	ResidualLaw thermal.Law
}

// Decade describes one dial. Any number of goroutines may read one at once.
type Decade struct {
	Name string // "×100"; empty: made from the step
	// Step is the resistance of one position, in ohms.
	Step float64
	// Positions is the highest position; 0: 10, or that of the Code.
	Positions int
	// Missing are positions between 0 and the highest that the switch does not have, such as 7
	// of one that goes from 0 to 6 and from 8 to 10. In a ladder, one element of several steps
	// lies between the two taps on either side.
	Missing []int
	// Code says which elements are in circuit; zero: a ladder of equal elements.
	Code Code

	// Tolerance (fraction of the dialled value) and Floor (ohms) are the limits of error
	// of the dial, ±(Tolerance·dialled value + Floor) while it is off zero.
	Tolerance, Floor float64
	// Spread says what the tolerance applies to, for the statistical combination.
	Spread Level

	// Switch is a label. Decades with equal labels are two or more ranges on one switch
	// with a common zero: at most one of them is off zero. Empty: a switch of its own.
	Switch string

	// WiperFirst says which end of a ladder joins which neighbour. False: the 0 tap, next
	// to element 1, is on the side of the dial before (or of the first terminal), and the
	// wiper goes on to the next dial. True: the wiper is on the side of the dial before.
	// Resistances do not depend on it, faults between dials do.
	WiperFirst bool

	// Law is the temperature law of the elements, AlphaTolerance the half-width in 1/K of
	// its linear coefficient, which is common to the elements of a dial (one spool).
	// BetaTolerance is that of its quadratic coefficient, in 1/K².
	Law            thermal.Law
	AlphaTolerance float64
	BetaTolerance  float64

	// Spool is a label. Dials with equal labels are wound from one spool, or of one batch of
	// wire: they state one law, and the errors of its coefficients are common to them.
	// BatchTolerance is the part of the tolerance that they have in common too, as a
	// fraction of at most Tolerance. Empty: each dial has its own wire.
	Spool          string
	BatchTolerance float64

	// Ratings and heating; 0: not stated.
	ElementPower      float64 // W, rating of every element; those of other weights have no more
	MaxVoltage        float64 // V, limit across the dial
	ThermalResistance float64 // K/W, by which an element warms under its own power

	// Stray reactances; 0: none, or not stated.
	Inductance      float64 // H, of one step; an element of weight w has w times as much
	Capacitance     float64 // F, across each element
	DialInductance  float64 // H, of the wiring and switch of the dial, at every position
	DialCapacitance float64 // F, across what is in circuit of the dial
}

// Level is what a tolerance applies to, an element, a dial or the box, and so determines how the
// errors of elements combine. The worst case does not depend on it. Any number of goroutines may
// use one at once.
type Level uint8

const (
	// LevelDecade: one error for the dial, common to its elements; dials are independent.
	// It is the default: an accuracy class limits the dialled value of a dial.
	LevelDecade Level = iota
	// LevelElement: every element has its own error within the tolerance. Only where the
	// maker specifies each element: the error of p equal elements is then smaller by √p.
	LevelElement
	// LevelBox: one error for all dials that say so.
	LevelBox
)

// String returns "per decade", "per element" or "per box".
func (l Level) String() string { return levels.String(l) }

// Tapped reports whether the dial is a ladder of equal elements, each position taking one
// more.
func (d Decade) Tapped() bool { return d.Code.IsZero() }

// highest is the highest position, with the default filled in.
func (d Decade) highest() int {
	switch {
	case d.Positions != 0:
		return d.Positions
	case len(d.Code.InCircuit) > 0:
		return len(d.Code.InCircuit) - 1
	}
	return defaultPositions
}

// NumElements returns the number of elements of the dial.
func (d Decade) NumElements() int {
	if d.Tapped() {
		return d.numBelow(min(d.highest(), maxPosition))
	}
	return len(d.Code.Weights)
}

// Weight returns the resistance of an element in steps; elements are numbered from 1.
// It is 0 for an element that does not exist.
func (d Decade) Weight(element int) int {
	switch {
	case element < 1 || element > d.NumElements():
		return 0
	case d.Tapped():
		low, high := d.Taps(element)
		return high - low
	}
	return d.Code.Weights[element-1]
}

// InCircuit returns the elements, numbered from 1, that are in circuit at a position.
// It is empty at 0 and at a position that does not exist.
func (d Decade) InCircuit(position int) []int {
	if position == 0 || !d.HasPosition(position) {
		return nil
	}
	if !d.Tapped() {
		if position >= len(d.Code.InCircuit) {
			return nil
		}
		return slices.Clone(d.Code.InCircuit[position])
	}
	// The first elements of a ladder, from the 0 tap; a missing tap joins two into one.
	out := make([]int, d.numBelow(position))
	for i := range out {
		out[i] = i + 1
	}
	return out
}

// HasPosition reports whether the switch has a position: from 0 to the highest, without the
// missing ones.
func (d Decade) HasPosition(position int) bool {
	return position >= 0 && position <= min(d.highest(), maxPosition) &&
		!slices.Contains(d.Missing, position)
}

// Taps returns the positions of the two taps that an element of a ladder lies between, 0 and 0
// for an element that does not exist and for those of a code.
func (d Decade) Taps(element int) (low, high int) {
	if !d.Tapped() || element < 1 {
		return 0, 0
	}
	highest := min(d.highest(), maxPosition)
	if len(d.Missing) == 0 { // a tap after each, which needs no search
		if element > highest {
			return 0, 0
		}
		return element - 1, element
	}
	for p := 1; p <= highest; p++ {
		if !d.HasPosition(p) {
			continue
		}
		if element--; element == 0 {
			return low, p
		}
		low = p
	}
	return 0, 0
}

// numBelow counts the positions from 1 to one.
func (d *Decade) numBelow(position int) int {
	if len(d.Missing) == 0 {
		return max(0, position)
	}
	n := 0
	for p := 1; p <= position; p++ {
		if d.HasPosition(p) {
			n++
		}
	}
	return n
}

func (s Spec) clone() Spec {
	s.Decades = slices.Clone(s.Decades)
	for i := range s.Decades {
		s.Decades[i].Code = s.Decades[i].Code.clone()
		s.Decades[i].Missing = slices.Clone(s.Decades[i].Missing)
	}
	if s.ReferenceTemperature != nil {
		s.ReferenceTemperature = new(*s.ReferenceTemperature)
	}
	return s
}
