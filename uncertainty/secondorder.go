// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/internal/semidefinite"
	"example.com/ohmwright/uncertainty/internal/studentt"
	"example.com/ohmwright/uncertainty/unit"
)

// HigherOrder holds what the second-order terms add to a budget; see [SecondOrder].
type HigherOrder struct {
	FirstOrder float64 `json:"firstOrder"` // standard uncertainty without them

	// Bias is ½ Σ c_ii u_i², by which the expectation of the model exceeds the
	// estimate. The estimate of the budget is not corrected by it.
	Bias float64 `json:"bias"`

	Terms []HigherTerm `json:"terms,omitempty"` // that are not 0, largest first
}

// HigherTerm is the part of the variance that comes from a pair of inputs, or from
// the curvature along one input where A and B are equal. It may be negative. For
// correlated inputs a term belongs to independent factors of their distribution, each
// under the name of the input that it was taken from first.
type HigherTerm struct {
	A        string  `json:"a"`
	B        string  `json:"b"`
	Variance float64 `json:"variance"`
}

// SecondOrder is [Evaluate] with the terms of second order of the Taylor series
// (JCGM 100, note to 5.1.2):
//
//	u² = Σ c_i²·u_i² + Σ_i Σ_j (½·c_ij² + c_i·c_ijj)·u_i²·u_j²
//
// with c_ij = ∂²y/∂x_i∂x_j and c_ijj the third derivative. The formula takes the
// inputs as normally distributed, whatever their distribution is; correlated ones as
// jointly normal. For a rectangle the curvature along its own axis is therefore
// overstated; where that matters, use Monte Carlo.
//
// The derivatives are exact, from one forward and one backward sweep for each input,
// except in a [Call]: there they are central differences of second order with steps
// of a quarter of the standard uncertainty, whose relative error is about a hundredth
// of (u/L)² for a function that bends on the scale L.
//
// Where the series does not describe the model over the uncertainties, the variance may
// come out negative: that is an error ([ErrSecondOrder]). Elsewhere the terms are held
// against the model one and two standard uncertainties away, along each input, and the
// budget warns where they miss it by 5 % of U or more ([ErrSecondOrder]).
//
// Where the first-order result is not adequate, the budget warns ([ErrFirstOrder]):
// when the standard uncertainty changes by more than 5 %, or the bias exceeds a tenth
// of it. The degrees of freedom are those of the first-order components against the
// whole variance (the second-order terms count as known exactly), and the shares of
// the components leave room for the terms. Convolution of such a budget takes it as
// normal.
func SecondOrder(y Quantity) (*Budget, error) {
	n := y.operand("SecondOrder").n
	if n.bad {
		return nil, errorsBelow([]*node{n})
	}
	m := models.Get().(*model)
	defer m.free()
	if err := m.compile(n); err != nil {
		return nil, err
	}
	// The first-order result is the beginning of the second-order one.
	c, reached := m.backward(n)
	b, err := m.budget(Quantity{n}, c, reached)
	if err != nil {
		return nil, err
	}
	t := m.curvature(n, c)
	if b, err = m.addCurvature(b, c, t); err != nil {
		return nil, err
	}
	// The terms are held against the model itself.
	warning := m.secondFinding(b, m.place(n), t)
	if warning == nil {
		// A heavy tail reaches 0 from where the terms still describe the model well.
		warning = m.poleFinding(n, "uncertainty.SecondOrder", ErrSecondOrder, m.lines(m.place(n)))
	}
	if warning != nil {
		b.Warnings = append(b.Warnings, warning)
	}
	return b, nil
}

