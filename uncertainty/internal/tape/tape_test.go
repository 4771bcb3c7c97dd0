// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package tape

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/internal/variate"
)

// value is one result of a random program: how to compute it in Go, and how often it is
// read. Where it stands on the tape is found while the tape is written.
type value struct {
	op       Op
	x, y     int // values before, or −1 for the constant
	constant float64
	f        func(in []float64) float64
	readers  int
}

var twoArguments = map[Op]func(x, y float64) float64{
	Add: func(x, y float64) float64 { return x + y }, Sub: func(x, y float64) float64 { return x - y },
	Mul: func(x, y float64) float64 { return x * y }, Div: func(x, y float64) float64 { return x / y }, Pow: elementary.Pow,
}

var oneArgument = map[Op]func(x float64) float64{
	Sqrt: math.Sqrt, Exp: elementary.Exp, Log: elementary.Log, Sin: elementary.Sin, Cos: elementary.Cos, Tan: elementary.Tan, Asin: elementary.Asin, Acos: elementary.Acos, Atan: elementary.Atan,
}

// program makes random values on top of some inputs. NaN is as good a number as any.
func program(g *rand.Rand, inputs, size int) []value {
	var v []value
	for i := range inputs {
		v = append(v, value{op: Draw, f: func(in []float64) float64 { return in[i] }})
	}
	for range size {
		w := value{op: Op(1 + g.IntN(int(Call))), x: g.IntN(len(v)), y: g.IntN(len(v)), constant: 0.5 + 2*g.Float64()}
		a, b, c := v[w.x].f, v[w.y].f, w.constant
		switch side := g.IntN(3); {
		case w.op == Linear:
			w.f = func(in []float64) float64 {
				s := c + float64(2*a(in))
				s += float64(-3 * b(in))
				return s + float64(4*c)
			}
		case w.op == Call:
			w.f = func(in []float64) float64 { return a(in) - b(in) + c }
		case oneArgument[w.op] != nil:
			f := oneArgument[w.op]
			w.y, w.f = -1, func(in []float64) float64 { return f(a(in)) }
		case side == 0:
			f := twoArguments[w.op]
			w.y, w.f = -1, func(in []float64) float64 { return f(a(in), c) }
		case side == 1:
			f := twoArguments[w.op]
			w.x, w.f = -1, func(in []float64) float64 { return f(c, b(in)) }
		default:
			f := twoArguments[w.op]
			w.f = func(in []float64) float64 { return f(a(in), b(in)) }
		}
		for _, k := range []int{w.x, w.y} {
			if k >= 0 {
				v[k].readers++
			}
		}
		v = append(v, w)
	}
	return v
}

// write makes the tape of a program whose outputs are the inputs and the last value.
func write(v []value, inputs int) *Tape {
	var b Builder
	b.Begin(len(v), inputs+1)
	at := make([]Ref, len(v))
	ref := func(k int, c float64) Ref {
		if k < 0 {
			return Fixed(c)
		}
		return at[k]
	}
	for i, w := range v {
		readers := w.readers
		if i < inputs || i == len(v)-1 {
			readers++
		}
		switch w.op {
		case Draw:
			at[i] = b.Draw(i, variate.Rectangle(1.5, 1), readers)
		case Linear:
			at[i] = b.Linear(w.constant, []float64{2, -3, 4}, []Ref{at[w.x], at[w.y], Fixed(w.constant)}, readers)
		case Call:
			at[i] = b.Call(func(x []float64) float64 { return x[0] - x[1] + x[2] },
				[]Ref{at[w.x], at[w.y], Fixed(w.constant)}, readers)
		default:
			at[i] = b.Operation(w.op, ref(w.x, w.constant), ref(w.y, w.constant), readers)
		}
	}
	for i := range inputs {
		b.Output(at[i])
	}
	b.Output(at[len(v)-1])
	return b.Finish()
}

