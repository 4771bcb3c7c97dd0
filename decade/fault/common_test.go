// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"

	"gonum.org/v1/gonum/mat"
)

// boxOf is a box of these dials with a residual of 20 mΩ.
func boxOf(t *testing.T, d []decade.Decade) *decade.Box {
	t.Helper()
	return box(t, decade.Spec{
		Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: d,
	})
}

// What readings have in common, where no fault explains them.
func TestInCommon(t *testing.T) {
	b := boxOf(t, dials(0.0005, 100, 10))
	sound := fullPlan(t, b, func(decade.Setting) float64 { return 0 })
	only := func(by func(x decade.Setting) float64) []verify.Reading {
		return fullPlan(t, b, func(x decade.Setting) float64 { return by(x) })
	}
	where := func(holds bool, v float64) float64 {
		if holds {
			return v
		}
		return 0
	}
	again := append(slices.Clone(sound), verify.Reading{Setting: at(t, b, 0, 4), Values: []float64{40}},
		verify.Reading{Setting: at(t, b, 0, 4), Values: []float64{40.028}})
	for _, c := range []struct {
		name     string
		readings []verify.Reading
		want     []string
		not      string
	}{
		{"a dial", only(func(x decade.Setting) float64 { return where(x.Position(1) > 2, 1) }),
			[]string{" outside their limits, all high", "all with ×10 Ω off zero"}, "×100 Ω"},
		{"a position", only(func(x decade.Setting) float64 { return where(x.Position(0) == 7, -1) }),
			[]string{"1 of 22 is outside its limits, 7-0 low"}, "all"},
		{"everything", only(func(x decade.Setting) float64 { return 5 - 0.02*x.Value() }),
			[]string{"some high and some low"}, "all with"},
		{"all of it", only(func(decade.Setting) float64 { return 9 }), []string{"all are outside their limits, all high"}, "all with"},
		{"nothing", sound, []string{"each is inside its limits, but they contradict each other"}, "twice"},
		{"twice", again, []string{"each is inside", "0-4 did not read the same twice"}, "all with"},
		{"open", append(slices.Clone(sound), verify.Reading{Setting: at(t, b, 0, 10), Overload: true}, verify.Reading{Setting: at(t, b, 1, 10), Overload: true}),
			[]string{"2 readings above range"}, "all with"},
	} {
		s := searchOfReport(t, evaluated(t, b, c.readings))
		got := s.inCommon()
		for _, want := range c.want {
			if !strings.Contains(got, want) {
				t.Errorf("%s: %q does not contain %q", c.name, got, want)
			}
		}
		if strings.Contains(got, c.not) || strings.Contains(got, "range  of") {
			t.Errorf("%s: %q contains %q", c.name, got, c.not)
		}
	}
}

// A dial that stands alike in the sound readings is no mark of those that are off.
func TestDialOfAllReadings(t *testing.T) {
	b := boxOf(t, dials(0.0005, 1000, 100, 10))
	for _, c := range []struct {
		top  func(p int) int
		want string
	}{
		{func(int) int { return 1 }, "all with ×10 Ω off zero"},
		{func(p int) int { return 1 + p%2 }, "all with ×10 Ω off zero"},
		{func(p int) int { return min(1, p) }, "all with ×1 kΩ at position 1"},
	} {
		var rs []verify.Reading
		for p := range 11 {
			x, off := at(t, b, c.top(p), 0, p), 0.0
			if p > 3 {
				off = 5
			}
			rs = append(rs, verify.Reading{Setting: x, Values: []float64{x.Value() + off}})
		}
		s := searchOfReport(t, evaluated(t, b, rs))
		if got := s.inCommon(); !strings.Contains(got, c.want) {
			t.Errorf("%q does not contain %q", got, c.want)
		}
	}
}

