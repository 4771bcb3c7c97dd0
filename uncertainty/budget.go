// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"errors"
	"math"
	"slices"
	"strings"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/internal/sumlaw"
	"example.com/ohmwright/uncertainty/unit"
)

// A Budget is the statement of a measurement result with everything that went into
// it (GUM 7.2.7). Print it, or use WriteText, WriteMarkdown, WriteCSV or json.Marshal.
type Budget struct {
	Name                string  // name of the measurand, if it has one
	Unit                string  // of the measurand, if the inputs state one and the model keeps it
	Estimate            float64 // y, in Unit
	StandardUncertainty float64 // u_c(y), combined standard uncertainty, ≥ 0, in Unit
	DOF                 float64 // ν_eff, effective degrees of freedom, may be infinite

	Expanded     Expanded      // at a coverage probability of 95 %
	Components   []Component   // every input below y, in order of first appearance
	Correlations []Correlation // of the inputs, where not 0
	Higher       *HigherOrder  // terms of second order, from SecondOrder only
	Warnings     []error

	shape    []shape       // laws and coefficients, for Convolution
	joint    []sumlaw.Term // the parts of correlated inputs
	relative bool          // texts state uncertainties relative to the estimates, see Relative
}

// A Component is one row of a budget: an input and its contribution.
type Component struct {
	Name, ID, Unit, Note string
	Distribution         string
	Type                 EvaluationType
	Estimate             float64 // x, in Unit
	StandardUncertainty  float64 // u(x), in Unit
	DOF                  float64 // of u(x), may be infinite
	Sensitivity          float64 // c = ∂y/∂x
	Contribution         float64 // c·u(x), signed, in the unit of the measurand

	// Share is the part of the variance of y that is this input's own, (c·u(x))²/u². With
	// those of the correlations the shares add up to 1; with terms of second order, to the
	// part that is of first order.
	Share float64
	Joint bool // known together with other inputs

	// Pool names the pooled standard deviation that u(x) rests on, as Source.Pool does: those of
	// one pool and DOF count once in the effective degrees of freedom. Empty: none.
	Pool string
}

// A Correlation is the correlation coefficient of two input quantities.
type Correlation struct {
	A string  `json:"a"` // names of the inputs
	B string  `json:"b"`
	R float64 `json:"r"` // −1 to 1

	// Share is the part of the variance of y that is the covariance of the two,
	// 2·R·(c·u)_A·(c·u)_B/u²; it may be negative, and then makes room for shares above 1.
	Share float64 `json:"shareOfVariance"`
}

// An Interval is the range between two values, both included, in the unit of the quantity. One of
// them may be infinite where a limit is one-sided.
type Interval struct {
	Lower float64 `json:"lower"`
	Upper float64 `json:"upper"`

	// Unit is that of both ends. Intervals that evaluations return state the unit of the
	// measurand. Where it is empty, as in limits that a program gives, they are in the unit of what
	// they are compared with. JSON leaves it to the object around the interval.
	Unit string `json:"-"`
}

// Width returns Upper − Lower. Of an interval y ± U it is 2·U.
func (i Interval) Width() float64 { return i.Upper - i.Lower }

// Contains reports whether x lies in the interval, ends included. NaN does not.
func (i Interval) Contains(x float64) bool { return x >= i.Lower && x <= i.Upper }

// Expanded is an expanded uncertainty U = K·u_c(y) with its coverage probability P
// and the interval y ± U, both in the unit of the measurand (GUM clause 6).
type Expanded struct {
	P, K, U  float64 // coverage probability, coverage factor, expanded uncertainty
	Interval         // y − U to y + U
}

// ExpandedAt returns the expanded uncertainty at coverage probability p,
// 0 < p < 1: the coverage factor is t_p(ν_eff) of Student's distribution
// (GUM G.3.2), for degrees of freedom that are not whole and up to infinity. Pass
// [P2] for the probability that goes with k = 2 under a normal distribution.
func (b *Budget) ExpandedAt(p float64) (Expanded, error) {
	if b == nil {
		return Expanded{}, &Error{Op: "uncertainty.Budget.ExpandedAt",
			Err: unit.Errorf(ErrNoQuantity, "budget is nil; expected the result of Evaluate")}
	}
	if err := probability(p); err != nil {
		return Expanded{}, refused("uncertainty.Budget.ExpandedAt", "", err)
	}
	k, err := CoverageFactor(p, b.DOF)
	if err != nil {
		return Expanded{}, err
	}
	U := float64(k * b.StandardUncertainty)
	return Expanded{P: p, K: k, U: U, Interval: Interval{b.Estimate - U, b.Estimate + U,
		b.Unit}}, nil
}

// AtCoverage returns the budget with its expanded uncertainty, and what it warns of it, at
// another coverage probability than 95 %, 0 < p < 1: [P2] for the one that goes with k = 2.
func (b *Budget) AtCoverage(p float64) (*Budget, error) {
	e, err := b.ExpandedAt(p)
	if err != nil {
		return nil, err
	}
	// The copy shares components and correlations, which nobody may change.
	at := *b
	at.Expanded = e
	// These two judge the expanded uncertainty and may not hold at another probability: 1.96·u of a
	// rectangle exceeds its bound, 1·u at 68 % does not.
	at.Warnings = slices.DeleteFunc(slices.Clone(b.Warnings), func(err error) bool {
		return errors.Is(err, ErrNotNormal) || errors.Is(err, ErrExceedsBounds)
	})
	at.Warnings = append(at.Warnings, at.coverageFindings()...)
	return &at, nil
}