// Random programs have the bits of the same formulas in Go, row by row, whatever
// registers they use again and however many trials the block has.
func TestTapeAgainstNative(t *testing.T) {
	g := rand.New(rand.NewPCG(51, 52))
	for range 400 {
		inputs := 1 + g.IntN(4)
		v := program(g, inputs, 1+g.IntN(30))
		written := write(v, inputs)
		m := NewMachine(written, 7, nil)
		n := 1 + g.IntN(BlockSize)
		m.Run(3, n)
		out := make([][]float64, inputs+1)
		m.Outputs(out)
		in := make([]float64, inputs)
		for i := range n {
			for k := range in {
				in[k] = out[k][i]
			}
			got, want := out[inputs][i], v[len(v)-1].f(in)
			if math.Float64bits(got) != math.Float64bits(want) && !(math.IsNaN(got) && math.IsNaN(want)) {
				t.Fatalf("trial %d: %v, native %v, last operation %d", i, got, want, v[len(v)-1].op)
			}
		}
	}
}

// An output that is a constant has a column too.
func TestConstantOutput(t *testing.T) {
	var b Builder
	b.Begin(0, 1)
	b.Output(Fixed(2.5))
	m := NewMachine(b.Finish(), 0, nil)
	m.Run(0, BlockSize)
	out := make([][]float64, 1)
	m.Outputs(out)
	if len(out[0]) != BlockSize || out[0][0] != 2.5 || out[0][BlockSize-1] != 2.5 {
		t.Errorf("%v", out[0])
	}
}

// Quantities drawn together lie in the order of their readers, beside others, and a
// renamed value has its readers counted again.
func TestJointAndRename(t *testing.T) {
	var b Builder
	b.Begin(4, 3)
	at := make([]Ref, 2)
	b.DrawJoint(5, variate.NewJoint([]float64{10, 20}, [][]float64{{1, 0}, {1, 0}}, math.Inf(1)), []int{2, 1}, at)
	b.Rename(at[0], 2)
	sum := b.Operation(Sub, at[0], at[1], 1)
	b.Operation(Mul, sum, Fixed(0), 1)
	b.Output(at[0])
	b.Output(sum)
	m := NewMachine(b.Finish(), 1, nil)
	m.Run(0, 50)
	for i := range 50 {
		x := m.Column(at[0].Register)[i]
		if !(x > 0 && x < 20) || x == 10 {
			t.Fatalf("trial %d: %v", i, x)
		}
	}
}

// Registers are used again: a long chain needs two, and one more for a column that is
// read while it is written.
func TestRegistersAreUsedAgain(t *testing.T) {
	var b Builder
	b.Begin(0, 1)
	y := b.Draw(0, variate.Normal(0, 1), 1)
	for i := range 1000 {
		y = b.Operation(Add, y, b.Draw(i+1, variate.Normal(0, 1), 1), 1)
		y = b.Linear(0, []float64{0.5}, []Ref{y}, 1)
	}
	b.Output(y)
	if n := b.Finish().Registers; n > 2 {
		t.Errorf("%d registers for a chain; want 2", n)
	}
}

// A call that takes long is asked after every trial whether it should end.
func TestCallStops(t *testing.T) {
	calls := 0
	var b Builder
	b.Begin(2, 1)
	x := b.Draw(0, variate.Normal(0, 1), 1)
	b.Output(b.Call(func([]float64) float64 { calls++; return 1 }, []Ref{x}, 1))
	m := NewMachine(b.Finish(), 0, func() bool { return calls == 10 })
	if m.Run(0, BlockSize); calls != 10 {
		t.Errorf("%d calls after it was stopped at 10", calls)
	}
}

// A run allocates nothing.
func TestRunAllocations(t *testing.T) {
	v := program(rand.New(rand.NewPCG(1, 1)), 3, 40)
	m := NewMachine(write(v, 3), 7, nil)
	if n := testing.AllocsPerRun(20, func() { m.Run(0, BlockSize) }); n != 0 {
		t.Errorf("%v allocations, want none", n)
	}
}
