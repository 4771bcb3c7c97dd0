// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Global is the outcome of a decision rule for all items that are measured, as
// probabilities for one item drawn at random, before it is measured (JCGM 106 9.4,
// 9.5).
type Global struct {
	Consumer   float64 // R_C, of an item that is accepted and does not conform
	Producer   float64 // R_P, of an item that is rejected and conforms
	Conforming float64 // of an item that conforms
	Accepted   float64 // of an item that is accepted
}

// ConformingAmongAccepted returns the share of the accepted items that conform; 0 where
// none is accepted.
func (g Global) ConformingAmongAccepted() float64 {
	// Written so that NaN counts as none.
	if !(g.Accepted > 0) {
		return 0
	}
	return 1 - g.Consumer/g.Accepted
}

// ConformingAmongRejected returns the share of the rejected items that conform; 0 where
// none is rejected.
func (g Global) ConformingAmongRejected() float64 {
	if !(g.Accepted < 1) {
		return 0
	}
	return g.Producer / (1 - g.Accepted)
}

// GlobalRisk returns the global consumer's and producer's risks (JCGM 106 9.5.2, eqs.
// 19 and 20). The prior is what is known of an item before it is measured: the
// distribution of what is produced or sent in. There is no default, since the risks
// depend on it as much as on the meter. The measured value is normally distributed
// about the true one with standard uncertainty u ≥ 0; an item is accepted if it lies in
// the acceptance interval. Limits may be infinite on one side. Where both intervals state a unit
// the acceptance is brought to that of the tolerance; prior and u are in it.
//
// Global risks cannot be compared with [SpecificRisk]: most items lie far from the
// limits, so that a global risk of 1 % goes with specific risks of tens of per cent for
// single items near a limit.
func GlobalRisk(tolerance, acceptance uncertainty.Interval, prior uncertainty.Distribution,
	u float64) (Global, error) {
	if err := checkInterval("GlobalRisk", tolerance); err != nil {
		return Global{}, err
	}
	if err := checkInterval("GlobalRisk", acceptance); err != nil {
		return Global{}, fmt.Errorf("acceptance: %w", err)
	}
	if tolerance.Unit != "" {
		var err error
		if acceptance, err = stated("GlobalRisk", acceptance, tolerance.Unit); err != nil {
			return Global{}, fmt.Errorf("acceptance: %w", err)
		}
	}
	p, err := newProduction("GlobalRisk", prior, u)
	if err != nil {
		return Global{}, err
	}
	return p.risk(tolerance, acceptance).checked("GlobalRisk", u)
}

// checked refuses figures that are no probabilities: a prior so wide or so narrow that its
// integrals are lost, or one of somebody else's that is none.
func (g Global) checked(op string, u float64) (Global, error) {
	// What quadrature and quantile leave behind, far above it.
	const rounding = 1e-9
	for _, p := range [...]float64{g.Consumer, g.Producer, g.Conforming, g.Accepted} {
		if !(p >= -rounding && p <= 1+rounding) {
			return Global{}, &Error{Op: "conformity." + op, Name: "prior", Value: p,
				Err: unit.Errorf(ErrDomain,
					"a risk comes out as %v, with u = %v; expected a prior and an uncertainty of "+
						"comparable size", p, u)}
		}
	}
	return g, nil
}

// production is the prior of the items with the measuring system.
type production struct {
	prior uncertainty.Distribution // of the true values
	u     float64                  // of the measurement, normally distributed
}

// newProduction checks the prior and the uncertainty.
func newProduction(op string, prior uncertainty.Distribution, u float64) (*production, error) {
	// The package of quantities probes a distribution before it takes it.
	if err := uncertainty.Input("prior", prior).Err(); err != nil {
		return nil, &Error{Op: "conformity." + op, Name: "prior",
			Err: unit.Errorf(errors.Join(ErrDomain, err), "%v", err)}
	}
	return &production{prior, u}, notNegative(op, "u", u)
}

