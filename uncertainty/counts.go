// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/mathext"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

// Exponential returns the exponential distribution with expectation x > 0, for a
// quantity that cannot be negative and of which x alone is known: u = x
// (JCGM 101 6.4.10). It begins at 0 and is skewed, so that y ± U says little where it
// dominates: use Monte Carlo.
func Exponential(x float64) Distribution {
	return law{kind: exponential, x: x, a: x, u: x, dof: math.Inf(1),
		cause: firstRefusal("Exponential", positive("estimate", x))}
}

// Counts returns what a count of n ≥ 0 objects or events in one observation says
// about the expected number: the gamma distribution with shape n + 1, whose estimate
// and variance are both n + 1 (JCGM 101 6.4.11).
func Counts(n int) Distribution {
	var err error
	if n < 0 {
		err = &Error{Op: "uncertainty.Counts", Value: float64(n),
			Err: unit.Errorf(ErrDomain, "count is %d; expected 0 or more", n)}
	}
	// JCGM 101 6.4.11: with a constant prior, the posterior of the expected number.
	shape := float64(n) + 1
	u := math.Sqrt(shape)
	return law{kind: gamma, x: shape, a: u, u: u, dof: math.Inf(1), cause: err}
}

// gammaQuantile is the quantile of the gamma distribution of unit scale at 0 < p < 1. The shape is
// 1 or more.
func gammaQuantile(shape, p float64) float64 {
	// No count, shape 1, is the exponential distribution e^(−x), which needs no iteration.
	if shape == 1 {
		return -elementary.Log1p(-p)
	}
	return mathext.GammaIncRegInv(shape, p)
}
