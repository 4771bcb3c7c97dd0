// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"
	"math/cmplx"
)

// Line is a bifilar (folded, hairpin) resistor as what it is at frequency: a
// line of two wires, shorted at the far end. R in ohms, L in henries and C in
// farads are totals of the pair: resistance of the whole wire, inductance of
// [Pair.Inductance] and capacitance of [Pair.Capacitance] for half of its
// length. The voltage between the wires falls from full at the ends to nothing
// at the fold, so only a third of C counts at first.
type Line struct{ R, L, C float64 }

// TimeConstant returns the time constant in seconds at low frequency,
//
//	τ = L/R − RC/3
//
// that is an effective inductance of L − R²C/3.
func (l Line) TimeConstant() (float64, error) {
	const op = "winding.Line.TimeConstant"
	if err := Equivalent(l).checkEquivalent(op); err != nil {
		return 0, err
	}
	return result(op, "time constant", l.L/l.R-float64(l.R*l.C)/3)
}

// Lumped returns the three-element circuit that behaves the same to first
// order: C/3 across R and L.
func (l Line) Lumped() Equivalent { return Equivalent{l.R, l.L, l.C / 3} }

// Impedance returns the impedance at a frequency in Hz, exactly:
//
//	Z = √((R + jωL)/(jωC)) tanh √((R + jωL) jωC)
func (l Line) Impedance(frequency float64) (Impedance, error) {
	const op = "winding.Line.Impedance"
	if err := Equivalent(l).checkEquivalent(op); err != nil {
		return Impedance{}, err
	}
	if err := positive(op, arg{"frequency", frequency, "Hz"}); err != nil {
		return Impedance{}, err
	}
	// R + jωL over R, less 1: near 1 the difference keeps its digits.
	w := 2 * math.Pi * frequency
	series := complex(0, w*l.L/l.R) // (R + jωL)/R − 1
	// θ² = (R + jωL)·jωC
	square := complex(-w*l.L*w*l.C, w*l.R*l.C)
	s := tanhRatio(square) // tanh θ/θ − 1
	// (1 + a)(1 + b) − 1 = a + (1 + a)·b
	return impedance(op, l.R, series+(1+series)*s)
}

// tanhRatio returns tanh(θ)/θ − 1 from θ². Up to |θ²| = 1 it is the continued
// fraction 1/(1 + θ²/(3 + θ²/(5 + …))) (DLMF 4.39.1), which keeps the digits
// of small values.
func tanhRatio(square complex128) complex128 {
	if cmplx.Abs(square) <= 1 {
		// Eleven steps from the inside reach the last digit at |θ²| = 1.
		x := complex(23, 0)
		for k := 21.0; k >= 3; k -= 2 {
			x = complex(k, 0) + square/x
		}
		x = square / x
		return -x / (1 + x)
	}
	root := cmplx.Sqrt(square) // real part >= 0
	if real(root) > 20 {
		return 1/root - 1 // tanh is 1 to the last bit
	}
	e := cmplx.Exp(-2 * root)
	return (1-e)/(1+e)/root - 1
}
