// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import "math"

// polynomial holds the coefficients of 1, x, x² …
type polynomial []float64

// evaluate returns the value and the derivative at x, by the scheme of Horner.
func (p polynomial) evaluate(x float64) (value, slope float64) {
	for i := len(p) - 1; i >= 0; i-- {
		slope = float64(slope*x) + value
		value = float64(value*x) + p[i]
	}
	return value, slope
}

// piece is a polynomial from the abscissa from upward.
type piece struct {
	from float64
	polynomial
}

// curve is a rising function made of polynomials one after the other, from low
// to high.
type curve struct {
	name      string
	low, high float64
	pieces    []piece // ascending; the first from low
	bad       error   // why the curve cannot be used
}

// evaluate returns value and slope at x. Outside low to high it continues the outermost
// polynomials, for trials of a Monte Carlo run near the ends.
func (c *curve) evaluate(x float64) (value, slope float64) {
	i := len(c.pieces) - 1
	for i > 0 && x < c.pieces[i].from {
		i--
	}
	return c.pieces[i].evaluate(x)
}

// inverse returns the x of the value y, to the given tolerance. Outside the
// curve's range it continues as a straight line.
func (c *curve) inverse(y, tolerance float64) float64 {
	for _, end := range []float64{c.low, c.high} {
		v, s := c.evaluate(end)
		if (end == c.low && y <= v) || (end == c.high && y >= v) {
			// The tangent, so that a trial of a Monte Carlo run just outside still has an
			// answer.
			return end + (y-v)/s
		}
	}
	return risingZero(func(x float64) (float64, float64) {
		v, s := c.evaluate(x)
		return v - y, s
	}, c.low, c.high, tolerance)
}

// mostSteps bounds Newton's method: bisection alone would need about 60 from any bracket.
const mostSteps = 200

// risingZero returns the zero between lo and hi of a function that is below 0 at lo
// and above it at hi: Newton's method, held inside a bracket that shrinks at
// each step. The tolerance is for the last step; the error left is its square.
func risingZero(f func(x float64) (value, slope float64), lo, hi, tolerance float64) float64 {
	x := lo + (hi-lo)/2
	for range mostSteps {
		v, s := f(x)
		if v < 0 {
			lo = x
		} else {
			hi = x
		}
		next := x - v/s
		// A step that leaves the bracket, or is NaN where the slope is 0, is replaced by
		// bisection.
		if !(next >= lo && next <= hi) {
			next = lo + (hi-lo)/2
		}
		if math.Abs(next-x) <= tolerance {
			return next
		}
		x = next
	}
	return x
}
