// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"errors"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/internal/sumlaw"
	"example.com/ohmwright/uncertainty/unit"
)

// A ResultDistribution is the distribution of a measurand by its budget, where the distributions
// of all inputs are known: their convolution through the linear model. It is symmetric about the
// estimate. Make it with [Budget.Distribution].
type ResultDistribution struct {
	y    float64
	law  *sumlaw.Law // about y; nil: a point
	bell bool        // all laws are normal
	unit string
}

// Unit returns the unit of the measurand, empty where the budget states none.
func (d ResultDistribution) Unit() string { return d.unit }

// Distribution returns the distribution of the measurand, and reports whether it is known
// from the laws of the inputs: each of them normal or of a finite support of this package,
// with infinite degrees of freedom, in a model that its slopes describe (no
// [ErrFirstOrder]). Where it is not, y ± k·u with Student's factor is the best that the
// budget knows.
func (b *Budget) Distribution() (d ResultDistribution, known bool) {
	// With terms of second order, or finite degrees of freedom, the laws are not all that counts.
	if b == nil || b.Higher != nil || !math.IsInf(b.DOF, 1) || b.StandardUncertainty == 0 ||
		len(b.shape) == 0 {
		return d, false
	}
	d = ResultDistribution{y: b.Estimate, bell: true, unit: b.Unit}
	for _, p := range b.shape {
		if !p.bounded() && !p.isNormal() {
			return ResultDistribution{}, false
		}
		d.bell = d.bell && !p.bounded()
	}
	// The convolution is that of a straight model.
	if slices.ContainsFunc(b.Warnings,
		func(err error) bool { return errors.Is(err, ErrFirstOrder) }) {
		return ResultDistribution{}, false
	}
	if d.law, known = b.linearLaw(); !known {
		return ResultDistribution{}, false
	}
	return d, true
}

// isNormal reports whether the part is normal: an input of its own with that law, or a member of a
// group whose joint law is normal, not t, and which therefore has no law of its own here.
func (p shape) isNormal() bool {
	if p.s.group != nil {
		return p.s.dist == nil
	}
	l, own := p.s.dist.(law)
	return own && l.kind == normal
}

// CDF returns the probability of a value up to x, in the unit of the measurand.
func (d ResultDistribution) CDF(x float64) float64 {
	x -= d.y
	switch {
	// NaN first: every comparison with it is false.
	case math.IsNaN(x):
		return x
	case d.law != nil:
		return d.law.CDF(x)
	case x < 0:
		return 0
	}
	return 1
}

// Survival returns the probability of a value above x; small ones keep their digits.
func (d ResultDistribution) Survival(x float64) float64 {
	if d.law == nil {
		return 1 - d.CDF(x)
	}
	return d.law.Survival(x - d.y)
}

// UpperLimit returns the value that the measurand does not exceed with probability p,
// 0.5 ≤ p < 1: y + k·u with [OneSidedFactor], or by the laws of the inputs where they are
// known (see [Budget.BestInterval]). It is the end of the symmetric interval of probability
// 2p − 1.
func (b *Budget) UpperLimit(p float64) (float64, error) {
	half, err := b.oneSided("UpperLimit", p)
	if err != nil {
		return 0, err
	}
	return b.Estimate + half, nil
}

// LowerLimit returns the value that the measurand does not fall below with probability p, as
// [Budget.UpperLimit] does above.
func (b *Budget) LowerLimit(p float64) (float64, error) {
	half, err := b.oneSided("LowerLimit", p)
	if err != nil {
		return 0, err
	}
	return b.Estimate - half, nil
}

// oneSided is the distance of the limit from the estimate.
func (b *Budget) oneSided(op string, p float64) (float64, error) {
	switch {
	case b == nil:
		return 0, &Error{Op: "uncertainty.Budget." + op, Err: unit.Errorf(ErrNoQuantity,
			"budget is nil; expected the result of Evaluate")}
	case !(p >= 0.5 && p < 1):
		return 0, refusal("Budget."+op, p, ErrDomain,
			"probability is %v; expected 0.5 or more and less than 1", p)
	// The median of a symmetric distribution is the estimate.
	case p == 0.5:
		return 0, nil
	}
	// One side of probability p leaves 1 − p above: the interval leaves that on both sides.
	i, err := b.BestInterval(2*p - 1)
	return i.Width() / 2, err
}

// BestInterval returns the coverage interval at the coverage probability p, 0 < p < 1, by
// the best that is known: the convolution of the laws of the inputs where these are known
// (see [Budget.Distribution]), else y ± k·u.
func (b *Budget) BestInterval(p float64) (Interval, error) {
	if b == nil {
		return Interval{}, &Error{Op: "uncertainty.Budget.BestInterval",
			Err: unit.Errorf(ErrNoQuantity, "budget is nil; expected the result of Evaluate")}
	}
	// Where all laws are normal so is the result, and k·u is exact.
	if d, known := b.Distribution(); known && !d.bell {
		if err := probability(p); err != nil {
			return Interval{}, refused("uncertainty.Budget.BestInterval", "", err)
		}
		h := d.law.Quantile(0.5 + p/2)
		return Interval{b.Estimate - h, b.Estimate + h, b.Unit}, nil
	}
	e, err := b.ExpandedAt(p)
	return e.Interval, err
}
