// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/decade"
)

// dialValues are the measured values of every dial and position, for the simple searches
// that the real one is compared with.
func dialValues(b *decade.Box) [][]float64 {
	zero := b.Zero().Value()
	var out [][]float64
	for i, d := range b.Decades() {
		var v []float64
		for p := range d.Positions + 1 {
			s, _ := b.Zero().With(i, p)
			v = append(v, s.Value()-zero)
		}
		out = append(out, v)
	}
	return out
}

// greedy goes dial by dial to the highest value that fits: quick, and often wrong.
func greedy(values [][]float64, ohms float64) float64 {
	for k, v := range values {
		best := 0
		for p, x := range v {
			if x <= ohms || k == len(values)-1 && x-ohms < ohms-v[best] {
				best = p
			}
		}
		ohms -= v[best]
	}
	return math.Abs(ohms)
}

// bruteSums looks at every setting with the sums of the dials before carried along.
func bruteSums(values [][]float64, ohms float64) float64 {
	if len(values) == 0 {
		return math.Abs(ohms)
	}
	least := math.Inf(1)
	if len(values) == 1 {
		for _, x := range values[0] {
			least = min(least, math.Abs(ohms-x))
		}
		return least
	}
	for _, x := range values[0] {
		least = min(least, bruteSums(values[1:], ohms-x))
	}
	return least
}

// twoPointers walks up the sums of one half of the dials and down those of the other.
func twoPointers(upper, lower []float64, ohms float64) float64 {
	least := math.Inf(1)
	for i, k := 0, len(lower)-1; i < len(upper) && k >= 0; {
		d := upper[i] + lower[k] - ohms
		least = min(least, math.Abs(d))
		if d < 0 {
			i++
		} else {
			k--
		}
	}
	return least
}

// scattered is a box of n dials of 0 to 10, measured to 0.1 %.
func scattered(tb testing.TB, n int) *decade.Box {
	return measuredBox(tb, decades(n, 0.01, 10), spread(rand.New(rand.NewPCG(1, 0)), 0.001))
}

// What the search is compared with gives the same answer where it looks at everything, and
// never a better one where it does not.
func TestNearestAgainstSimpleSearches(t *testing.T) {
	for _, n := range []int{4, 5} {
		box := scattered(t, n)
		values, upper, lower := dialValues(box), halfSums(box, 0, 2), halfSums(box, 2, n)
		highest, _ := box.Max()
		r := rand.New(rand.NewPCG(3, 0))
		wrong := 0
		for range 60 {
			ohms := r.Float64() * highest.Value()
			s, err := box.Nearest(ohms)
			if err != nil {
				t.Fatal(err)
			}
			got, allow := math.Abs(s.Value()-ohms), 1e-15*highest.Value()
			if want := bruteSums(values, ohms); math.Abs(got-want) > allow {
				t.Errorf("%d dials, %v Ω: %v is %v Ω off; the best of all is %v Ω", n, ohms, s, got, want)
			}
			if pairs := twoPointers(upper, lower, ohms); math.Abs(got-pairs) > allow {
				t.Errorf("%d dials, %v Ω: %v is %v Ω off; two pointers find %v Ω", n, ohms, s, got, pairs)
			}
			quick := greedy(values, ohms)
			if quick < got-allow {
				t.Errorf("%d dials, %v Ω: %v is %v Ω off; the simple search comes to %v Ω", n, ohms, s, got, quick)
			}
			if quick > got+allow {
				wrong++
			}
		}
		if wrong == 0 {
			t.Errorf("%d dials: the simple search is never wrong; expected values that mislead it", n)
		}
	}
}

// A search by the exact way, by greed, and by a look at everything.
func BenchmarkNearest(b *testing.B) {
	for _, n := range []int{4, 6, 8} {
		box := scattered(b, n)
		values := dialValues(box)
		highest, _ := box.Max()
		r := rand.New(rand.NewPCG(2, 0))
		targets := make([]float64, 1024)
		for i := range targets {
			targets[i] = r.Float64() * highest.Value()
		}
		run := func(impl string, f func(ohms float64)) {
			b.Run(fmt.Sprintf("decades=%d/impl=%s", n, impl), func(b *testing.B) {
				b.ReportAllocs()
				for i := 0; b.Loop(); i++ {
					f(targets[i&1023])
				}
			})
		}
		run("exact", func(ohms float64) { _, _ = box.Nearest(ohms) })
		run("greedy", func(ohms float64) { greedy(values, ohms) })
		run("exact/best=10", func(ohms float64) {
			_, _ = box.NearestN(context.Background(), ohms, decade.Search{N: 10})
		})
		if n <= 6 {
			run("brute", func(ohms float64) { bruteSums(values, ohms) })
		}
	}
	like := measuredBox(b, decades(8, 1, 1), spread(rand.New(rand.NewPCG(1, 0)), 0.001))
	b.Run("decades=8/impl=exact/steps=like", func(b *testing.B) {
		r := rand.New(rand.NewPCG(2, 0))
		for b.Loop() {
			_, _ = like.Nearest(80 * r.Float64())
		}
	})
	upper, lower := halfSums(like, 0, 4), halfSums(like, 4, 8)
	b.Run("decades=8/impl=twopointer/steps=like", func(b *testing.B) {
		r := rand.New(rand.NewPCG(2, 0))
		for b.Loop() {
			twoPointers(upper, lower, 80*r.Float64())
		}
	})
}

func BenchmarkNearestNominal(b *testing.B) {
	for name, spec := range map[string]decade.Spec{"bench": bench(), "shared": school()} {
		b.Run(name, func(b *testing.B) {
			box := box(b, spec)
			for b.Loop() {
				if _, err := box.Nearest(1234.567); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
