// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"sort"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/internal/orderstat"
	"example.com/ohmwright/uncertainty/internal/tape"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// skewed is a model of three inputs with a skewed, heavy-tailed result, and a second
// one correlated with it.
func skewed() []Quantity {
	a, b := Input("a", Normal(2, 0.5)), Input("b", Rectangular(1, 0.9))
	c := Input("c", TypeA(1, 2, 4, 3, 5))
	return []Quantity{a.Mul(a).Div(b), c.Add(b)}
}

// oracle makes the same trials, keeps and sorts all of them.
func oracle(t testing.TB, m MonteCarlo, ys []Quantity) [][]float64 {
	t.Helper()
	m, err := m.withDefaults()
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.prepare(ys)
	if err != nil {
		t.Fatal(err)
	}
	s, err := r.keep(t.Context(), 0, m.Trials, chunkSize)
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range s.values {
		sort.Float64s(v)
	}
	return s.values
}

// The streaming run returns the order statistics of a full sort, bit for bit.
func TestStreamEqualsFullSort(t *testing.T) {
	seeds := uint64(1)
	if uncertaintytest.Long() {
		seeds = 3
	}
	for _, p := range []float64{0.5, 0.8, 0.95, 0.99, 0.999} {
		for seed := range seeds {
			m := MonteCarlo{Trials: 50_000 + int(seed), Seed: seed, Coverage: p, Twin: TwinOff}
			sim, err := m.Run(t.Context(), skewed()...)
			if err != nil {
				t.Fatal(err)
			}
			q, r, _ := orderstat.Ranks(m.Trials, p)
			for i, y := range oracle(t, m, skewed()) {
				o := sim.Outputs[i]
				if want := (Interval{Lower: y[r-1], Upper: y[r+q-1]}); o.Symmetric != want {
					t.Errorf("p = %v, output %d: symmetric %v, want %v", p, i, o.Symmetric, want)
				}
				best := Interval{Lower: math.Inf(-1), Upper: math.Inf(1)}
				for k := 0; k+q < len(y); k++ {
					if w := y[k+q] - y[k]; w < best.Width() {
						best = Interval{Lower: y[k], Upper: y[k+q]}
					}
				}
				if o.Shortest != best {
					t.Errorf("p = %v, output %d: shortest %v, want %v", p, i, o.Shortest, best)
				}
			}
		}
	}
}

// The sums are about a mean of the pilot, which is not that of all trials: mean, variance and
// covariance are those of all trials nevertheless.
func TestMomentsOfAStream(t *testing.T) {
	m := MonteCarlo{Trials: 50_000, Seed: 3, Twin: TwinOff}
	ys := skewed()
	ys = append(ys, ys[0].Mul(Exact(2)))
	sim, err := m.Run(t.Context(), ys...)
	if err != nil {
		t.Fatal(err)
	}
	for i, y := range oracle(t, m, ys) {
		mean, variance := stat.MeanVariance(y, nil)
		o := sim.Outputs[i]
		if math.Abs(o.Estimate-mean) > 1e-12*math.Sqrt(variance) ||
			math.Abs(o.StandardUncertainty/math.Sqrt(variance)-1) > 1e-11 ||
			math.Abs(sim.Covariance.At(i, i)/variance-1) > 1e-11 {
			t.Errorf("output %d: mean %v, u %v, variance %v; want %v and %v", i, o.Estimate,
				o.StandardUncertainty, sim.Covariance.At(i, i), mean, variance)
		}
	}
	// The last output is twice the first.
	last := len(ys) - 1
	got, want := sim.Covariance.At(0, last), 2*sim.Covariance.At(0, 0)
	if !(math.Abs(got/want-1) <= 1e-12) {
		t.Errorf("covariance %v; want %v", got, want)
	}
}

