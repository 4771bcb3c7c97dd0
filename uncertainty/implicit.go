// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// This file solves h(y, x) = 0 for n unknowns y, three times over:
//
//   - implicitModel finds y at the estimates. Each step of Newton's method builds the equations
//     anew, since h makes quantities and its graph may depend on y, and takes their exact slopes:
//     y ← y − (∂h/∂y)⁻¹·h. Steps that make the equations more wrong are halved.
//   - measurands differentiates. With h(y(x), x) = 0 for all x near the estimates,
//     ∂h/∂x + (∂h/∂y)·(∂y/∂x) = 0, which gives the sensitivities of the comment of [Implicit];
//     the solution itself need not be differentiated.
//   - trialSolver finds y at other x, once a trial. It evaluates the compiled graph of the last
//     step and improves the slopes by Broyden's rule, so that a step costs n evaluations and no
//     pass backward. The graph is then fixed: an h that chooses between formulas by the value of
//     y is solved with the formula that holds at the estimates.
//
// A result is a node like that of a Call: its arguments are the inputs below the equations and
// its gradient is known. Everything else in the package works on it without knowing that it is
// implicit. Second-order terms come from differences of the solution, as for any Call.
//
// The method finds one root, the one that Newton's method leads to, and cannot say whether there
// are others. At a double root the slopes are singular: it is refused.

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty/unit"
)

// Implicit returns the measurand y that a model h(y, x) = 0 defines (JCGM 102, 6.3), for a
// model that cannot be written as y = f(x). The function h builds it from quantities, its
// argument y among them; the inputs x are those that h uses. From start, Newton's method
// with the exact derivatives of the model finds the estimate; the sensitivities are
//
//	∂y/∂x = −(∂h/∂x)/(∂h/∂y)
//
// and Monte Carlo solves the equation again in every trial. The result has no unit: state
// one with [Quantity.InUnit].
//
// What cannot be solved is carried by the result as an error ([ErrDomain], [ErrNoSolution])
// that says how far the search came. Where the equation has several solutions, it is the
// one that Newton's method reaches from start.
func Implicit(start float64, h func(y Quantity) Quantity) Quantity {
	if h == nil {
		return fail(&Error{Op: "uncertainty.Implicit", Name: "h",
			Err: unit.Errorf(ErrDomain, "nil; expected a function")})
	}
	return implicit("uncertainty.Implicit", []float64{start},
		func(y []Quantity) []Quantity { return []Quantity{h(y[0])} })[0]
}

// ImplicitAll is [Implicit] for as many measurands as equations (JCGM 102, 6.4 and the
// matrix form of its 6.3.2): h returns one left-hand side for each element of start. An
// error is carried by all results.
func ImplicitAll(start []float64, h func(y []Quantity) []Quantity) []Quantity {
	const op = "uncertainty.ImplicitAll"
	switch {
	case len(start) == 0:
		return nil // nothing to solve
	case h == nil:
		return failAll(len(start),
			&Error{Op: op, Name: "h", Err: unit.Errorf(ErrDomain, "nil; expected a function")})
	}
	return implicit(op, start, h)
}

// failAll returns n quantities that carry one error.
func failAll(n int, err error) []Quantity {
	out := make([]Quantity, n)
	for i := range out {
		out[i] = fail(err)
	}
	return out
}

const (
	// mostNewton is the number of steps, and of halvings of one. Near a solution each step doubles
	// the number of digits; a hundred leave room for a start far off, from which the root of y² =
	// x, say, is approached by halves.
	mostNewton = 100
	// closeEnough is the relative step at which a solution is found: 45 units of the last place of
	// an unknown. A smaller one could be missed by rounding in h.
	closeEnough = 1e-14
	// nearlyThere is the relative step below which equations that no longer become less wrong are
	// solved: only rounding of their terms is left.
	nearlyThere = 1e-10
	// leastPart is the part of a step in a trial that is still tried, thirty halvings.
	leastPart = 1e-9
)

