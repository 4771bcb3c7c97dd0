// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package tape

import "example.com/ohmwright/uncertainty/internal/variate"

// BlockSize is the number of trials that go through the tape at once: columns of that size, 2 kB,
// stay in the first-level cache, sixteen of them in 32 kB. It is a part of the results: the random
// numbers of a block begin anew, so that another size would give other trials.
const BlockSize = 256

// A Machine runs a tape, block by block. It serves one goroutine.
type Machine struct {
	tape    *Tape             // shared by all machines of a run
	seed    uint64            // of the run
	columns [][]float64       // registers
	draws   variate.Generator // of the block and the source that is being drawn
	drawn   [][]float64       // columns of a joint draw
	row     []float64         // arguments of a Call
	stopped func() bool       // asks whether a slow Call should end early
}

// NewMachine returns a machine with columns of its own. A nil stopped never ends a run.
func NewMachine(t *Tape, seed uint64, stopped func() bool) Machine {
	m := Machine{
		tape: t, seed: seed, columns: make([][]float64, t.Registers),
		drawn: make([][]float64, t.mostDrawn), row: make([]float64, t.mostArgs), stopped: stopped,
	}
	// One slab, so that columns lie side by side.
	slab := make([]float64, t.Registers*BlockSize)
	for i := range m.columns {
		// With its capacity limited, so that no column grows into the next.
		m.columns[i] = slab[i*BlockSize : (i+1)*BlockSize : (i+1)*BlockSize]
	}
	return m
}

// Column returns the column of a register. It holds the value of an output from one run
// to the next.
func (m *Machine) Column(register int) []float64 { return m.columns[register] }

// Outputs writes the columns of the outputs to dst: registers, or columns of constants.
func (m *Machine) Outputs(dst [][]float64) {
	for i, o := range m.tape.Outputs {
		if o.IsFixed() {
			dst[i] = make([]float64, BlockSize)
			// A column of its own: a constant has no register.
			fillColumn(dst[i], o.Value)
		} else {
			dst[i] = m.columns[o.Register]
		}
	}
}

// Run makes the first n trials of a block.
func (m *Machine) Run(block, n int) {
	for i := range m.tape.Code {
		m.Step(&m.tape.Code[i], block, n)
	}
}

// Step does one instruction for the first n trials of a block; the rest of the columns keeps what
// it had.
func (m *Machine) Step(in *Instruction, block, n int) {
	switch in.Op {
	case Draw:
		// The generator depends on seed, stream and block alone, so that any machine can make any
		// block.
		m.draws = variate.BlockGenerator(m.seed, in.Stream, block)
		if in.Joint == nil {
			in.Sampler.Fill(m.columns[in.dst][:n], &m.draws)
			return
		}
		drawn := m.drawn[:len(in.dsts)]
		for i, r := range in.dsts {
			drawn[i] = m.columns[r][:n]
		}
		in.Joint.Fill(drawn, m.columns[m.tape.scratch][:n], &m.draws)
	case Call:
		m.call(in, n)
	case Linear:
		m.linear(in, n)
	case Accumulate:
		dst := m.columns[in.dst][:n]
		// The first effect of a sum finds an old value in the register.
		if in.begins {
			clear(dst)
		}
		in.effect.add(dst, m.columns[in.a.Register][:n])
	default:
		dst := m.columns[in.dst][:n]
		// Two constants are folded by the builder's user.
		switch {
		case in.b.IsFixed():
			rightConstant(in.Op, dst, m.columns[in.a.Register][:n], in.b.Value)
		case in.a.IsFixed():
			leftConstant(in.Op, dst, in.a.Value, m.columns[in.b.Register][:n])
		default:
			bothColumns(in.Op, dst, m.columns[in.a.Register][:n], m.columns[in.b.Register][:n])
		}
	}
}

// linear adds term after term, beginning with the constant.
func (m *Machine) linear(in *Instruction, n int) {
	dst := m.columns[in.dst][:n]
	// In the order of the formula: the order of a sum is part of its bits.
	fillColumn(dst, in.many.constant)
	for k, r := range in.many.args {
		c := in.many.factors[k]
		if r.IsFixed() {
			// As for a varying argument, so that folding changes no bit.
			v := float64(c * r.Value)
			for i := range dst {
				dst[i] += v
			}
			continue
		}
		a := m.columns[r.Register][:len(dst)]
		for i := range dst {
			dst[i] += float64(c * a[i])
		}
	}
}

// call asks a user's function row by row; each row is written afresh.
func (m *Machine) call(in *Instruction, n int) {
	dst := m.columns[in.dst][:n]
	x := m.row[:len(in.many.args)]
	for i := range dst {
		// A slow function ends the block early; the run then drops it.
		if m.stopped != nil && m.stopped() {
			return
		}
		for k, r := range in.many.args {
			if r.IsFixed() {
				x[k] = r.Value
			} else {
				x[k] = m.columns[r.Register][i]
			}
		}
		dst[i] = in.many.function(x)
	}
}
