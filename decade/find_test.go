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
	"strings"
	"testing"

	"example.com/ohmwright/decade"
)

// odometer is the slow way to all settings: count, and ask At.
func odometer(b *decade.Box) []decade.Setting {
	var out []decade.Setting
	d := b.Decades()
	positions := make([]int, len(d))
	for {
		if s, err := b.At(positions...); err == nil {
			out = append(out, s)
		}
		i := len(d) - 1
		for ; i >= 0; i-- {
			if positions[i]++; positions[i] <= d[i].Positions {
				break
			}
			positions[i] = 0
		}
		if i < 0 {
			return out
		}
	}
}

// sharedSpecs are small boxes with every arrangement of switches.
func sharedSpecs() map[string]decade.Spec {
	on := func(labels ...string) decade.Spec {
		var s decade.Spec
		for i, l := range labels {
			s.Decades = append(s.Decades, decade.Decade{Step: math.Pow10(i), Positions: 2 + i, Switch: l})
		}
		return s
	}
	gaps := on("A", "", "A", "", "")
	gaps.Decades[0].Positions, gaps.Decades[0].Missing = 4, []int{2, 3}
	gaps.Decades[2].Missing = []int{1}
	gaps.Decades[4].Missing = []int{2, 4}
	coded := on("", "")
	coded.Decades[1] = decade.Decade{Step: 10, Code: decade.Code1225(), Missing: []int{7}}
	coded.Decades[1].Code.InCircuit[7] = nil
	return map[string]decade.Spec{
		"missing positions": gaps, "missing position of a code": coded,
		"one dial": on(""), "own switches": on("", "", ""), "first two": on("A", "A", ""), "last two": on("", "A", "A"),
		"ends": on("A", "", "A"), "three": on("A", "A", "A"), "two pairs": on("A", "B", "A", "B"), "school": school(),
	}
}

func TestSettings(t *testing.T) {
	for name, spec := range sharedSpecs() {
		b := box(t, spec)
		got, want := slices.Collect(b.Settings()), odometer(b)
		if !slices.Equal(got, want) {
			t.Errorf("%s: %d settings, %v …; want %d", name, len(got), got[:min(9, len(got))], len(want))
		}
		if b.NumSettings() != uint64(len(want)) {
			t.Errorf("%s: NumSettings = %d; want %d", name, b.NumSettings(), len(want))
		}
		if again := slices.Collect(b.Settings()); !slices.Equal(got, again) {
			t.Errorf("%s: the second pass differs", name)
		}
	}
	// A dial with as many positions as there can be, at either end of a word of eight.
	for _, n := range []int{2, 8, 9} {
		spec := decade.Spec{}
		for i := range n {
			d := decade.Decade{Name: fmt.Sprint(i), Step: 1, Positions: 1}
			if i == n-1 {
				d.Positions = 255
			}
			spec.Decades = append(spec.Decades, d)
		}
		b := box(t, spec)
		seen, last := uint64(0), decade.Setting{}
		for s := range b.Settings() {
			if seen > 0 && s.Nominal() <= last.Nominal() && s.Position(n-1) != 0 {
				t.Fatalf("%d dials: %v after %v", n, s, last)
			}
			seen, last = seen+1, s
		}
		if highest, _ := b.Max(); seen != b.NumSettings() || last != highest {
			t.Errorf("%d dials: %d settings, the last %v; want %d to %v", n, seen, last, b.NumSettings(), highest)
		}
	}
	n := 0
	for range box(t, bench()).Settings() {
		if n++; n == 25 {
			break
		}
	}
	if n != 25 {
		t.Error("break does not end the sequence")
	}
}

func TestNumSettingsSaturates(t *testing.T) {
	var s decade.Spec
	for i := range 16 {
		s.Decades = append(s.Decades, decade.Decade{Step: math.Pow10(i - 8), Positions: 255})
	}
	if n := box(t, s).NumSettings(); n != math.MaxUint64 {
		t.Errorf("256¹⁶ settings: %d; want the largest uint64", n)
	}
}