// implicitModel is the system of n equations at one estimate of its solution. All but the first
// three fields change together, in build.
type implicitModel struct {
	op    string // that errors name
	h     func(y []Quantity) []Quantity
	names []string // of the unknowns: no input has them

	y      []float64  // the unknowns
	values []float64  // of the left-hand sides at y, each in its own unit
	roots  []Quantity // the left-hand sides
	slopes *mat.Dense // ∂h/∂y: a row for each equation, a column for each unknown
}

// implicit solves the system and makes its measurands, as many as start has elements.
func implicit(op string, start []float64, h func(y []Quantity) []Quantity) []Quantity {
	s := &implicitModel{op: op, h: h}
	for i, v := range start {
		if err := number("start", v); err != nil {
			return failAll(len(start), refused(op, "start", err))
		}
		// A name that no input of a user has, to find the unknowns again.
		s.names = append(s.names, "unknown "+strconv.Itoa(i+1)+" of an implicit model")
	}
	if err := s.solve(start); err != nil {
		return failAll(len(start), err)
	}
	return s.measurands()
}

// build evaluates the left-hand sides and their slopes at y, and keeps y. It is an error, and
// leaves the last state as it is, where h does not return n equations or one of them has no value
// at y. It costs one call of h and n backward passes.
func (s *implicitModel) build(y []float64) error {
	unknowns := make([]Quantity, len(y))
	for i, v := range y {
		// Any uncertainty will do: it makes the derivative be computed, and no result has it.
		unknowns[i] = Input(s.names[i], Normal(v, 1))
	}
	roots := s.h(unknowns)
	if len(roots) != len(y) {
		return &Error{Op: s.op, Name: "h", Value: float64(len(roots)),
			Err: unit.Errorf(ErrDomain, "%s; expected %d, one for each unknown",
				unit.Counted(len(roots), "equation", "equations"), len(y))}
	}
	nodes := make([]*node, len(roots))
	for i, r := range roots {
		nodes[i] = r.operand("Implicit").n
	}
	if err := errorsOf(nodes); err != nil {
		return err
	}
	m := models.Get().(*model)
	defer m.free()
	if err := m.compile(nodes...); err != nil {
		return err
	}
	// Only a system that could be built replaces the last one.
	s.y, s.roots, s.values = y, roots, make([]float64, len(y))
	s.slopes = mat.NewDense(len(y), len(y), nil)
	for i, n := range nodes {
		s.values[i] = n.value
		c, _ := m.backward(n)
		for k, name := range s.names {
			// An equation that does not contain an unknown has slope 0 by it.
			if slot := m.slotOf(name); slot >= 0 {
				s.slopes.Set(i, k, c[slot])
			}
		}
	}
	return nil
}

// errorsOf is what is wrong below the nodes, or nil.
func errorsOf(nodes []*node) error {
	for _, n := range nodes {
		// One bad equation reports what is wrong below all of them, once.
		if n.bad {
			return errorsBelow(nodes)
		}
	}
	return nil
}

// slotOf returns the slot of the input of that name, −1 if there is none.
func (m *model) slotOf(name string) int {
	for i, s := range m.inputs {
		if s.name == name {
			return i
		}
	}
	return -1
}

// size measures how far the left-hand sides are from 0, in units that do not matter: only
// sizes of one system are compared. Equations of very different scale, ohms beside picofarads, are
// judged by the larger ones; Newton's step does not depend on the scales, only when it is halved.
func size(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += math.Abs(v)
	}
	return sum
}

// solve moves y from start to a solution, at which the unknowns have sensitivities.
func (s *implicitModel) solve(start []float64) error {
	// A copy: the caller keeps his slice.
	if err := s.build(append([]float64(nil), start...)); err != nil {
		return err
	}
	for n := range mostNewton {
		// Exactly solved, as a linear system with round numbers is.
		if size(s.values) == 0 {
			return s.regular()
		}
		step, err := s.newton()
		if err != nil {
			return err
		}
		moved, err := s.move(step)
		if err != nil {
			return err
		}
		// A step below the rounding of y: no later one can be better.
		if moved <= closeEnough {
			return s.regular()
		}
		if n == mostNewton-1 {
			return s.unsolved("no solution after "+strconv.Itoa(mostNewton)+" steps of Newton's "+
				"method from %s: at %s the equations are off by %s", start)
		}
	}
	return nil
}

