// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"

	"example.com/ohmwright/uncertainty"
)

// ResistanceAtCurrent is a resistance in Ω and the current in A at which it was read.
type ResistanceAtCurrent struct{ Resistance, Current float64 }

// ResistanceAtCurrentOf is [ResistanceAtCurrent] of quantities.
type ResistanceAtCurrentOf struct{ Resistance, Current uncertainty.Quantity }

// ZeroPower returns in ohms the resistance without self-heating from readings at two
// currents, by extrapolation in the square of the current:
//
//	R0 = r1 − (r2 − r1) i1²/(i2² − i1²)
//
// The usual pair is I and √2 I, where R0 = 2 r1 − r2, or I and 2 I. Signs of the
// currents do not matter.
//
// Caution: the larger current must be inside the rating of the resistor.
func ZeroPower(first, second ResistanceAtCurrent) (float64, error) {
	const op = "thermal.ZeroPower"
	if err := twoCurrents(op, first, second); err != nil {
		return 0, err
	}
	r1, i1, r2, i2 := first.Resistance, first.Current, second.Resistance, second.Current
	return finiteResult(op, "resistance", r1-float64((r2-r1)*squaresRatio(i1, i2)))
}

// squaresRatio is i1²/(i2² − i1²).
func squaresRatio(i1, i2 float64) float64 {
	// i2² − i1² as a product, which keeps its digits where the currents are close.
	return i1 * i1 / ((i2 - i1) * (i2 + i1))
}

// ZeroPowerOf is [ZeroPower] of quantities. The extrapolation magnifies the
// scatter of the readings: for I and √2 I, √5 times that of one.
func ZeroPowerOf(first, second ResistanceAtCurrentOf) uncertainty.Quantity {
	_, err := ZeroPower(first.estimates(), second.estimates())
	r1, i1, r2, i2 := first.Resistance, first.Current, second.Resistance, second.Current
	k := i1.Mul(i1).Div(i2.Sub(i1).Mul(i2.Add(i1)))
	return orError(r1.Sub(r2.Sub(r1).Mul(k)).DefaultUnit("Ω"), err)
}

// PowerCoefficient returns the relative change of resistance per watt, in 1/W,
// from the same readings as [ZeroPower]:
//
//	(r2 − r1)/(R0 (P2 − P1)),   P = I² r
func PowerCoefficient(first, second ResistanceAtCurrent) (float64, error) {
	const op = "thermal.PowerCoefficient"
	r0, err := ZeroPower(first, second)
	if err != nil {
		return 0, err
	}
	if r0 <= 0 {
		return 0, domainError(op, "resistance at zero power", r0,
			"expected readings that lead to a positive one")
	}
	r1, i1, r2, i2 := first.Resistance, first.Current, second.Resistance, second.Current
	// P = I²R (Joule's law).
	dp := float64(i2*i2*r2) - float64(i1*i1*r1)
	if dp == 0 {
		return 0, domainError(op, "power difference", dp, "expected two different powers")
	}
	return finiteResult(op, "coefficient", (r2-r1)/(r0*dp))
}

// PowerCoefficientOf is [PowerCoefficient] of quantities.
func PowerCoefficientOf(first, second ResistanceAtCurrentOf) uncertainty.Quantity {
	_, err := PowerCoefficient(first.estimates(), second.estimates())
	r1, i1, r2, i2 := first.Resistance, first.Current, second.Resistance, second.Current
	dp := i2.Mul(i2).Mul(r2).Sub(i1.Mul(i1).Mul(r1))
	coefficient := r2.Sub(r1).Div(ZeroPowerOf(first, second).Mul(dp))
	return orError(coefficient.DefaultUnit("1/W"), err)
}

// estimates are the numbers of the two quantities.
func (r ResistanceAtCurrentOf) estimates() ResistanceAtCurrent {
	return ResistanceAtCurrent{r.Resistance.Estimate(), r.Current.Estimate()}
}

// twoCurrents refuses readings that no extrapolation can start from.
func twoCurrents(op string, first, second ResistanceAtCurrent) error {
	r1, i1, r2, i2 := first.Resistance, first.Current, second.Resistance, second.Current
	if err := checkPositive(op, "first.Resistance", r1, "ohms"); err != nil {
		return err
	}
	if err := checkNumber(op, "first.Current", i1); err != nil {
		return err
	}
	if err := checkPositive(op, "second.Resistance", r2, "ohms"); err != nil {
		return err
	}
	if err := checkNumber(op, "second.Current", i2); err != nil {
		return err
	}
	if math.Abs(i1) == math.Abs(i2) {
		return domainError(op, "second.Current", i2,
			"expected a magnitude other than that of the first")
	}
	return nil
}
