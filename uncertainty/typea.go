// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty/unit"
)

// TypeA returns the distribution that follows from n ≥ 2 independent observations under
// repeatability conditions: estimate x̄, standard uncertainty s/√n with the experimental standard
// deviation s (divisor n−1), degrees of freedom n−1 (GUM 4.2). By Monte Carlo it is the
// t-distribution of JCGM 101 6.4.9.2.
//
// Two or three observations determine s poorly: the evaluation warns ([ErrFewObservations]); use
// [TypeAPooled] where earlier series allow it.
func TypeA(observations ...float64) Distribution {
	mean, s, err := meanStdDev("TypeA", observations)
	n := len(observations)
	if err != nil {
		return law{cause: err}
	}
	l := bell(student, mean, s/math.Sqrt(float64(n)), float64(n-1), nil) // GUM 4.2.3: s²(q̄) = s²/n
	l.n = n
	return l
}

// TypeAPooled returns what n ≥ 1 observations say when the standard deviation of
// one observation is known better from earlier series: the pooled s ≥ 0 with dof > 0
// degrees of freedom (GUM 4.2.4). The estimate is x̄, the standard uncertainty s/√n:
// the division is done here.
func TypeAPooled(s, dof float64, observations ...float64) Distribution {
	n := len(observations)
	err := firstRefusal("TypeAPooled", width("pooled standard deviation", s), freedom(dof))
	if err == nil && n == 0 {
		err = &Error{Op: "uncertainty.TypeAPooled", Err: unit.Errorf(ErrObservations,
			"0 observations; expected 1 or more")}
	}
	if err != nil {
		return law{cause: err}
	}
	// The observations give the mean only; the scatter is that of the earlier series.
	mean, err := mean("TypeAPooled", observations)
	l := bell(student, mean, s/math.Sqrt(float64(n)), dof, err)
	l.n = n
	return l
}

// MeanStdDev returns the arithmetic mean and the experimental standard deviation s
// (divisor n−1) of n ≥ 2 observations, in their unit (GUM 4.2.1 and 4.2.2), by two
// compensated passes that keep full precision for values that differ only in their last
// digits. Fewer observations ([ErrObservations]) and values that are not finite
// ([ErrNotFinite]) are refused.
func MeanStdDev(observations []float64) (mean, s float64, err error) {
	return meanStdDev("MeanStdDev", observations)
}

// meanStdDev is [MeanStdDev] for a function that errors name.
func meanStdDev(op string, x []float64) (m, s float64, err error) {
	if len(x) < 2 {
		return 0, 0, &Error{Op: "uncertainty." + op, Value: float64(len(x)),
			Err: unit.Errorf(ErrObservations, "%s; expected 2 or more",
				unit.Counted(len(x), "observation", "observations"))}
	}
	m, err = mean(op, x)
	if err != nil {
		return 0, 0, err
	}
	// Deviations from the rounded mean do not sum to 0: the second term takes the
	// difference out (Chan, Golub, LeVeque 1983, eq. 1.7).
	// Compensated sums: squares of deviations lose digits where a few are much larger.
	var squares, rest compensated
	for _, v := range x {
		d := v - m
		squares.add(float64(d * d))
		rest.add(d)
	}
	// What is left of the sum of deviations, times itself over n, is in the sum of squares too
	// much.
	n, r := float64(len(x)), rest.sum+rest.lost
	s = math.Sqrt(max(0, squares.sum+squares.lost-float64(r*r)/n) / (n - 1))
	if err := number("standard deviation", s); err != nil {
		return 0, 0, refused("uncertainty."+op, "", err)
	}
	return m, s, nil
}

// compensated is a sum with the digits that it lost (Neumaier 1974).
type compensated struct{ sum, lost float64 }

// add keeps what the sum of two numbers rounds away.
func (c *compensated) add(v float64) {
	t := c.sum + v
	// The lost part is that of the smaller of the two.
	if math.Abs(c.sum) >= math.Abs(v) {
		c.lost += (c.sum - t) + v
	} else {
		c.lost += (v - t) + c.sum
	}
	c.sum = t
}

// mean is correctly rounded but for rare ties: the division is compensated too.
func mean(op string, x []float64) (float64, error) {
	var c compensated
	for i, v := range x {
		if err := number(fmt.Sprintf("observation %d", i+1), v); err != nil {
			return 0, refused("uncertainty."+op, "", err)
		}
		c.add(v)
	}
	n := float64(len(x))
	m := c.sum / n
	// The remainder of the division, exact by a fused multiplication, which here is asked for by
	// name.
	m += (math.FMA(-m, n, c.sum) + c.lost) / n // what the division and the sum left
	if err := number("mean", m); err != nil {
		return 0, refused("uncertainty."+op, "", err)
	}
	return m, nil
}