// P2 is the coverage probability of a normal distribution within ±2 standard
// deviations, 0.9545 (GUM table G.1): laboratories state it as "k = 2".
const P2 = 0.954499736103641585599434725666933125

// budget puts together what the passes over the model found; c and reached are by input. It needs
// the backward pass of y to be the last one that the model made, since the findings read its
// adjoints. The errors are those of numbers: a variance or a coverage factor beyond float64.
func (m *model) budget(y Quantity, c []float64, reached []bool) (*Budget, error) {
	b := &Budget{Name: y.Name(), Unit: m.unit(y.n), Estimate: y.Estimate()}
	b.StandardUncertainty = m.standardUncertainty(c)
	if err := m.checkUncertainty(y.n, c, b.StandardUncertainty); err != nil {
		return nil, refused("uncertainty.Evaluate", b.Name, err)
	}
	b.DOF = m.effectiveDOF(c, b.StandardUncertainty)
	var err error
	if b.Expanded, err = b.ExpandedAt(0.95); err != nil {
		return nil, err // far below one degree of freedom t_p overflows
	}
	rows := 0
	for _, r := range reached {
		if r {
			rows++
		}
	}
	b.Components, b.shape = make([]Component, 0, rows), make([]shape, 0, rows)
	for i, s := range m.inputs {
		// An input that cancels has a row with sensitivity 0, one that y does not contain has
		// none.
		if !reached[i] {
			continue
		}
		row := Component{
			Name: s.name, ID: s.id, Unit: s.unit, Note: s.note, Distribution: s.distribution(),
			Type:     s.typ,
			Estimate: s.x, StandardUncertainty: s.u, DOF: s.dof,
			Sensitivity: c[i], Contribution: c[i] * s.u, Joint: s.group != nil, Pool: s.pool,
		}
		if b.StandardUncertainty > 0 {
			row.Share = varianceShare(row.Contribution, row.Contribution, b.StandardUncertainty)
		}
		b.Components = append(b.Components, row)
		// A component without effect has no part in the shape of the distribution.
		if c[i] != 0 && s.u > 0 {
			b.shape = append(b.shape, shape{c: c[i], s: s})
		}
	}
	for _, g := range m.groups {
		if t, _, ok := m.groupTerm(g, c); ok {
			b.joint = append(b.joint, t)
		}
	}
	b.Correlations = m.correlations(c, b.StandardUncertainty, reached)
	b.Warnings = slices.Concat(m.warnings, m.findings(b, m.place(y.n), c, reached))
	return b, nil
}

// varianceShare is the square of a part of the uncertainty u, or the product of two, over u². Of
// an u below 1e-140 the squares underflow: the quotients come first there. Elsewhere they come
// last, so that the share of a single input is exactly 1.
func varianceShare(a, b, u float64) float64 {
	if square := u * u; square > smallestSquare {
		return a * b / square
	}
	return a / u * (b / u)
}

// smallestSquare is a variance from which nothing that matters is lost to underflow: a
// contribution of 1e-14·u has a square of 1e-308 there, where float64 begins to lose digits, and
// does not show in the sum anyway.
const smallestSquare = 1e-280

// standardUncertainty is the root of the variance, also where that is too small for float64
// and the root is not. The parts are added up by Hypot then, which is slower and rounds each step.
func (m *model) standardUncertainty(c []float64) float64 {
	// By far the most models need no more than this.
	variance := m.covariance(c, c)
	if variance > smallestSquare {
		return math.Sqrt(variance)
	}
	// A covariance matrix holds squares already: nothing can be saved there.
	var joint float64
	for _, g := range m.groups {
		joint += m.within(g, c, c)
	}
	u := math.Sqrt(max(0, joint))
	for i, s := range m.inputs {
		// Hypot neither overflows nor underflows in between.
		if s.group == nil {
			u = elementary.Hypot(u, c[i]*s.u)
		}
	}
	return u
}

