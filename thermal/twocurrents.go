// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"

	"example.com/ohmwright/uncertainty"
)

// ZeroPower returns in ohms the resistance without self-heating from the
// resistances r1 and r2 in ohms read at the currents i1 and i2 in amperes, by
// extrapolation in the square of the current:
//
//	R0 = r1 − (r2 − r1) i1²/(i2² − i1²)
//
// The usual pair is I and √2 I, where R0 = 2 r1 − r2, or I and 2 I. Signs of the
// currents do not matter.
//
// Caution: the larger current must be inside the rating of the resistor.
func ZeroPower(r1, i1, r2, i2 float64) (float64, error) {
	const op = "thermal.ZeroPower"
	if err := twoCurrents(op, r1, i1, r2, i2); err != nil {
		return 0, err
	}
	return result(op, "resistance", r1-float64((r2-r1)*squares(i1, i2)))
}

// squares is i1²/(i2² − i1²).
func squares(i1, i2 float64) float64 {
	return i1 * i1 / ((i2 - i1) * (i2 + i1))
}

// ZeroPowerOf is [ZeroPower] of quantities. The extrapolation magnifies the
// scatter of the readings: for I and √2 I, √5 times that of one.
func ZeroPowerOf(r1, i1, r2, i2 uncertainty.Quantity) uncertainty.Quantity {
	_, err := ZeroPower(r1.Estimate(), i1.Estimate(), r2.Estimate(), i2.Estimate())
	k := i1.Mul(i1).Div(i2.Sub(i1).Mul(i2.Add(i1)))
	return guard(r1.Sub(r2.Sub(r1).Mul(k)), err)
}

// PowerCoefficient returns the relative change of resistance per watt, in 1/W,
// from the same readings as [ZeroPower]:
//
//	(r2 − r1)/(R0 (P2 − P1)),   P = I² r
func PowerCoefficient(r1, i1, r2, i2 float64) (float64, error) {
	const op = "thermal.PowerCoefficient"
	r0, err := ZeroPower(r1, i1, r2, i2)
	if err != nil {
		return 0, err
	}
	if r0 <= 0 {
		return 0, domain(op, "resistance at zero power", r0, "expected readings that lead to a positive one")
	}
	dp := float64(i2*i2*r2) - float64(i1*i1*r1)
	if dp == 0 {
		return 0, domain(op, "power difference", dp, "expected two different powers")
	}
	return result(op, "coefficient", (r2-r1)/(r0*dp))
}

// PowerCoefficientOf is [PowerCoefficient] of quantities.
func PowerCoefficientOf(r1, i1, r2, i2 uncertainty.Quantity) uncertainty.Quantity {
	_, err := PowerCoefficient(r1.Estimate(), i1.Estimate(), r2.Estimate(), i2.Estimate())
	dp := i2.Mul(i2).Mul(r2).Sub(i1.Mul(i1).Mul(r1))
	return guard(r2.Sub(r1).Div(ZeroPowerOf(r1, i1, r2, i2).Mul(dp)), err)
}

func twoCurrents(op string, r1, i1, r2, i2 float64) error {
	if err := positive(op, "r1", r1, "ohms"); err != nil {
		return err
	}
	if err := number(op, "i1", i1); err != nil {
		return err
	}
	if err := positive(op, "r2", r2, "ohms"); err != nil {
		return err
	}
	if err := number(op, "i2", i2); err != nil {
		return err
	}
	if math.Abs(i1) == math.Abs(i2) {
		return domain(op, "i2", i2, "expected another magnitude than that of i1")
	}
	return nil
}
