// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"sync"

	"example.com/ohmwright/uncertainty/internal/semidefinite"
	"example.com/ohmwright/uncertainty/internal/tape"
	"example.com/ohmwright/uncertainty/internal/variate"
	"example.com/ohmwright/uncertainty/unit"
)

// assembler writes the tape of a model. What does not depend on an uncertain input becomes
// a constant.
type assembler struct {
	tape.Builder
	m     *model
	at    []tape.Ref // of each node
	uses  []int      // by node: how often it is read
	drawn []bool     // by slot
	total []int      // by slot: readers of all nodes of the source
	slots [][]int    // by slot: those drawn together
	where []tape.Ref // by slot

	twins []twinModel // whose values are outputs after those of the measurands
	sums  []tape.Ref  // of them
}

// assemblers keeps their memory.
var assemblers = sync.Pool{New: func() any { return new(assembler) }}

func (a *assembler) begin(m *model, outputs int) {
	nodes, inputs := len(m.nodes), len(m.inputs)
	a.Begin(nodes, outputs)
	a.m = m
	a.at, a.uses = cleared(a.at, nodes), cleared(a.uses, nodes)
	a.drawn, a.total, a.slots, a.where = cleared(a.drawn, inputs), cleared(a.total,
		inputs), cleared(a.slots, inputs), cleared(a.where, inputs)
}

// free gives the memory back; it holds no model alive.
func (a *assembler) free() {
	a.m, a.twins = nil, nil
	clear(a.slots)
	if cap(a.at) <= largest {
		assemblers.Put(a)
	}
}

// assemble writes the tape of a model for the given measurands, and for twins of theirs.
func assemble(m *model, roots []*node, twins ...twinModel) (*tape.Tape, error) {
	a := assemblers.Get().(*assembler)
	defer a.free()
	a.begin(m, len(roots)+len(twins))
	a.twins, a.sums = twins, a.sums[:0]
	for range twins {
		a.sums = append(a.sums, tape.None)
	}
	for _, g := range m.groups {
		for _, i := range g.slots {
			a.slots[i] = g.slots
		}
	}
	for _, n := range m.nodes {
		for i := 0; n.argument(i) != nil; i++ {
			a.uses[m.place(n.argument(i))]++
		}
	}
	for _, root := range roots {
		a.uses[m.place(root)]++ // never falls to 0: outputs stay
	}
	for i, slot := range m.slot {
		if slot >= 0 {
			a.total[slot] += a.uses[i]
		}
	}
	for i, n := range m.nodes {
		if err := a.node(i, n); err != nil {
			return nil, err
		}
	}
	for _, root := range roots {
		a.Output(a.at[m.place(root)])
	}
	for _, sum := range a.sums {
		a.Output(sum)
	}
	return a.Finish(), nil
}

func (a *assembler) node(i int, n *node) error {
	switch n.op {
	case opExact:
		a.at[i] = tape.Fixed(n.value)
	case opInput:
		return a.input(i)
	case opNamed:
		// The same register under another node: its readers come on top.
		a.at[i] = a.at[a.m.place(n.a)]
		a.Rename(a.at[i], a.uses[i])
	default:
		a.operation(i, n)
	}
	return nil
}

// input draws a source at its first node.
func (a *assembler) input(i int) error {
	slot := a.m.slot[i]
	if !a.drawn[slot] {
		if err := a.draw(slot); err != nil {
			return err
		}
	}
	a.at[i] = a.where[slot]
	return nil
}

