// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

// Wire is an insulated round wire of a winding.
type Wire struct {
	Bare    float64 // m, diameter of the metal
	Covered float64 // m, overall diameter with the insulation
}

func (w Wire) check(op string) error {
	if err := positive(op, arg{"Bare", w.Bare, "m"}, arg{"Covered", w.Covered, "m"}); err != nil {
		return err
	}
	if w.Covered < w.Bare {
		return domain(op, arg{"Covered", w.Covered, ""}, "expected the bare diameter at least")
	}
	return nil
}

// Bifilar returns how a wire of length metres and resistance ohms, folded in the
// middle and close-wound as a pair, lies on the former, and the line that it
// makes. The pair is taken by itself: [PairInductance] and [PairCapacitance] of
// half of the length, with the wires touching by their insulation of relative
// permittivity εr.
func (f Former) Bifilar(ohms, length float64, w Wire, permittivity float64) (Lay, Line, error) {
	const op = "winding.Former.Bifilar"
	if err := positive(op, arg{"resistance", ohms, "Ω"}); err != nil {
		return Lay{}, Line{}, err
	}
	if err := w.check(op); err != nil {
		return Lay{}, Line{}, err
	}
	lay, err := f.Wind(length/2, w.Covered, 2*w.Covered)
	if err != nil {
		return Lay{}, Line{}, err
	}
	l, err := PairInductance(length/2, w.Covered, w.Bare, LowFrequency)
	if err != nil {
		return Lay{}, Line{}, err
	}
	c, err := PairCapacitance(length/2, w.Covered, w.Bare, permittivity)
	if err != nil {
		return Lay{}, Line{}, err
	}
	return lay, Line{R: ohms, L: l, C: c}, nil
}

// SingleLayer returns how a wire of length metres and resistance ohms,
// close-wound in one layer, lies on a round former of diameter and width metres,
// and its equivalent circuit: [SolenoidInductance] and, where the coil is
// neither very flat nor very long, [SelfCapacitance]. Less than one turn and more
// than one layer are refused.
func SingleLayer(diameter, width, ohms, length float64, w Wire) (Lay, Equivalent, error) {
	const op = "winding.SingleLayer"
	if err := positive(op, arg{"diameter", diameter, "m"}, arg{"width", width, "m"}, arg{"resistance", ohms, "Ω"}); err != nil {
		return Lay{}, Equivalent{}, err
	}
	if err := w.check(op); err != nil {
		return Lay{}, Equivalent{}, err
	}
	lay, err := Cylinder(diameter, width).Wind(length, w.Covered, 0)
	if err != nil {
		return Lay{}, Equivalent{}, err
	}
	if lay.Layers > 1 || lay.Turns < 1 {
		return Lay{}, Equivalent{}, domain(op, arg{"length", length, ""}, "expected one turn to one layer of wire")
	}
	mean := diameter + w.Covered
	l, err := SolenoidInductance(lay.Turns, mean/2, w.Covered, w.Bare)
	if err != nil {
		return Lay{}, Equivalent{}, err
	}
	c, err := SelfCapacitance(mean, lay.Width)
	if err != nil {
		c = 0 // outside the rule: left out
	}
	return lay, Equivalent{R: ohms, L: l, C: c}, nil
}

// AyrtonPerry returns how each of the two wires of an Ayrton–Perry resistor lies
// on a round former of diameter and width metres, and the resistor's equivalent
// circuit without capacitance, which is small: two wires of length metres and
// 2×ohms each, in opposite sense with the given pitch, in parallel. The pitch has
// to leave room for both wires where they cross. See [AyrtonPerryInductance] for
// the coupling.
func AyrtonPerry(diameter, width, ohms, length, pitch, coupling float64, w Wire) (Lay, Equivalent, error) {
	const op = "winding.AyrtonPerry"
	if err := positive(op, arg{"diameter", diameter, "m"}, arg{"width", width, "m"}, arg{"resistance", ohms, "Ω"}, arg{"pitch", pitch, "m"}); err != nil {
		return Lay{}, Equivalent{}, err
	}
	if err := w.check(op); err != nil {
		return Lay{}, Equivalent{}, err
	}
	lay, err := Cylinder(diameter, width).Wind(length, w.Covered, pitch)
	if err != nil {
		return Lay{}, Equivalent{}, err
	}
	if lay.Layers > 1 || lay.Turns < 1 {
		return Lay{}, Equivalent{}, domain(op, arg{"length", length, ""}, "expected one turn to one layer of each wire")
	}
	one, err := SolenoidInductance(lay.Turns, (diameter+w.Covered)/2, pitch, w.Bare)
	if err != nil {
		return Lay{}, Equivalent{}, err
	}
	l, err := AyrtonPerryInductance(one, coupling)
	if err != nil {
		return Lay{}, Equivalent{}, err
	}
	return lay, Equivalent{R: ohms, L: l}, nil
}