// Readings of one range that are off, where those of others are not, have the range in common.
func TestRangeInCommon(t *testing.T) {
	list := constructions(t)
	s := newSearch(list[0].account, complete(t))
	m := *s.model
	s.model = &m
	if got := s.rangeOfAll([]int{0}); got != "" {
		t.Errorf("of a meter that is not looked at: %q", got)
	}
	m.meter = []meterRange{{name: "low"}, {name: "high"}}
	m.rangeOf = make([]int, len(m.settings))
	if got := s.rangeOfAll([]int{0, 1}); got != "" {
		t.Errorf("all on one range: %q", got)
	}
	m.rangeOf[s.evidence.observations[2].setting] = 1
	if got := s.rangeOfAll([]int{0, 1}); got != "low" {
		t.Errorf("two of one range: %q", got)
	}
	if got := s.rangeOfAll([]int{0, 2}); got != "" {
		t.Errorf("of two ranges: %q", got)
	}
}

// Aged throughout is no second fault, and takes up nothing that has no hypothesis: boxes with
// two faults, and with three.
func TestAgedSwallowsNothing(t *testing.T) {
	two := dials(0.0005, 100, 10)
	two[0].Positions, two[1].Positions = 5, 5
	b := boxOf(t, two)
	e := func(dial, n int, part float64) Fault {
		by := part * b.Decades()[dial].Step
		return Fault{Kind: KindDrift, A: Place{PartElement, dial, n}, Value: by}
	}
	dirt := Fault{Kind: KindContact, A: Place{PartPosition, 1, 4}, Value: 0.7}
	leak := Fault{
		Kind: KindTerminalLeak, A: Place{PartTerminal, 0, 1}, B: Place{PartTerminal, 0, 2}, Value: 3e5,
	}
	for i, faults := range [][]Fault{
		{e(0, 2, 0.01), e(1, 4, 0.02)}, {e(0, 3, 0.02), dirt}, {leak, dirt}, {e(1, 5, -0.01), leak},
		{e(0, 2, 0.01), e(0, 5, 0.02), e(1, 3, 0.03)}, {e(0, 2, 0.01), dirt, leak}, {e(0, 1, 0.02), e(0, 5, -0.03), e(0, 3, 0.04)},
	} {
		d := diagnosed(t, b, noiseless(t, b, faults...))
		for _, c := range d.Causes {
			for _, list := range append([][]Fault{c.Faults}, c.Equal...) {
				for _, f := range list {
					if f.Kind == KindAged && (len(list) > 1 || c.Probability > 0.01) {
						t.Errorf("%d: %v", i, c)
					}
				}
			}
		}
		if len(faults) == 2 && !hasFaults(d.Causes[0], faults...) {
			t.Errorf("%d: %v", i, d.Causes[0])
		}
		said := d.Causes[0].Kind == KindUnexplained || strings.Contains(warningsOf(d), "χ²")
		if len(faults) > 2 && len(d.Causes[0].Faults) < 2 && !said {
			t.Errorf("%d: one fault for three, with no warning: %v", i, d.Causes[0])
		}
	}
}

func warningsOf(d *Diagnosis) string {
	var s strings.Builder
	for _, w := range d.Warnings {
		s.WriteString(w.Error() + "\n")
	}
	return s.String()
}

// Elements that really aged, each by another part, are aged throughout, and no drift of one of
// them beside the mean.
func TestAgedThroughout(t *testing.T) {
	b := boxOf(t, dials(0.0005, 1000, 100, 10))
	for seed := range uint64(3) {
		rng := rand.New(rand.NewPCG(15, seed))
		var faults []Fault
		for d, dec := range b.Decades() {
			for n := range dec.NumElements() {
				part := 0.006 * (1 + 0.33*(2*rng.Float64()-1))
				at := Place{PartElement, d, n + 1}
				faults = append(faults, Fault{Kind: KindDrift, A: at, Value: part * dec.Step})
			}
		}
		d := diagnosed(t, b, noiseless(t, b, faults...))
		if c := d.Causes[0]; d.Healthy || c.Kind != KindAged || math.Abs(c.Faults[0].Value-0.006) > 0.001 {
			t.Errorf("seed %d: %v", seed, c)
		}
	}
}