// Limits from a pilot that do not hold make the run keep everything, with the same
// result.
func TestStreamNoticesWrongLimits(t *testing.T) {
	m := MonteCarlo{Trials: 50_000, Seed: 9, Twin: TwinOff}
	want, err := m.Run(t.Context(), skewed()...)
	if err != nil {
		t.Fatal(err)
	}
	m, _ = m.withDefaults()
	r, err := m.prepare(skewed())
	if err != nil {
		t.Fatal(err)
	}
	first, err := r.keep(t.Context(), 0, pilotSize, chunkSize)
	if err != nil {
		t.Fatal(err)
	}
	for name, spoil := range map[string]func(s *stream){
		"limit":     func(s *stream) { s.ends[0].Begin(s.pilot[0].sorted, 10, s.Trials) },
		"too small": func(s *stream) { s.ends[1].Begin(s.pilot[1].sorted, 1000, 100) },
	} {
		s := r.newStream(r.explore(first, false))
		spoil(s)
		if sim, err := s.finish(t.Context()); sim != nil || err != nil {
			t.Errorf("%s: %v, %v; want nothing", name, sim, err)
		}
	}
	all, err := r.keep(t.Context(), 0, m.Trials, chunkSize)
	if err != nil {
		t.Fatal(err)
	}
	p := r.explore(first, false)
	got, err := r.stored(all, p)
	if err != nil {
		t.Fatal(err)
	}
	for i := range got.Outputs {
		if got.Outputs[i].Symmetric != want.Outputs[i].Symmetric ||
			got.Outputs[i].Shortest != want.Outputs[i].Shortest {
			t.Errorf("stored: %v, streamed: %v", got.Outputs[i], want.Outputs[i])
		}
	}
}

// randomGraph builds a model of every operation from shared nodes, and the same model
// as a Go function of the draws of its inputs.
func randomGraph(g *rand.Rand, inputs, size int) (Quantity, []Quantity, func(x []float64) float64) {
	type value struct {
		q Quantity
		f func(x []float64) float64
	}
	var pool []value
	var in []Quantity
	for i := range inputs {
		q := Input(fmt.Sprint("x", i), Rectangular(1.5+g.Float64(), 0.2))
		in = append(in, q)
		pool = append(pool, value{q, func(x []float64) float64 { return x[i] }})
	}
	pool = append(pool, value{Exact(1.25), func([]float64) float64 { return 1.25 }})
	pick := func() value { return pool[g.IntN(len(pool))] }
	for range size {
		a, b := pick(), pick()
		var v value
		switch g.IntN(18) {
		case 0:
			v = value{a.q.Add(b.q), func(x []float64) float64 { return a.f(x) + b.f(x) }}
		case 1:
			v = value{a.q.Sub(b.q), func(x []float64) float64 { return a.f(x) - b.f(x) }}
		case 2:
			v = value{a.q.Mul(b.q), func(x []float64) float64 { return a.f(x) * b.f(x) }}
		case 3:
			// The divisor stays away from 0.
			v = value{a.q.Div(b.q.Mul(b.q).Add(Exact(1))), func(x []float64) float64 {
				y := b.f(x)
				return a.f(x) / (float64(y*y) + 1)
			}}
		case 4:
			v = value{a.q.Neg(), func(x []float64) float64 { return -a.f(x) }}
		case 5:
			v = value{a.q.Scale(0.7), func(x []float64) float64 { return 0.7 * a.f(x) }}
		case 6:
			v = value{Sin(a.q).Named("s"), func(x []float64) float64 { return elementary.Sin(a.f(x)) }}
		case 7:
			v = value{Cos(a.q), func(x []float64) float64 { return elementary.Cos(a.f(x)) }}
		case 8:
			v = value{Atan(a.q), func(x []float64) float64 { return elementary.Atan(a.f(x)) }}
		case 9:
			v = value{Exp(Sin(a.q)), func(x []float64) float64 { return elementary.Exp(elementary.Sin(a.f(x))) }}
		case 10:
			v = value{Sqrt(a.q.Mul(a.q)), func(x []float64) float64 { y := a.f(x); return math.Sqrt(y * y) }}
		case 11:
			v = value{Linear(1, []float64{2, -3}, []Quantity{a.q, b.q}), func(x []float64) float64 {
				s := 1 + float64(2*a.f(x))
				return s + float64(-3*b.f(x))
			}}
		case 12:
			v = value{Call("f", func(x []float64) float64 { return x[0] - x[1] }, a.q, b.q),
				func(x []float64) float64 { return a.f(x) - b.f(x) }}
		case 13: // both vary; the base is positive
			v = value{Pow(a.q.Mul(a.q).Add(Exact(1)), Sin(b.q)), func(x []float64) float64 {
				y := a.f(x)
				return elementary.Pow(float64(y*y)+1, elementary.Sin(b.f(x)))
			}}
		case 14:
			v = value{Pow(Exact(1.5), Cos(a.q)), func(x []float64) float64 {
				return elementary.Pow(1.5, elementary.Cos(a.f(x)))
			}}
		case 15:
			v = value{Pow(Exp(Sin(a.q)), Exact(1.5)), func(x []float64) float64 {
				return elementary.Pow(elementary.Exp(elementary.Sin(a.f(x))), 1.5)
			}}
		case 16:
			v = value{Log(a.q.Mul(a.q).Add(Exact(1))).Add(Tan(Atan(b.q))), func(x []float64) float64 {
				y := a.f(x)
				return elementary.Log(float64(y*y)+1) + elementary.Tan(elementary.Atan(b.f(x)))
			}}
		default:
			v = value{Pow(a.q, Exact(2)), func(x []float64) float64 { return elementary.Pow(a.f(x), 2) }}
		}
		if v.q.Err() == nil {
			pool = append(pool, v)
		}
	}
	last := pool[len(pool)-1]
	for range 3 {
		before, v := last, pick()
		last = value{before.q.Add(v.q), func(x []float64) float64 { return before.f(x) + v.f(x) }}
	}
	return last.q, in, last.f
}

