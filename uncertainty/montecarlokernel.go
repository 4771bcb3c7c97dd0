// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"math/rand/v2"
	"sync/atomic"
)

// blockSize is the number of trials that go through the tape at once: columns of
// that size stay in the first-level cache.
const blockSize = 256

// machine runs a tape, block by block. Each worker has one.
type machine struct {
	*tape
	seed  uint64
	regs  [][]float64
	pcg   rand.PCG
	drawn [][]float64  // columns of a joint draw
	row   []float64    // arguments of a Call
	stop  *atomic.Bool // asks a slow Call to end early
}

func newMachine(t *tape, seed uint64, stop *atomic.Bool) *machine {
	m := &machine{
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
		reseed(&m.pcg, m.seed, in.stream, block)
		if in.joint == nil {
			in.draw.fill(m.regs[in.dst][:n], &m.pcg)
			return
		}
		drawn := m.drawn[:len(in.dsts)]
		for i, r := range in.dsts {
			drawn[i] = m.regs[r][:n]
		}
		in.joint.fill(drawn, m.regs[m.scratch][:n], &m.pcg)
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

func bothColumns(o op, dst, a, b []float64) {
	a, b = a[:len(dst)], b[:len(dst)]
	switch o {
	case opAdd:
		for i := range dst {
			dst[i] = a[i] + b[i]
		}
	case opSub:
		for i := range dst {
			dst[i] = a[i] - b[i]
		}
	case opMul:
		for i := range dst {
			dst[i] = a[i] * b[i]
		}
	case opDiv:
		for i := range dst {
			dst[i] = a[i] / b[i]
		}
	case opPow:
		for i := range dst {
			dst[i] = math.Pow(a[i], b[i])
		}
	}
}

// rightConstant also does the functions of one argument.
func rightConstant(o op, dst, a []float64, b float64) {
	a = a[:len(dst)]
	switch o {
	case opAdd:
		for i := range dst {
			dst[i] = a[i] + b
		}
	case opSub:
		for i := range dst {
			dst[i] = a[i] - b
		}
	case opMul:
		for i := range dst {
			dst[i] = a[i] * b
		}
	case opDiv:
		for i := range dst {
			dst[i] = a[i] / b
		}
	case opPow:
		raise(dst, a, b)
	case opSqrt:
		for i := range dst {
			dst[i] = math.Sqrt(a[i])
		}
	default:
		f := elementary[o]
		for i := range dst {
			dst[i] = f(a[i])
		}
	}
}

var elementary = [...]func(float64) float64{
	opExp: math.Exp, opLog: math.Log, opSin: math.Sin, opCos: math.Cos, opTan: math.Tan,
	opAsin: math.Asin, opAcos: math.Acos, opAtan: math.Atan,
}

// raise squares without math.Pow, which gives the same bits.
func raise(dst, a []float64, b float64) {
	a = a[:len(dst)]
	if b == 2 {
		for i := range dst {
			dst[i] = a[i] * a[i]
		}
		return
	}
	for i := range dst {
		dst[i] = math.Pow(a[i], b)
	}
}

func leftConstant(o op, dst []float64, a float64, b []float64) {
	b = b[:len(dst)]
	switch o {
	case opAdd:
		for i := range dst {
			dst[i] = a + b[i]
		}
	case opSub:
		for i := range dst {
			dst[i] = a - b[i]
		}
	case opMul:
		for i := range dst {
			dst[i] = a * b[i]
		}
	case opDiv:
		for i := range dst {
			dst[i] = a / b[i]
		}
	case opPow:
		for i := range dst {
			dst[i] = math.Pow(a, b[i])
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
		if m.stop.Load() {
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
