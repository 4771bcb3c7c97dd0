// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
)

// NagaokaCoefficient returns the factor K by which the ends of a single-layer
// coil reduce its inductance, for the ratio of mean diameter to length:
//
//	K = (4/(3πk′)) [(k′²/k²)(K(k) − E(k)) + E(k) − k],  k² = D²/(D² + l²)
//
// with the complete elliptic integrals of modulus k, k′² = 1 − k²: the
// cylindrical current sheet of Lorenz, tabulated by Nagaoka (1909) and in NBS
// Circular 74. It falls from 1 for a long coil; D/l = 0 is the infinitely long
// one. Accurate to 1e-14 or better.
func NagaokaCoefficient(diameterOverLength float64) (float64, error) {
	const op = "winding.NagaokaCoefficient"
	if err := notNegative(op, arg{"diameterOverLength", diameterOverLength, ""}); err != nil {
		return 0, err
	}
	if diameterOverLength > shortest {
		return 0, domain(op, arg{"diameterOverLength", diameterOverLength, ""},
			"expected 1e8 at most: a single turn of wire is LoopInductance")
	}
	return nagaoka(diameterOverLength), nil
}

const (
	shortest  = 1e8 // diameter over length of the shortest coil taken
	shortCoil = 4   // from here on the series about k = 1 is used
)

// nagaoka is the coefficient without checks, by the formula or by the series for short coils.
func nagaoka(u float64) float64 {
	// For short coils the two terms of the bracket cancel.
	if u >= shortCoil {
		return nagaokaShort(u)
	}
	// 1/k′² = 1 + u²
	s := 1 + float64(u*u) // 1/k′²
	root := math.Sqrt(s)
	// (K−E)/k² is the integral D(m); E − k is far from 0 here
	d, e := completeIntegral(1/root, 0, 1), completeIntegral(1/root, 1, 1/s)
	return 4 / (3 * math.Pi) * (d/root + float64(root*(e-u/root)))
}

// nagaokaChange is u dK/du of the coefficient, its change with the logarithm of u:
//
//	(4/(3π)) [(E − 2k′²D)/k′ − u],  D = (K(k) − E(k))/k²
//
// For large u, where this is the difference of two nearly equal numbers, it is
//
//	(4/(3π)) k′ [(E−1)/m₁ + 1/(1 + u k′) − 2D]
//
// with the logarithmic series of K and of (E−1)/m₁.
func nagaokaChange(u float64) float64 {
	s := 1 + float64(u*u)
	root, m := math.Sqrt(s), 1/s
	if u < shortCoil {
		// (E − 2k′²D)/k′ is one integral, with a = 1 and b = −k′².
		return 4 / (3 * math.Pi) * (float64(root*completeIntegral(1/root, 1, -m)) - u)
	}
	l := 2*math.Ln2 + elementary.Log(s)/2
	k, e := shortIntegrals(l, m)
	d := (k - 1 - float64(m*e)) * s / (u * u)
	return 4 / (3 * math.Pi) / root * (e + root/(root+u) - 2*d)
}

// shortIntegrals returns K and (E−1)/m₁ for small m₁, l being ln(4/k′) (NIST Digital Library
// of Mathematical Functions, 19.12.1 and 19.12.2).
func shortIntegrals(l, m float64) (k, e float64) {
	// Each power of m₁ with its own ln(4/k′) less partial sums of 1/((2n + 1)(2n + 2)).
	ofK, ofE := 1.0, 0.5 // coefficients times the power of m₁
	for n := range len(shortSeries) {
		x := float64(n)
		step := 1 / ((2*x + 1) * (2*x + 2))
		k += float64(ofK * l)
		e += float64(ofE * (l - step))
		ofK *= m * (x + 0.5) * (x + 0.5) / ((x + 1) * (x + 1))
		ofE *= m * (x + 0.5) * (x + 1.5) / ((x + 1) * (x + 2))
		l -= 2 * step
	}
	return k, e
}

// completeIntegral is the general complete elliptic integral
//
//	∫ (a cos²φ + b sin²φ)/√(cos²φ + k′² sin²φ) dφ from 0 to π/2
//
// by the arithmetic-geometric mean (Bulirsch, Numerische Mathematik 7, 1965, 78): E for
// a = 1 and b = k′², (K − E)/k² for a = 0 and b = 1. The integrals of gonum differ in the
// last digits from one processor to another.
func completeIntegral(complement, a, b float64) float64 {
	e, p, em := complement, 1.0, 1.0
	// Quadratic convergence: five or six rounds, 13 for the smallest complement above 0.
	for range 64 {
		f := a
		a += b / p
		g := e / p
		b = 2 * (b + float64(f*g))
		p += g
		g = em
		em += complement
		// The next step would be off by the square of this.
		if math.Abs(g-complement) <= 1e-8*g {
			return math.Pi / 2 * (b + float64(a*em)) / (em * (em + p))
		}
		complement = 2 * math.Sqrt(e)
		e = float64(complement * em)
	}
	return math.NaN() // no modulus, or one of 1, where K is infinite
}

// nagaokaShort is the coefficient for large u = D/l. With m₁ = k′² it is
//
//	(4/(3πk′)) (m₁/k²) [K + (1−2m₁)(E−1)/m₁ − (m₁+k)/(1+k)]
//
// where nothing cancels, and K and E − 1 have logarithmic series in m₁.
func nagaokaShort(u float64) float64 {
	s := 1 + float64(u*u)
	m := 1 / s
	root := math.Sqrt(s)
	l := 2*math.Ln2 + elementary.Log(s)/2 // ln(4/k′)
	a0, a1, b0, b1 := 0.0, 0.0, 0.0, 0.0
	y := m * m
	// Two sums in m₁², which a processor computes side by side.
	for n := len(shortSeries) - 2; n >= 0; n -= 2 { // even and odd powers
		c0, c1 := &shortSeries[n], &shortSeries[n+1]
		a0 = float64(a0*y) + c0.log
		a1 = float64(a1*y) + c1.log
		b0 = float64(b0*y) + c0.rest
		b1 = float64(b1*y) + c1.rest
	}
	sum := float64(l*(a0+float64(a1*m))) + (b0 + float64(b1*m)) - (float64(root*m)+u)/(root+u)
	return 4 / (3 * math.Pi) * (root / (u * u)) * sum
}

// A logTerm is the factor log·ln(4/k′) + rest of a power of m₁.
type logTerm struct{ log, rest float64 }

// shortSeries is the series of K + (1−2m₁)(E−1)/m₁; what it leaves out is below
// 1e-17 for u ≥ shortCoil.
var shortSeries = newShortSeries()

// newShortSeries adds up the series of K and of (E−1)/m₁ (NIST Digital Library
// of Mathematical Functions, 19.12.1 and 19.12.2).
func newShortSeries() (out [12]logTerm) {
	k, e := 1.0, 0.5 // coefficients
	d := 0.0         // d(n) − d(0)
	for n := range out {
		x := float64(n)
		step := 1 / ((2*x + 1) * (2*x + 2))
		out[n].log += k + e
		out[n].rest += float64(k*d) + float64(e*(d-step))
		if n+1 < len(out) {
			out[n+1].log -= 2 * e
			out[n+1].rest -= float64(2 * e * (d - step))
		}
		k *= (x + 0.5) * (x + 0.5) / ((x + 1) * (x + 1))
		e *= (x + 0.5) * (x + 1.5) / ((x + 1) * (x + 2))
		d -= 2 * step
	}
	return out
}
