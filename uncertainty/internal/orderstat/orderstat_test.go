// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package orderstat

import (
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"sync"
	"testing"
)

// sortedByKey is a sort by comparison.
func sortedByKey(x []float64) []float64 {
	want := slices.Clone(x)
	sort.Slice(want, func(i, k int) bool {
		a, b := want[i], want[k]
		return a < b || a == b && math.Signbit(a) && !math.Signbit(b)
	})
	return want
}

func sameBits(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return math.Float64bits(x) == math.Float64bits(y) })
}

func TestSort(t *testing.T) {
	g := rand.New(rand.NewPCG(7, 8))
	laws := map[string]func() float64{
		"normal": g.NormFloat64, "zeros": func() float64 { return 0 * (g.Float64() - 0.5) },
		"whole": func() float64 { return math.Floor(3 * g.NormFloat64()) }, "tiny": func() float64 { return 1e-310 * g.NormFloat64() },
		"huge": func() float64 { return 1e306 * g.NormFloat64() }, "narrow": func() float64 { return 10000.053 + 1e-9*g.Float64() },
		"heavy":       func() float64 { return math.Pow(g.Float64(), -40) * math.Copysign(1, g.NormFloat64()) },
		"one outlier": func() float64 { return 1 + 1e-13*g.Float64() - 1e300*math.Floor(g.Float64()+0.0005) },
		"negative":    func() float64 { return -1 - g.ExpFloat64() },
	}
	for name, draw := range laws {
		for _, n := range []int{0, 1, 2, 255, 256, 257, 10_000} {
			x := make([]float64, n)
			for i := range x {
				x[i] = draw()
			}
			want := sortedByKey(x)
			if Sort(x, make([]float64, n), nil); !sameBits(x, want) {
				t.Errorf("%s: %d numbers are not in order", name, n)
			}
		}
	}
}

// The words of the input are numbers, repeated often enough to pass the limit of the
// short sort.
func FuzzSort(f *testing.F) {
	f.Add([]byte{}, uint16(0))
	f.Add([]byte{0, 0, 0, 0, 0, 0, 0, 0x80, 0, 0, 0, 0, 0, 0, 0, 0}, uint16(300)) // ±0
	// Least and largest.
	f.Add([]byte{1, 0, 0, 0, 0, 0, 0, 0, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xef, 0xff}, uint16(777))
	f.Fuzz(func(t *testing.T, words []byte, n uint16) {
		x := make([]float64, n%2048)
		for i := range x {
			var w uint64
			for k := range min(8, len(words)) {
				w |= uint64(words[(8*i+k)%len(words)]) << (8 * uint(k))
			}
			if v := math.Float64frombits(w + uint64(i/64)); v-v == 0 {
				x[i] = v
			}
		}
		want := sortedByKey(x)
		if Sort(x, make([]float64, len(x)), nil); !sameBits(x, want) {
			t.Fatalf("%v, want %v", x, want)
		}
	})
}

// What is kept beyond the limits is what a loop with branches keeps.
func FuzzOutside(f *testing.F) {
	f.Add(uint64(1), -1.0, 1.0)
	f.Add(uint64(2), 0.5, 0.5)  // a value at both limits is kept twice
	f.Add(uint64(3), 2.0, -2.0) // all are
	f.Add(uint64(4), math.Inf(-1), math.Inf(1))
	f.Fuzz(func(t *testing.T, seed uint64, below, above float64) {
		const block = 256
		column, low, high := make([]float64, block), make([]float64, block), make([]float64, block)
		g := rand.New(rand.NewPCG(seed, 1))
		for i := range column {
			column[i] = math.Round(16*g.Float64()-8) / 4
		}
		var wantLow, wantHigh []float64
		for _, v := range column {
			if v <= below {
				wantLow = append(wantLow, v)
			}
			if v >= above {
				wantHigh = append(wantHigh, v)
			}
		}
		if l, h := outside(column, below, above, low, high); !sameBits(low[:l], wantLow) ||
			!sameBits(high[:h], wantHigh) {
			t.Fatalf("%v and %v, want %v and %v", low[:l], high[:h], wantLow, wantHigh)
		}
	})
}

func TestSortStops(t *testing.T) {
	x := make([]float64, 1000)
	for i := range x {
		x[i] = float64(-i)
	}
	Sort(x, make([]float64, len(x)), func() bool { return true })
	if x[1] != -1 {
		t.Error("sorted although it was to stop")
	}
}

