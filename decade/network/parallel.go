// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package network

import (
	"math"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Parallel returns the resistance in ohms of resistances in parallel, the inverse of the
// sum of their conductances. It is how a large box trims a small resistance R finely: a
// change of its setting from P acts reduced by about (R/P)². A resistance of 0 shorts the
// rest.
func Parallel(ohms ...float64) (float64, error) {
	g, err := conductance("network.Parallel", ohms)
	if err != nil {
		return 0, err
	}
	return 1 / g, nil // 1/+Inf is 0
}

// conductance is the sum of the conductances in siemens, +Inf where a resistance is 0.
func conductance(op string, ohms []float64) (float64, error) {
	if len(ohms) == 0 {
		return 0, &Error{Op: op, Name: "ohms",
			Err: unit.Errorf(ErrDomain, "no resistances; expected one or more")}
	}
	total := 0.0
	for _, r := range ohms {
		if err := checkOhms(op, "ohms", r, true); err != nil {
			return 0, err
		}
		total += 1 / math.Abs(r) // −0 is 0
	}
	return total, nil
}

// ParallelOf is [Parallel] of quantities in ohms, such as the [decade.Setting.Resistance] of
// several boxes. A resistance whose estimate is 0 has no conductance, and is an error here.
func ParallelOf(ohms ...uncertainty.Quantity) uncertainty.Quantity {
	if len(ohms) == 0 {
		return uncertainty.Fail(&Error{Op: "network.ParallelOf", Name: "ohms",
			Err: unit.Errorf(ErrDomain, "no resistances; expected one or more")})
	}
	one := uncertainty.Exact(1).InUnit("1")
	var terms []uncertainty.Quantity
	for _, r := range ohms {
		if v := r.Estimate(); v < 0 {
			return uncertainty.Fail(numbers.NotNegative("network.ParallelOf", "ohms", " Ω", v))
		}
		// Each resistance enters once: in the product over the sum, R₁R₂/(R₁ + R₂), it would
		// enter twice.
		terms = append(terms, one.Div(r))
	}
	return one.Div(uncertainty.Sum(terms...)).DefaultUnit("Ω")
}

// ConductanceBox is a box of decades of conductance: every dial connects as many equal resistors
// in parallel across the terminals as its position says, so that conductances add as resistances
// do in a box in series. It is the pattern of [decade.Decade] with a step in siemens. Any number
// of goroutines may read one at once.
type ConductanceBox struct {
	Steps     []float64 // S of one position of each dial
	Tolerance []float64 // of the resistors of each dial, as a fraction; nil: none
	Leakage   float64   // S with all dials at zero
	Series    float64   // Ω of wiring and contacts in series with the whole
}

// checkDials refuses a box or positions that make no sense.
func (c ConductanceBox) checkDials(op string, positions []int) error {
	if len(c.Steps) == 0 || len(positions) != len(c.Steps) {
		return &Error{Op: op, Name: "positions", Value: float64(len(positions)),
			Err: unit.Errorf(ErrPosition, "%s; expected %d, one for each dial, and at "+
				"least one dial", unit.Counted(len(positions), "position", "positions"),
				len(c.Steps))}
	}
	if c.Tolerance != nil && len(c.Tolerance) != len(c.Steps) {
		return &Error{Op: op, Name: "tolerance", Value: float64(len(c.Tolerance)),
			Err: unit.Errorf(ErrDomain, "%d tolerances; expected %d, one for each dial, or none",
				len(c.Tolerance), len(c.Steps))}
	}
	for i, g := range c.Steps {
		if err := numbers.Positive(op, "step", " S", g); err != nil {
			return err
		}
		if err := checkSiemens(op, "step", g); err != nil {
			return err
		}
		if positions[i] < 0 || positions[i] > mostPosition {
			return &Error{Op: op, Name: "positions", Value: float64(positions[i]),
				Err: unit.Errorf(ErrPosition, "position %d; expected 0 to %d", positions[i],
					mostPosition)}
		}
		if c.Tolerance != nil {
			if err := numbers.Fraction(op, "tolerance", c.Tolerance[i]); err != nil {
				return err
			}
		}
	}
	if err := numbers.NotNegative(op, "leakage", " S", c.Leakage); err != nil {
		return err
	}
	if err := checkSiemens(op, "leakage", c.Leakage); err != nil {
		return err
	}
	return checkOhms(op, "series", c.Series, true)
}

// checkSiemens refuses conductances that no resistor within the bounds has, but for 0. Those of a
// leakage may be smaller than that of the largest resistor.
func checkSiemens(op, name string, siemens float64) error {
	const largest, smallest = 1 / smallestOhms, 1e-6 / largestOhms
	if siemens == 0 || siemens >= smallest && siemens <= largest {
		return nil
	}
	return &Error{Op: op, Name: name, Value: siemens, Err: unit.Errorf(ErrDomain,
		"%v S; expected %.0e to %.0e S", siemens, smallest, largest)}
}

// Conductance returns the conductance at the terminals in siemens, one position for each
// dial:
//
//	1/(Series + 1/(Leakage + Σ position·step))
func (c ConductanceBox) Conductance(positions ...int) (float64, error) {
	const op = "network.ConductanceBox.Conductance"
	if err := c.checkDials(op, positions); err != nil {
		return 0, err
	}
	// Conductances in parallel add (Kirchhoff's current law).
	g := c.innerConductance(positions, func(int) float64 { return 1 })
	return g / (1 + float64(c.Series*g)), numbers.Finite(op, "conductance", g)
}

// innerConductance is the conductance before the series resistance, each dial multiplied by a
// factor.
func (c ConductanceBox) innerConductance(positions []int, factor func(dial int) float64) float64 {
	g := c.Leakage
	for i, p := range positions {
		g += float64(c.Steps[i] * float64(p) * factor(i))
	}
	return g
}

// Limits returns the worst case of the conductance in siemens: a resistor within
// ±Tolerance has a conductance between G/(1 + Tolerance) and G/(1 − Tolerance).
func (c ConductanceBox) Limits(positions ...int) (uncertainty.Interval, error) {
	const op = "network.ConductanceBox.Limits"
	if err := c.checkDials(op, positions); err != nil {
		return uncertainty.Interval{}, err
	}
	end := func(sign float64) float64 {
		g := c.innerConductance(positions, func(i int) float64 {
			if c.Tolerance == nil {
				return 1
			}
			// A tolerance limits the resistance; the conductance is its inverse, and so its
			// limits are not alike on both sides.
			return 1 / (1 + sign*c.Tolerance[i])
		})
		return g / (1 + float64(c.Series*g))
	}
	out := uncertainty.Interval{Lower: end(1), Upper: end(-1)}
	return out, numbers.Finite(op, "conductance", out.Upper)
}