// The tape gives the bits of the same formulas in Go, row by row, whatever registers
// it uses again.
func TestTapeEqualsNative(t *testing.T) {
	g := rand.New(rand.NewPCG(11, 12))
	checked := 0
	for range 300 {
		y, in, f := randomGraph(g, 1+g.IntN(4), 3+g.IntN(25))
		if y.Err() != nil {
			continue
		}
		roots := []*node{y.n}
		for _, q := range in {
			roots = append(roots, q.n)
		}
		m, err := compile(roots)
		if err != nil {
			t.Fatal(err)
		}
		written, err := assemble(m, roots)
		if err != nil {
			t.Fatal(err)
		}
		r := run{MonteCarlo: MonteCarlo{Seed: 5}, ys: make([]Quantity, len(roots)), tape: written}
		w := r.worker()
		w.Run(7, tape.BlockSize)
		x := make([]float64, len(in))
		for i := range tape.BlockSize {
			for k := range x {
				x[k] = w.out[k+1][i]
			}
			if want := f(x); w.out[0][i] != want && !(math.IsNaN(want) && math.IsNaN(w.out[0][i])) {
				t.Fatalf("trial %d: tape %v, native %v", i, w.out[0][i], want)
			}
		}
		checked++
	}
	if checked < 200 {
		t.Errorf("%d of 300 graphs checked", checked)
	}
}

// Registers are used again: a long chain needs few.
func TestTapeReusesRegisters(t *testing.T) {
	y := Input("x", Normal(1, 0.1))
	for i := range 5000 {
		y = y.Add(Input(fmt.Sprint("x", i), Normal(0, 0.1))).Mul(Exact(0.999))
	}
	m, err := compile([]*node{y.n})
	if err != nil {
		t.Fatal(err)
	}
	written, err := assemble(m, []*node{y.n})
	if err != nil {
		t.Fatal(err)
	}
	if written.Registers > 3 {
		t.Errorf("%d registers for a chain; want at most 3", written.Registers)
	}
}