func (a *assembler) draw(slot int) error {
	s := a.m.inputs[slot]
	together := a.slots[slot]
	switch {
	case s.u == 0 && together == nil:
		a.where[slot], a.drawn[slot] = tape.Fixed(s.x), true
		return nil
	case together == nil:
		a.where[slot], a.drawn[slot] = a.Draw(slot, samplerOf(s), a.total[slot]), true
		a.addEffects(slot)
		return nil
	}
	members := make([]*source, len(together))
	readers := make([]int, len(together))
	for k, i := range together {
		members[k], readers[k] = a.m.inputs[i], a.total[i]
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

// addEffects adds what has just been drawn to the twins, while it is at hand.
func (a *assembler) addEffects(slot int) {
	for i, t := range a.twins {
		for k := range t.effects {
			if e := &t.effects[k]; e.slot == slot {
				a.sums[i] = a.Accumulate(a.sums[i], a.where[slot], &e.Effect)
			}
		}
	}
}

// instructions are those of the operations of nodes.
var instructions = [...]tape.Op{
	opAdd: tape.Add, opSub: tape.Sub, opMul: tape.Mul, opDiv: tape.Div, opNeg: tape.Mul,
	opScale: tape.Mul, opPow: tape.Pow,
	opSqrt: tape.Sqrt, opExp: tape.Exp, opLog: tape.Log, opSin: tape.Sin, opCos: tape.Cos,
	opTan:  tape.Tan,
	opAsin: tape.Asin, opAcos: tape.Acos, opAtan: tape.Atan,
}

// operation folds what is constant and writes an instruction for the rest.
func (a *assembler) operation(i int, n *node) {
	if x, ok := n.aux.(*many); ok {
		a.many(i, n, x)
		return
	}
	x, y := a.at[a.m.place(n.a)], tape.Fixed(0)
	switch {
	case n.op == opScale || n.op == opNeg:
		y = tape.Fixed(n.da)
	case n.b != nil:
		y = a.at[a.m.place(n.b)]
	}
	if x.IsFixed() && y.IsFixed() {
		a.at[i] = tape.Fixed(n.value)
		return
	}
	a.at[i] = a.Operation(instructions[n.op], x, y, a.uses[i])
}

func (a *assembler) many(i int, n *node, x *many) {
	args := make([]tape.Ref, len(x.args))
	varies := false
	for k, arg := range x.args {
		args[k] = a.at[a.m.place(arg)]
		varies = varies || !args[k].IsFixed()
	}
	switch {
	case !varies:
		a.at[i] = tape.Fixed(n.value)
	case n.op == opCall:
		a.at[i] = a.Call(x.f, args, a.uses[i])
	default:
		a.at[i] = a.Linear(x.c0, x.d, args, a.uses[i])
	}
}

// samplerOf finds how to draw from an independent source that is uncertain.
func samplerOf(s *source) variate.Sampler {
	l, own := s.dist.(law)
	if !own {
		return variate.Inversion(s.dist.Quantile, s.u)
	}
	switch l.kind {
	case rectangular:
		return variate.Rectangle(l.x, l.a)
	case triangular:
		return variate.Triangle(l.x, l.a)
	case student:
		return variate.StudentT(l.x, l.a, l.dof)
	case trapezoidal:
		return variate.TwoRectangles(l.x, l.a*(1+l.b)/2, l.a*(1-l.b)/2)
	case curvilinear:
		return variate.RandomWidth(l.x, l.a, l.b)
	case arcsine:
		return variate.Arcsine(l.x, l.a)
	case exponential:
		return variate.Exponential(l.x)
	case gamma:
		return variate.Gamma(l.x)
	default:
		return variate.Normal(l.x, l.a)
	}
}

// jointOf finds how to draw the given members of a group. Where the group was
// observed n times, n − N degrees of freedom are left for N quantities and the scale
// matrix grows accordingly (JCGM 102 5.3.2.2); a covariance matrix that was stated
// with degrees of freedom, or is known except for one factor, is itself the scale matrix.
func jointOf(members []*source) (*variate.Joint, error) {
	g := members[0].group
	scale, dof := 1.0, g.dof
	if g.observed > 0 {
		dof = g.dof - float64(len(g.names)-1)
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
	factor := semidefinite.Factor(c)
	for _, row := range factor {
		for k := range row {
			row[k] *= math.Sqrt(scale)
		}
	}
	return variate.NewJoint(x, factor, dof), nil
}

// drawFindings warns of t-distributions that are drawn from and whose moments do not
// exist, and of doubtful coverage factors.
func (m *model) drawFindings(t *tape.Tape) []error {
	var out []error
	for i := range t.Code {
		in := &t.Code[i]
		if in.Op != tape.Draw {
			continue
		}
		s, dof := m.inputs[in.Stream], math.Inf(1)
		if err := s.suspectFactor(); err != nil {
			out = append(out, err)
		}
		if in.Joint != nil {
			dof = in.Joint.DOF()
		} else if l, ok := s.dist.(law); ok && l.kind == student {
			dof = l.dof
		}
		if dof <= 2 {
			out = append(out, &Error{Op: "uncertainty.MonteCarlo", Name: s.name, Value: dof,
				Err: unit.Errorf(ErrNoMoments,
					"a t-distribution of %s has no standard deviation: that of the trials "+
						"depends on chance, the coverage intervals hold", freedoms(dof))})
		}
	}
	return out
}
