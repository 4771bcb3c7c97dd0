// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Evaluate applies the law of propagation of uncertainty to first order
// (GUM 5.1.2, and 5.2.2 for correlated inputs) and returns the budget of y. The
// sensitivity coefficients are exact derivatives, found in one backward pass over
// the model.
//
// The effective degrees of freedom follow Welch and Satterthwaite (GUM G.4.1,
// eq. G.2b), not truncated. That formula holds for independent components only: a
// group of correlated inputs therefore enters as one component with the smallest
// degrees of freedom in it, and the budget warns of it ([ErrJointDOF]).
//
// Findings that do not stop the answer are Warnings of the budget. An error names
// everything that is wrong below y; two different sources of one name are an error
// too ([ErrSameName]), since a source built twice is the commonest way of losing a
// correlation.
func Evaluate(y Quantity) (*Budget, error) {
	m, err := EvaluateAll(y)
	if err != nil {
		return nil, err
	}
	return m.Budgets[0], nil
}

// Multivariate is the result for several measurands of one set of inputs
// (JCGM 102).
type Multivariate struct {
	Budgets    []*Budget
	Covariance *mat.SymDense // of the measurands, in their order
}

// Correlation returns the correlation coefficient of measurands i and j; it is 0
// where one of them has no uncertainty, and NaN where there is no such measurand.
func (m *Multivariate) Correlation(i, j int) float64 {
	n := len(m.Budgets)
	if i < 0 || j < 0 || i >= n || j >= n {
		return math.NaN()
	}
	if i == j {
		return 1
	}
	return correlation(m.Covariance, i, j)
}

func correlation(c mat.Symmetric, i, j int) float64 {
	d := math.Sqrt(c.At(i, i)) * math.Sqrt(c.At(j, j))
	if d == 0 {
		return 0
	}
	return max(-1, min(1, c.At(i, j)/d))
}

// EvaluateAll is [Evaluate] for several measurands: each budget, and the covariance
// matrix that the shared inputs give them (JCGM 102 6.2).
func EvaluateAll(ys ...Quantity) (*Multivariate, error) {
	if len(ys) == 0 {
		return nil, &Error{Op: "Evaluate", Err: because(ErrNoQuantity, "no measurand; expected at least one")}
	}
	roots := make([]*node, len(ys))
	bad := false
	for i, y := range ys {
		roots[i] = y.operand("Evaluate").n
		bad = bad || roots[i].bad
	}
	if bad {
		return nil, errorsBelow(roots)
	}
	m, err := compile(roots)
	if err != nil {
		return nil, err
	}
	c := make([][]float64, len(ys)) // sensitivities, one row a measurand
	result := &Multivariate{Budgets: make([]*Budget, len(ys)), Covariance: mat.NewSymDense(len(ys), nil)}
	for i, y := range ys {
		sensitivities, reached := m.backward(y.n)
		c[i] = sensitivities
		b, err := m.budget(y, sensitivities, reached)
		if err != nil {
			return nil, err
		}
		result.Budgets[i] = b
	}
	for i := range ys {
		for k := range i + 1 {
			v := m.covariance(c[i], c[k])
			if i == k {
				u := result.Budgets[i].StandardUncertainty
				v = u * u
			}
			result.Covariance.SetSym(i, k, v)
		}
	}
	return result, nil
}

// model is a graph in order of evaluation: the arguments of a node come before it.
type model struct {
	nodes    []*node
	place    map[*node]int
	inputs   []*source // sources after merging those of one ID
	slot     []int     // by node: its source, or -1
	members  map[*group][]int
	warnings []error
}

func compile(roots []*node) (*model, error) {
	m := &model{place: make(map[*node]int)}
	byID := make(map[string]int)
	byName := make(map[string]int)
	var failed error
	walk(roots, func(n *node) {
		m.place[n] = len(m.nodes)
		m.nodes = append(m.nodes, n)
		slot := -1
		if s, ok := n.aux.(*source); ok && failed == nil {
			slot, failed = m.enter(s, byID, byName)
		}
		m.slot = append(m.slot, slot)
	})
	if failed != nil {
		return nil, failed
	}
	if err := m.gather(); err != nil {
		return nil, err
	}
	return m, nil
}

