// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"example.com/ohmwright/uncertainty/internal/studentt"
	"example.com/ohmwright/uncertainty/unit"
)

// CoverageFactor returns the two-sided coverage factor t_p(dof) of Student's
// distribution, the k with
//
//	Pr(-k < t < k) = p
//
// for the coverage probability p in (0, 1) and dof degrees of freedom in (0, +Inf]
// (JCGM 100:2008, G.3.2 and Table G.2). With dof = +Inf it is the factor of the
// normal distribution, 1.960 for p = 0.95. Degrees of freedom need not be whole
// (JCGM 100:2008, G.4.1).
//
// The relative error is below 2e-14 for dof ≥ 1 and all p, and below
// 2e-14/dof under one degree of freedom. A p or dof that is NaN or outside its
// range, and a k beyond the range of float64 (which needs dof < 1), are refused with
// an [*Error] that wraps [ErrNotFinite] or [ErrDomain].
func CoverageFactor(p, dof float64) (float64, error) {
	switch {
	case math.IsNaN(p) || math.IsInf(p, 0):
		return 0, refusedFactor("p", p, ErrNotFinite,
			"expected a coverage probability between 0 and 1, such as 0.95")
	case !(p > 0 && p < 1):
		return 0, refusedFactor("p", p, ErrDomain,
			"expected a coverage probability between 0 and 1, such as 0.95")
	case math.IsNaN(dof):
		return 0, refusedFactor("dof", dof, ErrNotFinite,
			"expected degrees of freedom above 0; +Inf is allowed")
	case !(dof > 0):
		return 0, refusedFactor("dof", dof, ErrDomain,
			"expected degrees of freedom above 0; +Inf is allowed")
	}
	// Of two tails together, so that p close to 1 keeps its digits.
	k := studentt.Factor(p, dof)
	if math.IsInf(k, 1) {
		return 0, refusedFactor("dof", dof, ErrDomain,
			"the factor for p = "+format(p)+" is beyond float64; expected more degrees of freedom")
	}
	return k, nil
}

// OneSidedFactor returns the factor k of a one-sided statement, the k with
//
//	Pr(t < k) = p
//
// of Student's distribution with dof degrees of freedom in (0, +Inf], 0.5 ≤ p < 1: 1.645 for
// p = 0.95 and infinite dof, where [CoverageFactor] gives 1.960. It is for a quantity that
// has one limit only (JCGM 106 table 1).
func OneSidedFactor(p, dof float64) (float64, error) {
	const op = "OneSidedFactor"
	// Below one half the factor is negative, which nobody states.
	if !(p >= 0.5 && p < 1) {
		return 0, refusal(op, p, ErrDomain, "probability is %v; expected 0.5 or more and less "+
			"than 1", p)
	}
	if err := firstRefusal(op, freedom(dof)); err != nil {
		return 0, err
	}
	k := studentt.Quantile(p, dof)
	if math.IsInf(k, 1) {
		return 0, refusal(op, dof, ErrDomain, "the factor for p = %v is beyond float64; expected "+
			"more degrees of freedom", p)
	}
	return k, nil
}

// refusedFactor is the refusal of an argument of [CoverageFactor].
func refusedFactor(name string, v float64, sentinel error, expected string) error {
	return &Error{Op: "uncertainty.CoverageFactor", Name: name, Value: v,
		Err: unit.Errorf(sentinel, "%v; %s", v, expected)}
}
