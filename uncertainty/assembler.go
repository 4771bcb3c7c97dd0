// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// This file translates a compiled model into a tape, the instructions that Monte Carlo runs on
// columns of trials (package internal/tape). One pass over the nodes, arguments first, does it in
// time linear in nodes and edges:
//
//   - A node with nothing uncertain below it becomes the constant that was computed when the
//     model was built. It costs nothing in a trial.
//   - A source becomes one draw, however many nodes read it; a group of correlated sources
//     becomes one joint draw. That two measurands read the same registers is all that
//     correlates them.
//   - Every other node becomes one instruction.
//
// A register is free again after its last reader, so that a long chain needs few. All readers
// must therefore be counted before the first instruction is written. Twins (see the package
// documentation) are added up beside the draws, while the column is still in the cache.

import (
	"math"
	"sync"

	"example.com/ohmwright/uncertainty/internal/semidefinite"
	"example.com/ohmwright/uncertainty/internal/tape"
	"example.com/ohmwright/uncertainty/internal/variate"
	"example.com/ohmwright/uncertainty/unit"
)

// assembler writes the tape of one model. It belongs to one goroutine; the tape it returns does
// not refer to it. A slot is the place of a source in model.inputs, a node the place in
// model.nodes.
type assembler struct {
	tape.Builder
	model *model
	at    []tape.Ref // by node: its register, or the constant that it is
	uses  []int      // by node: how often it is read
	drawn []bool     // by slot: whether its draw is on the tape already
	total []int      // by slot: readers of all nodes of the source
	slots [][]int    // by slot: all slots of its group, itself included; nil: drawn alone
	where []tape.Ref // by slot: what it was drawn into, once drawn

	twins []twinModel // whose values are outputs after those of the measurands
	sums  []tape.Ref  // by twin: what has been added up so far, tape.None before the first part
}

// assemblers keeps the memory of assemblers that are done, for the next simulation.
var assemblers = sync.Pool{New: func() any { return new(assembler) }}

// begin prepares the assembler for a model and so many outputs.
func (a *assembler) begin(m *model, outputs int) {
	nodes, inputs := len(m.nodes), len(m.inputs)
	a.Begin(nodes, outputs)
	a.model = m
	a.at, a.uses = cleared(a.at, nodes), cleared(a.uses, nodes)
	a.drawn, a.total, a.slots, a.where = cleared(a.drawn, inputs), cleared(a.total,
		inputs), cleared(a.slots, inputs), cleared(a.where, inputs)
}

// free gives the memory back; it holds no model alive.
func (a *assembler) free() {
	a.model, a.twins = nil, nil
	// The slices in it belong to the groups of the model, which would stay alive with the pool.
	clear(a.slots)
	// One very large model must not hold its memory for the rest of the program.
	if cap(a.at) <= largest {
		assemblers.Put(a)
	}
}

// assemble writes the tape of a model for the given measurands, and for twins of theirs: the
// outputs are the roots in their order, then the twins in theirs. The only error is that of
// [jointOf], too few joint observations to draw from.
func assemble(m *model, roots []*node, twins ...twinModel) (*tape.Tape, error) {
	a := assemblers.Get().(*assembler)
	defer a.free()
	a.begin(m, len(roots)+len(twins))
	a.twins, a.sums = twins, a.sums[:0]
	for range twins {
		a.sums = append(a.sums, tape.None)
	}
	for _, g := range m.groups {
		// One group is drawn as a whole, so each member must find the others.
		for _, i := range g.slots {
			a.slots[i] = g.slots
		}
	}
	for _, n := range m.nodes {
		for i := 0; n.argument(i) != nil; i++ {
			// By the number of readers the tape uses a register again after the last of them.
			a.uses[m.place(n.argument(i))]++
		}
	}
	for _, root := range roots {
		a.uses[m.place(root)]++ // never falls to 0: outputs stay
	}
	for i, slot := range m.slot {
		if slot >= 0 {
			// Several nodes may be one source, which is drawn once: its register serves them all.
			a.total[slot] += a.uses[i]
		}
	}
	for i, n := range m.nodes {
		// Arguments stand before what uses them in m.nodes, so that a.at is filled in time.
		if err := a.node(i, n); err != nil {
			return nil, err
		}
	}
	for _, root := range roots {
		a.Output(a.at[m.place(root)])
	}
	// Twins come last: Run tells them from the measurands by their place.
	for _, sum := range a.sums {
		a.Output(sum)
	}
	return a.Finish(), nil
}

// node writes what computes node n at place i, or finds where its value already is. The places of
// its arguments are set.
func (a *assembler) node(i int, n *node) error {
	switch n.op {
	case opExact:
		a.at[i] = tape.Fixed(n.value)
	case opInput:
		return a.input(i)
	case opNamed:
		// A name computes nothing. It was counted as one reader of the node below it; its own
		// readers take the place of that one.
		a.at[i] = a.at[a.model.place(n.a)]
		a.Rename(a.at[i], a.uses[i])
	default:
		a.operation(i, n)
	}
	return nil
}

