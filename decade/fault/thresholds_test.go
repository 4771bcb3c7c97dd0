// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"errors"
	"math"
	"slices"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// A reading above range lies above the reach of the range that it was taken on.
func TestReachOfOverload(t *testing.T) {
	meter := testMeter()
	for i := range meter.Ranges {
		meter.Ranges[i].OverRange = 1.2
	}
	r := &verify.Report{Meter: *meter}
	for _, rg := range meter.Ranges {
		if got, want := reach(r, &verify.Row{Range: rg.Name}), 1.2*rg.FullScale; relative(got, want) > 1e-15 {
			t.Errorf("%s: %v; want %v", rg.Name, got, want)
		}
	}
	if got := reach(r, &verify.Row{Range: "another"}); got != 0 {
		t.Errorf("a range the meter has not: %v; want 0", got)
	}
}

// Fewer settings than half the elements are few.
func TestFewSettings(t *testing.T) {
	s, settings := separating(t) // 6 elements
	for n, want := range []int{1, 1, 1, 0} {
		s.model.settings = settings[:n]
		var d Diagnosis
		d.addWarnings(s, &hypothesis{})
		few := 0
		for _, w := range d.Warnings {
			if errors.Is(w, ErrUndetermined) {
				few++
			}
		}
		if few != want {
			t.Errorf("%d settings of 6 elements: %d warnings; want %d", n, few, want)
		}
	}
}

// drifting is a drift of one element with what it does at the settings read.
func drifting(t *testing.T, s *search, a Place, by, score float64) *hypothesis {
	t.Helper()
	h := &hypothesis{faults: []Fault{{Kind: KindDrift, A: a, Value: by}}, effect: make([]float64, s.numSettings), score: score}
	if err := s.model.predictAll(newProbe(s.model.layout), h.faults, h.effect, nil); err != nil {
		t.Fatal(err)
	}
	for k := range h.effect {
		h.effect[k] -= s.model.nominal[k]
	}
	return h
}

// A pair of leaders counts by the product of their probabilities: scores 3 and 7 by 0.119
// and 0.881. A reading is taken that is worth more than 15 % of a perfect one.
func TestWeightsOfLeaders(t *testing.T) {
	s, _ := separating(t)
	e := Place{PartElement, 1, 2}
	about := func(element int, score float64) *hypothesis {
		return &hypothesis{faults: []Fault{{Kind: KindDrift, A: Place{PartElement, 1, element}}}, score: score}
	}
	list := []*hypothesis{about(1, 3), about(2, 7)}
	p := shares(list)
	q := 1 / (1 + math.Exp(2))
	if relative(p[1], q) > 1e-12 || relative(perfectWorth(list, p), q*(1-q)) > 1e-12 {
		t.Errorf("shares %v, worth %v", p, perfectWorth(list, p))
	}
	// What is repaired alike need not be told apart.
	list[1].faults = []Fault{{Kind: KindShorted, A: Place{PartElement, 1, 1}}}
	if w := perfectWorth(list, p); w != 0 {
		t.Errorf("one element: worth %v", w)
	}
	for by, want := range map[float64]bool{0.9: true, 0.05: false} {
		leaders := []*hypothesis{{effect: make([]float64, s.numSettings), score: 3}, drifting(t, s, e, by, 7)}
		if best, ok := s.bestReading(newProbe(s.model.layout), leaders); ok != want {
			t.Errorf("%v Ω: next %v, %v", by, best, ok)
		}
	}
}

// Of settings that separate alike the one with fewest dials off zero is read, and a single
// dial off zero takes nothing from its worth.
func TestSimplestNext(t *testing.T) {
	s, _ := separating(t)
	for _, e := range []Place{{PartElement, 0, 1}, {PartElement, 1, 2}} {
		a, b := &hypothesis{effect: make([]float64, s.numSettings)}, drifting(t, s, e, 9, 0) // told apart by far
		best, ok := s.bestReading(newProbe(s.model.layout), []*hypothesis{a, b})
		if !ok || offZero(best.Setting) != 1 {
			t.Errorf("%v: next %v, %v; want one dial off zero", e, best, ok)
		}
	}
}

