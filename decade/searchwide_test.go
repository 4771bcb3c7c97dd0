// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/ohmwright/decade"
)

// Steps so far apart that a sum has more digits than 64 bits hold are searched exactly,
// nominal and calibrated.
func TestSearchFarApart(t *testing.T) {
	spec := decade.Spec{Decades: []decade.Decade{{Step: 1e15}, {Step: 1}, {Step: 0.001}}}
	nominal := box(t, spec)
	measured := measuredBox(t, spec, func() float64 { return 0 })
	for _, c := range []struct {
		ohms float64
		want string
	}{{3.004, "0-3-4"}, {3.0044, "0-3-4"}, {0.01, "0-0-10"}, {1e15, "1-0-0"}, {9.0096, "0-9-10"}, {3e15, "3-0-0"}} {
		for name, b := range map[string]*decade.Box{"nominal": nominal, "measured": measured} {
			s, err := b.Nearest(c.ohms)
			if err != nil || s.String() != c.want {
				t.Errorf("%s, Nearest(%v) = %v, %v; want %s", name, c.ohms, s, err, c.want)
			}
			list, err := b.NearestN(context.Background(), c.ohms, decade.Search{N: 2})
			if err != nil || list[0].String() != c.want {
				t.Errorf("%s, NearestN(%v) = %v, %v; want %s first", name, c.ohms, list, err, c.want)
			}
		}
	}
	for ohms, want := range map[float64]string{3.004: "0-3-4", 1e15: "1-0-0", 1e15 + 3: "1-3-0"} {
		if s, err := nominal.SettingFor(ohms); err != nil || s.String() != want {
			t.Errorf("SettingFor(%v) = %v, %v; want %s", ohms, s, err, want)
		}
	}
	s := at(t, nominal, 1, 3, 4)
	if next, err := s.Next(); err != nil || next.String() != "1-3-5" {
		t.Errorf("after %v: %v, %v; want 1-3-5", s, next, err)
	}
	if s, err := nominal.NearestN(context.Background(), 3.0041,
		decade.Search{N: 3, From: at(t, nominal, 0, 2, 0), Hold: []int{1}}); err != nil ||
		s[0].String() != "0-2-10" {
		t.Errorf("ones held at 2: %v, %v; want 0-2-10 first", s, err)
	}
}

// Boxes of many digits against a look at every setting with rational numbers: all the
// searches that need integers of any size.
func TestSearchWideAgainstAll(t *testing.T) {
	const seed = 9
	r := rand.New(rand.NewPCG(seed, 0))
	for trial := range 40 {
		var spec decade.Spec
		for i := range 2 + r.IntN(3) {
			exponent := r.IntN(29) - 11
			spec.Decades = append(spec.Decades, decade.Decade{
				Name: fmt.Sprint(i), Positions: 1 + r.IntN(5),
				Step:   (1 + float64(r.IntN(90000))/1e4) * math.Pow10(exponent),
				Switch: []string{"", "", "A"}[r.IntN(3)],
			})
		}
		b := box(t, spec)
		all := slices.Collect(b.Settings())
		slices.SortStableFunc(all, higher)
		for range 6 {
			s := all[r.IntN(len(all))]
			ohms := s.Nominal() * []float64{1, 1 + 1e-12, 1 + 0.3*r.Float64()}[r.IntN(3)]
			if largest := slices.MaxFunc(all,
				func(x, y decade.Setting) int {
					return rank(x.Nominal(),
						y.Nominal())
				}); ohms <= largest.Nominal() {
				checkNearest(t, b, all, ohms)
			}
			checkNearestN(t, b, all, ohms)
		}
		if t.Failed() {
			t.Fatalf("seed %d, trial %d: %+v", seed, trial, b.Spec().Decades)
		}
	}
}

// checkNearestN compares the order of the five nearest with rational distances.
func checkNearestN(t *testing.T, b *decade.Box, all []decade.Setting, ohms float64) {
	t.Helper()
	got, err := b.NearestN(context.Background(), ohms, decade.Search{N: 5})
	if errors.Is(err, decade.ErrDomain) {
		return // checkNearest looks at it
	}
	distance := make(map[decade.Setting]*big.Rat)
	for _, s := range all {
		d := rat(-1, ohms)
		for i, dec := range b.Decades() {
			d.Add(d, rat(s.Position(i), dec.Step))
		}
		distance[s] = d.Abs(d)
	}
	want := slices.Clone(all)
	slices.SortStableFunc(want, func(x, y decade.Setting) int { return distance[x].Cmp(distance[y]) })
	want = want[:min(5, len(want))]
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("NearestN(%v) = %v, %v; want %v", ohms, got, err, want)
	}
}

// odd is a box of n dials whose steps have six decimals and nothing in common.
func odd(n int, r *rand.Rand) decade.Spec {
	var s decade.Spec
	for i := range n {
		step := math.Round(math.Pow(10, -1+4*r.Float64())*1e6) / 1e6
		s.Decades = append(s.Decades, decade.Decade{Name: fmt.Sprint(i), Step: step})
	}
	return s
}