func TestSettingFor(t *testing.T) {
	b := box(t, bench())
	for _, c := range []struct {
		ohms float64
		want string
	}{
		{0, "0-0-0-0-0"},
		{0.3, "0-0-0-0-3"}, // 3 × 0.1 is not 0.3 in binary
		{1234.5, "1-2-3-4-5"},
		{1000, "1-0-0-0-0"}, // and not ten hundreds
		{11111, "10-10-10-10-10"},
		{11110.9, "10-10-10-10-9"},
		{10100, "10-1-0-0-0"},
		{11, "0-0-1-1-0"},
	} {
		if s, err := b.SettingFor(c.ohms); err != nil || s.String() != c.want {
			t.Errorf("SettingFor(%v) = %v, %v; want %s", c.ohms, s, err, c.want)
		}
	}
	shared := box(t, school())
	for _, c := range []struct {
		ohms     float64
		contains string
		err      error
	}{
		{1134.5, "such as 1111 Ω (1-0-10-10-10) or 2000 Ω (2-0-0-0-0)", decade.ErrNoSetting},
		{0.05, "such as 0 Ω (0-0-0-0-0) or 0.1 Ω (0-0-0-0-1)", decade.ErrNoSetting},
		{20000, "such as 9111 Ω (9-0-10-10-10)", decade.ErrNoSetting},
		{math.MaxFloat64, "such as 9111 Ω", decade.ErrNoSetting},
		{5e-324, "such as 0 Ω (0-0-0-0-0) or 0.1 Ω", decade.ErrNoSetting},
		{-1, "-1 Ω; expected 0 or more", decade.ErrDomain},
		{math.NaN(), "NaN", decade.ErrNotFinite},
		{math.Inf(1), "+Inf", decade.ErrNotFinite},
	} {
		if s, err := shared.SettingFor(c.ohms); !errors.Is(err, c.err) || !strings.Contains(err.Error(), c.contains) {
			t.Errorf("SettingFor(%v) = %v, %v; want %v with %q", c.ohms, s, err, c.err, c.contains)
		}
	}
	if s, err := shared.SettingFor(1034.5); err != nil || s.String() != "1-0-3-4-5" {
		t.Errorf("SettingFor(1034.5) = %v, %v", s, err)
	}
}

func TestSettingsFor(t *testing.T) {
	var got []string
	for _, s := range spellings(t, box(t, bench()), 1000) {
		got = append(got, s.String())
	}
	want := []string{"1-0-0-0-0", "0-10-0-0-0", "0-9-10-0-0", "0-9-9-10-0", "0-9-9-9-10"}
	if !slices.Equal(got, want) {
		t.Errorf("1 kΩ: %v; want %v", got, want)
	}
	for s, err := range box(t, bench()).SettingsFor(context.Background(), math.NaN()) {
		if !errors.Is(err, decade.ErrNotFinite) {
			t.Errorf("NaN: %v, %v; want ErrNotFinite", s, err)
		}
	}
}

// randomSpec makes small boxes of every kind: decades, odd steps, equal steps, shared
// switches, steps without a common unit.
func randomSpec(r *rand.Rand) decade.Spec {
	var s decade.Spec
	kind := r.IntN(4)
	for i := range 1 + r.IntN(4) {
		d := decade.Decade{Name: string(rune('a' + i)), Positions: 1 + r.IntN(5)}
		switch kind {
		case 0:
			d.Step = []float64{0.1, 1, 10, 100}[r.IntN(4)]
		case 1:
			d.Step = float64(1 + r.IntN(40))
		case 2:
			d.Step = float64(1+r.IntN(100)) / 100
		case 3:
			d.Step = r.Float64() * 1e6
		}
		d.Switch = []string{"", "", "A", "B"}[r.IntN(4)]
		for p := 1; p < d.Positions; p++ {
			if r.IntN(6) == 0 {
				d.Missing = append(d.Missing, p)
			}
		}
		s.Decades = append(s.Decades, d)
	}
	return s
}

// higher orders settings by their dials, those with the larger steps first.
func higher(a, b decade.Setting) int {
	d := a.Box().Decades()
	order := make([]int, len(d))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		switch {
		case d[i].Step > d[j].Step:
			return -1
		case d[i].Step < d[j].Step:
			return 1
		}
		return 0
	})
	for _, i := range order {
		if c := b.Position(i) - a.Position(i); c != 0 {
			return c
		}
	}
	return 0
}

// SettingFor, SettingsFor and Nearest against a look at every setting.
func TestSearchAgainstAll(t *testing.T) {
	const seed = 1
	r := rand.New(rand.NewPCG(seed, 0))
	for trial := range 60 {
		b := box(t, randomSpec(r))
		all := slices.Collect(b.Settings())
		slices.SortStableFunc(all, higher)
		for range 5 {
			s := all[r.IntN(len(all))]
			checkSpellings(t, b, all, s.Nominal())
			checkNearest(t, b, all, s.Nominal())
			checkNearest(t, b, all, s.Nominal()*1.0000001)
			checkNearest(t, b, all, float64(r.IntN(400))/2)
			checkNearest(t, b, all, r.Float64()*500)
		}
		if t.Failed() {
			t.Fatalf("seed %d, trial %d: %+v", seed, trial, b.Spec().Decades)
		}
	}
}

// spellings collects the settings of a nominal value.
func spellings(t *testing.T, b *decade.Box, ohms float64) []decade.Setting {
	t.Helper()
	var out []decade.Setting
	for s, err := range b.SettingsFor(context.Background(), ohms) {
		if err != nil {
			t.Errorf("SettingsFor(%v): %v", ohms, err)
		}
		out = append(out, s)
	}
	return out
}

func checkSpellings(t *testing.T, b *decade.Box, all []decade.Setting, ohms float64) {
	t.Helper()
	var want []decade.Setting
	for _, s := range all {
		if s.Nominal() == ohms {
			want = append(want, s)
		}
	}
	if got := spellings(t, b, ohms); !slices.Equal(got, want) {
		t.Errorf("SettingsFor(%v) = %v; want %v", ohms, got, want)
	}
	if s, err := b.SettingFor(ohms); err != nil || s != want[0] {
		t.Errorf("SettingFor(%v) = %v, %v; want %v", ohms, s, err, want[0])
	}
}