// newton is the step that solves the equations made linear at y, slopes·step = values; it is to be
// subtracted.
func (s *implicitModel) newton() ([]float64, error) {
	var step mat.VecDense
	// A badly conditioned matrix still gives a direction; whether it is a good one shows when the
	// step is taken. Only one without a finite step ends the search.
	if err := step.SolveVec(s.slopes, mat.NewVecDense(len(s.values), s.values)); err != nil {
		if _, rough := err.(mat.Condition); !rough || math.IsInf(mat.Norm(&step, 1), 0) ||
			math.IsNaN(mat.Norm(&step, 1)) {
			return nil, s.unsolved("the slopes by the unknowns are singular at %[2]s, where the "+
				"equations are off by %[3]s; expected a start from which Newton's method leads "+
				"to a solution", nil)
		}
	}
	return step.RawVector().Data, nil
}

// move takes the step, or as much of it as makes the equations less wrong, and returns how
// large it was against y: the largest |step_i/y_i|. What ends it:
//
//	less wrong                        the step is taken
//	a step of closeEnough or less     taken: y cannot be found better
//	not less wrong, whole step tiny   taken: rounding in h keeps the values from falling
//	anything else                     half the step; an error after mostNewton halvings
func (s *implicitModel) move(step []float64) (relative float64, err error) {
	from, before := s.y, size(s.values)
	// The whole step first: near a solution it is the right one, and convergence quadratic.
	for part, tries := 1.0, 0; ; part, tries = part/2, tries+1 {
		y := make([]float64, len(from))
		relative = 0
		for i := range y {
			y[i] = from[i] - part*step[i]
			// Relative to y, of which nothing is known, not even its unit.
			relative = max(relative, math.Abs(part*step[i])/math.Max(math.Abs(y[i]),
				math.SmallestNonzeroFloat64))
		}
		// An error at this point, such as the logarithm of a negative value, halves the step too.
		err = s.build(y)
		if err == nil && (size(s.values) < before || relative <= closeEnough) {
			return relative, nil
		}
		// Near a solution rounding may keep the equations from becoming less wrong: what is left
		// of the step is noise.
		if err == nil && relative <= nearlyThere && tries == 0 {
			return closeEnough, nil
		}
		if tries == mostNewton {
			if err != nil {
				return 0, err
			}
			return 0, s.unsolved("no step of Newton's method from %[2]s brings the equations, "+
				"off by %[3]s, nearer to 0; expected a start nearer to a solution, or equations "+
				"that have one", nil)
		}
	}
}

// unsolved says where the search stands: %[1]s is the start, %[2]s the last estimate, %[3]s
// how far the equations are off.
func (s *implicitModel) unsolved(format string, start []float64) error {
	list := func(v []float64) string {
		if len(v) == 1 {
			return "y = " + significant(v[0], 6)
		}
		var text strings.Builder
		text.WriteString("y = (")
		for i, x := range v {
			if i > 0 {
				text.WriteString(", ")
			}
			text.WriteString(significant(x, 6))
		}
		return text.String() + ")"
	}
	text := fmt.Sprintf(format, list(start), list(s.y), significant(size(s.values), 3))
	return &Error{Op: s.op, Name: "h", Err: unit.Errorf(ErrNoSolution, "%s", text)}
}

// regular refuses a solution at which the unknowns have no sensitivities, such as y = 0 of y² = x
// at x = 0: y then changes with the root of x, by more than any multiple of it.
func (s *implicitModel) regular() error {
	// There ∂h/∂y has no inverse and the theorem of implicit functions does not hold.
	var lu mat.LU
	if lu.Factorize(s.slopes); math.IsInf(lu.Cond(), 1) {
		return s.unsolved("solved at %[2]s, where the slopes by the unknowns are singular: two "+
			"solutions meet there, and no sensitivity is finite", nil)
	}
	return nil
}