// enter gives the source a slot: its own, or that of an equal ID. A source has one
// node, which is visited once.
func (m *model) enter(s *source, byID, byName map[string]int) (int, error) {
	key := s.key()
	if key != "" {
		if i, ok := byID[key]; ok && (s.id != "" || m.inputs[i].id != "") {
			if !s.agrees(m.inputs[i]) {
				return -1, &Error{Op: "Evaluate", Name: s.name, Err: because(ErrSameID, fmt.Sprintf("two sources of ID %q are stated differently; expected one name, unit, distribution and number of degrees of freedom", key))}
			}
			return i, nil
		}
	}
	if i, ok := byName[s.name]; ok {
		t := m.inputs[i]
		if s.name == "" && (s.id == "" || t.id == "") {
			return -1, &Error{Op: "Evaluate", Err: because(ErrSameName, "two sources without a name; expected a name for each, or one source that is shared")}
		}
		if s.id == "" || t.id == "" || s.id == t.id {
			return -1, &Error{Op: "Evaluate", Name: s.name, Err: ErrSameName}
		}
		m.warnings = append(m.warnings, &Error{Op: "Evaluate", Name: s.name, Err: because(ErrSharedName, fmt.Sprintf("sources %q and %q share a name: they are taken as different", t.id, s.id))})
	}
	i := len(m.inputs)
	m.inputs = append(m.inputs, s)
	byName[s.name] = i
	if key != "" {
		byID[key] = i
	}
	return i, nil
}

// gather lists the slots of each group of correlated inputs; groups of one ID are
// one.
func (m *model) gather() error {
	first := make(map[string]*group)
	for i, s := range m.inputs {
		g := s.group
		if g == nil {
			continue
		}
		if key := g.key(); key != "" {
			if f, ok := first[key]; ok && g.is(f) {
				if !g.agrees(f) {
					return &Error{Op: "Evaluate", Name: s.name, Err: because(ErrSameID, fmt.Sprintf("two joint sources of ID %q are stated differently; expected the same names, estimates, covariance matrix and degrees of freedom", key))}
				}
				g = f
			} else {
				first[key] = g
			}
		}
		if m.members == nil {
			m.members = make(map[*group][]int)
		}
		m.members[g] = append(m.members[g], i)
	}
	return nil
}

// backward finds ∂y/∂input for every input, and which inputs y depends on: a
// sensitivity of 0 still makes a row of the budget.
func (m *model) backward(y *node) (c []float64, reached []bool) {
	adjoint := make([]float64, len(m.nodes))
	under := make([]bool, len(m.nodes))
	c = make([]float64, len(m.inputs))
	parts := make([]float64, len(m.inputs)) // Σ|part| of merged inputs
	reached = make([]bool, len(m.inputs))
	top := m.place[y]
	adjoint[top], under[top] = 1, true
	for i := top; i >= 0; i-- {
		if !under[i] {
			continue
		}
		n := m.nodes[i]
		if k := m.slot[i]; k >= 0 {
			c[k] += adjoint[i]
			parts[k] += math.Abs(adjoint[i])
			reached[k] = true
			continue
		}
		pass := func(arg *node, d float64) {
			k := m.place[arg]
			under[k] = true
			adjoint[k] += float64(adjoint[i] * d)
		}
		if x, ok := n.aux.(*many); ok {
			for k, arg := range x.args {
				pass(arg, x.d[k])
			}
			continue
		}
		if n.a != nil {
			pass(n.a, n.da)
		}
		if n.b != nil {
			pass(n.b, n.db)
		}
	}
	for k := range c {
		// Equal sources that cancel leave rounding behind.
		if math.Abs(c[k]) < 1e-15*parts[k] {
			c[k] = 0
		}
	}
	return c, reached
}

// covariance returns Σ Σ a[i]·b[k]·u(x[i], x[k]).
func (m *model) covariance(a, b []float64) float64 {
	var sum float64
	for i, s := range m.inputs {
		if s.group == nil {
			sum += float64(float64(a[i]*s.u) * float64(b[i]*s.u))
		}
	}
	for _, i := range m.groupOrder() {
		sum += m.within(m.inputs[i].group, m.membersOf(i), a, b)
	}
	return sum
}

// groupOrder returns the first slot of each group, in order: maps have none.
func (m *model) groupOrder() []int {
	var order []int
	for _, slots := range m.members {
		order = append(order, slots[0])
	}
	slices.Sort(order)
	return order
}

func (m *model) membersOf(first int) []int {
	for _, slots := range m.members {
		if slots[0] == first {
			return slots
		}
	}
	return nil
}

// within is the part of the covariance that one group contributes. Coefficients
// that cancel (r = ±1) leave rounding behind, which is taken out.
func (m *model) within(g *group, slots []int, a, b []float64) float64 {
	var sum, size float64
	for _, i := range slots {
		for _, k := range slots {
			v := float64(a[i]*b[k]) * g.cov.At(m.inputs[i].index, m.inputs[k].index)
			sum += v
			size += math.Abs(v)
		}
	}
	if math.Abs(sum) < 1e-14*size {
		return 0
	}
	return sum
}
