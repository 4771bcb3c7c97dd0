// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/num/hyperdual"
)

// twin is a random model in two forms: the graph, and a program on hyperdual numbers,
// which give second derivatives exactly.
type twin struct {
	x    []float64
	code []twinStep
}

type twinStep struct{ op, a, b int }

// newTwin has n inputs and further nodes, each of an operation on earlier ones that is
// smooth everywhere.
func newTwin(rnd *rand.Rand, n, nodes int) twin {
	var w twin
	for range n {
		w.x = append(w.x, 0.5+rnd.Float64())
	}
	for i := n; i < n+nodes; i++ {
		w.code = append(w.code, twinStep{rnd.IntN(9), i - 1 - rnd.IntN(min(i, 4)), rnd.IntN(i)})
	}
	return w
}

func (w twin) graph() Quantity {
	var v []Quantity
	for i, x := range w.x {
		v = append(v, Input(fmt.Sprint("x", i), Normal(x, 0.1)))
	}
	one := Exact(1)
	for _, s := range w.code {
		a, b := v[s.a], v[s.b]
		v = append(v, [...]func() Quantity{
			func() Quantity { return a.Add(b) },
			func() Quantity { return Linear(1, []float64{0.5, -0.25, 1}, []Quantity{a, b, a}) },
			func() Quantity { return Atan(a.Mul(b)) },
			func() Quantity { return a.Div(one.Add(b.Mul(b))) },
			func() Quantity { return Sin(a).Sub(b.Neg()) },
			func() Quantity { return Exp(Cos(a)).Scale(0.5) },
			func() Quantity { return Sqrt(one.Add(a.Mul(a))).Named("root") },
			func() Quantity { return Log(one.Add(one).Add(Sin(b))).Mul(a) },
			func() Quantity { return Pow(one.Add(a.Mul(a)), b.Scale(0.1)) },
		}[s.op]())
	}
	return v[len(v)-1]
}

func (w twin) hyperdual(x []hyperdual.Number) hyperdual.Number {
	v := append([]hyperdual.Number(nil), x...)
	add, mul, scale := hyperdual.Add, hyperdual.Mul, hyperdual.Scale
	real := func(r float64) hyperdual.Number { return hyperdual.Number{Real: r} }
	for _, s := range w.code {
		a, b := v[s.a], v[s.b]
		v = append(v, [...]func() hyperdual.Number{
			func() hyperdual.Number { return add(a, b) },
			func() hyperdual.Number { return add(real(1), add(scale(1.5, a), scale(-0.25, b))) },
			func() hyperdual.Number { return hyperdual.Atan(mul(a, b)) },
			func() hyperdual.Number { return mul(a, hyperdual.Inv(add(real(1), mul(b, b)))) },
			func() hyperdual.Number { return add(hyperdual.Sin(a), b) },
			func() hyperdual.Number { return scale(0.5, hyperdual.Exp(hyperdual.Cos(a))) },
			func() hyperdual.Number { return hyperdual.Sqrt(add(real(1), mul(a, a))) },
			func() hyperdual.Number { return mul(hyperdual.Log(add(real(2), hyperdual.Sin(b))), a) },
			func() hyperdual.Number { // hyperdual.Pow, by its definition
				return hyperdual.Exp(mul(hyperdual.Log(add(real(1), mul(a, a))), scale(0.1, b)))
			},
		}[s.op]())
	}
	return v[len(v)-1]
}

// hessian takes a pass for each pair of inputs.
func (w twin) hessian(at []float64) [][]float64 {
	h := make([][]float64, len(at))
	x := make([]hyperdual.Number, len(at))
	for i := range h {
		h[i] = make([]float64, len(at))
		for k := range h {
			for j, v := range at {
				x[j] = hyperdual.Number{Real: v}
			}
			x[i].E1mag, x[k].E2mag = 1, 1
			h[i][k] = w.hyperdual(x).E1E2mag
		}
	}
	return h
}

