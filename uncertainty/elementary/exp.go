// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package elementary

import "math"

const (
	ln2High = 0x1.62e42fee00000p-1 // 32 bits: a whole number times it is exact
	ln2Low  = 0x1.a39ef35793c76p-33
	// Beyond these e to the power x is infinite, and 0: ln 2¹⁰²⁴, and ln 2⁻¹⁰⁷⁵, half of the
	// smallest number, below which a result is rounded to 0.
	highestExponent = 709.782712893384
	lowestExponent  = -745.1332191019412
)

// Exp returns e to the power x. Exp(+Inf) is +Inf, Exp(−Inf) is 0.
func Exp(x float64) float64 {
	switch {
	case math.IsNaN(x) || x > highestExponent:
		return x * math.Inf(1)
	case x < lowestExponent:
		return 0
	}
	return expSum(double{high: x})
}

// Expm1 returns e to the power x, less 1, without loss of digits where x is small.
func Expm1(x float64) float64 {
	switch {
	case math.IsNaN(x) || x > 40: // 1 is below a thirtieth of a unit of the last digit
		return Exp(x)
	case x < -40: // e^x is below half a unit of the last digit of 1
		return -1
	case math.Abs(x) < 1e-17:
		return x // also the zero with a sign
	}
	// e^r − 1 as a double; the power of two comes on top.
	k, r := reduceExponent(double{high: x})
	e := fastSum(r.high, r.low+expRest(r.high))
	if k == 0 {
		return e.high + e.low
	}
	scale := math.Ldexp(1, k)
	if k > 52 { // 2^k − 1 is no float64
		sum := exactSum(scale, float64(scale*e.high))
		return sum.high + (sum.low - 1 + float64(scale*e.low))
	}
	// 2^k (1 + e) − 1 = (2^k − 1) + 2^k e
	sum := exactSum(scale-1, float64(scale*e.high))
	return sum.high + (sum.low + float64(scale*e.low))
}

// exactSum is a + b without error, whichever is the larger: a rounding of float64 is a float64
// itself (Knuth, The Art of Computer Programming 2, 4.2.2, theorem B, from memory).
func exactSum(a, b float64) double {
	s := a + b
	t := s - a
	// The parts of a and b that s has lost, whichever of the two is larger.
	return double{s, (a - (s - t)) + (b - t)}
}

// expSum is e to the power x.high + x.low, inside the limits.
func expSum(x double) float64 {
	k, r := reduceExponent(x)
	// Ldexp is exact but for results below the normal range.
	return math.Ldexp(1+(r.high+(r.low+expRest(r.high))), k)
}

// reduceExponent writes x = k·ln 2 + r with |r| ≤ ln 2/2.
func reduceExponent(x double) (k int, r double) {
	// Rounded to the nearest whole number by Floor, which every processor has alike.
	n := math.Floor(float64(x.high*(1/math.Ln2)) + 0.5)
	high := x.high - float64(n*ln2High) // exact
	// ln 2 in two parts, the first of few bits: n·ln2High has no rounding.
	low := x.low - float64(n*ln2Low)
	return int(n), exactSum(high, low)
}

// expRest is e^r − 1 − r for |r| ≤ 0.35, by its series to r¹⁵/15!: the next term is below 3e-21.
func expRest(r float64) float64 {
	z := float64(r * r)
	even, odd := 0.0, 0.0 // two sums at the same time
	for _, c := range &factorials {
		even = float64(even*z) + c.even
		odd = float64(odd*z) + c.odd
	}
	return float64(z * (even + float64(odd*r)))
}

// factorials are 1/14!, 1/15! to 1/2!, 1/3!.
var factorials = [...]struct{ even, odd float64 }{
	{1. / 87178291200, 1. / 1307674368000}, {1. / 479001600, 1. / 6227020800},
	{1. / 3628800, 1. / 39916800}, {1. / 40320, 1. / 362880}, {1. / 720, 1. / 5040},
	{1. / 24, 1. / 120}, {1. / 2, 1. / 6},
}
