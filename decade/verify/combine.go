// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"math"

	"example.com/ohmwright/uncertainty"
)

// This file adds results by their budgets. The contribution of a source to Σ f_k·x_k is
// Σ f_k·c_k, with c_k its contribution to x_k, so that nothing has to be derived again: to first
// order the outcome is that of uncertainty.Evaluate, for the cost of one pass over the budgets.
// A report asks for such a mean of all steps of a box, of each range and of each dial. What is not
// linear, and covariances between sources, are left to Evaluate.

// combination is a linear combination of results that have budgets. All figures have the unit of
// factor·deviation: those of weighSamples are fractions of nominal.
type combination struct {
	estimate, expanded float64                       // expanded at 95 %
	family             [causeTemperature + 1]float64 // variance by cause
}

// part is the limit, √3·u, of what belongs to a cause: the half-width of a rectangle of that u
// (GUM 4.3.7), to be compared with limits that are stated.
func (m *combination) part(of cause) float64 { return math.Sqrt(3 * m.family[of]) }

// sourceOf is an input of a combination, with its contribution to it: signed, so that a source
// that enters two samples with opposite signs cancels.
type sourceOf struct {
	family       cause
	dof          float64
	pool         string
	contribution float64
}

// combine returns Σ factor·deviation of samples, factors and samples in one order. Inputs are one
// where name and ID are. The error is that of a coverage factor, for degrees of freedom that no
// budget has.
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

// effectiveFreedom is the effective number of degrees of freedom (GUM eq. G.2b),
//
//	1/ν = Σ (u_i²/u²)²/ν_i
//
// with what rests on one pooled standard deviation as one component. The formula supposes
// estimates u_i² that are independent; of two that are one estimate s² the variances add before
// they are squared: 2·u_1²·u_2² more, and fewer degrees of freedom.
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
	return 1 / sum // all infinite: 1/0, which is infinite too
}

// combineAnew is combine where inputs are correlated or budgets are not kept (of more than mostKept
// readings), by the quantities themselves.
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
