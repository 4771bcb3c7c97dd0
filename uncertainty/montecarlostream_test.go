// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sync/atomic"
	"testing"

	"example.com/ohmwright/uncertainty/internal/orderstat"
	"example.com/ohmwright/uncertainty/internal/tape"
	"example.com/ohmwright/uncertainty/internal/variate"
)

// sevenInputs is a comparison with a standard: two normal, three rectangular, one
// triangular input and one of four degrees of freedom.
func sevenInputs() Quantity {
	in := func(name string, d Distribution) Quantity { return Input(name, d) }
	rs := in("Rs", Normal(10000.053, 0.0025)).Add(in("dRd", Rectangular(0.020, 0.010))).Add(
		in("dRts", Rectangular(0, 0.00275)))
	r := in("r", StudentT(1.0000105, 0.7e-7, 4)).Add(in("dr", Normal(0, 1e-8)))
	return rs.Mul(in("rc", Triangular(1, 1e-6))).Mul(r).Sub(in("dRtx", Rectangular(0, 0.0055)))
}

func prepared(t testing.TB, m MonteCarlo, ys ...Quantity) *run {
	t.Helper()
	m, err := m.withDefaults()
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.prepare(ys)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// narrow makes a stream keep no more than the symmetric interval needs, or what the
// shortest one needs too.
func narrow(t testing.TB, r *run, symmetricOnly bool) *stream {
	first, err := r.keep(t.Context(), 0, pilotSize, chunkSize)
	if err != nil {
		t.Fatal(err)
	}
	s := r.newStream(r.explore(first, true))
	if symmetricOnly {
		sorted := s.pilot[0].sorted
		n, tail := float64(len(sorted)), (1-r.Coverage)/2
		k := int(n*tail+6*math.Sqrt(n*tail)) + 6
		s.ends[0].Begin(sorted, k, r.Trials)
	}
	return s
}

func endPoints(t testing.TB, s *stream, symmetricOnly bool) (symmetric, shortest Interval) {
	if err := s.sweep(t.Context(), 0, s.Trials, chunkSize, s); err != nil {
		t.Fatal(err)
	}
	trials, _ := s.ends[0].Trials(s.total.n)
	room := make([]float64, max(len(trials.Low), len(trials.High)))
	orderstat.Sort(trials.Low, room, nil)
	orderstat.Sort(trials.High, room, nil)
	if !symmetricOnly {
		i := trials.Shortest(s.Coverage)
		shortest = Interval{Lower: i.Lower, Upper: i.Upper}
	}
	i := trials.Symmetric(s.Coverage)
	return Interval{Lower: i.Lower, Upper: i.Upper}, shortest
}

// What the benchmark of the intervals compares gives the end points of a run.
func TestSymmetricIntervalAlone(t *testing.T) {
	m := MonteCarlo{Trials: 100_000, Seed: 2, Twin: TwinOff}
	sim, err := m.Run(t.Context(), sevenInputs())
	if err != nil {
		t.Fatal(err)
	}
	for _, only := range []bool{true, false} {
		symmetric, shortest := endPoints(t, narrow(t, prepared(t, m, sevenInputs()), only), only)
		if o := sim.Outputs[0]; symmetric != o.Symmetric || !only && shortest != o.Shortest {
			t.Errorf("%v and %v; want %v and %v", symmetric, shortest, o.Symmetric, o.Shortest)
		}
	}
}

func BenchmarkMonteCarloInterval(b *testing.B) {
	for _, only := range []bool{true, false} {
		b.Run("interval="+map[bool]string{true: "symmetric", false: "shortest"}[only], func(b *testing.B) {
			for b.Loop() {
				endPoints(b, narrow(b, prepared(b, MonteCarlo{Workers: 1}, sevenInputs()), only), only)
			}
		})
	}
}

// The floor of a run of a million trials: seven columns of uniform numbers, and the
// draws of the seven inputs.
func BenchmarkMonteCarloDraws(b *testing.B) {
	r := prepared(b, MonteCarlo{}, sevenInputs())
	column := make([]float64, tape.BlockSize)
	blocks := r.Trials / tape.BlockSize
	uniform := variate.Rectangle(0, 1)
	b.Run("impl=uniform", func(b *testing.B) {
		for b.Loop() {
			for block := range blocks {
				for stream := range 7 {
					g := variate.BlockGenerator(0, stream, block)
					uniform.Fill(column, &g)
				}
			}
		}
	})
	b.Run("impl=draws", func(b *testing.B) {
		for b.Loop() {
			for block := range blocks {
				for i := range r.tape.Code {
					if in := &r.tape.Code[i]; in.Op == tape.Draw {
						g := variate.BlockGenerator(0, in.Stream, block)
						in.Sampler.Fill(column, &g)
					}
				}
			}
		}
	})
}

// countdown ends a context after some blocks, and counts all.
type countdown struct {
	left   atomic.Int64
	blocks atomic.Int64
	end    context.CancelFunc
}

func (c *countdown) visitor() visitor { return c }
func (c *countdown) leave(chunk)      {}
func (c *countdown) visit(chunk, [][]float64) {
	c.blocks.Add(1)
	if c.left.Add(-1) == 0 {
		c.end()
	}
}

// The context is asked after every block: once it is done, each worker ends at most
// the block that it is at.
func TestCancelWithinABlock(t *testing.T) {
	const blocks = 50
	for _, workers := range []int{1, 2, 8} {
		ctx, cancel := context.WithCancel(t.Context())
		r := prepared(t, MonteCarlo{Workers: workers}, sevenInputs())
		r.done = ctx.Done()
		c := &countdown{end: cancel}
		c.left.Store(blocks)
		if err := r.sweep(ctx, 0, r.Trials, chunkSize, c); !errors.Is(err, context.Canceled) {
			t.Errorf("%d workers: error %v", workers, err)
		}
		if n := int(c.blocks.Load()); n < blocks || n >= blocks+2*workers {
			t.Errorf("%d workers: %d blocks, canceled after %d", workers, n, blocks)
		}
	}
}

// Neither the number of trials nor that of chunks adds allocations.
func TestAllocationsOfARun(t *testing.T) {
	allocations := func(trials int) float64 {
		return testing.AllocsPerRun(5, func() {
			if _, err := (MonteCarlo{Trials: trials, Workers: 1, Twin: TwinOff}).Run(t.Context(),
				sevenInputs()); err != nil {
				t.Fatal(err)
			}
		})
	}
	inputs := testing.AllocsPerRun(5, func() { _ = fmt.Sprint(sevenInputs().Err()) })
	few, many := allocations(20_000), allocations(300_000)
	if many > few+15 || many-inputs > 70 { // pools that a collection empties are filled again
		t.Errorf("%v allocations for 20 000 trials, %v for 300 000, of them %v for the inputs", few, many, inputs)
	}
}

// A scaling has its origin at the mean, and its unit is the power of two next above the spread
// without the outermost two in a thousand: wherever the values lie, and however small they are.
func TestScalingOfValues(t *testing.T) {
	for _, n := range []int{2, 5, 999, 1000, 3000} {
		for _, offset := range []float64{-1, -1e-3, 0, 1e-3, 1} {
			for _, exponent := range []int{-900, -50, 0, 900} {
				values := make([]float64, n)
				for i := range values {
					values[i] = math.Ldexp(offset+math.Ldexp(float64(i), -40), exponent)
				}
				if n >= 1000 { // one far trial
					values[n-1] = math.Ldexp(1, exponent+8)
				}
				r := newScaling(values)
				cut := n / 1000
				want, _ := math.Frexp(float64(n - 1 - 2*cut))
				if got := r.at(values[n-1-cut]) - r.at(values[cut]); math.Abs(got-want) > 1e-3 {
					t.Errorf("%d values about %v·2^%d: a spread of %v; want %v", n, offset,
						exponent, got, want)
				}
				sum, size := 0.0, 0.0
				for _, v := range values {
					sum += r.at(v)
					size += math.Abs(r.at(v))
				}
				if !(math.Abs(sum) <= 1e-3*size) {
					t.Errorf("%d values about %v·2^%d: the sum of distances is %v of %v", n,
						offset, exponent, sum, size)
				}
			}
		}
	}
}