func TestRanks(t *testing.T) {
	for _, c := range []struct {
		trials int
		p      float64
		q, r   int
		ok     bool
	}{
		{1_000_000, 0.95, 950_000, 25_000, true}, {100, 0.95, 95, 3, true}, {101, 0.95, 96, 3, true},
		{40, 0.95, 38, 1, true}, {20, 0.95, 19, 1, true}, {10, 0.95, 10, 0, false}, {0, 0.95, 0, 0, false}, {1, 0.2, 0, 1, false},
	} {
		q, r, ok := Ranks(c.trials, c.p)
		if q != c.q || r != c.r || ok != c.ok {
			t.Errorf("Ranks(%d, %v) = %d, %d, %v", c.trials, c.p, q, r, ok)
		}
	}
}

// The ends of values that several goroutines hand over give the intervals of a full sort,
// bit for bit; limits that do not hold are noticed.
func TestEndsAgainstFullSort(t *testing.T) {
	const n, block, workers = 50_000, 256, 4
	g := rand.New(rand.NewPCG(31, 32))
	for _, p := range []float64{0.5, 0.8, 0.95, 0.999} {
		x := make([]float64, n)
		for i := range x {
			x[i] = g.NormFloat64() * g.ExpFloat64()
		}
		pilot := sortedByKey(x[:8192])
		rank, ok := PilotRank(len(pilot), p)
		if !ok {
			if p > 0.5 {
				t.Errorf("p = %v: no rank in a pilot of %d", p, len(pilot))
			}
			continue
		}
		collect := func(pilot []float64, rank, trials int) (Trials, bool) {
			var e Ends
			e.Begin(pilot, rank, trials)
			var wait sync.WaitGroup
			for w := range workers {
				wait.Go(func() {
					buffers := NewBuffers(1, block)
					for at := w * block; at < n; at += workers * block {
						e.Collect(x[at:min(n, at+block)], &buffers[0])
					}
					e.Flush(&buffers[0])
				})
			}
			wait.Wait()
			return e.Trials(n)
		}
		got, ok := collect(pilot, rank, n)
		all := sortedByKey(x)
		want := Trials{n, all, all}
		q, r, _ := Ranks(n, p)
		if !ok || !got.Reaches(n-q) {
			t.Fatalf("p = %v: the limits do not hold", p)
		}
		Sort(got.Low, make([]float64, n), nil)
		Sort(got.High, make([]float64, n), nil)
		if got.Symmetric(p) != want.Symmetric(p) || got.Symmetric(p) != (Interval{all[r-1], all[r+q-1]}) {
			t.Errorf("p = %v: symmetric %v, want %v", p, got.Symmetric(p), want.Symmetric(p))
		}
		if got.Shortest(p) != want.Shortest(p) {
			t.Errorf("p = %v: shortest %v, want %v", p, got.Shortest(p), want.Shortest(p))
		}
		if got.Spread(r) != want.Spread(r) {
			t.Errorf("p = %v: spread %v, want %v", p, got.Spread(r), want.Spread(r))
		}
		if _, ok := collect(pilot, rank, n/100); ok {
			t.Errorf("p = %v: a hundredth of the room is enough", p)
		}
		low := slices.Clone(pilot)
		for i := range low {
			low[i] -= 100
		}
		if got, ok := collect(low, rank, 1e6); ok && got.Reaches(n-q) {
			t.Errorf("p = %v: limits far below reach the ranks", p)
		}
	}
}

// The shortest interval against every interval of as many trials, and quantiles by rank.
func TestTrials(t *testing.T) {
	x := []float64{0, 1, 2, 3, 4, 5, 6, 20, 40, 80}
	o := Trials{len(x), x, x}
	if got, want := o.Shortest(0.6), (Interval{0, 6}); got != want {
		t.Errorf("shortest %v, want %v", got, want)
	}
	if got, want := o.Symmetric(0.6), (Interval{1, 20}); got != want {
		t.Errorf("symmetric %v, want %v", got, want)
	}
	for p, want := range map[float64]float64{0.001: 0, 0.3: 2, 0.5: 4, 0.999: 80} {
		if got := o.Quantile(p); got != want {
			t.Errorf("quantile %v is %v, want %v", p, got, want)
		}
	}
	// One binomial standard deviation of ten trials at rank 5 is 1.6 ranks, two rounded.
	if got, want := o.Spread(5), (6-2)/2.0; got != want {
		t.Errorf("spread %v, want %v", got, want)
	}
}
