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
func fractionDepth(x float64) int { return 14 + int(1.6*x) }

// continuedFraction evaluates D = 2 + jy/(3 + jy/(4 + …)) with y = x²/4, n
// terms deep; then w − 1 = jy/D.
func continuedFraction(x float64, n int) (increase, inductance float64) {
	y := x * x / 4
	dr, di := float64(n+2), 0.0
	for k := n + 1; k >= 2; k-- {
		// jy/(dr + j di) = y (di + j dr)/|D|²
		s := y / (float64(dr*dr) + float64(di*di))
		dr, di = float64(k)+float64(s*di), s*dr
	}
	s := 1 / (float64(dr*dr) + float64(di*di))
	return y * di * s, 2 * dr * s
}

// asymptoticRatio returns w(x) for large x from the series of I0 and I1.
func asymptoticRatio(x float64) (re, im float64) {
	const root = 1 / math.Sqrt2
	z := complex(x*root, x*root)
	ratio := besselTail(0, z) / besselTail(1, z) // I0/I1
	zr, zi := x*root/2, x*root/2
	r, i := real(ratio), imag(ratio)
	return float64(zr*r) - float64(zi*i), float64(zr*i) + float64(zi*r)
}

// besselTail sums Σ (−1)^k a_k(ν)/z^k, the asymptotic series of I_ν(z)
// √(2πz)/e^z for ν = 0 or 1, with a_k/a_(k−1) = (4ν² − (2k−1)²)/(8k).
func besselTail(nu int, z complex128) complex128 {
	inverse := 1 / z
	sum, term := complex(1, 0), complex(1, 0)
	for k := 1; k <= 24; k++ {
		odd := 2*k - 1
		factor := float64(odd*odd-4*nu*nu) / float64(8*k)
		term *= inverse * complex(factor, 0)
		sum += term
	}
	return sum
}