// Twelve and sixteen dials of steps with six decimals: every search ends, with an answer
// that holds or with an error that says that the work was too much.
func TestSearchHasABound(t *testing.T) {
	const seed = 12
	r := rand.New(rand.NewPCG(seed, 0))
	dials := []int{12, 16}
	if testing.Short() {
		dials = dials[:1]
	}
	answers, refusals := 0, 0
	for _, n := range dials {
		b := box(t, odd(n, r))
		highest, _ := b.Max()
		check := func(what string, err error) {
			switch {
			case err == nil:
				answers++
			case errors.Is(err, decade.ErrSearch), errors.Is(err, decade.ErrNoSetting):
				refusals++
			default:
				t.Errorf("%d dials, %s: %v", n, what, err)
			}
		}
		for range 2 {
			ohms := math.Round(r.Float64()*highest.Nominal()*1e6) / 1e6
			s, err := b.SettingFor(ohms)
			check("SettingFor", err)
			if err == nil && s.Nominal() != ohms {
				t.Errorf("SettingFor(%v) = %v of %v Ω", ohms, s, s.Nominal())
			}
			if s, err = b.Nearest(ohms); err == nil && math.Abs(s.Nominal()-ohms) > 0.01 {
				t.Errorf("Nearest(%v) is %v off", ohms, s.Nominal()-ohms)
			}
			check("Nearest", err)
			if err == nil {
				_, err = s.Next()
				check("Next", err)
				_, err = s.Previous()
				check("Previous", err)
				_, err = s.Resolution()
				check("Resolution", err)
			}
			_, err = b.NearestN(context.Background(), ohms, decade.Search{N: 3})
			check("NearestN", err)
			for _, err := range b.SettingsFor(context.Background(), ohms) {
				check("SettingsFor", err)
				break
			}
			_, err = b.SettingFor(ohms + 1e-7) // not in the grid of the steps
			if !errors.Is(err, decade.ErrNoSetting) {
				t.Errorf("SettingFor between two units: %v; want ErrNoSetting", err)
			}
		}
	}
	t.Logf("%d answers, %d refusals", answers, refusals)
	if answers == 0 {
		t.Error("no search of twelve odd dials ended with an answer")
	}
}

// A context that is done ends a search.
func TestSearchContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	b := box(t, odd(16, rand.New(rand.NewPCG(3, 0))))
	if _, err := b.NearestN(ctx, 1234.567891, decade.Search{N: 1000}); !errors.Is(err, context.Canceled) {
		t.Errorf("NearestN: %v; want context.Canceled", err)
	}
	if _, err := b.Choose(ctx, 1234.567891, decade.Search{N: 1000}); !errors.Is(err, context.Canceled) {
		t.Errorf("Choose: %v; want context.Canceled", err)
	}
	measured := measuredBox(t, complete(), func() float64 { return 1e-4 })
	if _, err := measured.Survey(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("Survey: %v; want context.Canceled", err)
	}
	var last error
	for _, err := range b.SettingsFor(ctx, 1234.567891) {
		last = err
	}
	if !errors.Is(last, context.Canceled) {
		t.Errorf("SettingsFor: %v; want context.Canceled", last)
	}
	//lint:ignore SA1012 a nil context is none
	if _, err := measured.Survey(nil); err != nil {
		t.Errorf("Survey without a context: %v", err)
	}
}

// Nearest on calibrated boxes against a look at every setting: sums of the measured values
// as rational numbers.
func TestNearestCalibratedAgainstAll(t *testing.T) {
	const seed = 21
	r := rand.New(rand.NewPCG(seed, 0))
	for trial := range 30 {
		spec := randomSpec(r)
		spec.Residual = r.Float64() / 4
		b := measuredBox(t, spec, spread(r, 0.02))
		values := dialValues(b)
		all := slices.Collect(b.Settings())
		for range 20 {
			ohms := all[r.IntN(len(all))].Value() * (1 + 0.02*r.NormFloat64())
			got, err := b.Nearest(max(0, ohms))
			if errors.Is(err, decade.ErrDomain) {
				continue
			}
			if err != nil {
				t.Fatal(err)
			}
			off := func(s decade.Setting) float64 {
				total := b.Zero().Value() - max(0, ohms)
				for i := range values {
					total += values[i][s.Position(i)]
				}
				return math.Abs(total)
			}
			least := math.Inf(1)
			for _, s := range all {
				least = min(least, off(s))
			}
			if off(got) > least+1e-14*(1+ohms) {
				t.Errorf("seed %d, trial %d: Nearest(%v) = %v, %v Ω off; the best of all is %v "+
					"Ω off", seed, trial, ohms, got, off(got), least)
			}
		}
	}
}

// Many equal dials have very many settings of one value: the one with the highest dials is
// found at once.
func TestSearchEqualDials(t *testing.T) {
	b := box(t, decades(16, 1, 1))
	s, err := b.SettingFor(77)
	if want := "10-10-10-10-10-10-10-7-0-0-0-0-0-0-0-0"; err != nil || s.String() != want {
		t.Errorf("77 Ω of sixteen dials of 1 Ω: %v, %v; want %s", s, err, want)
	}
	if n, err := s.Next(); err != nil || n.Nominal() != 78 {
		t.Errorf("after it: %v, %v; want 78 Ω", n, err)
	}
	if _, err := b.NearestN(context.Background(), 77, decade.Search{}); err != nil {
		t.Errorf("NearestN: %v", err)
	}
}
