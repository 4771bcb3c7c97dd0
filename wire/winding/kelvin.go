// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import "math"

// The current in a round wire is governed by
//
//	w(x) = (z/2) I0(z)/I1(z),  z = x √j
//
// the impedance per length over the direct-current resistance per length. In
// Kelvin functions its real part is (x/2)(ber bei' − bei ber')/(ber'² +
// bei'²). Computing ber and bei themselves overflows and cancels; the ratio
// does not.
//
// Up to asymptoticFrom the ratio is the continued fraction of Gauss,
//
//	w − 1 = q/(2 + q/(3 + q/(4 + …))),  q = z²/4 = j x²/4
//
// (NIST Digital Library of Mathematical Functions, 10.33.1), evaluated from
// the inside outwards. Written out in real numbers it keeps the relative
// accuracy of Re w − 1 = x⁴/192 − … at small x. Beyond, both Bessel functions
// are their asymptotic series (DLMF 10.40.1); what they leave out is e^(−√2
// x), below 1e-19 there.

// asymptoticFrom is the x from which both Bessel functions are their asymptotic series.
const asymptoticFrom = 32

// surfaceImpedance returns Re w − 1 and T = 8 Im w/x², the ratio of internal
// inductances, for finite x >= 0.
func surfaceImpedance(x float64) (increase, inductance float64) {
	if x < asymptoticFrom {
		return continuedFraction(x, fractionDepth(x))
	}
	re, im := asymptoticRatio(x)
	return re - 1, 8 / x * (im / x)
}

// fractionDepth is the depth at which the fraction has converged to the last
// bit; a test compares it with twice the depth.
func fractionDepth(x float64) int { return min(6+int(2*x), 12+int(0.95*x)) }

// unscaledDepth is up to which depth the squares of N stay far inside the range.
const unscaledDepth = 20

// continuedFraction evaluates D = 2 + jy/(3 + jy/(4 + …)) with y = x²/4, n
// terms deep; then w − 1 = jy/D. As D = N(2)/N(3) with
//
//	N(k) = k N(k+1) + jy N(k+2)
//
// no division is needed on the way, and in
//
//	w − 1 = (y² N(3)N(4)* + 2jy |N(3)|²)/|N(2)|²
//
// the parts of either kind add up. N stays below 1e230 for x up to 60.
func continuedFraction(x float64, n int) (increase, inductance float64) {
	y := x * x / 4
	r3, i3, r4, i4 := float64(n+2), 0.0, 1.0, 0.0 // N(k+1) and N(k+2)
	for k := float64(n + 1); k > 2; k-- {
		r, i := float64(k*r3)-float64(y*i4), float64(k*i3)+float64(y*r4)
		r3, i3, r4, i4 = r, i, r3, i3
	}
	if n > unscaledDepth {
		scale := 1 / max(math.Abs(r3), math.Abs(i3)) // squares stay in range
		r3, i3, r4, i4 = scale*r3, scale*i3, scale*r4, scale*i4
	}
	r2, i2 := 2*r3-float64(y*i4), 2*i3+float64(y*r4)
	s := 1 / (float64(r2*r2) + float64(i2*i2))
	increase = y * y * (float64(r3*r4) + float64(i3*i4)) * s
	inductance = 2 * (2*(float64(r3*r3)+float64(i3*i3)) +
		float64(y*(float64(i3*r4)-float64(r3*i4)))) * s
	return increase, inductance
}

// asymptoticRatio returns w(x) for large x from the series of I0 and I1.
func asymptoticRatio(x float64) (re, im float64) {
	r0, i0 := besselTail(&besselTails[0], x)
	r1, i1 := besselTail(&besselTails[1], x)
	s := x / math.Sqrt2 / 2 / (float64(r1*r1) + float64(i1*i1))
	r, i := s*(float64(r0*r1)+float64(i0*i1)), s*(float64(i0*r1)-float64(r0*i1)) // I0/I1 times s
	return r - i, r + i                                                          // times 1 + j
}

// besselTail sums Σ c(k)/z^k, the asymptotic series of I(z) √(2πz)/e^z. As z⁴ =
// −x⁴ is real, it is four real polynomials, one for each direction of z^−k.
func besselTail(c *[tailTerms]float64, x float64) (re, im float64) {
	t := 1 / x
	t2 := t * t
	y := -t2 * t2
	var p0, p1, p2, p3 float64
	for k := tailTerms - 4; k >= 0; k -= 4 {
		p0 = float64(p0*y) + c[k]
		p1 = float64(p1*y) + c[k+1]
		p2 = float64(p2*y) + c[k+2]
		p3 = float64(p3*y) + c[k+3]
	}
	diagonal, t3 := t/math.Sqrt2, float64(t2*p3)
	return p0 + float64(diagonal*(p1-t3)), -float64(diagonal*(p1+t3)) - float64(t2*p2)
}

const tailTerms = 24 // the next is below 1e-20

// besselTails are (−1)^k a(k) of DLMF 10.40.1 for I0 and I1, with a(k)/a(k−1) =
// (4ν² − (2k−1)²)/(8k).
var besselTails = [2][tailTerms]float64{newBesselTail(0), newBesselTail(1)}

// newBesselTail builds the coefficients one from the other, as DLMF 10.40.1 has them.
func newBesselTail(nu int) (out [tailTerms]float64) {
	out[0] = 1
	for k := 1; k < tailTerms; k++ {
		odd := 2*k - 1
		out[k] = out[k-1] * float64(odd*odd-4*nu*nu) / float64(8*k)
	}
	return out
}
