// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity

import (
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// A CDF is the cumulative distribution function of the true value as it is known after the
// measurement. [FromBudget] and [FromOutput] return one, [Samples] is one, and so are the
// continuous distributions of gonum's stat/distuv. If it also has a method Survival(x) = 1 −
// CDF(x), small risks keep their digits.
type CDF interface {
	CDF(x float64) float64
}

// Probability returns the conformance probability p_c, that of a true value inside the
// tolerance interval, ends included (JCGM 106 7.2). One limit may be infinite.
func Probability(tolerance uncertainty.Interval, d CDF) (float64, error) {
	below, above, err := outside("Probability", tolerance, d)
	return max(0, 1-below-above), err
}

// SpecificRisk returns the probability 1 − p_c that one item, whose true value has the
// distribution d, is outside the tolerance interval. If the item is accepted it is the specific
// consumer's risk; if it is rejected, the specific producer's risk is p_c (JCGM 106 9.3.2). It
// says nothing of other items: for the share of wrong decisions among all that are measured see
// [GlobalRisk], which needs to know what is produced.
func SpecificRisk(tolerance uncertainty.Interval, d CDF) (float64, error) {
	below, above, err := outside("SpecificRisk", tolerance, d)
	return min(1, below+above), err
}

// outside returns the probabilities below and above the tolerance interval. The
// methods of a distribution of somebody else's may panic.
func outside(op string, tolerance uncertainty.Interval, d CDF) (below, above float64, err error) {
	if err := checkInterval(op, tolerance); err != nil {
		return 0, 0, err
	}
	if d == nil {
		return 0, 0, &Error{Op: "conformity." + op, Name: "distribution",
			Err: unit.Errorf(ErrDomain, "nil; expected what is known of the true value")}
	}
	defer func() {
		if r := recover(); r != nil {
			err = &Error{Op: "conformity." + op, Name: "distribution",
				Err: unit.Errorf(ErrDomain, "%T panics: %v; expected valid parameters", d, r)}
		}
	}()
	if of, known := unitOf(d); known {
		if tolerance, err = stated(op, tolerance, of); err != nil {
			return 0, 0, err
		}
	}
	// An infinite limit has nothing beyond it.
	if !math.IsInf(tolerance.Lower, -1) {
		below = belowOf(d, tolerance.Lower)
	}
	if !math.IsInf(tolerance.Upper, 1) {
		above = aboveOf(d, tolerance.Upper)
	}
	// Distributions of others may answer with anything.
	for _, p := range []float64{below, above} {
		if !(p >= 0 && p <= 1) {
			return 0, 0, &Error{Op: "conformity." + op, Name: "probability", Value: p,
				Err: unit.Errorf(ErrDomain, "%v, given by %T; expected 0 to 1", p, d)}
		}
	}
	return below, above, nil
}

// unitOf returns the unit of the value that has the distribution, where that is known.
func unitOf(d CDF) (string, bool) {
	switch d := d.(type) {
	case student:
		return d.unit, true
	case uncertainty.Output:
		return d.Unit, true
	case *uncertainty.Output:
		return d.Unit, true
	case uncertainty.ResultDistribution:
		return d.Unit(), true
	}
	return "", false
}

// tails is implemented by distributions of this package, which may have steps.
type tails interface {
	below(x float64) float64 // Pr(Y < x)
	above(x float64) float64 // Pr(Y > x)
}

// belowOf and aboveOf prefer what keeps a value on the limit apart, and the digits of small
// tails.
func belowOf(d CDF, x float64) float64 {
	if t, ok := d.(tails); ok {
		return t.below(x)
	}
	return d.CDF(x)
}

// aboveOf takes the digits of a small tail from Survival, where there is one.
func aboveOf(d CDF, x float64) float64 {
	if t, ok := d.(tails); ok {
		return t.above(x)
	}
	if s, ok := d.(interface{ Survival(x float64) float64 }); ok {
		return s.Survival(x)
	}
	return 1 - d.CDF(x)
}

// CapabilityIndex returns the measurement capability index C_m = T/(4u) of a two-sided
// tolerance interval of width T and a standard uncertainty u > 0 (JCGM 106 7.6.3);
// with U = 2u it is T/(2U). For u = 0 it is infinite.
func CapabilityIndex(tolerance uncertainty.Interval, u float64) (float64, error) {
	width, err := twoSided("CapabilityIndex", tolerance)
	if err != nil {
		return 0, err
	}
	if err := notNegative("CapabilityIndex", "u", u); err != nil {
		return 0, err
	}
	// A perfect measurement is capable of anything.
	if u == 0 {
		return math.Inf(1), nil
	}
	return width / 4 / u, nil
}

// twoSided returns the width of a tolerance interval with two finite limits.
func twoSided(op string, tolerance uncertainty.Interval) (float64, error) {
	if err := checkInterval(op, tolerance); err != nil {
		return 0, err
	}
	width := tolerance.Width()
	if math.IsInf(width, 0) {
		return 0, &Error{Op: "conformity." + op, Name: "tolerance interval", Value: width,
			Err: unit.Errorf(ErrInterval, "one-sided; expected two finite limits")}
	}
	return width, nil
}
