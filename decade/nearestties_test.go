// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"context"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/ohmwright/decade"
)

// Where the nominal value includes the residual, the zero setting is compared by a value of its
// own: by stated decimals, with ties in the order of the dials, and within reach.
func TestNearestZeroSettingWithResidual(t *testing.T) {
	for _, c := range []struct {
		name           string
		step, residual float64
		ohms           float64
		target         decade.Target
		want           []string
	}{
		// 0.02 Ω and 0.1 Ω are equally near to 0.06 Ω, though not in float64.
		{"tie", 0.1, 0.02, 0.06, decade.TargetTotal, []string{"1", "0"}},
		{"tie over zero", 0.1, 0.02, 0.04, decade.TargetIncrement, []string{"1", "0"}},
		{"tie of large ones", 1000, 0.3, 500.15, decade.TargetTotal, []string{"1", "0"}},
		// 2e15 − 0.05 Ω is nearer than 2e15 Ω, which is the same float64.
		{"beyond float64", 1e15, 0.05, 2e15, decade.TargetTotal, []string{"2", "3", "1", "0", "4"}},
		// The residual is above the smallest settings.
		{"below the residual", 0.01, 0.3, 0.02, decade.TargetTotal, []string{"2", "3", "1"}},
		{"at the highest", 0.01, 0.3, 0.1, decade.TargetTotal, []string{"10", "9"}},
		{"the residual itself", 0.01, 0.3, 0.3, decade.TargetTotal, []string{"0", "10"}},
	} {
		b := box(t, decade.Spec{Residual: c.residual, ResidualIncluded: true,
			Decades: []decade.Decade{{Step: c.step}}})
		got, err := b.NearestN(context.Background(), c.ohms, decade.Search{N: len(c.want), Target: c.target})
		var text []string
		for _, s := range got {
			text = append(text, s.String())
		}
		if err != nil || !slices.Equal(text, c.want) {
			t.Errorf("%s: %v, %v; want %v", c.name, text, err, c.want)
		}
	}
}

// The increments of 1-2, 1-0 and 0-0 are 2 µΩ, 0 and 0: all 1 µΩ from the wanted one, by differences
// of numbers a million times as large.
func TestNearestTiesFarBelowTheResidual(t *testing.T) {
	b := box(t, decade.Spec{Residual: 1, ResidualIncluded: true, Decades: []decade.Decade{{Step: 1}, {Step: 1e-6}}})
	got, err := b.NearestN(context.Background(), 1e-6, decade.Search{N: 4, Target: decade.TargetIncrement})
	if want := []decade.Setting{at(t, b, 1, 1), at(t, b, 1, 2), at(t, b, 1, 0), at(t, b, 0, 0)}; err != nil || !slices.Equal(got, want) {
		t.Errorf("%v, %v; want %v", got, err, want)
	}
}

// What counts as equally near is decided by the stated decimals, however large the others are:
// here 4e-16 of the resistance is hundreds of the smallest steps.
func TestEquallyNearExact(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 0))
	for trial := range 60 {
		spec := decade.Spec{Residual: 0.05, ResidualIncluded: trial%2 == 0, Decades: []decade.Decade{
			{Step: 1e15, Positions: 2}, {Step: 1, Positions: 3}, {Step: 1e-6, Positions: 5}, {Step: 0.3, Positions: 4}}}
		b := box(t, spec)
		all := slices.Collect(b.Settings())
		goal := all[r.IntN(len(all))]
		slack := []float64{0, 1e-6, 0.7, 1}[r.IntN(4)]
		s := decade.Search{N: 40, Prefer: decade.PreferFewestMoves, Slack: slack, Target: decade.Target(r.IntN(2))}
		ohms := compared(goal, s.Target)
		exact := make(map[decade.Setting]*big.Rat)
		least := new(big.Rat).SetInt64(1 << 62)
		for _, x := range all {
			d := rat(-1, ohms)
			switch {
			case s.Target == decade.TargetTotal && x.AllZero():
				d.Add(d, rat(1, spec.Residual))
			case s.Target == decade.TargetTotal && !spec.ResidualIncluded:
				d.Add(d, rat(1, spec.Residual))
			}
			for i, dec := range spec.Decades {
				d.Add(d, rat(x.Position(i), dec.Step))
			}
			exact[x] = d.Abs(d)
			if d.Cmp(least) < 0 {
				least = d
			}
		}
		bound := new(big.Rat).Add(least, rat(1, slack))
		moves := func(x decade.Setting) (n int) {
			for _, p := range x.Positions() {
				n += min(p, 1)
			}
			return n
		}
		rank := func(x decade.Setting) int {
			if exact[x].Cmp(bound) > 0 {
				return 100 // not equally near: by distance alone
			}
			return moves(x)
		}
		slices.SortStableFunc(all, func(x, y decade.Setting) int {
			if c := rank(x) - rank(y); c != 0 {
				return c
			}
			if c := exact[x].Cmp(exact[y]); c != 0 {
				return c
			}
			// Dials in the order of their steps, the last two of which change places.
			for _, i := range []int{0, 1, 3, 2} {
				if c := y.Position(i) - x.Position(i); c != 0 {
					return c
				}
			}
			return 0
		})
		got, err := b.NearestN(context.Background(), ohms, s)
		if err != nil || !slices.Equal(got, all[:40]) {
			t.Fatalf("trial %d, %v Ω, %+v: %v, %v; want %v", trial, ohms, s, got, err, all[:40])
		}
	}
}
