// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import "math"

// sinCos returns sine and cosine for |x| < 1e6, to about one unit of the last digit of 1.
// Those of package elementary are right to the last digit, and take several times as long;
// those of package math differ in their bits between processors.
func sinCos(x float64) (sin, cos float64) {
	const (
		// π/2 in three parts; 33 bits each make k·first and k·second exact.
		first  = 1.57079632673412561417e+00
		second = 6.07710050630396597660e-11
		third  = 2.02226624879595063154e-21
	)
	// The quarter turn nearest to x; r is within π/4 of 0. For |x| < 1e6 k has 20 bits, which
	// with the 33 of first fit in 53.
	k := math.Floor(float64(x*(2/math.Pi)) + 0.5)
	r := float64(x-float64(k*first)) - float64(k*second)
	r -= float64(k * third)
	z := float64(r * r)
	s, c := 0.0, 0.0
	for _, f := range sineSeries { // two sums at the same time
		s = float64(s*z) + f.sin
		c = float64(c*z) + f.cos
	}
	s = float64(s * r)
	// sin(r + kπ/2): each quarter turn changes sine into cosine and cosine into −sine.
	switch int64(k) & 3 {
	case 1:
		return c, -s
	case 2:
		return -s, -c
	case 3:
		return -c, s
	}
	return s, c
}

// sineSeries are the coefficients of z⁸ to 1 of sin r/r and cos r in z = r²; |r| ≤ 0.79, and
// the next term is below 1e-17.
var sineSeries = [...]struct{ sin, cos float64 }{
	{1. / 355687428096000, 1. / 20922789888000}, {-1. / 1307674368000, -1. / 87178291200},
	{1. / 6227020800, 1. / 479001600}, {-1. / 39916800, -1. / 3628800}, {1. / 362880, 1. / 40320},
	{-1. / 5040, -1. / 720}, {1. / 120, 1. / 24}, {-1. / 6, -1. / 2}, {1, 1},
}

// besselJ0 is the Bessel function of order 0, the characteristic function of an arcsine term
// (Handbook of Mathematical Functions, National Bureau of Standards, 1964, 9.1.18 and 9.2.5).
func besselJ0(x float64) float64 {
	x = math.Abs(x)
	if x < 30 {
		// The trapezoidal rule on 1/π ∫ cos(x sin θ) dθ is exact to J_64(x) < 1e-13.
		const points = 32
		sum := 0.0
		for _, s := range sines {
			_, c := sinCos(float64(x * s))
			sum += c
		}
		return sum / points
	}
	// J_0 = √(2/πx)·(P·cos(x − π/4) − Q·sin(x − π/4)), P and Q being series in 1/(8x).
	p, q, term := 1.0, 0.0, 1.0
	for k := 1.0; k <= 12; k++ { // asymptotic: terms below 1e-14 for x ≥ 30
		term = float64(term * (-float64((2*k-1)*(2*k-1)) / (8 * k * x)))
		switch int(k) & 3 {
		case 1:
			q += term
		case 2:
			p -= term
		case 3:
			q -= term
		default:
			p += term
		}
	}
	s, c := sinCos(x - math.Pi/4)
	return math.Sqrt(2/(math.Pi*x)) * (float64(p*c) - float64(q*s))
}

// sines are sin((j + ½)π/32).
var sines = func() (v [32]float64) {
	for j := range v {
		v[j], _ = sinCos((float64(j) + 0.5) * math.Pi / 32)
	}
	return v
}()