// risk integrates both risks over the probability of the prior, so that a prior without a
// density serves too.
func (p *production) risk(tolerance, acceptance uncertainty.Interval) Global {
	low := p.share(func(x float64) bool { return x < tolerance.Lower })
	high := p.share(func(x float64) bool { return x <= tolerance.Upper })
	edges := p.edges(acceptance, low, high)
	var g Global
	// Between two edges the items are all conforming or all not: one integrand for each.
	for i, from := range edges[:len(edges)-1] {
		to := edges[i+1]
		if from >= low && to <= high {
			// JCGM 106 eq. 20: conforming and rejected
			g.Producer += p.integrate(from, to,
				func(x float64) float64 { return p.rejected(acceptance, x) })
		} else {
			// JCGM 106 eq. 19: not conforming and accepted
			g.Consumer += p.integrate(from, to,
				func(x float64) float64 { return p.accepted(acceptance, x) })
		}
	}
	g.Conforming = high - low
	// Accepted are those that conform and are not rejected, and the wrongly accepted.
	g.Accepted = g.Conforming - g.Producer + g.Consumer
	return g
}

// accepted returns the probability that an item of true value x is measured inside the
// acceptance interval.
func (p *production) accepted(a uncertainty.Interval, x float64) float64 {
	s := student{x, p.u, math.Inf(1), ""}
	if x > a.Lower/2+a.Upper/2 { // the smaller tails keep their digits
		// Both ends of the interval are accepted.
		return max(0, s.below(math.Nextafter(a.Upper, math.Inf(1)))-s.below(a.Lower))
	}
	return max(0, s.above(math.Nextafter(a.Lower, math.Inf(-1)))-s.above(a.Upper))
}

// rejected is the complement of accepted, of which small values keep their digits.
func (p *production) rejected(a uncertainty.Interval, x float64) float64 {
	s := student{x, p.u, math.Inf(1), ""}
	return s.below(a.Lower) + s.above(a.Upper)
}

// share returns the probability of the items that come first, in the order of their
// values, and fulfil the condition.
func (p *production) share(fulfils func(x float64) bool) float64 {
	low, high := 0.0, 1.0
	// Halving of the probability: 64 steps reach the last bit of any quantile.
	for range 64 {
		middle := low + (high-low)/2
		if middle <= 0 || middle >= 1 {
			break
		}
		if fulfils(p.prior.Quantile(middle)) {
			low = middle
		} else {
			high = middle
		}
	}
	// The condition fails already at the lowest quantile that was asked for.
	if low == 0 {
		return 0
	}
	return high
}

// edges divides the probability of the prior, 0 to 1, where the integrands bend: at the
// tolerance limits, along the blurred edges of acceptance, and by decades in the tails
// of the prior.
func (p *production) edges(acceptance uncertainty.Interval, low, high float64) []float64 {
	// The quartiles, so that no piece is wide.
	edges := []float64{0, low, high, 1, 0.25, 0.5, 0.75}
	// By decades, since a normal quantile bends like the root of a logarithm there.
	for tail := 0.1; tail > 1e-15; tail /= 10 {
		edges = append(edges, tail, 1-tail)
	}
	for _, limit := range []float64{acceptance.Lower, acceptance.Upper} {
		if math.IsInf(limit, 0) {
			continue
		}
		// Nine standard uncertainties to both sides, in steps of one: outside, acceptance is
		// certain.
		for k := -9.0; k <= 9; k++ {
			at := limit + float64(k*p.u)
			edges = append(edges, p.share(func(x float64) bool { return x <= at }))
		}
	}
	slices.Sort(edges)
	return slices.Compact(edges)
}

// integrate returns ∫ f(Q(p)) dp with the quantile Q of the prior.
func (p *production) integrate(from, to float64, f func(x float64) float64) float64 {
	// Nothing lies between neighbouring edges.
	if to-from < 1e-15 {
		return 0
	}
	const last = 1 - 0x1p-53 // quantiles are for 0 < p < 1
	// Sixteen points in each of some sixty pieces: the risks agree with those of JCGM 106.
	return quad.Fixed(func(q float64) float64 {
		return f(p.prior.Quantile(min(q, last)))
	}, from, to, 16, quad.Legendre{}, 0)
}
