// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// Screened against full: on a box small enough every pair of nodes is fitted closely, and
// none is better than the best of those that the screen leaves.
func TestScreenedBridges(t *testing.T) {
	d := dials(0.001, 100, 10, 1)
	for i := range d {
		d[i].Positions = 5
	}
	c := construct(t, "small", decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: d})
	rng := rand.New(rand.NewPCG(21, 22))
	compared := 0
	for seed := uint64(0); compared < 16 && seed < 200; seed++ {
		kind := []Kind{KindBridge, KindDialBridge, KindElementLeak, KindDialLeak}[seed%4]
		f, _, ok := c.drawBridge(rng, kind, 20+200*rng.Float64())
		if !ok {
			continue
		}
		sp, err := newSpecimen("test", c.model, testMeter(), seed, []Fault{f})
		if err != nil {
			t.Fatal(err)
		}
		rs, err := sp.ReadAll(c.model.settings...)
		if err != nil {
			t.Fatal(err)
		}
		p, err := newLinearAccount(c.model, quick(c.model, testMeter(), rs))
		if err != nil {
			t.Fatal(err)
		}
		screened, full := newSearch(p, complete(t)), newSearch(p, complete(t))
		screened.addBridges()
		full.everyBridge()
		compared++
		if len(screened.found) == 0 || screened.best() > full.best()+0.5 {
			t.Errorf("%s: screened %.5g, full %.5g, of %d and %d", f.In(c.box), screened.best(), full.best(), len(screened.found), len(full.found))
		}
	}
	if compared < 16 {
		t.Errorf("%d boxes compared; want 16", compared)
	}
}

func complete(t *testing.T) Options {
	t.Helper()
	o, err := Options{}.complete()
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// everyBridge fits all pairs of nodes closely.
func (s *search) everyBridge() {
	for i := range s.model.pairs {
		q := &s.model.pairs[i]
		if len(q.setting) == 0 || math.IsInf(s.leastGain(q.kind), 1) {
			continue
		}
		x := s.coarseFit(q, make([]float64, len(q.setting)), math.Inf(-1))
		s.refineOhms(&x)
		s.addBridge(x)
	}
}

// best is the lowest score found.
func (s *search) best() float64 {
	out := math.Inf(1)
	for _, h := range s.found {
		out = min(out, h.score)
	}
	return out
}

// Progress rises to what is planned, with one fault looked for and with two; a search can be
// stopped from it.
func TestSearchProgress(t *testing.T) {
	bx := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Decades: dials(0.001, 100, 10)})
	sp, err := NewSpecimen(bx, testMeter(), 3, Fault{Kind: KindDrift, A: Place{PartElement, 0, 4}, Value: 2}, Fault{Kind: KindShorted, A: Place{PartElement, 1, 2}})
	if err != nil {
		t.Fatal(err)
	}
	rs, err := sp.ReadAll(plan(t, bx)...)
	if err != nil {
		t.Fatal(err)
	}
	report := evaluated(t, bx, rs)
	for faults := 1; faults <= 2; faults++ {
		type step struct{ done, planned int }
		var seen []step
		o := Options{Faults: faults, Progress: func(done, planned int) { seen = append(seen, step{done, planned}) }}
		if _, err := o.Diagnose(t.Context(), report); err != nil {
			t.Fatal(err)
		}
		rising := slices.IsSortedFunc(seen, func(a, b step) int { return a.done - b.done })
		if n := len(seen); n == 0 || !rising || seen[n-1].done != seen[n-1].planned || faults == 2 && n < 5 {
			t.Errorf("%d faults: %v; want rising numbers that end at what is planned", faults, seen)
		}
		// Nothing is said to be finished before the last call, which may come twice.
		for _, x := range seen {
			if x.done == x.planned && x != seen[len(seen)-1] {
				t.Errorf("%d faults: %v of %v, and more after it: %v", faults, x.done, x.planned, seen)
			}
		}
	}
	ctx, stop := context.WithCancel(t.Context())
	calls := 0
	o := Options{Progress: func(int, int) { calls++; stop() }}
	if _, err := o.Diagnose(ctx, report); !errors.Is(err, context.Canceled) || calls > 1 {
		t.Errorf("stopped at the first call: %v after %d calls", err, calls)
	}
}

// searchOf is the search, not yet begun, in readings without noise of a box with faults.
func searchOf(t *testing.T, b *decade.Box, faults ...Fault) *search {
	t.Helper()
	return searchOfReport(t, evaluated(t, b, noiseless(t, b, faults...)))
}

// searchOfReport is the search among the causes of a report, before it begins.
func searchOfReport(t *testing.T, r *verify.Report) *search {
	t.Helper()
	ev, err := gather(r)
	if err != nil {
		t.Fatal(err)
	}
	m := newModel(r.Box, ev.settings, 0)
	m.meter, m.rangeOf, m.row = ev.meter, ev.rangeOf, ev.row
	p, err := newLinearAccount(m, ev)
	if err != nil {
		t.Fatal(err)
	}
	return newSearch(p, complete(t))
}
