// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
)

// Circles are two coaxial circular filaments.
type Circles struct {
	Radius1, Radius2 float64 // m
	Distance         float64 // m, between their planes
}

// MutualInductance returns the mutual inductance in henries of the two circles,
//
//	M = µ0 √(Aa) [(2/k − k) K − (2/k) E],  k² = 4Aa/((A + a)² + d²)
//
// with the complete elliptic integrals of modulus k (Maxwell, A treatise on
// electricity and magnetism, art. 701; NBS Circular 74). Circles that coincide have
// none and are refused.
func (c Circles) MutualInductance() (float64, error) {
	const op = "winding.Circles.MutualInductance"
	radii := []arg{{"Radius1", c.Radius1, "m"}, {"Radius2", c.Radius2, "m"}}
	if err := positive(op, radii...); err != nil {
		return 0, err
	}
	if err := finite(op, arg{"Distance", c.Distance, "m"}); err != nil {
		return 0, err
	}
	if c.Distance == 0 && c.Radius1 == c.Radius2 {
		return 0, domain(op, arg{"Distance", 0, ""}, "expected two circles that do not coincide")
	}
	// In units of the largest length, a power of two so that no digit changes: products of
	// lengths beyond 1e154 m are not float64, nor below 1e-154 m.
	_, exponent := math.Frexp(max(c.Radius1, c.Radius2, math.Abs(c.Distance)))
	scaled := func(x float64) float64 { return math.Ldexp(x, -exponent) }
	m := circles(scaled(c.Radius1), scaled(c.Radius2), scaled(c.Distance))
	return result(op, "mutual inductance", MagneticConstant*math.Ldexp(m, exponent))
}

// circles is M/µ0, in metres. The bracket of Maxwell's formula is k (2D − K) = k (D − B)
// with the integrals B and D of Bulirsch.
func circles(a, b, d float64) float64 {
	far := elementary.Hypot(a+b, d)
	// k² = 4ab/((a + b)² + d²), 1 − k² = ((a − b)² + d²)/((a + b)² + d²).
	k := 2 * math.Sqrt(a*b) / far
	// Far apart, D and B are nearly equal: the series has no difference.
	if m := k * k; m < 0.25 {
		return math.Sqrt(a*b) * k * farCircles(m)
	}
	complement := elementary.Hypot(a-b, d) / far // k′, which 1 − k² would round
	return math.Sqrt(a*b) * k * completeIntegral(complement, -1, 1)
}

// farCircles is D − B by its series, π/2 Σ c² n/(n + 1) mⁿ with the binomials c of 2n over n
// divided by 4ⁿ: for small m the two integrals cancel.
func farCircles(m float64) float64 {
	sum, term := 0.0, 1.0 // c² mⁿ
	// Fifteen terms or so reach the last digit at m = 1/4.
	for n := 1.0; n < 40; n++ {
		c := (2*n - 1) / (2 * n)
		term = float64(term * (c * c * m))
		sum += float64(term * (n / (n + 1)))
		if term < 1e-17*sum {
			break
		}
	}
	return math.Pi / 2 * sum
}

// circlesApart is M/µ0 of two equal circles of radius a in planes d apart whose axes are
// parallel, at least the diameter apart: the vector potential M/(2πρ) of the first,
// integrated round the second. It is negative where the circles lie side by side.
func circlesApart(a, axes, d float64) float64 {
	// The integrand is smooth and periodic, so equal steps converge fast until they
	// are longer than the place where the wires come near, √(gap/a) wide.
	gap := elementary.Hypot(axes-float64(2*a), d)
	// The steps are at most a sixteenth of that place.
	n := int(min(max(16*math.Sqrt(a/gap), 24), 2048))
	sum := 0.0
	for i := range n {
		// Half the circle: the other half is its image.
		s, c := elementary.Sincos(math.Pi * (float64(i) + 0.5) / float64(n))
		x, y := axes+float64(a*c), a*s
		square := float64(x*x) + float64(y*y)
		sum += (float64(x*c) + float64(y*s)) / square * circles(a, math.Sqrt(square), d)
	}
	return a * sum / float64(n)
}
