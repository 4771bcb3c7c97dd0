// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package elementary

import "math"

// Atan returns the arc tangent of x in radians, between −π/2 and π/2.
func Atan(x float64) float64 {
	if math.IsNaN(x) {
		return x
	}
	return arctan(double{high: x}).value()
}

// Asin returns the arc sine of x in radians, between −π/2 and π/2: NaN outside −1 to 1.
func Asin(x float64) float64 {
	a := math.Abs(x)
	switch {
	case !(a <= 1):
		return math.NaN()
	case a < 1e-8: // x³/6 is below half a unit
		return x
	case a == 1:
		return math.Copysign(math.Pi/2, x)
	}
	// arctan(x/√((1 − x)(1 + x))): the sum carries the digits that it lost
	// 1 − a is exact from ½ on, by subtraction of near numbers
	square := product(double{high: 1 - a}, exactSum(1, a))
	if a < 0.5 { // where 1 − a is rounded
		square = product(exactSum(1, -a), exactSum(1, a))
	}
	return arctan(quotient(double{high: x}, square.root())).value()
}

// Acos returns the arc cosine of x in radians, between 0 and π: NaN outside −1 to 1.
func Acos(x float64) float64 {
	switch {
	case !(math.Abs(x) <= 1):
		return math.NaN()
	case x == -1:
		return math.Pi
	}
	// 2 arctan √((1 − x)/(1 + x))
	half := arctan(quotient(exactSum(1, -x), exactSum(1, x)).root())
	return 2 * half.value()
}

// root is the square root of d ≥ 0.
func (d double) root() double {
	s := math.Sqrt(d.high)
	if s == 0 {
		return double{}
	}
	// One step of Newton from the rounded root, with the remainder exactly.
	return fastSum(s, (math.FMA(-s, s, d.high)+d.low)/(2*s))
}

// arctan takes the nearest multiple c of 1/8 to |x| or to its inverse,
//
//	arctan x = arctan c + arctan t, t = (x − c)/(1 + x·c), |t| ≤ 1/16
//
// With nine tabulated values the series of arctan t has seven terms beyond t; without a table, up
// to x = 1, it would not end. Of the result as a double the error is some 2⁻⁶² of it, that of the
// sum of the series: t is a double, the terms beyond it are not.
func arctan(x double) double {
	a, negative := x, math.Signbit(x.high)
	if negative {
		a = x.negative()
	}
	inverse := a.high > 1
	// arctan 1/x = π/2 − arctan x, so that the table ends at 1.
	switch {
	case math.IsInf(a.high, 1):
		a = double{}
	case inverse:
		a = quotient(double{high: 1}, a)
	}
	// The nearest eighth.
	j := int(math.Floor(float64(a.high*8) + 0.5))
	c := float64(j) / 8
	t := a
	if j > 0 {
		// 1 + x·c, as a double: the quotient must carry the digits that a float64 loses.
		under := product(a, double{high: c})
		t = quotient(fastSum(a.high-c, a.low), addTo(1, under.high, under.low))
	}
	// |t| ≤ 1/16: seven terms reach below the last digit.
	z := float64(t.high * t.high)
	rest := t.low + float64(float64(t.high*z)*polynomial(z, arctans[:]))
	of := arctanEighths[j]
	sum := addTo(of.high, t.high, of.low+rest)
	if inverse {
		// π/2 in two parts.
		sum = addTo(0x1.921fb54442d18p+0, -sum.high, 0x1.1a62633145c07p-54-sum.low)
	}
	if negative {
		return sum.negative()
	}
	return sum
}

// arctans are −1/3, 1/5 and so on; z ≤ 1/256.
var arctans = [...]float64{-1. / 3, 1. / 5, -1. / 7, 1. / 9, -1. / 11, 1. / 13, -1. / 15}

// arctanEighths are the arc tangents of 0, 1/8 and so on to 1, each as a double, to 2⁻¹⁰⁶ of it.
var arctanEighths = [...]double{
	{0, 0},
	{0x1.fd5ba9aac2f6ep-4, -0x1.cd37686760c17p-59},
	{0x1.f5b75f92c80ddp-3, 0x1.8ab6e3cf7afbdp-57},
	{0x1.6f61941e4def1p-2, -0x1.c63aae6f6e918p-56},
	{0x1.dac670561bb4fp-2, 0x1.a2b7f222f65e2p-56},
	{0x1.1e00babdefeb4p-1, -0x1.928df287a668fp-58},
	{0x1.4978fa3269ee1p-1, 0x1.2419a87f2a458p-56},
	{0x1.700a7c5784634p-1, -0x1.8c34d25aadef6p-56},
	{0x1.921fb54442d18p-1, 0x1.1a62633145c07p-55},
}