// addCurvature makes the second-order budget of the first-order one.
func (m *model) addCurvature(b *Budget, c []float64, t curvature) (*Budget, error) {
	first := b.StandardUncertainty
	variance := float64(first * first)
	// The sum of magnitudes, to tell what cancels from what is negative.
	size := variance
	h := &HigherOrder{FirstOrder: first, Bias: t.bias}
	// Only the lower triangle: each pair once, both orders in its figure.
	for i, row := range t.terms {
		for k, v := range row[:i+1] {
			if v != 0 {
				h.Terms = append(h.Terms, HigherTerm{t.names[k], t.names[i], v})
				variance += v
				size += math.Abs(v)
			}
		}
	}
	// Largest first; equal ones in the order of the inputs.
	slices.SortStableFunc(h.Terms, func(p, q HigherTerm) int {
		return cmp.Compare(math.Abs(q.Variance), math.Abs(p.Variance))
	})
	for _, v := range []float64{variance, t.bias} {
		if err := number("second-order term", v); err != nil {
			return nil, refused("uncertainty.SecondOrder", b.Name, err)
		}
	}
	// What rounding of the sum explains counts as 0.
	if variance < -1e-9*size {
		return nil, &Error{Op: "uncertainty.SecondOrder", Name: b.Name, Value: variance,
			Err: unit.Errorf(ErrSecondOrder,
				"the terms of second order make the variance negative, %s: the series does not "+
					"describe the model over these uncertainties; use Monte Carlo",
				significant(variance, 3))}
	}
	u := math.Sqrt(max(0, variance))
	// Of an uncertainty whose square is below float64 the sum says nothing.
	if variance < smallestSquare {
		u = t.root(first)
	}
	b.Higher = h
	b.StandardUncertainty = u
	// The contributions are the same, the variance is another.
	b.DOF = m.effectiveDOF(c, u)
	var err error
	if b.Expanded, err = b.ExpandedAt(0.95); err != nil {
		return nil, err
	}
	b.rescaleShares(first, variance, u)
	// No shape: the convolution of the linear model is not this distribution.
	b.shape, b.joint = nil, nil
	b.Warnings = slices.DeleteFunc(b.Warnings, supersededBySecondOrder)
	// By 5 % of u and a tenth of u: below, a result with two digits does not change.
	if math.Abs(u-first) > 0.05*first || math.Abs(t.bias) > 0.1*u {
		b.Warnings = append(b.Warnings, &Error{Op: "uncertainty.SecondOrder", Name: b.Name,
			Value: first, Err: unit.Errorf(ErrFirstOrder,
				"the first-order result is not adequate: u = %s without and %s with the "+
					"second-order terms, the estimate is off by %s; check it by Monte Carlo",
				significant(first, 3), significant(u, 3), significant(t.bias, 2))})
	}
	return b, nil
}

// rescaleShares makes shares of the first-order variance parts of the larger one, whose root is u;
// what is left up to 1 are the terms of second order.
func (b *Budget) rescaleShares(first, variance, u float64) {
	if u == 0 {
		return
	}
	part := first * first / variance
	if variance < smallestSquare {
		part = (first / u) * (first / u)
	}
	for i := range b.Components {
		b.Components[i].Share *= part
	}
	for i := range b.Correlations {
		b.Correlations[i].Share *= part
	}
}

// root is the standard uncertainty by the terms of second order, first that without them. All are
// divided by the largest derivative before they are squared.
func (t curvature) root(first float64) float64 {
	largest := first
	for i, row := range t.mixed {
		largest = max(largest, math.Abs(t.expansions[i].slope))
		for k := range row {
			largest = max(largest, math.Abs(row[k]), math.Abs(t.thirds[i][k]))
		}
	}
	if largest == 0 {
		return 0
	}
	part := first / largest
	sum := float64(part * part)
	for i, row := range t.mixed {
		slope := t.expansions[i].slope / largest
		for k := range row {
			h := row[k] / largest
			sum += float64(h*h)/2 + float64(slope*(t.thirds[i][k]/largest))
		}
	}
	return float64(largest * math.Sqrt(max(0, sum)))
}

// supersededBySecondOrder picks the warnings that speak of the first-order result.
func supersededBySecondOrder(err error) bool {
	for _, e := range []error{ErrFirstOrder, ErrNotNormal, ErrExceedsBounds} {
		if errors.Is(err, e) {
			return true
		}
	}
	return false
}

// curvature is the second-order part along independent directions: those of the
// inputs, or factors of correlated ones, each scaled to one standard uncertainty.
type curvature struct {
	names      []string
	terms      [][]float64 // lower triangle: parts of the variance
	bias       float64
	expansions []expansion // by direction
	mixed      [][]float64 // c_ij
	thirds     [][]float64 // c_ijj
}

// direction is a unit step: the change of each source.
type direction struct {
	name        string
	slots       []int
	step        []float64
	least, most float64 // steps to the ends of the law
	far         float64 // steps that an interval of 95 % takes, 2 or more: see farOf
}

// mostFactored is the size of a group of correlated inputs up to which the check of a linear
// result follows its factors; beyond, it takes the inputs one by one.
const mostFactored = 64

// directions are valid until the model is freed.
func (m *model) directions() []direction { return m.directionsOf(math.MaxInt) }

