// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/num/dual"
	"gonum.org/v1/gonum/num/hyperdual"
)

// gradientCase is one model of n inputs in the forms that are compared: the graph, a
// plain function and a closure tree for finite differences, and dual numbers.
type gradientCase struct {
	x       []float64
	graph   Quantity
	plain   func(x []float64) float64
	closure closure
	dual    func(x []dual.Number) dual.Number
}

// newGradientCase is Σ x[i]·x[i+1]/(x[i] + 3): sums, products and quotients of
// neighbours.
func newGradientCase(t testing.TB, n int) gradientCase {
	t.Helper()
	c := gradientCase{x: make([]float64, n)}
	qs := make([]Quantity, n)
	for i := range c.x {
		c.x[i] = 1 + float64(i%7)/8
		qs[i] = Input(fmt.Sprint("x", i), Normal(c.x[i], 0.01))
	}
	c.graph = Exact(0)
	text, names := "0", make([]string, n)
	for i := range n {
		names[i] = qs[i].Name()
	}
	for i := range n - 1 {
		text += fmt.Sprintf(" + x%d*x%d/(x%d + 3)", i, i+1, i)
		c.graph = c.graph.Add(qs[i].Mul(qs[i+1]).Div(qs[i].Add(Exact(3))))
	}
	c.closure = newClosure(t, text, names)
	c.plain = func(x []float64) float64 {
		var sum float64
		for i := range n - 1 {
			sum += x[i] * x[i+1] / (x[i] + 3)
		}
		return sum
	}
	c.dual = func(x []dual.Number) dual.Number {
		var sum dual.Number
		for i := range n - 1 {
			d := dual.Add(x[i], dual.Number{Real: 3})
			sum = dual.Add(sum, dual.Mul(dual.Mul(x[i], x[i+1]), dual.Inv(d)))
		}
		return sum
	}
	return c
}

// dualGradient takes one pass for each input.
func (c gradientCase) dualGradient(dst []float64, x []dual.Number) {
	for i, v := range c.x {
		x[i] = dual.Number{Real: v}
	}
	for i := range x {
		x[i].Emag = 1
		dst[i] = c.dual(x).Emag
		x[i].Emag = 0
	}
}

func TestGradientAgreesWithDualNumbers(t *testing.T) {
	for _, n := range []int{7, 200} {
		c := newGradientCase(t, n)
		m, err := compile([]*node{c.graph.n})
		if err != nil {
			t.Fatal(err)
		}
		if y := c.graph.Estimate(); c.plain(c.x) != y || c.closure(c.x) != y {
			t.Errorf("n = %d: estimate %v, plain %v, closures %v", n, y, c.plain(c.x), c.closure(c.x))
		}
		got, _ := m.backward(c.graph.n)
		want := make([]float64, n)
		c.dualGradient(want, make([]dual.Number, n))
		for i := range want {
			if math.Abs(got[i]-want[i]) > 1e-15*math.Abs(want[i]) {
				t.Errorf("n = %d: derivative %d is %v, want %v", n, i, got[i], want[i])
			}
		}
		// The baselines of the benchmark, to the accuracy of differences.
		for name, f := range map[string]func([]float64) float64{"function": c.plain, "closures": c.closure} {
			for i, d := range fd.Gradient(nil, f, c.x, &fd.Settings{Formula: fd.Central}) {
				if math.Abs(d-want[i]) > 1e-5*math.Abs(want[i]) {
					t.Errorf("n = %d: derivative %d by differences of the %s is %v, want %v", n, i, name, d, want[i])
				}
			}
		}
	}
}

func TestGradientAllocations(t *testing.T) {
	for _, n := range []int{7, 200} {
		c := newGradientCase(t, n)
		m, err := compile([]*node{c.graph.n})
		if err != nil {
			t.Fatal(err)
		}
		if allocs := testing.AllocsPerRun(100, func() { m.backward(c.graph.n) }); allocs != 0 {
			t.Errorf("n = %d: %v allocations in a backward pass, want none", n, allocs)
		}
	}
}