// measurands are the nodes of the solution, one for each unknown. Their arguments are the inputs
// below the equations, so that all that other results share with them stays shared. The order of
// the arguments is that in which the compiled model meets the inputs; trialSolver finds the same
// order in the same way.
func (s *implicitModel) measurands() []Quantity {
	nodes := make([]*node, len(s.roots))
	for i, r := range s.roots {
		nodes[i] = r.n
	}
	m := models.Get().(*model)
	defer m.free()
	if err := m.compile(nodes...); err != nil {
		return failAll(len(nodes), err)
	}
	unknown := make([]int, len(s.names))
	for k, name := range s.names {
		unknown[k] = m.slotOf(name)
	}
	// Each source once, though several nodes may read it; the unknowns are none of them.
	var args []Quantity
	var slots []int // of the arguments
	for _, l := range m.leaves {
		if name := m.inputs[l.slot].name; l.slot >= 0 && !slices.Contains(s.names, name) &&
			!slices.Contains(slots, l.slot) {
			args, slots = append(args, Quantity{m.nodes[l.place]}), append(slots, l.slot)
		}
	}
	// Even without arguments the matrix needs a column.
	c := mat.NewDense(len(nodes), max(len(args), 1), nil) // ∂h/∂x
	for i, n := range nodes {
		g, _ := m.backward(n)
		for k, slot := range slots {
			c.Set(i, k, g[slot])
		}
	}
	// ∂y/∂x = −(∂h/∂y)⁻¹·(∂h/∂x) for all unknowns at once (JCGM 102 6.3.2, 6.4).
	var by mat.Dense // −∂y/∂x
	if err := by.Solve(s.slopes, c); err != nil {
		if _, rough := err.(mat.Condition); !rough {
			return failAll(len(nodes),
				s.unsolved("the slopes by the unknowns are singular at %[2]s", nil))
		}
	}
	// The results share one solver, and each picks its own unknown.
	again := &trialSolver{roots: nodes, names: s.names, y: s.y, slopes: s.slopes}
	out := make([]Quantity, len(nodes))
	for i := range out {
		out[i] = functionNode("implicit", callFree,
			func(x []float64) float64 { return again.solve(x)[i] },
			func(dst, _ []float64) {
				for k := range dst {
					dst[k] = -by.At(i, k)
				}
			}, args...)
	}
	return out
}

// trialSolver solves the equations at other values of the inputs, for Monte Carlo and for
// the checks of a linear result. It is used by several goroutines: its fields do not change, and
// each solution takes a compiled copy of its own from the pool.
type trialSolver struct {
	roots  []*node    // the left-hand sides
	names  []string   // of the unknowns
	y      []float64  // solution at the estimates
	slopes *mat.Dense // there
	free   sync.Pool  // of *trialModel
}

// trialModel is a compiled copy of the equations. Its unknowns are inputs like the others:
// model.displaced holds the values of both.
type trialModel struct {
	*model
	unknown []int // slots of the unknowns
	inputs  []int // slots of the arguments, in their order
	places  []int // of the left-hand sides
}

// model returns a compiled copy that no other goroutine uses.
func (t *trialSolver) model() *trialModel {
	if m, ok := t.free.Get().(*trialModel); ok {
		return m
	}
	m := &trialModel{model: models.Get().(*model)} // kept: the pool of models does not get it back
	if m.compile(t.roots...) != nil {
		return nil // it was compiled before
	}
	for _, name := range t.names {
		m.unknown = append(m.unknown, m.slotOf(name))
	}
	for _, l := range m.leaves {
		if !slices.Contains(m.unknown, l.slot) && !slices.Contains(m.inputs, l.slot) {
			m.inputs = append(m.inputs, l.slot)
		}
	}
	for _, r := range t.roots {
		m.places = append(m.places, m.place(r))
	}
	m.whole = true
	m.displaced = cleared(m.displaced, len(m.model.inputs))
	return m
}