// effectiveDOF is the Welch–Satterthwaite formula (GUM eq. G.2b) with each group of
// correlated inputs as one component, for sensitivities c and the combined uncertainty u. With
// the shares of variance w_i = (c_i·u_i/u)², which add up to 1, it is
//
//	1/ν_eff = Σ w_i²/ν_i.
//
// Half of the variance from 4 degrees of freedom and the other half known exactly make
// 1/(0.25/4) = 16. Second-order results pass their larger u, so that what it adds counts as known
// exactly.
func (m *model) effectiveDOF(c []float64, u float64) float64 {
	// What has no uncertainty is known exactly.
	if u == 0 {
		return math.Inf(1)
	}
	// The contributions are divided by u first, so that their fourth powers neither overflow nor
	// underflow. A part with infinite degrees of freedom adds 0.
	var sum float64 // 1/ν_eff
	add := func(part, dof float64) {
		sum += float64(part*part) / dof
	}
	var pools []pooled
	for i, s := range m.inputs {
		if s.group != nil {
			continue
		}
		r := c[i] * s.u / u
		// An input of its own pool is one component of the formula.
		if s.pool == "" {
			add(r*r, s.dof)
			continue
		}
		// Inputs that rest on one pooled standard deviation are right or wrong together: their
		// variances add up before they are squared. With another ν stated the estimate is
		// another.
		k := slices.IndexFunc(pools,
			func(p pooled) bool { return p.name == s.pool && p.dof == s.dof })
		if k < 0 {
			k = len(pools)
			pools = append(pools, pooled{name: s.pool, dof: s.dof})
		}
		pools[k].share += float64(r * r)
	}
	for _, p := range pools {
		add(p.share, p.dof)
	}
	for _, g := range m.groups {
		// The variance of a group counts with all of its covariances (GUM G.4.1 asks for
		// independent components, so the group is one).
		add(m.within(g, c, c)/u/u, g.dof)
	}
	// Whole degrees of freedom stay whole: 2.9999999999999996 from four readings would be truncated
	// to 2 by whoever follows GUM G.4.1, and k would be 4.30 in place of 3.18.
	switch dof := 1 / sum; {
	case sum == 0:
		return math.Inf(1)
	case math.Abs(dof-math.Round(dof)) < 1e-12*dof:
		return math.Round(dof)
	default:
		return dof
	}
}

// pooled is the share of the variance of y that rests on one pooled standard deviation, 0 to 1.
// Two sources belong together by the name of the pool and by ν, which they state.
type pooled struct {
	name       string
	dof, share float64
}

// correlations lists the pairs of inputs in y that are correlated, quadratic in the size of a
// group. Pairs of r = 0 are left out, pairs without effect on y (c = 0) are not: the reader of a
// budget must see what was stated.
func (m *model) correlations(c []float64, u float64, reached []bool) []Correlation {
	var out []Correlation
	for _, g := range m.groups {
		// Each pair once, in the order of the group.
		for n, i := range g.slots {
			for _, k := range g.slots[n+1:] {
				if !reached[i] || !reached[k] {
					continue
				}
				if r := coefficient(g.cov, m.inputs[i].index, m.inputs[k].index); r != 0 {
					a, b := m.inputs[i], m.inputs[k]
					part := 0.0
					if u > 0 {
						// A covariance enters the variance twice, as (i, k) and (k, i).
						part = 2 * r * varianceShare(c[i]*a.u, c[k]*b.u, u)
					}
					out = append(out, Correlation{a.name, b.name, r, part})
				}
			}
		}
	}
	return out
}

// equalReadings is the warning of readings whose scatter is below the step of the display.
func equalReadings(op, name string) error {
	return &Error{Op: op, Name: name, Err: unit.Errorf(ErrNotStated, "all readings are equal, so "+
		"that they show nothing finer than one step of the display; add its resolution as an "+
		"input (GUM F.2.2.1)")}
}

// findings says what a reader of the budget must know before using it: first what concerns
// inputs, then what concerns the model (steps of differences, bends), then what concerns the
// expanded uncertainty. Top is the place of the measurand of the last backward pass.
func (m *model) findings(b *Budget, top int, c []float64, reached []bool) []error {
	var out []error
	warn := func(name string, err error) {
		out = append(out, &Error{Op: "uncertainty.Evaluate", Name: name, Err: err})
	}
	for _, g := range m.groups {
		// Readings of several quantities, and the scatter about a curve, have one number of
		// degrees of freedom in whatever combination.
		// One member speaks for the group: DOF and type belong to the whole of it.
		joint := m.inputs[g.slots[0]]
		if reached[g.slots[0]] && !math.IsInf(g.dof, 1) && joint.typ != EvaluationA {
			warn("", unit.Errorf(ErrJointDOF, "Welch–Satterthwaite holds for independent "+
				"components: the correlated inputs %s enter it as one, with %s",
				strings.Join(g.names, ", "), freedoms(g.dof)))
		}
	}
	for i, s := range m.inputs {
		if err := s.suspectFactor(); err != nil && reached[i] {
			out = append(out, err)
		}
	}
	// What concerns one input comes before what concerns the result.
	for i, s := range m.inputs {
		if !reached[i] {
			continue
		}
		// Not even a warning for what has no part in the result.
		if dof := s.drawnDOF(); dof <= 2 && c[i]*s.u != 0 {
			warn(s.name, unit.Errorf(ErrFewObservations, "standard uncertainty from %s: the "+
				"t-distribution of JCGM 101 has no standard deviation; take more readings or a "+
				"pooled standard deviation", freedoms(dof)))
		}
		if s.equal() {
			out = append(out, equalReadings("uncertainty.Evaluate", s.name))
		}
	}
	if err := m.stepFinding(b, top); err != nil {
		out = append(out, err)
	}
	if err := m.linearFinding(b, top, c); err != nil {
		out = append(out, err)
	}
	return append(out, b.coverageFindings()...)
}
