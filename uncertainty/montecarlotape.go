// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"slices"
	"sync"
)

// A tape is a model as a list of instructions that each work on whole columns: a
// block of trials at once. Columns are registers, used again as soon as their last
// reader is done. What does not depend on an uncertain input is a constant.
type tape struct {
	code      []instruction
	registers int
	scratch   int   // of joint draws, or -1
	outputs   []ref // one for each measurand
	mostArgs  int   // of a Call
	mostDrawn int   // together
}

// ref is a register, or a constant where the register is -1.
type ref struct {
	register int
	value    float64
}

func fixedAt(v float64) ref { return ref{-1, v} }
func (r ref) isFixed() bool { return r.register < 0 }

type instruction struct {
	op   op
	dst  int
	a, b ref

	stream int // of random numbers
	draw   sampler
	joint  *jointSampler
	dsts   []int // of joint

	args []ref
	many *many
}

// assembler writes a tape.
type assembler struct {
	*tape
	m     *model
	at    []ref   // of each node
	reads []int   // by register: readers to come
	free  []int   // registers
	uses  []int   // by node: how often it is read
	drawn []bool  // by slot
	total []int   // by slot: readers of all nodes of the source
	slots [][]int // by slot: those drawn together
	where []ref   // by slot
}

// assemblers keeps their memory.
var assemblers = sync.Pool{New: func() any { return new(assembler) }}

func (a *assembler) begin(m *model, outputs int) {
	nodes, inputs := len(m.nodes), len(m.inputs)
	*a = assembler{
		tape: &tape{scratch: -1, code: make([]instruction, 0, nodes), outputs: make([]ref, 0, outputs)}, m: m,
		at: cleared(a.at, nodes), reads: a.reads[:0], free: a.free[:0], uses: cleared(a.uses, nodes),
		drawn: cleared(a.drawn, inputs), total: cleared(a.total, inputs), slots: cleared(a.slots, inputs), where: cleared(a.where, inputs),
	}
}

// done gives the memory back; it holds no model or tape alive.
func (a *assembler) done() {
	a.tape, a.m = nil, nil
	clear(a.slots)
	if cap(a.at) <= largest {
		assemblers.Put(a)
	}
}

// assemble writes the tape of a model for the given measurands.
func assemble(m *model, roots []*node) (*tape, error) {
	a := assemblers.Get().(*assembler)
	defer a.done()
	a.begin(m, len(roots))
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
		a.outputs = append(a.outputs, a.at[m.place(root)])
	}
	return a.tape, nil
}

// take returns a free register for a value that is read n times.
func (a *assembler) take(n int) int {
	if k := len(a.free); k > 0 {
		r := a.free[k-1]
		a.free = a.free[:k-1]
		a.reads[r] = n
		return r
	}
	a.reads = append(a.reads, n)
	a.registers++
	return a.registers - 1
}

// release counts one reader of a register.
func (a *assembler) release(r ref) {
	if r.isFixed() {
		return
	}
	a.reads[r.register]--
	if a.reads[r.register] == 0 {
		a.free = append(a.free, r.register)
	}
}

func (a *assembler) node(i int, n *node) error {
	switch n.op {
	case opExact:
		a.at[i] = fixedAt(n.value)
	case opInput:
		return a.input(i)
	case opNamed:
		// The same register under another node: its readers come on top.
		r := a.at[a.m.place(n.a)]
		a.at[i] = r
		if !r.isFixed() {
			a.reads[r.register] += a.uses[i]
			a.release(r)
		}
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
		a.where[slot], a.drawn[slot] = fixedAt(s.x), true
		return nil
	case together == nil:
		r := a.take(a.total[slot])
		a.where[slot], a.drawn[slot] = ref{register: r}, true
		a.code = append(a.code, instruction{op: opInput, dst: r, stream: slot, draw: samplerOf(s)})
		return nil
	}
	members := make([]*source, len(together))
	in := instruction{op: opInput, stream: slot}
	for k, i := range together {
		members[k] = a.m.inputs[i]
		r := a.take(a.total[i])
		a.where[i], a.drawn[i] = ref{register: r}, true
		in.dsts = append(in.dsts, r)
	}
	a.mostDrawn = max(a.mostDrawn, len(together))
	if a.scratch < 0 {
		a.scratch = a.take(1) // never released
	}
	var err error
	in.joint, err = newJoint(members)
	a.code = append(a.code, in)
	return err
}

// operation folds what is constant and writes an instruction for the rest. The
// target may be the register of an operand that is read for the last time: element i
// is read before it is written.
func (a *assembler) operation(i int, n *node) {
	in := instruction{op: n.op}
	x, isMany := n.aux.(*many)
	if isMany {
		in.many = x
		for _, arg := range x.args {
			in.args = append(in.args, a.at[a.m.place(arg)])
		}
		a.mostArgs = max(a.mostArgs, len(in.args))
	} else {
		in.a, in.b = a.at[a.m.place(n.a)], fixedAt(0)
		switch n.op {
		case opScale, opNeg:
			in.op, in.b = opMul, fixedAt(n.da)
		}
		if n.b != nil {
			in.b = a.at[a.m.place(n.b)]
		}
	}
	if in.fixed() {
		a.at[i] = fixedAt(n.value)
		return
	}
	if isMany {
		in.dst = a.take(a.uses[i]) // must not be an argument
		for _, r := range in.args {
			a.release(r)
		}
	} else {
		a.release(in.a)
		if n.b != nil {
			a.release(in.b)
		}
		in.dst = a.take(a.uses[i])
	}
	a.at[i] = ref{register: in.dst}
	a.code = append(a.code, in)
}

// fixed tells whether no operand varies.
func (in *instruction) fixed() bool {
	if in.many != nil {
		return !slices.ContainsFunc(in.args, func(r ref) bool { return !r.isFixed() })
	}
	return in.a.isFixed() && in.b.isFixed()
}