// checkNearest compares distances as rational numbers.
func checkNearest(t *testing.T, b *decade.Box, all []decade.Setting, ohms float64) {
	t.Helper()
	var want decade.Setting
	var least *big.Rat
	largest, step := 0.0, math.Inf(1)
	for _, s := range all {
		largest = max(largest, s.Nominal())
	}
	for _, d := range b.Decades() {
		step = min(step, d.Step)
	}
	if ohms > largest+step {
		if got, err := b.Nearest(ohms); !errors.Is(err, decade.ErrDomain) {
			t.Errorf("Nearest(%v) = %v, %v; want an error beyond %v Ω", ohms, got, err, largest)
		}
		return
	}
	for _, s := range all {
		// Far ones need no rational arithmetic.
		if least != nil && math.Abs(s.Nominal()-ohms) > 2*toFloat(least)+1e-9*ohms {
			continue
		}
		d := rat(-1, ohms)
		for i, dec := range b.Decades() {
			d.Add(d, rat(s.Position(i), dec.Step))
		}
		if d.Abs(d); least == nil || d.Cmp(least) < 0 {
			want, least = s, d
		}
	}
	if got, err := b.Nearest(ohms); err != nil || got != want {
		t.Errorf("Nearest(%v) = %v, %v; want %v, %v Ω off", ohms, got, err, want, toFloat(least))
	}
}

func TestNearest(t *testing.T) {
	b := box(t, bench())
	for _, c := range []struct {
		ohms float64
		want string
	}{
		{114.575, "0-1-1-4-6"}, // 114.6
		{0.05, "0-0-0-0-1"},    // equally near: the higher
		{math.Nextafter(0.05, 0), "0-0-0-0-0"},
		{11111.1, "10-10-10-10-10"},
		{5e-324, "0-0-0-0-0"},
	} {
		if s, err := b.Nearest(c.ohms); err != nil || s.String() != c.want {
			t.Errorf("Nearest(%v) = %v, %v; want %s", c.ohms, s, err, c.want)
		}
	}
	if s, err := box(t, school()).Nearest(1134.5); err != nil || s.Nominal() != 1111 {
		t.Errorf("shared switch: %v, %v; want 1111 Ω", s, err)
	}
	for _, v := range []float64{-1, math.NaN(), math.Inf(-1), 11111.2, 1e300} {
		if _, err := b.Nearest(v); err == nil {
			t.Errorf("Nearest(%v): want an error", v)
		}
	}
}

// A value that sixteen odd dials cannot make is refused after a bounded search.
func TestSettingForOddBox(t *testing.T) {
	var s decade.Spec
	for i := range 16 {
		s.Decades = append(s.Decades,
			decade.Decade{Name: string(rune('a' + i)), Step: float64(6 + 2*(i%5)), Positions: 10})
	}
	s.Decades[0].Step = 9999999 // odd, out of reach
	b := box(t, s)
	if _, err := b.SettingFor(501); !errors.Is(err, decade.ErrNoSetting) {
		t.Errorf("501 Ω from even steps: %v", err)
	}
}

// Beyond any setting, and with steps that have no common unit, the answer is still quick.
func TestSettingForWithoutUnit(t *testing.T) {
	b := box(t, decade.Spec{Decades: steps(0, 1e9/3, 1e6/3, 1e3/3, 1.0/3, 1e-3/3, 1e-6/3, 1e-9/3)})
	for _, ohms := range []float64{1e12, 1e300, math.MaxFloat64} {
		if _, err := b.SettingFor(ohms); !errors.Is(err, decade.ErrNoSetting) {
			t.Errorf("SettingFor(%v): %v", ohms, err)
		}
	}
	s := at(t, b, 1, 2, 3, 4, 5, 6, 7)
	if got, err := b.SettingFor(s.Nominal()); err != nil || got.Nominal() != s.Nominal() {
		t.Errorf("SettingFor(%v) = %v, %v", s.Nominal(), got, err)
	}
}

// zeros counts the settings that are zero.
func zeros(b *decade.Box) int {
	n := 0
	for s := range b.Settings() {
		if s.AllZero() {
			n++
		}
	}
	return n
}

// All settings in turn, and a look at each.
func BenchmarkSettings(b *testing.B) {
	for _, n := range []int{4, 6} {
		box := box(b, decades(n, 1, 10))
		b.Run(fmt.Sprintf("decades=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if n := zeros(box); n != 1 {
					b.Fatalf("%d settings are zero; want one", n)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(box.NumSettings()), "ns/setting")
		})
	}
}

func BenchmarkLimits(b *testing.B) {
	s := at(b, box(b, bench()), 1, 2, 3, 4, 5)
	for b.Loop() {
		_ = s.Limits()
	}
}
