// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Branch and bound, the tables of pairs and a look at everything find the same settings in
// the same order, of nominal values with their ties and of scattered ones.
func TestFinderThreeWays(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 0))
	for trial := range 150 {
		var s Spec
		ratio := []float64{1, 2, 3, 10}[r.IntN(4)]
		for i := range 2 + r.IntN(4) {
			s.Decades = append(s.Decades, Decade{
				Name: fmt.Sprint(i), Step: math.Pow(ratio, float64(i)), Positions: 1 + r.IntN(6), Switch: []string{"", "", "A"}[r.IntN(3)],
			})
		}
		b, err := New(s)
		if err != nil {
			t.Fatal(err)
		}
		if trial%2 == 0 {
			for _, dial := range b.values.dials {
				for p := range dial {
					dial[p] *= 1 + 0.01*r.NormFloat64()
				}
			}
			b.measured = &measured{}
			b.finder = newFinder(b, nil)
		}
		f := b.finder
		f.pairs = newPairs(f)
		for i := range 10 {
			target := f.low[0] + int64(r.Float64()*1.1*float64(f.high[0]-f.low[0]))
			if i%2 == 0 { // on a sum, or midway between two: as many ties as there can be
				one, two := f.randomSum(r), f.randomSum(r)
				target = []int64{one, (one + two) / 2, one + 2}[r.IntN(3)]
			}
			n := 1 + r.IntN(30)
			var lists [2][]match
			for i := range lists {
				q := candidates{finder: f, list: make([]match, 0, n), worst: math.MaxInt64}
				f.by([]string{"branch", "pairs"}[i], target, &q)
				lists[i] = q.list
			}
			want := f.all(b, target)
			want = want[:min(n, len(want))]
			if !slices.Equal(lists[0], want) || !slices.Equal(lists[1], want) {
				t.Fatalf("trial %d, %d nearest: branch and bound %v, pairs %v; want %v", trial, n, lists[0], lists[1], want)
			}
		}
	}
}

// randomSum is that of a setting at random.
func (f *finder) randomSum(r *rand.Rand) int64 {
	total := int64(0)
	for _, g := range f.groups {
		total += g.totals[r.IntN(len(g.totals))]
	}
	return total
}

// all sorts every setting by distance and dials.
func (f *finder) all(b *Box, target int64) []match {
	var out []match
	for s := range b.Settings() {
		total := int64(0)
		for i := range s.box.NumDecades() {
			total += f.value(b, i, s.positions.at(i))
		}
		out = append(out, match{max(total-target, target-total), s.positions})
	}
	slices.SortFunc(out, func(x, y match) int {
		if x.distance != y.distance {
			if x.distance < y.distance {
				return -1
			}
			return 1
		}
		return b.search.compare(x.positions, y.positions)
	})
	return out
}

// One best and ten best by either way, without the checks around a search.
func BenchmarkFinder(b *testing.B) {
	for _, n := range []int{4, 6, 8} {
		f := scattered(b, n)
		r := rand.New(rand.NewPCG(2, 0))
		targets := make([]int64, 1024)
		for i := range targets {
			targets[i] = f.low[0] + int64(r.Float64()*float64(f.high[0]-f.low[0]))
		}
		for _, way := range []string{"branch", "pairs"} {
			for _, best := range []int{1, 10} {
				b.Run(fmt.Sprintf("decades=%d/way=%s/best=%d", n, way, best), func(b *testing.B) {
					b.ReportAllocs()
					list, work := make([]match, 0, best), 0
					for i := 0; b.Loop(); i++ {
						q := candidates{finder: f, list: list, worst: math.MaxInt64}
						f.by(way, targets[i&1023], &q)
						work += q.work
					}
					b.ReportMetric(float64(work)/float64(b.N), "work/op")
				})
			}
		}
	}
}

// scattered is the search among n dials of 0 to 10 that are measured to 0.1 %.
func scattered(tb testing.TB, n int) *finder {
	tb.Helper()
	var s Spec
	for i := range n {
		s.Decades = append(s.Decades, Decade{Step: math.Pow10(i)})
	}
	b, err := New(s)
	if err != nil {
		tb.Fatal(err)
	}
	r := rand.New(rand.NewPCG(1, 0))
	for _, dial := range b.values.dials {
		for p := range dial {
			dial[p] *= 1 + 0.001*(2*r.Float64()-1)
		}
	}
	b.measured = &measured{}
	f := newFinder(b, nil)
	f.pairs = newPairs(f)
	return f
}

// by searches one way alone.
func (f *finder) by(way string, target int64, q *candidates) {
	w := walk{finder: f, candidates: q, budget: mostWork, leaf: noLeaf}
	if way == "pairs" {
		w.leaf = f.pairs.first
	}
	w.from(0, target, positions{})
}
