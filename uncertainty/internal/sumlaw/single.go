// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/internal/studentt"
)

// Single returns the law of one term alone whose quantile function rises. Nothing is inverted:
// the quantile function answers, and CDF searches it.
func Single(quantile func(p float64) float64) *Law {
	return &Law{shape: &Term{kind: known, value: quantile}, reach: math.Inf(1)}
}

// quantile is that of a sum of this term alone. Above the middle it is the mirror image of the
// lower half, so that small probabilities lose no digits.
func (t *Term) quantile(p float64) float64 {
	switch {
	case t.kind == known:
		return t.value(p)
	case p > 0.5:
		return -t.quantile(1 - p)
	}
	switch t.kind {
	case student:
		return float64(t.a * studentt.Quantile(p, t.b))
	case normal:
		return float64(t.a * elementary.NormalQuantile(p))
	case arcsine:
		return -float64(t.a * elementary.Cos(float64(math.Pi*p)))
	case widened:
		return solve(func(z float64) float64 { return t.cdf(z) - p }, -t.a-t.b, 0)
	}
	// A trapezoid's slope holds the area b/2a on either side; there (z + a + b)²/8ab = p.
	if slope := t.b / (2 * t.a); p < slope {
		return math.Sqrt(8*t.a*t.b*p) - (t.a + t.b)
	}
	return float64((p - 0.5) * 2 * t.a)
}

// cdf is the inverse of quantile.
func (t *Term) cdf(z float64) float64 {
	switch {
	case t.kind == known:
		return t.search(z)
	case z > 0: // small probabilities keep their digits below
		return 1 - t.cdf(-z)
	}
	base, top := t.a+t.b, t.a-t.b
	switch t.kind {
	case student:
		return studentt.UpperTail(-z/t.a, t.b)
	case normal:
		return elementary.NormalCDF(z / t.a)
	case arcsine:
		// ½ + arcsin(z/a)/π (JCGM 101 6.4.6).
		return 0.5 + elementary.Asin(max(-1, z/t.a))/math.Pi
	case widened:
		return t.widenedCDF(z)
	}
	switch {
	case z <= -base:
		return 0
	case z < -top:
		return float64((z+base)*(z+base)) / (8 * t.a * t.b)
	}
	return 0.5 + z/(2*t.a)
}

// widenedCDF is that of a rectangle of random width below its middle.
func (t *Term) widenedCDF(z float64) float64 {
	d := t.b / t.a
	// In units of the mean half-width: 1 + d is the end, 1 − d that of the flat top.
	m, s := 1+d, -z/t.a
	switch inner := 1 - d; {
	case d == 0: // a rectangle
		return max(0, 0.5+z/(2*t.a))
	case s >= m:
		return 0
	case s < inner: // on the top, linear from ½ in the middle
		return 0.5 - float64((0.5-RandomWidthTail(inner, d))*s)/inner
	}
	return RandomWidthTail(s, d)
}

// RandomWidthTail is the probability beyond s of a rectangle about 0 whose half-width is
// rectangular on 1 ± d, for 1 − d ≤ s ≤ 1 + d = M: (M − s − s·ln(M/s))/(4d) (the integral of
// JCGM 101 6.4.3.2). Near the end, where the three terms cancel, it is the series of
// (M − s)²/(2M) onwards in e = (M − s)/M.
func RandomWidthTail(s, d float64) float64 {
	m := 1 + d
	// s·ln s tends to 0.
	if s <= 0 {
		return m / (4 * d)
	}
	e := (m - s) / m
	// The terms of the exact form cancel like e², the series does not.
	if e < 1e-3 {
		return m * float64(e*e) * (0.5 +
			float64(e*(1.0/6+float64(e*(1.0/12+float64(e/20)))))) / (4 * d)
	}
	return (m - s - float64(s*elementary.Log(m/s))) / (4 * d)
}

// search bisects the quantile function to the last digit of the probability. It need not be
// continuous: at a jump of the quantile function the probability of the jump is the answer.
func (t *Term) search(z float64) float64 {
	low, high := 0.0, 1.0
	for range 60 {
		p := low + (high-low)/2
		if p == 1 {
			break
		}
		if t.value(p) < z {
			low = p
		} else {
			high = p
		}
	}
	return low
}

// ends are those of the support, or where so little is left beyond that it does not count.
func (t *Term) ends() (low, high float64) {
	if t.kind == known {
		return t.value(outside), t.value(1 - outside)
	}
	reach := t.a + t.b
	switch t.kind {
	case normal:
		// Where the normal distribution function leaves the range of float64.
		reach = 38 * t.a
	case student:
		reach = t.a * studentt.Upper(outside, 0.5-outside, t.b)
	case arcsine:
		reach = t.a
	}
	return -reach, reach
}