// Random models: the second derivatives are those of hyperdual numbers, the third
// those of differences of these.
func TestJetsAgainstHyperdualNumbers(t *testing.T) {
	rnd := rand.New(rand.NewPCG(11, 12))
	for trial := range 200 {
		w := newTwin(rnd, 1+rnd.IntN(5), 1+rnd.IntN(12))
		y := w.graph()
		m, err := compile([]*node{y.n})
		if err != nil {
			t.Fatal(err)
		}
		s, h := newJets(m), w.hessian(w.x)
		size := largestOf(h)
		for j, input := range m.inputs {
			var col int
			fmt.Sscanf(input.name, "x%d", &col)
			second := s.forward(m.place(y.n), direction{slots: []int{j}, step: []float64{1}})
			slope, bend := s.backward(m.place(y.n))
			if math.Abs(second-h[col][col]) > 1e-13*size {
				t.Errorf("model %d: second derivative %v, hyperdual %v", trial, second, h[col][col])
			}
			const step = 1e-4
			x := append([]float64(nil), w.x...)
			for i, other := range m.inputs {
				var row int
				fmt.Sscanf(other.name, "x%d", &row)
				if math.Abs(slope[i]-h[row][col]) > 1e-13*size {
					t.Errorf("model %d: second derivative %v, hyperdual %v", trial, slope[i], h[row][col])
				}
				x[row] = w.x[row] + step
				up := w.hessian(x)[col][col]
				x[row] = w.x[row] - step
				down := w.hessian(x)[col][col]
				x[row] = w.x[row]
				if want := (up - down) / (2 * step); math.Abs(bend[i]-want) > 1e-5*(size+math.Abs(want)) {
					t.Errorf("model %d: third derivative %v, by differences %v", trial, bend[i], want)
				}
			}
		}
	}
}

func largestOf(h [][]float64) float64 {
	size := 1e-3
	for _, row := range h {
		for _, v := range row {
			size = max(size, math.Abs(v))
		}
	}
	return size
}

func TestJetAllocations(t *testing.T) {
	y := productOf([]float64{1, 2, 3, 4, 5, 6, 7})
	m, err := compile([]*node{y.n})
	if err != nil {
		t.Fatal(err)
	}
	s, d, top := newJets(m), m.directions(), m.place(y.n)
	if n := testing.AllocsPerRun(20, func() { s.forward(top, d[3]); s.backward(top) }); n != 0 {
		t.Errorf("%v allocations in the sweeps of a direction, want none", n)
	}
}

// productOf is the model of the benchmark.
func productOf(x []float64) Quantity {
	y := Exact(1)
	for i, v := range x {
		y = y.Mul(Input(productNames[i], Normal(v, 1e-3)))
	}
	return y
}

var productNames = func() (names [70]string) {
	for i := range names {
		names[i] = fmt.Sprint("x", i)
	}
	return names
}()

// hessianByPasses is the baseline of the benchmark: n + 1 gradients, each of the model
// built at a point beside, and their differences.
func hessianByPasses(t testing.TB, x []float64, build func(x []float64) Quantity) [][]float64 {
	gradient := func(x []float64) []float64 {
		m := models.Get().(*model)
		defer m.free()
		y := build(x)
		if err := m.compile(y.n); err != nil {
			t.Fatal(err)
		}
		c, _ := m.backward(y.n)
		return append([]float64(nil), c...)
	}
	middle := gradient(x)
	h := make([][]float64, len(x))
	const step = 1e-6
	for i := range x {
		x[i] += step
		h[i] = gradient(x)
		x[i] -= step
		for k := range h[i] {
			h[i][k] = (h[i][k] - middle[k]) / step
		}
	}
	return h
}

func TestBaselineOfSecondOrder(t *testing.T) {
	x := []float64{1, 1.5, 0.5, 2}
	for i, row := range hessianByPasses(t, x, productOf) {
		for k, got := range row {
			want := 0.0
			if i != k {
				want = 1.5 / (x[i] * x[k])
			}
			if math.Abs(got-want) > 1e-5 {
				t.Errorf("second derivative %d, %d: %v, want %v", i, k, got, want)
			}
		}
	}
}

// impl=jet gives the terms of second order, with third derivatives, from a compiled
// model; impl=passes is the way by gradients, with second derivatives only;
// impl=backward is n + 1 backward passes alone, which give nothing of second order.
func BenchmarkSecondOrder(b *testing.B) {
	for _, n := range []int{7, 70} {
		x := make([]float64, n)
		for i := range x {
			x[i] = 1
		}
		y := productOf(x)
		m, err := compile([]*node{y.n})
		if err != nil {
			b.Fatal(err)
		}
		run := func(impl string, f func()) {
			b.Run(fmt.Sprintf("inputs=%d/impl=%s", n, impl), func(b *testing.B) {
				for b.Loop() {
					f()
				}
			})
		}
		run("jet", func() {
			c, _ := m.backward(y.n)
			m.curvature(y.n, c)
		})
		run("passes", func() { hessianByPasses(b, x, productOf) })
		run("backward", func() {
			for range n + 1 {
				m.backward(y.n)
			}
		})
		run("budget", func() {
			if _, err := SecondOrder(y); err != nil {
				b.Fatal(err)
			}
		})
	}
}