// What a run allocates does not grow with its trials beyond the tails.
func TestMemoryOfARun(t *testing.T) {
	if testing.Short() {
		t.Skip("a million trials")
	}
	y := sevenInputs()
	bytes := func(trials int, twin TwinMode) float64 {
		m := MonteCarlo{Trials: trials, Workers: 1, Twin: twin}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		if _, err := m.Run(t.Context(), y); err != nil {
			t.Fatal(err)
		}
		runtime.ReadMemStats(&after)
		return float64(after.TotalAlloc - before.TotalAlloc)
	}
	for _, twin := range []TwinMode{TwinAuto, TwinOff} {
		if perTrial := (bytes(1_200_000, twin) - bytes(200_000, twin)) / 1e6; perTrial > 2 {
			t.Errorf("twin %v: %.2f bytes a trial; want at most 2", twin, perTrial)
		}
	}
}

// The draws of a seed are part of what is promised: these bits hold on every
// processor (JCGM 101 asks for repeatable runs in 6.1.2 of its annex C).
func TestBitsOfASeed(t *testing.T) {
	sum := func(v []float64) uint64 {
		h := uint64(14695981039346656037)
		for _, x := range v {
			h = (h ^ math.Float64bits(x)) * 1099511628211
		}
		return h
	}
	for name, want := range goldenBits {
		d, ok := everyLaw()[name]
		if !ok {
			t.Fatalf("no distribution %q", name)
		}
		if got := sum(draws(t, name, d, 20_000)); got != want {
			t.Errorf("%q: %#016x, // want %#016x", name, got, want)
		}
	}
	c := mat.NewSymDense(3, []float64{1, 0.5, 0.2, 0.5, 2, -0.3, 0.2, -0.3, 1})
	q := JointSource{Names: []string{"a", "b", "c"}, Estimates: []float64{1, 2, 3}, Covariance: c, DOF: 5}.Inputs()
	y := q[0].Mul(q[1]).Div(Sqrt(q[2].Mul(q[2]).Add(Exact(1)))).Sub(Sum(q...))
	var all []float64
	for _, v := range oracle(t, MonteCarlo{Trials: 20_000, Seed: 77}, []Quantity{y, q[0]}) {
		all = append(all, v...)
	}
	if got := sum(all); got != goldenJoint {
		t.Errorf("joint: %#016x, want %#016x", got, uint64(goldenJoint))
	}
}

const goldenJoint = 0xbef41e5aafabca4d

var goldenBits = map[string]uint64{
	"normal":      0x5d054db66f947a99,
	"rectangular": 0x3df049c46d26201a,
	"triangular":  0x47a5729dd7ed0da5,
	"arcsine":     0x6bfae92b64b1f17c,
	"trapezoidal": 0xdc37e8a9e13a0da5,
	"curvilinear": 0xa792dcfa70902c14,
	"exponential": 0xd294eb540f63412c,
	"counts 0":    0xa57aaf1e759edd52,
	"counts 7":    0x2af67992c59710b2,
	"type A":      0x0f3dcced85ab9336,
	"t 0.5":       0xf9d8ca5614036382,
	"t 1.7":       0x749cdb0c2b44e3a4,
	"t 25":        0xd52214bad40f63c9,
	"t 1000":      0x6e6b8f3b8cd329be,
	"t 1001":      0x9f0036d133481c33,
}

// How the characteristic function of a curve falls is told from the curve alone: a turn, an edge,
// steps, or none of these.
func TestFallOfCurves(t *testing.T) {
	curve := func(f func(x float64) float64) (v []float64) {
		for i := range 257 {
			v = append(v, f(float64(i-128)/20))
		}
		return v
	}
	for _, c := range []struct {
		name    string
		values  []float64
		bounded bool
		want    float64
	}{
		{"exponential", curve(math.Exp), false, math.Inf(1)},
		{"exponential of a bounded input", curve(math.Exp), true, 1},
		{"square", curve(func(x float64) float64 { return x * x }), false, 0.5},
		{"square of a bounded input", curve(func(x float64) float64 { return x * x }), true, 0.5},
		{"rounded", curve(func(x float64) float64 { return math.Round(2 * x) }), false, 0},
		{"one step", curve(func(x float64) float64 { return math.Copysign(1, x) }), false, math.Inf(1)},
	} {
		if got := fallOf(c.values, c.bounded); got != c.want {
			t.Errorf("%s: %v; want %v", c.name, got, c.want)
		}
	}
}
