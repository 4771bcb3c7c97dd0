// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"errors"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

// A ResultDistribution is what a budget says of the measurand where the laws of all inputs
// are known: their convolution through the linear model. It is symmetric about the
// estimate. Make it with [Budget.Distribution].
type ResultDistribution struct {
	y    float64
	law  law     // of the only input that counts, or
	c    float64 // its coefficient; 0: the mixture
	m    mixture
	most float64 // certain bound, may be infinite
}

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
	for _, p := range b.shape {
		l, own := p.s.dist.(law)
		// Members of a group whose law is normal (not t) add up to a normal part.
		jointNormal := p.s.group != nil && p.s.dist == nil
		if !jointNormal && !p.bounded() && (!own || l.kind != normal || p.s.group != nil) {
			return d, false
		}
	}
	// The convolution is that of a straight model.
	if slices.ContainsFunc(b.Warnings,
		func(err error) bool { return errors.Is(err, ErrFirstOrder) }) {
		return d, false
	}
	wide, sigma, err := b.split()
	if err != nil {
		return d, false
	}
	d = ResultDistribution{y: b.Estimate, most: b.certain()}
	// One law alone: its own distribution function is exact.
	if len(wide) == 1 && sigma == 0 {
		d.law, d.c = wide[0].s.dist.(law), math.Abs(wide[0].c)
		return d, true
	}
	d.m = mix(wide, sigma, fine)
	return d, true
}

// CDF returns the probability of a value up to x, in the unit of the measurand.
func (d ResultDistribution) CDF(x float64) float64 {
	switch x -= d.y; {
	// NaN first: every comparison with it is false.
	case math.IsNaN(x):
		return x
	case x <= -d.most:
		return 0
	case x >= d.most:
		return 1
	case d.c != 0:
		return d.law.cdf(x / d.most) // which reaches beyond a where the limits are uncertain
	case len(d.m.mass) == 1: // normal alone: no cells
		return elementary.NormalCDF(x / d.m.sigma)
	// By symmetry, so that upper tails keep as many digits as lower ones.
	case x > 0:
		return 1 - d.m.upTo(-x)
	}
	return d.m.upTo(x)
}

// Survival returns the probability of a value above x; small ones keep their digits.
// Pr(X > x) = Pr(X < 2y − x) by symmetry; 1 − CDF would lose the digits of small ones.
func (d ResultDistribution) Survival(x float64) float64 { return d.CDF(d.y + (d.y - x)) }

// upTo is the distribution function about the middle.
// The sum of the distribution functions of all cells, each by its mass.
func (m mixture) upTo(x float64) float64 {
	mid := len(m.mass) / 2
	var sum float64
	for i, w := range m.mass {
		sum += float64(w * m.below(x-float64(float64(i-mid)*m.cell)))
	}
	return max(0, min(1, sum))
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
	// Where no law is wide the result is normal, and k·u is exact.
	if d, known := b.Distribution(); known && (d.c != 0 || len(d.m.mass) > 1) {
		return b.Convolution(p)
	}
	e, err := b.ExpandedAt(p)
	return e.Interval, err
}