// directionsOf lists the directions of the inputs, and of groups of at most so many members by
// independent factors.
func (m *model) directionsOf(largest int) []direction {
	m.paths = m.paths[:0]
	m.pathSlots, m.pathSteps = cleared(m.pathSlots, len(m.inputs)), cleared(m.pathSteps,
		len(m.inputs))
	// A view into memory that is kept from one evaluation to the next.
	alone := func(i int, s *source) {
		m.pathSlots[i], m.pathSteps[i] = i, s.u
		d := direction{name: s.name, slots: m.pathSlots[i : i+1], step: m.pathSteps[i : i+1],
			far: farOf(s)}
		d.least, d.most = s.ends()
		m.paths = append(m.paths, d)
	}
	// An input without uncertainty leads nowhere.
	for i, s := range m.inputs {
		if s.group == nil && s.u > 0 {
			alone(i, s)
		}
	}
	// Factors make correlated inputs independent, which the formula takes for granted.
	for _, g := range m.groups {
		if len(g.slots) <= largest {
			m.factored(g)
			continue
		}
		for _, i := range g.slots {
			if m.inputs[i].u > 0 {
				alone(i, m.inputs[i])
			}
		}
	}
	return m.paths
}

// factored adds the directions of independent factors of a group.
// V = F·Fᵀ: each column of F is one standard uncertainty in an independent direction.
func (m *model) factored(g members) {
	members := g.slots
	c := make([][]float64, len(members))
	for i, a := range members {
		for _, b := range members {
			c[i] = append(c[i], g.cov.At(m.inputs[a].index, m.inputs[b].index))
		}
	}
	factor := semidefinite.Factor(c)
	for k := range factor[0] {
		// The name is that of the first input that the factor moves.
		d := direction{slots: members, least: math.Inf(-1), most: math.Inf(1),
			far: farOf(m.inputs[members[0]])}
		for i, row := range factor {
			d.step = append(d.step, row[k])
			if d.name == "" && row[k] != 0 && (k == 0 || !slices.ContainsFunc(row[:k],
				func(v float64) bool { return v != 0 })) {
				d.name = m.inputs[members[i]].name
			}
		}
		m.paths = append(m.paths, d)
	}
}

// mostFar bounds farOf: 4.3 is that of two degrees of freedom, with fewer there is no variance.
const mostFar = 4.4

// farOf is how many standard uncertainties an interval of 95 % of the source takes to either side:
// 2, and more for few degrees of freedom, 3.2 for three.
func farOf(s *source) float64 {
	dof := s.drawnDOF()
	if !(dof < 100) {
		return 2
	}
	return min(-studentt.Quantile(0.025, dof), mostFar)
}

// ends are the steps of one standard uncertainty to the ends of the law, or to what an
// unsymmetric law leaves out on either side with a probability of 0.02.
func (s *source) ends() (least, most float64) {
	l, own := s.dist.(law)
	switch {
	case own && s.group == nil && (l.kind == exponential || l.kind == gamma):
		// These laws begin at 0 and have no end above.
		return (l.Quantile(0.02) - s.x) / s.u, (l.Quantile(0.98) - s.x) / s.u
	case s.group == nil:
		return -s.reach / s.u, s.reach / s.u
	}
	return math.Inf(-1), math.Inf(1)
}

// along is the derivative in a direction, from those by the sources.
func (d direction) along(gradient []float64) float64 {
	sum := 0.0
	for i, slot := range d.slots {
		sum += float64(gradient[slot] * d.step[i])
	}
	return sum
}

// curvature finds the terms of second order along all directions.
func (m *model) curvature(y *node, c []float64) curvature {
	d := m.directions()
	t := curvature{terms: make([][]float64, len(d)), mixed: make([][]float64, len(d)),
		thirds: make([][]float64, len(d))}
	first := make([]float64, len(d))
	for i := range d {
		t.mixed[i], t.thirds[i] = make([]float64, len(d)), make([]float64, len(d))
		t.names = append(t.names, d[i].name)
		t.terms[i] = make([]float64, i+1)
		first[i] = d[i].along(c)
	}
	s, top := newJets(m), m.place(y)
	// One sweep forward and one backward for each direction serve all pairs with it.
	for j := range d {
		v2 := s.forward(top, d[j])
		t.bias += v2 / 2 // ½·c_jj·u_j²
		slope, bend := s.backward(top)
		t.expansions = append(t.expansions, expansion{first[j], v2, d[j].along(bend)})
		for i := range d {
			low, high := min(i, j), max(i, j)
			// Each pair comes twice, once from either direction, a direction with itself once: the
			// halves add up to ½·c_ij² and c_i·c_ijj for i and j in both orders.
			h, third := d[i].along(slope), d[i].along(bend)
			t.mixed[i][j], t.thirds[i][j] = h, third
			t.terms[high][low] += float64(h*h)/2 + float64(first[i]*third)
		}
	}
	return t
}