// input draws a source at its first node. Two sources stated with one ID are two nodes of one
// slot: they read one draw, which is what makes them one quantity.
func (a *assembler) input(i int) error {
	slot := a.model.slot[i]
	// Later nodes of the same source read the register of the first.
	if !a.drawn[slot] {
		if err := a.draw(slot); err != nil {
			return err
		}
	}
	a.at[i] = a.where[slot]
	return nil
}

// draw writes the draw of a source, or of the whole group it belongs to, and marks as drawn what
// it wrote. The stream of random numbers is the slot (of a group, that of its first member), so
// that the tapes of one model, with twins and without, draw the same trials.
func (a *assembler) draw(slot int) error {
	s := a.model.inputs[slot]
	together := a.slots[slot]
	switch {
	// A member of a group that is not uncertain is drawn too: it has a row in the factor.
	case s.u == 0 && together == nil:
		a.where[slot], a.drawn[slot] = tape.Fixed(s.x), true
		return nil
	case together == nil:
		a.where[slot], a.drawn[slot] = a.Draw(slot, a.model.sampler(slot), a.total[slot]), true
		a.addEffects(slot)
		return nil
	}
	// One vector a trial serves all members, whichever of them the model names first.
	members := make([]*source, len(together))
	readers := make([]int, len(together))
	for k, i := range together {
		members[k], readers[k] = a.model.inputs[i], a.total[i]
	}
	joint, err := jointOf(members)
	if err != nil {
		return err
	}
	at := make([]tape.Ref, len(together))
	a.DrawJoint(slot, joint, readers, at)
	for k, i := range together {
		a.where[i], a.drawn[i] = at[k], true
		a.addEffects(i)
	}
	return nil
}

// addEffects adds what has just been drawn to the twins, while it is at hand. It looks through
// all effects for each draw, which is quadratic in the inputs: 10⁴ comparisons for a hundred, once
// a tape.
func (a *assembler) addEffects(slot int) {
	for i, t := range a.twins {
		for k := range t.effects {
			if e := &t.effects[k]; e.slot == slot {
				a.sums[i] = a.Accumulate(a.sums[i], a.where[slot], &e.Effect)
			}
		}
	}
}

// instructions are those of the operations of nodes. A negation and a scaling are products
// with a constant, −1 or the factor, which operation takes from the node; a product with −1 is
// exact, so that a trial has the bits of −x.
var instructions = [...]tape.Op{
	opAdd: tape.Add, opSub: tape.Sub, opMul: tape.Mul, opDiv: tape.Div, opNeg: tape.Mul,
	opScale: tape.Mul, opPow: tape.Pow,
	opSqrt: tape.Sqrt, opExp: tape.Exp, opLog: tape.Log, opSin: tape.Sin, opCos: tape.Cos,
	opTan:  tape.Tan,
	opAsin: tape.Asin, opAcos: tape.Acos, opAtan: tape.Atan,
}

// operation folds what is constant and writes an instruction for the rest. An operation of one
// argument gets the constant 0 as its second, which the instruction does not look at.
func (a *assembler) operation(i int, n *node) {
	if x, ok := n.aux.(*many); ok {
		a.many(i, n, x)
		return
	}
	x, y := a.at[a.model.place(n.a)], tape.Fixed(0)
	switch {
	// The derivative of a scaling is its factor, that of a negation −1: both are the constant.
	case n.op == opScale || n.op == opNeg:
		y = tape.Fixed(n.da)
	case n.b != nil:
		y = a.at[a.model.place(n.b)]
	}
	if x.IsFixed() && y.IsFixed() {
		// What was computed while the model was built is not computed again in every trial.
		a.at[i] = tape.Fixed(n.value)
		return
	}
	a.at[i] = a.Operation(instructions[n.op], x, y, a.uses[i])
}

// many writes a function of many arguments, or a linear combination. Constant arguments stay
// arguments: f wants all of its x, and folding them into c0 would change the order of a sum and
// with it its last bit.
func (a *assembler) many(i int, n *node, x *many) {
	args := make([]tape.Ref, len(x.args))
	varies := false
	for k, arg := range x.args {
		args[k] = a.at[a.model.place(arg)]
		varies = varies || !args[k].IsFixed()
	}
	switch {
	case !varies:
		a.at[i] = tape.Fixed(n.value)
	case n.op == opCall:
		a.at[i] = a.Call(x.call.f, args, a.uses[i])
	default:
		a.at[i] = a.Linear(x.c0, x.d, args, a.uses[i])
	}
}

// sampler is that of the independent source of a slot. The table of a foreign distribution costs as
// much as thousands of trials: the tapes of one run, with twins and without, share it.
func (m *model) sampler(slot int) variate.Sampler {
	s := m.inputs[slot]
	if _, own := s.dist.(law); own {
		return samplerOf(s)
	}
	found, ok := m.tables[slot]
	if !ok {
		if m.tables == nil {
			m.tables = make(map[int]variate.Sampler)
		}
		found = samplerOf(s)
		m.tables[slot] = found
	}
	return found
}

