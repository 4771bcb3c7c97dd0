// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The target by digits against the target by rational arithmetic.
func TestDecimalTarget(t *testing.T) {
	b, err := New(Spec{Decades: []Decade{{Step: 1000}, {Step: 0.1}, {Step: 0.025}}})
	if err != nil {
		t.Fatal(err)
	}
	large, err := New(Spec{Decades: []Decade{{Step: 1e9}, {Step: 1e8}}})
	if err != nil {
		t.Fatal(err)
	}
	values := []float64{0, 0.1, 0.3, 0.0005, 0.00049999, 0.00050001, 1e-5, 5e-324, 1e-30, 1e-19,
		1e-15, 10001, 10001.25, 10001.251, 10002, 1e15, 1e22, 1e23, math.MaxFloat64,
		123456789012345678, 5e7, 1.5e8, 1e8, 1.1e10, 1.11e10}
	r := rand.New(rand.NewPCG(1, 0))
	for range 5000 {
		values = append(values, r.Float64()*11000, math.Exp(100*(r.Float64()-0.5)), float64(r.IntN(1e6))/1e4)
	}
	for _, f := range []*search{b.search, large.search} {
		for _, v := range values {
			got, whole := f.target(v)
			want, wantWhole := f.rationalTarget(product(decimal(v), f.unit))
			if got != want || whole != wantWhole {
				t.Errorf("target(%v) = %v, %v; want %v, %v", v, got, whole, want, wantWhole)
			}
		}
	}
}

// What is remembered as having nothing of interest holds for the dials off zero it was found
// with, and only where nothing counted. The last dial shares a switch with the first: no sum
// with the first off zero is odd, and without it the same remainders have every answer. The
// number of answers is that of the ways to draw a sum of 9 from nine dials of 0 to 2, by
// adding one dial after the other.
func TestRememberedRemainders(t *testing.T) {
	spec := Spec{Decades: []Decade{{Name: "first", Step: 2, Positions: 2, Switch: "A"}}}
	ways := []int{1}
	for i := range 9 {
		dial := Decade{Name: string(rune('a' + i)), Step: 2, Positions: 2}
		spec.Decades = append(spec.Decades, dial)
		next := make([]int, len(ways)+2)
		for sum, n := range ways {
			for p := range 3 {
				next[sum+p] += n
			}
		}
		ways = next
	}
	spec.Decades = append(spec.Decades, Decade{Name: "last", Step: 1, Positions: 1, Switch: "A"})
	b, err := New(spec)
	if err != nil {
		t.Fatal(err)
	}
	l := &b.search.ladder
	target := l.value[l.search.n-1][1].times(19)
	all := descent{ladder: l, limit: wideOf(1), budget: mostSteps}
	found := make(map[positions]bool)
	all.found = func(x wideMatch) (bool, bool) {
		found[x.positions] = true
		return true, true
	}
	if done := all.run(target); !done || len(found) != ways[9] {
		t.Errorf("settings of 19 Ω: %d, done %v; want %d", len(found), done, ways[9])
	}
	one := descent{ladder: l, limit: farthest, budget: mostSteps, once: true}
	one.run(target)
	if s := (Setting{box: b, positions: one.best.positions}); !one.hasBest || s.Nominal() != 19 {
		t.Errorf("nearest to 19 Ω: %v, %v", s, one.hasBest)
	}
	if one.work > 4*manyTries {
		t.Errorf("nearest to 19 Ω: %d steps; a remainder without an answer was looked at again", one.work)
	}
}
