// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"math"

	"example.com/ohmwright/thermal/material"
)

// Limits are the conditions that a wire for a resistor has to meet. A zero field sets no limit.
type Limits struct {
	MinLength, MaxLength float64 // m
	MinDiameter          float64 // m; below 0.05 mm wire is hard to handle (common practice)
	Power                float64 // W, dissipated in the resistor
	MaxLoading           float64 // W/m² of wire surface at Power
	MaxCurrentDensity    float64 // A/m² at Power
}

// Choice is one wire that makes a resistance.
type Choice struct {
	Conductor
	Length         float64 // m
	Loading        float64 // W/m² of the surface of the bare wire, 0 without a stated power
	CurrentDensity float64 // A/m², 0 without a stated power
}

// Choose returns the gauges of a system with which the material makes the
// given resistance, in ohms at t °C, inside the limits; from the thickest, and
// so the longest and coolest, to the finest. No gauge inside the limits is an error that says
// how many sizes each limit excluded.
//
// Loading is P/(πdl), current density √(P/R)/A. Neither limit is a property of
// the material: both depend on how the heat gets away. A large surface in
// still air sheds about 10 W/(m²·K), so 100 W/m² of the outside of a winding
// stands for a rise near 10 K (common practice); a free thin wire sheds
// several times more, a wire in a coil, a case or under insulation less.
// Measure the rise. Work with hot wire only on supports that stand the heat,
// away from anything that burns.
func Choose(m material.Material, ohms, t float64, s System, limits Limits) ([]Choice, error) {
	const op = "wire.Choose"
	if err := limits.checkLimits(op); err != nil {
		return nil, err
	}
	var kept []Choice
	var r refusals
	// From the thickest, the order in which choices are returned.
	for g := range Gauges(s) {
		c, err := choice(op, Conductor{m, g}, ohms, t, limits.Power)
		if err != nil {
			return nil, err
		}
		// A size that breaks a limit is counted, for the message when none is left.
		if r.pass(c, limits) {
			kept = append(kept, c)
		}
	}
	if len(kept) == 0 {
		if r.sizes == 0 {
			return nil, refuse(op, "system", s.String(), ErrNoGauge, r.text())
		}
		return nil, refuse(op, "resistance", ohms, ErrNoGauge, r.text())
	}
	return kept, nil
}

// choice is the wire of one size, with what the power does to it.
func choice(op string, c Conductor, ohms, t, power float64) (x Choice, err error) {
	x.Conductor = c
	if x.Length, err = c.Length(ohms, t); err != nil {
		return Choice{}, err
	}
	// P over the surface πdl of the bare wire.
	x.Loading, err = result(op, "loading", power/(math.Pi*c.Gauge.Diameter()*x.Length))
	if err != nil {
		return Choice{}, err
	}
	// I = √(P/R) over the section.
	x.CurrentDensity, err = result(op, "current density", math.Sqrt(power/ohms)/c.Gauge.Area())
	if err != nil {
		return Choice{}, err
	}
	return x, nil
}

// checkLimits refuses limits that no wire could keep or that would say nothing.
func (l Limits) checkLimits(op string) error {
	for _, f := range []struct {
		name  string
		value float64
	}{
		{"MinLength", l.MinLength}, {"MaxLength", l.MaxLength}, {"MinDiameter", l.MinDiameter},
		{"Power", l.Power}, {"MaxLoading", l.MaxLoading},
		{"MaxCurrentDensity", l.MaxCurrentDensity},
	} {
		if err := notNegative(op, f.name, f.value, "(0: no limit)"); err != nil {
			return err
		}
	}
	// A limit of loading without a power would never stand in the way, and look as if kept.
	if (l.MaxLoading > 0 || l.MaxCurrentDensity > 0) && l.Power == 0 {
		return refuse(op, "Power", 0.0, ErrDomain,
			"expected the power, since a limit of loading or of current density is set")
	}
	if l.MaxLength > 0 && l.MinLength > l.MaxLength {
		return refuse(op, "MinLength", l.MinLength, ErrDomain, "expected no more than MaxLength")
	}
	return nil
}