// samplerOf finds how to draw from an independent source that is uncertain. The parameters a and
// b of a law are those of its kind, see [law].
func samplerOf(s *source) variate.Sampler {
	l, own := s.dist.(law)
	// What is not of this package is known by its quantiles alone.
	if !own {
		return variate.Inversion(s.dist.Quantile, s.u)
	}
	switch l.kind {
	case rectangular:
		return variate.Rectangle(l.x, l.a) // JCGM 101 6.4.2
	case triangular:
		return variate.Triangle(l.x, l.a) // JCGM 101 6.4.5
	case student:
		return variate.StudentT(l.x, l.a, l.dof) // JCGM 101 6.4.9
	// A trapezoid is the sum of two rectangles (JCGM 101 6.4.4): its half-width a is the sum of
	// theirs, half the length of its top, a·b, the difference. For a = 1 and b = 0.5 they are
	// 0.75 and 0.25.
	case trapezoidal:
		return variate.TwoRectangles(l.x, l.a*(1+l.b)/2, l.a*(1-l.b)/2)
	case curvilinear:
		return variate.RandomWidth(l.x, l.a, l.b) // JCGM 101 6.4.3
	case arcsine:
		return variate.Arcsine(l.x, l.a) // JCGM 101 6.4.6
	case exponential:
		return variate.Exponential(l.x) // JCGM 101 6.4.10
	case gamma:
		return variate.Gamma(l.x) // JCGM 101 6.4.11
	default:
		return variate.Normal(l.x, l.a) // JCGM 101 6.4.7
	}
}

// jointOf finds how to draw the given members of a group. Where the group was
// observed n times, n − N degrees of freedom are left for N quantities and the scale
// matrix grows accordingly (JCGM 102 5.3.2.2); a covariance matrix that was stated
// with degrees of freedom, or is known except for one factor, is itself the scale matrix.
// The voltage, current and phase of GUM H.2 have n = 5 and N = 3: ν = 2, and the scale matrix is
// 4/2 = 2 times the covariance matrix of the means. Monte Carlo is wider there than the budget,
// which takes n − 1 = 4 degrees of freedom, and its trials have no standard deviation.
//
// N counts all quantities that were observed, also those that the model does not read: they were
// estimated from the same readings.
func jointOf(members []*source) (*variate.Joint, error) {
	g := members[0].group
	scale, dof := 1.0, g.dof
	if g.observed > 0 {
		// g.dof is n − 1, so that n − N is N − 1 less.
		dof = g.dof - float64(len(g.names)-1)
		// With n ≤ N no degree of freedom is left (JCGM 102 5.3.2.2 asks for n > N).
		if dof < 1 {
			return nil, &Error{Op: "uncertainty.MonteCarlo", Value: g.dof + 1,
				Err: unit.Errorf(ErrObservations,
					"%v joint observations of %d quantities; a multivariate t-distribution "+
						"expects more observations than quantities", g.dof+1, len(g.names))}
		}
		scale = g.dof / dof
	}
	x := make([]float64, len(members))
	c := make([][]float64, len(members))
	for i, s := range members {
		x[i] = s.x
		c[i] = make([]float64, len(members))
		for k, t := range members {
			c[i][k] = g.cov.At(s.index, t.index)
		}
	}
	// Semidefinite is enough: members may depend on each other exactly, and the Cholesky
	// decomposition would refuse them.
	factor := semidefinite.Factor(c)
	for _, row := range factor {
		for k := range row {
			// The factor of a matrix grows with the root of what multiplies the matrix.
			row[k] *= math.Sqrt(scale)
		}
	}
	return variate.NewJoint(x, factor, dof), nil
}

// drawFindings warns of t-distributions that are drawn from and whose moments do not exist, of
// doubtful coverage factors and of readings that are all equal. It reads the tape and not the list
// of inputs, since the instruction alone knows the degrees of freedom of a joint draw, n − N and
// not n − 1.
func (m *model) drawFindings(t *tape.Tape) []error {
	var out []error
	for _, s := range m.inputs {
		if s.equal() { // it does not vary, and may be no draw
			out = append(out, equalReadings("uncertainty.MonteCarlo", s.name))
		}
	}
	for i := range t.Code {
		in := &t.Code[i]
		if in.Op != tape.Draw {
			continue
		}
		// Only what the measurands need is on the tape: other inputs deserve no warning.
		s, dof := m.inputs[in.Stream], math.Inf(1)
		if err := s.suspectFactor(); err != nil {
			out = append(out, err)
		}
		if in.Joint != nil {
			dof = in.Joint.DOF()
		} else if l, ok := s.dist.(law); ok && l.kind == student {
			dof = l.dof
		}
		// Student's distribution has a variance above two degrees of freedom only.
		if dof <= 2 {
			out = append(out, &Error{Op: "uncertainty.MonteCarlo", Name: s.name, Value: dof,
				Err: unit.Errorf(ErrNoMoments,
					"a t-distribution of %s has no standard deviation: that of the trials is "+
						"a matter of chance; only the coverage intervals hold", freedoms(dof))})
		}
	}
	return out
}