// Random models of every kind of operation.
func TestGradientAgainstHyperdualNumbers(t *testing.T) {
	rnd := rand.New(rand.NewPCG(31, 32))
	for trial := range 500 {
		w := newTwin(rnd, 1+rnd.IntN(6), 1+rnd.IntN(15))
		y := w.graph()
		m, err := compile([]*node{y.n})
		if err != nil {
			t.Fatal(err)
		}
		got, _ := m.backward(y.n)
		want, size := make([]float64, len(w.x)), 0.0
		x := make([]hyperdual.Number, len(w.x))
		for i := range x {
			for k, v := range w.x {
				x[k] = hyperdual.Number{Real: v}
			}
			x[i].E1mag = 1
			r := w.hyperdual(x)
			want[i], size = r.E1mag, max(size, math.Abs(r.E1mag))
			if math.Abs(y.Estimate()-r.Real) > 1e-14*(1+math.Abs(r.Real)) {
				t.Errorf("model %d: estimate %v, hyperdual %v", trial, y.Estimate(), r.Real)
			}
		}
		for i, input := range m.inputs {
			var at int
			fmt.Sscanf(input.name, "x%d", &at)
			if math.Abs(got[i]-want[at]) > 1e-13*size {
				t.Errorf("model %d: derivative %v, hyperdual %v", trial, got[i], want[at])
			}
		}
	}
}

// A pass over a model of many measurands, which leaves out what is not below the one
// asked for, gives the bits of a pass over each alone.
func TestGradientOfOneAmongMany(t *testing.T) {
	c := newGradientCase(t, 20)
	x := Input("other", Rectangular(2, 0.1))
	ys := []Quantity{x.Mul(c.graph), c.graph, Exp(x).Div(Sqrt(c.graph)), x}
	many, err := EvaluateAll(ys...)
	if err != nil {
		t.Fatal(err)
	}
	for i, y := range ys {
		alone, err := Evaluate(y)
		if err != nil {
			t.Fatal(err)
		}
		if len(alone.Components) != len(many.Budgets[i].Components) {
			t.Fatalf("measurand %d: %d components among many, %d alone", i,
				len(many.Budgets[i].Components), len(alone.Components))
		}
		for k, row := range alone.Components {
			at := slices.IndexFunc(many.Budgets[i].Components, func(o Component) bool { return o.Name == row.Name })
			if at < 0 || many.Budgets[i].Components[at].Sensitivity != row.Sensitivity {
				t.Errorf("measurand %d: component %d is %+v alone, %+v among many", i, k, row,
					many.Budgets[i].Components)
			}
		}
	}
}

// The budget of seven inputs costs a handful of allocations: what it returns.
func TestEvaluateAllocations(t *testing.T) {
	c := newGradientCase(t, 7)
	if allocs := testing.AllocsPerRun(100, func() {
		if _, err := Evaluate(c.graph); err != nil {
			t.Fatal(err)
		}
	}); allocs > 12 {
		t.Errorf("%v allocations, want at most 12", allocs)
	}
}

func BenchmarkGradient(b *testing.B) {
	for _, n := range []int{7, 200} {
		c := newGradientCase(b, n)
		dst := make([]float64, n)
		b.Run(fmt.Sprintf("n=%d/impl=graph", n), func(b *testing.B) {
			m, err := compile([]*node{c.graph.n})
			if err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				m.backward(c.graph.n)
			}
		})
		b.Run(fmt.Sprintf("n=%d/impl=fd", n), func(b *testing.B) {
			for b.Loop() {
				fd.Gradient(dst, c.plain, c.x, &fd.Settings{Formula: fd.Central})
			}
		})
		b.Run(fmt.Sprintf("n=%d/impl=closure-fd", n), func(b *testing.B) {
			for b.Loop() {
				fd.Gradient(dst, c.closure, c.x, &fd.Settings{Formula: fd.Central})
			}
		})
		b.Run(fmt.Sprintf("n=%d/impl=closure-value", n), func(b *testing.B) {
			for b.Loop() {
				c.closure(c.x)
			}
		})
		b.Run(fmt.Sprintf("n=%d/impl=dual", n), func(b *testing.B) {
			x := make([]dual.Number, n)
			for b.Loop() {
				c.dualGradient(dst, x)
			}
		})
	}
}
