// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
)

// feedback is the balance of an element under load in its rise x above ambient,
//
//	x = k (1 + a x + b x²)^exponent
//
// with k the rise that the power at ambient resistance would give.
type feedback struct{ k, a, b, exponent float64 }

// newFeedback moves the law to ambient, so that the rise counts from 0.
func newFeedback(resistance, thermalResistance float64, l Law, ambient float64, d Drive) feedback {
	q := l.ratioAt(ambient)
	// P = I²R at a current and V²/R at a voltage (Joule's law): the resistance enters with the
	// power exponent, and at a given power not at all.
	return feedback{
		k: thermalResistance * d.strength() * elementary.Pow(resistance*q, d.exponent()),
		a: l.slope(ambient) / q, b: l.beta / q,
		exponent: d.exponent(),
	}
}

// rise returns the first solution from 0 up, NaN if there is none.
func (s feedback) rise() float64 {
	switch {
	case s.k == 0 || s.exponent == 0 || (s.a == 0 && s.b == 0):
		return s.k
	case s.exponent > 0:
		return s.riseAtCurrent()
	}
	return s.riseAtVoltage()
}

// riseAtCurrent solves k b x² − (1 − k a) x + k = 0 for the smaller positive
// root, in the form that holds for b = 0 too.
func (s feedback) riseAtCurrent() float64 {
	p := 1 - float64(s.k*s.a)
	disc := float64(p*p) - float64(4*s.k*s.k*s.b)
	// The straight line of the heat carried away passes below the parabola of the power.
	if disc < 0 {
		return math.NaN()
	}
	root := math.Sqrt(disc)
	if p < 0 && s.b < 0 {
		return (p - root) / (2 * s.k * s.b) // past the slope of runaway, held by the bend
	}
	if p+root <= 0 {
		return math.NaN()
	}
	return 2 * s.k / (p + root)
}

// riseAtVoltage solves g(x) = x (1 + a x + b x²) = k. The turning points of g
// divide the way up into stretches on which it rises or falls; the solution lies
// on the first one that reaches k, unless the resistance comes to 0 before.
func (s feedback) riseAtVoltage() float64 {
	g := func(x float64) (value, slope float64) {
		q := 1 + float64(x*(s.a+float64(s.b*x)))
		return float64(x*q) - s.k, q + float64(x*(s.a+float64(2*s.b*x)))
	}
	const (
		hottest       = 1e6   // K: no resistor reaches it
		riseTolerance = 1e-13 // of the rise at ambient resistance
	)
	from := 0.0
	for _, to := range append(s.turningPoints(), hottest) {
		v, _ := g(to)
		if v >= 0 {
			return risingZero(g, from, to, riseTolerance*s.k)
		}
		if v <= -s.k {
			break // g ≤ 0: no resistance left
		}
		from = to
	}
	return math.NaN()
}

// turningPoints returns the positive roots of g' = 1 + 2a x + 3b x², ascending.
func (s feedback) turningPoints() []float64 {
	disc := float64(s.a*s.a) - float64(3*s.b)
	if disc < 0 {
		return nil
	}
	root := math.Sqrt(disc)
	var points []float64
	for _, q := range []float64{root - s.a, -root - s.a} {
		if q > 0 {
			// q² + 2a q + 3b = 0 is the same in q = 1/x, where b may be 0.
			points = append(points, 1/q)
		}
	}
	return points
}
