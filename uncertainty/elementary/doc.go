// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package elementary has elementary functions, and those of the normal distribution, whose
// results have the same bits on every processor.
//
// The functions of package math promise that for the four operations, roots and what is
// exact. Others have assembly on some processors, and where a processor multiplies and
// adds in one step the compiler may use it, so that the last bit of a sine depends on the
// machine. Here every product that is added to something is rounded first, and what one
// step is needed for is written as [math.FMA], which is exact everywhere.
//
// The error is below one unit of the last digit unless a function says more. Special cases
// are those of package math: NaN gives NaN, arguments outside the domain give NaN.
package elementary

import "math"

// A double is the sum of two numbers, the second at most half a unit of the last digit of
// the first.
type double struct{ high, low float64 }

// value is the sum, rounded; a zero keeps its sign.
func (d double) value() float64 {
	if d.low == 0 {
		return d.high
	}
	return d.high + d.low
}

// fastSum is a + b without error for |a| ≥ |b|.
func fastSum(a, b float64) double {
	s := a + b
	return double{s, b - (s - a)}
}

// quotient is (n.high + n.low)/(d.high + d.low): the quotient q of the leading parts, and the first
// order of what it leaves, (n − q·d)/d. What is left out is of the order 2⁻¹⁰⁶ of the result.
func quotient(n, d double) double {
	q := n.high / d.high
	rest := math.FMA(-q, d.high, n.high) + n.low - float64(q*d.low)
	return fastSum(q, rest/d.high)
}

// polynomial is c[0] + c[1]·x + c[2]·x² + …
// Horner's form; each product is rounded before the sum.
func polynomial(x float64, c []float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = float64(sum*x) + c[i]
	}
	return sum
}

// Hypot returns √(p² + q²), to 2 units of the last digit: +Inf where one is infinite.
func Hypot(p, q float64) float64 {
	p, q = math.Abs(p), math.Abs(q)
	switch {
	case math.IsInf(p, 1) || math.IsInf(q, 1):
		return math.Inf(1)
	case p < q:
		p, q = q, p
	}
	if q == 0 || math.IsNaN(p) || math.IsNaN(q) {
		return p + q
	}
	// The smaller over the larger: no square overflows, and one that underflows does not count.
	q /= p
	return p * math.Sqrt(1+float64(q*q))
}