// Elements that all read high, each inside its class, as far as its limit or not, are no fault,
// however far beyond the limit elements may be that would have aged like them.
func TestHighInsideTheClass(t *testing.T) {
	b := boxOf(t, dials(0.0005, 1000, 100, 10))
	for seed := range uint64(20) {
		rng := rand.New(rand.NewPCG(16, seed))
		mean := 0.6 + 0.25*rng.Float64() // of the limit
		var faults []Fault
		for d, dec := range b.Decades() {
			for n := range dec.NumElements() {
				part := 0.0005 * (mean + (0.97-mean)*(2*rng.Float64()-1))
				at := Place{PartElement, d, n + 1}
				faults = append(faults, Fault{Kind: KindDrift, A: at, Value: part * dec.Step})
			}
		}
		d := diagnosed(t, b, noiseless(t, b, faults...))
		if c := d.Causes[0]; !d.Healthy {
			t.Errorf("seed %d, mean %.2f of the limit: %v, %v", seed, mean, c.Probability, c)
		}
	}
}

// Dials whose elements are alike, all high by most of their limit, are healthy, also where a few
// positions of each were read with a meter that knows them to a third of it: that some of their
// elements may be outside is no evidence that they have aged.
func TestHighAndLittleKnown(t *testing.T) {
	b := boxOf(t, dials(0.0005, 1000, 100, 10, 1))
	for _, c := range []struct {
		by      float64 // of the limit
		healthy bool
	}{{0.7, true}, {0.85, true}, {0.95, true}, {3, false}} {
		var ev evidence
		for d, dec := range b.Decades() {
			for _, p := range []int{2, 3, 6, 8, 10} {
				dialled := make([]int, 4)
				dialled[d] = p
				x := at(t, b, dialled...)
				ohms := x.Value() + c.by*0.0005*dec.Step*float64(p)
				ev.observations = append(ev.observations,
					observation{ev.settingIndex(x), ohms, len(ev.observations)})
			}
		}
		ev.covariance = mat.NewSymDense(len(ev.observations), nil)
		for i, o := range ev.observations {
			u := 0.3 * 0.0005 * o.ohms
			ev.covariance.SetSym(i, i, u*u+1e-8)
		}
		d, err := complete(t).diagnose(newWork(t.Context(), nil), newModel(b, ev.settings, 0), &ev)
		if err != nil {
			t.Fatal(err)
		}
		if d.Healthy != c.healthy {
			t.Errorf("high by %v of the limit: healthy %v, %v %v", c.by, d.Healthy,
				d.Causes[0].Probability, d.Causes[0])
		}
	}
}

// Ohms less than stated are no leads and posts: the sentence says what they are.
func TestLessInSeries(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100)})
	f := Fault{Kind: KindSeries, A: Place{Part: PartBox}, Value: -0.0449, Uncertainty: 0.002}
	got := f.advice(b)
	want := "The resistance in series with everything is 44.9 mΩ (U = 4 mΩ) less than the stated residual"
	if !strings.Contains(got, want) || strings.Contains(got, "above") {
		t.Errorf("%q; want %q", got, want)
	}
	// No box of codes that reads its residual as stated has ohms less in series.
	codes := boxOf(t, coded(0.0005, decade.Code1225(), 100, 10, 1))
	drift := Fault{Kind: KindDrift, A: Place{PartElement, 0, 2}, Value: 5}
	for _, c := range diagnosed(t, codes, noiseless(t, codes, drift)).Causes {
		if strings.Contains(c.Sentence, "less than the stated residual") && c.Probability > 1e-6 {
			t.Errorf("%v", c)
		}
	}
}