// solve returns the solution at x, the values of the arguments in their order; NaN where it finds
// none, which makes an invalid trial. Newton's method begins at the solution of the estimates,
// with the slopes there, and improves them by what each step did (C. G. Broyden, Mathematics of
// Computation 19, 1965). Convergence is less than quadratic: a trial a standard uncertainty away
// takes a few steps more than Newton's method, each for n evaluations instead of n backward
// passes. All n results of a system solve it again for themselves; they find the same bits.
func (t *trialSolver) solve(x []float64) []float64 {
	// Every trial begins at the same place, so that its result does not depend on the trials that
	// a worker happened to take before.
	y := append([]float64(nil), t.y...)
	none := make([]float64, len(y))
	for i := range none {
		none[i] = math.NaN()
	}
	m := t.model()
	if m == nil {
		return none
	}
	defer t.free.Put(m)
	for k, slot := range m.inputs {
		m.displaced[slot] = x[k]
	}
	values := m.leftSides(y)
	slopes := mat.DenseCopyOf(t.slopes)
	for range mostNewton {
		// Solved exactly.
		if size(values) == 0 {
			return y
		}
		var step mat.VecDense
		if err := step.SolveVec(slopes, mat.NewVecDense(len(values), values)); err != nil {
			if _, rough := err.(mat.Condition); !rough {
				return none
			}
		}
		// A step that makes the equations no less wrong is halved.
		relative, next, after := m.shorten(y, step.RawVector().Data, values)
		if next == nil {
			return none
		}
		// As close as rounding lets it come.
		if relative <= 4*closeEnough || size(after) >= size(values) {
			return next
		}
		broyden(slopes, y, next, values, after)
		y, values = next, after
	}
	return none
}

// leftSides returns the left-hand sides at y and the values of the inputs in m.displaced; NaN where
// one has none.
func (m *trialModel) leftSides(y []float64) []float64 {
	// An unknown that no equation contains has no slot.
	for k, slot := range m.unknown {
		if slot >= 0 {
			m.displaced[slot] = y[k]
		}
	}
	values := make([]float64, len(m.places))
	for i, place := range m.places {
		values[i] = m.valueAt(place)
	}
	return values
}

// shorten halves the step until the equations become less wrong, from the values given at y; it
// returns the next point with its values after, and the largest |step_i/y_i|. It returns no point
// where they do not, unless the step is as small as rounding.
func (m *trialModel) shorten(y, step, values []float64) (relative float64, next, after []float64) {
	before := size(values)
	for part := 1.0; part > leastPart; part /= 2 {
		next = make([]float64, len(y))
		relative = 0
		for i := range y {
			next[i] = y[i] - part*step[i]
			relative = max(relative, math.Abs(part*step[i])/math.Max(math.Abs(next[i]),
				math.SmallestNonzeroFloat64))
		}
		after = m.leftSides(next)
		// Near the solution rounding decides, and the values may grow.
		if s := size(after); s < before || !math.IsNaN(s) && relative <= nearlyThere {
			return relative, next, after
		}
	}
	return 0, nil, nil
}

// broyden makes the slopes J agree with the last step, from y to next, and changes them the least
// for that: J′ = J + (Δh − J·Δy)·Δyᵀ/|Δy|² fulfils J′·Δy = Δh, and no matrix that does is nearer
// to J in the sum of squares. In one dimension it is the secant.
func broyden(slopes *mat.Dense, y, next, values, after []float64) {
	n := len(y)
	dy, off := mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)
	for i := range n {
		dy.SetVec(i, next[i]-y[i])
	}
	off.MulVec(slopes, dy)
	for i := range n {
		off.SetVec(i, after[i]-values[i]-off.AtVec(i))
	}
	// Without a step there is nothing to learn.
	if d := mat.Dot(dy, dy); d > 0 {
		slopes.RankOne(slopes, 1/d, off, dy)
	}
}
