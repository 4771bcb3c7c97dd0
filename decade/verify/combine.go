// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"math"

	"example.com/ohmwright/uncertainty"
)

// combination is a linear combination of results that have budgets: what Evaluate says of it to
// first order, at a part of the cost, since the budgets have the derivatives already.
type combination struct {
	estimate, expanded float64 // at 95 %
	family             [causeTemperature + 1]float64
}

// part is the limit, √3·u, of what belongs to a cause.
func (m *combination) part(of cause) float64 { return math.Sqrt(3 * m.family[of]) }

// sourceOf is an input of a combination, with its contribution to it.
type sourceOf struct {
	family       cause
	dof          float64
	pool         string
	contribution float64
}

// combine returns Σ factor·deviation of samples.
func combine(factors []float64, samples []sample) (m combination, err error) {
	type key struct{ name, id string }
	place := make(map[key]int)
	var list []sourceOf
	for k, s := range samples {
		m.estimate += float64(factors[k] * s.deviation.Estimate())
		if s.budget == nil {
			return combineAnew(factors, samples)
		}
		for i := range s.budget.Components {
			c := &s.budget.Components[i]
			if c.Joint { // covariances are not in the components
				return combineAnew(factors, samples)
			}
			at, ok := place[key{c.Name, c.ID}]
			if !ok {
				at = len(list)
				place[key{c.Name, c.ID}] = at
				list = append(list, sourceOf{family: familyOf(c.Name), dof: c.DOF, pool: c.Pool})
			}
			// An input that two samples share enters once, with the sum of its contributions
			// (GUM 5.1.2 with F.1.2.3).
			list[at].contribution += float64(factors[k] * c.Contribution)
		}
	}
	// GUM 5.1.2, equation 10: what is left are independent inputs.
	variance := 0.0
	for _, x := range list {
		m.family[x.family] += square(x.contribution)
		variance += square(x.contribution)
	}
	// GUM G.4.1: t for the effective degrees of freedom.
	t, err := uncertainty.CoverageFactor(0.95, effectiveFreedom(list, variance))
	m.expanded = t * math.Sqrt(variance)
	return m, err
}

// effectiveFreedom is the effective number of degrees of freedom (GUM eq. G.2b), with what rests
// on one pooled standard deviation as one component.
func effectiveFreedom(list []sourceOf, variance float64) float64 {
	if variance == 0 {
		return math.Inf(1)
	}
	type pooled struct {
		name string
		dof  float64
	}
	pools := make(map[pooled]float64)
	var order []pooled // one order of the sum: the same bits each time
	sum := 0.0
	for _, x := range list {
		share := square(x.contribution) / variance
		if x.pool == "" {
			sum += square(share) / x.dof
			continue
		}
		p := pooled{x.pool, x.dof}
		if _, ok := pools[p]; !ok {
			order = append(order, p)
		}
		pools[p] += share
	}
	for _, p := range order {
		sum += square(pools[p]) / p.dof
	}
	return 1 / sum // infinite where all are
}

// combineAnew is combine where inputs are correlated or budgets are not kept.
func combineAnew(factors []float64, samples []sample) (m combination, err error) {
	qs := make([]uncertainty.Quantity, len(samples))
	for i, s := range samples {
		qs[i] = s.deviation
	}
	b, err := uncertainty.Evaluate(uncertainty.Linear(0, factors, qs))
	if err != nil {
		return m, err
	}
	m.estimate, m.expanded = b.Estimate, b.Expanded.U
	for i := range b.Components {
		c := &b.Components[i]
		m.family[familyOf(c.Name)] += square(c.Contribution)
	}
	return m, nil
}