// What elements pay for lying at the limit of their class: −2 log of the probability to be
// inside, ±1 Ω about 0.5 Ω here.
func TestOutsideByHand(t *testing.T) {
	b := box(t, decade.Spec{ResidualTolerance: 1, Decades: []decade.Decade{{Step: 100, Positions: 1, Floor: 1}}})
	m := newModel(b, nil, 0)
	for _, sd := range []float64{0.25, 2} {
		inside := 0.5 * (math.Erf(0.5/sd/math.Sqrt2) + math.Erf(1.5/sd/math.Sqrt2))
		got := m.outsideClass([]float64{sd, sd}, []float64{0.5, 0}, []float64{1}, []float64{1, 1}, func(k int) bool { return k == 1 })
		if want := -2 * math.Log(inside); relative(got, want) > 1e-12 {
			t.Errorf("± %v Ω: %v; want %v", sd, got, want)
		}
	}
}

// The elements of a dial outside their class pay as the part of them that is independent, and
// never less than the worst of them alone, which may be inside; each dial and the residual pay by
// themselves.
func TestOutsideCountsIndependentElements(t *testing.T) {
	b := box(t, decade.Spec{ResidualTolerance: 1, Decades: []decade.Decade{
		{Step: 100, Positions: 3, Floor: 1}, {Step: 10, Positions: 2, Floor: 1}}})
	m := newModel(b, nil, 0)
	mean := []float64{0.5, -2, 1.5, 1.25, -0.75, 1}
	sd := make([]float64, len(mean))
	pays := make([]float64, len(mean))
	for k, e := range mean {
		sd[k] = 0.5
		e = math.Abs(e)
		pays[k] = -2 * math.Log(0.5*(math.Erf((1-e)/0.5/math.Sqrt2)+math.Erf((1+e)/0.5/math.Sqrt2)))
	}
	together, second := pays[1]+pays[2], pays[3] // the others are inside by their estimates
	for _, c := range []struct{ share, want float64 }{
		{1, together}, {0.75, max(pays[1], 0.75*together)}, {0.01, pays[1]},
	} {
		got := m.outsideClass(sd, mean, []float64{1}, []float64{c.share, 1, 1}, nil)
		if want := c.want + second + pays[5]; relative(got, want) > 1e-12 {
			t.Errorf("share %v: %v; want %v", c.share, got, want)
		}
	}
}

// A wrong part is a part of the series off by more than twice its tolerance of 1 % from
// what belongs there, and within three standard uncertainties of the value found.
func TestStandardParts(t *testing.T) {
	s := repeated(t).s
	s.healthyOutside = 1e6 // anything is worth a look
	for _, c := range []struct {
		ohms, by, u float64
		want        bool
	}{
		{50, 1, 0.01, false},      // 51 Ω is 2 % off
		{49.9, 1.1, 0.01, true},   // a little more
		{52.1, -1.1, 0.01, true},  // a little more, below
		{51.9, -0.9, 0.01, false}, // a little less, below
		{1000, 220.7, 0, true},    // 1200 Ω ± 20.78 Ω
		{1000, 220.9, 0, false},
		{1000, 179.3, 0, true},
		{1000, 179.1, 0, false},
		{1000, 231, 8, true}, // ± 31.74 Ω
		{1000, 232, 8, false},
	} {
		s.found = nil
		h := &hypothesis{faults: []Fault{{Kind: KindDrift, A: Place{PartElement, 0, 1}, Value: c.by}}, uncertainty: []float64{c.u}, effect: make([]float64, s.numSettings)}
		s.addWrongPart(h, element{ohms: c.ohms})
		if got := slices.ContainsFunc(s.found, func(h *hypothesis) bool { return h.firstKind() == KindWrongPart }); got != c.want {
			t.Errorf("%v Ω off by %v ± %v: a wrong part %v", c.ohms, c.by, c.u, got)
		}
	}
}
