// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// blockSize is the number of trials that go through the tape at once: columns of
// that size stay in the first-level cache.
const blockSize = 256

// machine runs a tape, block by block. Each worker has one.
type machine struct {
	*tape
	seed  uint64
	regs  [][]float64
	draws generator
	drawn [][]float64 // columns of a joint draw
	row   []float64   // arguments of a Call
	stop  *stopper    // asks a slow Call to end early
}

func newMachine(t *tape, seed uint64, stop *stopper) machine {
	m := machine{
		tape: t, seed: seed, regs: make([][]float64, t.registers),
		drawn: make([][]float64, t.mostDrawn), row: make([]float64, t.mostArgs), stop: stop,
	}
	slab := make([]float64, t.registers*blockSize)
	for i := range m.regs {
		m.regs[i] = slab[i*blockSize : (i+1)*blockSize : (i+1)*blockSize]
	}
	return m
}

// run makes the first n trials of a block; the registers hold the outputs until the
// next run.
func (m *machine) run(block, n int) {
	for i := range m.code {
		m.step(&m.code[i], block, n)
	}
}

func (m *machine) step(in *instruction, block, n int) {
	switch in.op {
	case opInput:
		m.draws = blockGenerator(m.seed, in.stream, block)
		if in.joint == nil {
			in.draw.fill(m.regs[in.dst][:n], &m.draws)
			return
		}
		drawn := m.drawn[:len(in.dsts)]
		for i, r := range in.dsts {
			drawn[i] = m.regs[r][:n]
		}
		in.joint.fill(drawn, m.regs[m.scratch][:n], &m.draws)
	case opCall:
		m.call(in, n)
	case opLinear:
		m.linear(in, n)
	default:
		dst := m.regs[in.dst][:n]
		switch {
		case in.b.isFixed():
			rightConstant(in.op, dst, m.regs[in.a.register][:n], in.b.value)
		case in.a.isFixed():
			leftConstant(in.op, dst, in.a.value, m.regs[in.b.register][:n])
		default:
			bothColumns(in.op, dst, m.regs[in.a.register][:n], m.regs[in.b.register][:n])
		}
	}
}

// linear adds in the order in which Linear does.
func (m *machine) linear(in *instruction, n int) {
	dst := m.regs[in.dst][:n]
	fillConstant(dst, in.many.c0)
	for k, r := range in.args {
		c := in.many.d[k]
		if r.isFixed() {
			v := float64(c * r.value)
			for i := range dst {
				dst[i] += v
			}
			continue
		}
		a := m.regs[r.register][:len(dst)]
		for i := range dst {
			dst[i] += float64(c * a[i])
		}
	}
}

// call asks a user's function row by row; each row is written afresh.
func (m *machine) call(in *instruction, n int) {
	dst := m.regs[in.dst][:n]
	x := m.row[:len(in.args)]
	for i := range dst {
		if m.stop.stopped() {
			return
		}
		for k, r := range in.args {
			if r.isFixed() {
				x[k] = r.value
			} else {
				x[k] = m.regs[r.register][i]
			}
		}
		dst[i] = in.many.f(x)
	}
}
