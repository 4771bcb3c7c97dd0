// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// Slips and exchanged taps by nominal values, against the network. Of n marks there are n − 1 slips
// all round, 2·(n − 1) without a contact beyond the ends, and up to three positions either way
// against a stop; beside them the pairs of taps.
func TestMovesAgainstNetwork(t *testing.T) {
	for _, c := range []struct {
		name  string
		dials []decade.Decade
		moves int
	}{
		{"ladder", []decade.Decade{{Step: 100, Positions: 4}, {Step: 1, Positions: 2}}, (4 + 8 + 6) + 10 + (2 + 4 + 4) + 3},
		{"code", []decade.Decade{{Step: 10, Code: decade.Code1242()}}, 9 + 18 + 6},
		{"one switch", []decade.Decade{{Step: 10, Positions: 3, Switch: "S1"}, {Step: 1, Positions: 2, Switch: "S1"}}, (5 + 10 + 6) + 6 + 3},
	} {
		b := box(t, decade.Spec{Decades: c.dials})
		m := newModel(b, everySetting(t, b), 0)
		if len(m.moves) != c.moves {
			t.Errorf("%s: %d moves; want %d", c.name, len(m.moves), c.moves)
		}
		value := make([]float64, len(m.settings))
		for _, x := range m.moves {
			if err := m.predictAll(newProbe(m.layout), []Fault{x.fault}, value, nil); err != nil {
				t.Fatal(err)
			}
			for k, s := range m.settings {
				got, want := x.effect[k], value[k]-m.nominal[k]
				if math.IsInf(got, 1) != math.IsInf(want, 1) || math.Abs(got-want) > 2e-3 {
					t.Errorf("%s: %s at %v: %v Ω; by the network %v", c.name, x.fault.In(b), s, got, want)
				}
			}
		}
	}
}

// everySetting lists those of a small box, with one range of a switch off zero at most.
func everySetting(t *testing.T, b *decade.Box) []decade.Setting {
	t.Helper()
	d := b.Decades()
	var out []decade.Setting
	for p := range d[0].Positions + 1 {
		if len(d) == 1 {
			out = append(out, at(t, b, p))
			continue
		}
		for q := range d[1].Positions + 1 {
			if d[0].Switch == "" || p == 0 || q == 0 {
				out = append(out, at(t, b, p, q))
			}
		}
	}
	return out
}

// The draws of a contact with two known estimates: weights 1/(v + τ²).
func TestDrawsByHand(t *testing.T) {
	v := mat.NewSymDense(2, []float64{0.04, 0, 0, 0.12})
	mean, sd := moments([]float64{1, 3}, v) // weights 3 : 1
	if relative(mean, 1.5) > 1e-12 || relative(sd, math.Sqrt(0.75*0.25+0.25*2.25)) > 1e-12 {
		t.Errorf("mean %v, standard deviation %v; want 1.5, %v", mean, sd, math.Sqrt(0.75))
	}
	s := repeated(t).s
	unit := s.model.inCircuit[0]
	g, n := s.byDialling.inverse, s.numReadings
	g[n+1], g[n+2], g[2*n+1], g[2*n+2] = 1/v.At(0, 0), 0, 0, 1/v.At(1, 1)
	for _, c := range []struct {
		f    Fault
		b    []float64
		mean float64
		ok   bool
	}{
		{Fault{Kind: KindSeries, A: Place{Part: PartBox}}, []float64{1, 3}, (1/0.08 + 3/0.16) / (1/0.08 + 1/0.16), true},
		{Fault{Kind: KindSeries, A: Place{Part: PartBox}}, []float64{-1, -3}, 0, false},
		{Fault{Kind: KindContact, A: Place{PartPosition, 0, 1}}, []float64{1, 3}, (1/0.08 + 3/0.16) / (1/0.08 + 1/0.16), true},
		{Fault{Kind: KindContact, A: Place{PartPosition, 0, 1}}, []float64{-1, -3}, 0, false},
	} {
		h := s.fitDraws(c.f, unit, []int{1, 2}, c.b, v, 0.2)
		if (h != nil) != c.ok {
			t.Errorf("%v of %v: %+v", c.f.Kind, c.b, h)
			continue
		}
		if h == nil {
			continue
		}
		u := 1 / math.Sqrt(1/0.08+1/0.16)
		if f := h.faults[0]; relative(f.Value, c.mean) > 1e-12 || f.Scatter != 0.2 || relative(h.uncertainty[0], u) > 1e-12 || h.drawSD != 0.2 {
			t.Errorf("%v of %v: %v ± %v, scatter %v; want %v ± %v", c.f.Kind, c.b, f.Value, h.uncertainty[0], f.Scatter, c.mean, u)
		}
		if relative(h.effect[1], c.mean) > 1e-12 || h.effect[0] != 0 {
			t.Errorf("%v: signature %v", c.f.Kind, h.effect)
		}
	}
	// The estimates of draws are what the readings of others leave: removing a reading's own
	// part, g⁻¹ of the rows.
	s = repeated(t).s
	b, cov, ok := s.estimateDraws([]int{3})
	if g := s.byDialling.inverse[3*s.numReadings+3]; !ok || relative(cov.At(0, 0), 1/g) > 1e-12 || relative(b[0], s.byDialling.weighted[3]/g) > 1e-12 {
		t.Errorf("one draw: %v ± √%v", b, cov)
	}
}

// The E24 series of IEC 60063 (2.2, 4.7, 9.1 … from memory), nearest in ratio.
func TestNearestE24(t *testing.T) {
	for _, c := range [][2]float64{{10, 10}, {100, 100}, {217, 220}, {4.65, 4.7}, {9400, 9100}, {9.7, 10}, {0.0347, 0.036}, {1.04e6, 1e6}, {0, 0}, {-3, 0}} {
		if got := nearestE24(c[0]); math.Abs(got-c[1]) > 1e-12*c[1] {
			t.Errorf("%v: %v; want %v", c[0], got, c[1])
		}
	}
}

// What the search over the elements of one dial tries, with all its numbers.
func TestTriedFaults(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Decades: []decade.Decade{{Step: 100, Positions: 4, Tolerance: 0.001}}})
	tried := func(over func(p int) float64, look func(*search)) []*hypothesis {
		var ev evidence
		for p := range 5 {
			x := at(t, b, p)
			ev.observations = append(ev.observations, observation{ev.settingIndex(x), x.Value() + over(p), p})
		}
		ev.covariance = mat.NewSymDense(5, nil)
		for i := range 5 {
			ev.covariance.SetSym(i, i, 1e-4)
		}
		p, err := newLinearAccount(newModel(b, ev.settings, 0), &ev)
		if err != nil {
			t.Fatal(err)
		}
		s := newSearch(p, complete(t))
		look(s)
		return s.found
	}
	of := func(list []*hypothesis, k Kind) *hypothesis {
		i := slices.IndexFunc(list, func(h *hypothesis) bool { return h.firstKind() == k })
		if i < 0 {
			t.Fatalf("no %v among %d", k, len(list))
		}
		return list[i]
	}
	steps := func(p int) float64 { return 5 * float64(p) } // all by 5 %
	if h := of(tried(steps, func(s *search) { s.addDialFaults(0) }), KindDialDrift); math.Abs(h.faults[0].Value-0.05) > 1e-4 || math.Abs(h.effect[3]-15) > 0.03 {
		t.Errorf("the dial is off by %v, 3 of it by %v", h.faults[0].Value, h.effect[3])
	}
	list := tried(func(p int) float64 { return 5 * float64(min(p, 2)) }, func(s *search) { s.addDialFaults(0) })
	spreads := 0
	for _, h := range list {
		f := h.faults[0]
		if f.Kind != KindOverloaded || f.B.Number != 2 {
			continue
		}
		if math.Abs(f.Value-0.05) > 1e-3 || !slices.Equal(h.free, []int{0, 1}) || relative(h.freeSD[1], overloadSpreads[spreads]*math.Abs(f.Value)*100) > 1e-12 {
			t.Errorf("overloaded by %v, elements %v ± %v", f.Value, h.free, h.freeSD)
		}
		spreads++
	}
	if spreads != len(overloadSpreads) {
		t.Errorf("%d spreads of overloaded elements; want %d", spreads, len(overloadSpreads))
	}
	second := func(by float64) func(int) float64 {
		return func(p int) float64 {
			if p < 2 {
				return 0
			}
			return by
		}
	}
	look := func(s *search) { s.addElementFaults(1) }
	list = tried(second(20), look) // 120 Ω is of the series
	if f := of(list, KindWrongPart).faults[0]; math.Abs(f.Value-120) > 0.1 || math.Abs(of(list, KindDrift).faults[0].Value-20) > 0.1 {
		t.Errorf("wrong part %v", f.Value)
	}
	for by, want := range map[float64]bool{20: true, 15: false, -9: true, 1.5: false} { // 115 is none; 101.5 may be the old part
		found := slices.ContainsFunc(tried(second(by), look), func(h *hypothesis) bool { return h.firstKind() == KindWrongPart })
		if found != want {
			t.Errorf("off by %v: a wrong part: %v", by, found)
		}
	}
	short := of(tried(second(-100), look), KindShorted)
	if !slices.Equal(short.effect, []float64{0, 0, -100, -100, -100}) {
		t.Errorf("shorted: %v", short.effect)
	}
}

// A bad contact of a code is in parallel with what it shorts: 2 Ω more of 10 Ω are 2.5 Ω.
func TestContactOfParallel(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Decades: []decade.Decade{{Step: 10, Tolerance: 0.001, Code: decade.Code1242()}}})
	var ev evidence
	d := b.Decades()[0]
	for p := range d.Positions + 1 {
		x := at(t, b, p)
		y := x.Value()
		if !slices.Contains(d.InCircuit(p), 1) {
			y += 2
		}
		ev.observations = append(ev.observations, observation{ev.settingIndex(x), y, p})
	}
	ev.covariance = mat.NewSymDense(len(ev.observations), nil)
	for i := range ev.observations {
		ev.covariance.SetSym(i, i, 1e-6)
	}
	p, err := newLinearAccount(newModel(b, ev.settings, 0), &ev)
	if err != nil {
		t.Fatal(err)
	}
	s := newSearch(p, complete(t))
	c := Place{PartElement, 0, 1}
	s.addContactFaults(contactUse{c, s.model.contactInUse(c)})
	i := slices.IndexFunc(s.found, func(h *hypothesis) bool { return h.firstKind() == KindContact })
	if i < 0 {
		t.Fatal("no contact found")
	}
	h := s.found[i]
	v, u := s.fitFactor(s.model.contactInUse(c))
	if want := v * 10 / (10 - v); relative(h.faults[0].Value, want) > 1e-12 || math.Abs(want-2.5) > 0.02 {
		t.Errorf("contact of %v; want %v", h.faults[0].Value, want)
	}
	if want := u * 100 / (10 - v) / (10 - v); relative(h.uncertainty[0], want) > 1e-9 { // derivative of 10·v/(10 − v)
		t.Errorf("uncertainty %v; want %v", h.uncertainty[0], want)
	}
}

// A position of a code with two contacts closed: the value is that in each of them, by which the
// network reads what was read. 8 Ω beside 20 Ω and 50 Ω add 5.71 Ω and 6.90 Ω.
func TestContactsOfPosition(t *testing.T) {
	if v, slope := contactOhms(8*20./28+8*50./58, []float64{20, 50}); relative(v, 8) > 1e-14 ||
		relative(slope, 1/(400./784+2500./3364)) > 1e-12 {
		t.Errorf("%v Ω in each, slope %v", v, slope)
	}
	if v, _ := contactOhms(0.9985*70, []float64{20, 50}); relative(v*20/(v+20)+v*50/(v+50), 0.9985*70) > 1e-12 {
		t.Errorf("near open: %v Ω", v)
	}
	code := decade.Code1225()
	code.Contacts = []int{1, 1, 2, 1, 2, 1, 1, 2, 1, 1, 0} // one for each run that is out of circuit
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005,
		Decades: []decade.Decade{{Step: 100, Tolerance: 5e-4}, {Step: 10, Code: code, Tolerance: 5e-4}}})
	options := DefaultWeights()
	options[KindDialling] = 0
	for _, f := range []Fault{
		{Kind: KindContact, A: Place{PartPosition, 1, 2}, Value: 0.5},
		{Kind: KindContact, A: Place{PartPosition, 1, 4}, Value: 2},
		{Kind: KindContact, A: Place{PartPosition, 1, 7}, Value: 8},
	} {
		rs := fullPlan(t, b, func(x decade.Setting) float64 {
			r, err := Predict(x, f)
			if err != nil {
				t.Fatal(err)
			}
			return r - x.Value()
		})
		d, err := Options{Weights: options}.Diagnose(t.Context(), evaluated(t, b, rs))
		if err != nil {
			t.Fatal(err)
		}
		if got := d.Causes[0].Faults[0]; got.Kind != f.Kind || got.A != f.A || math.Abs(got.Value-f.Value) > 3*got.Uncertainty {
			t.Errorf("%v of %v Ω: %+v", f.A, f.Value, got)
		}
	}
	s := newSearch(repeatedPosition(t, b), complete(t))
	s.addContactFaults(contactUse{Place{PartPosition, 1, 2}, s.model.contactInUse(Place{PartPosition, 1, 2})})
	i := slices.IndexFunc(s.found, func(h *hypothesis) bool { return h.faults[0].Scatter > 0 })
	if i < 0 {
		t.Fatal("no unsteady contact found")
	}
	h := s.found[i]
	x := at(t, b, 0, 2)
	if r, err := Predict(x, h.faults...); err != nil || math.Abs(r-x.Value()-h.effect[0]) > 1e-3*h.effect[0] {
		t.Errorf("unsteady: %v Ω; the network adds %v, the fit %v", h.faults[0].Value, r-x.Value(), h.effect[0])
	}
}

// repeatedPosition is an account of position 2 of the second dial dialled five times, of position 1
// and of zero.
func repeatedPosition(t *testing.T, b *decade.Box) *linearAccount {
	t.Helper()
	var ev evidence
	for i, by := range []float64{0.6, 0.9, 1.2, 0.7, 1.5, 0, 0} {
		x := at(t, b, 0, []int{2, 2, 2, 2, 2, 1, 0}[i])
		ev.observations = append(ev.observations, observation{ev.settingIndex(x), x.Value() + by, i})
	}
	ev.covariance = mat.NewSymDense(7, nil)
	for i := range 7 {
		ev.covariance.SetSym(i, i, 1e-6)
	}
	p, err := newLinearAccount(newModel(b, ev.settings, 0), &ev)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Inside the class a drift is no fault.
func TestAllowed(t *testing.T) {
	s := repeated(t).s // 1 % of 10 Ω, 2 % of 1 Ω, 0.01 Ω of residual
	s.ofElements.dialSD = []float64{0.004, 0.001}
	e := Place{PartElement, 0, 2}
	for _, c := range []struct {
		f    Fault
		want bool
	}{
		{Fault{Kind: KindDrift, A: e, Value: 0.099}, true},
		{Fault{Kind: KindDrift, A: e, Value: -0.101}, false},
		{Fault{Kind: KindWrongPart, A: e, Value: 10.099}, true},
		{Fault{Kind: KindWrongPart, A: e, Value: 9.8}, false},
		{Fault{Kind: KindSeries, A: Place{Part: PartBox}, Value: -0.0099}, true},
		{Fault{Kind: KindSeries, A: Place{Part: PartBox}, Value: 0.0101}, false},
		{Fault{Kind: KindDialDrift, A: Place{PartDial, 0, 0}, Value: 0.0179}, true}, // 1 % and twice 0.4 %
		{Fault{Kind: KindDialDrift, A: Place{PartDial, 0, 0}, Value: -0.0181}, false},
		{Fault{Kind: KindOverloaded, A: Place{PartElement, 1, 1}, B: Place{PartElement, 1, 2}, Value: 0.0219}, true},
		{Fault{Kind: KindOverloaded, A: Place{PartElement, 1, 1}, B: Place{PartElement, 1, 2}, Value: 0.0221}, false},
		{Fault{Kind: KindBoxDrift, A: Place{Part: PartBox}, Value: 0.0179}, true},
		{Fault{Kind: KindBoxDrift, A: Place{Part: PartBox}, Value: 0.0181}, false},
		{Fault{Kind: KindShorted, A: e}, false},
	} {
		if got := s.insideClass(c.f); got != c.want {
			t.Errorf("%v by %v: allowed %v", c.f.Kind, c.f.Value, got)
		}
	}
}

// Firsts of two, pairs in both orders, causes by their fit.
func TestListsOfHypotheses(t *testing.T) {
	mk := func(k Kind, number int) *hypothesis {
		return &hypothesis{faults: []Fault{{Kind: k, A: Place{PartElement, 0, number}}}}
	}
	s := &search{firsts: 2, options: Options{Distance: 5}}
	unsteady := mk(KindUnsteady, 1)
	unsteady.drawSD = 1
	list := []*hypothesis{unsteady, mk(KindDrift, 1), mk(KindDrift, 2), {}, mk(KindDrift, 3), mk(KindDrift, 4), mk(KindShorted, 1), mk(KindAged, 0), mk(KindShorted, 2), mk(KindShorted, 3)}
	other := mk(KindUnsteady, 2)
	other.drawSD = 1
	list = slices.Insert(list, 1, other)
	got := s.mayBeFirst(list)
	want := []*hypothesis{unsteady, list[2], list[3], list[7], list[9], other}
	if !slices.Equal(got, want) {
		t.Errorf("%d may be first; want %d, the loose ones behind the first last", len(got), len(want))
	}
	pair := func(a, b int) *hypothesis {
		return &hypothesis{faults: []Fault{mk(KindDrift, a).faults[0], mk(KindDrift, b).faults[0]}}
	}
	pairs := []*hypothesis{pair(1, 2), pair(2, 1), pair(1, 3), pair(3, 2)}
	if got := distinct(pairs); len(got) != 3 || got[1] != pairs[2] {
		t.Errorf("%d of 4 pairs; want 3", len(got))
	}
	a, b, c := mk(KindDrift, 1), mk(KindDrift, 2), mk(KindDrift, 3)
	a.fit, b.fit, c.fit = 10, 14.5, 15
	groups := s.groups([]*hypothesis{a, b, c, {}})
	if len(groups) != 3 || len(groups[0].hypotheses) != 2 || relative(groups[0].probability, 0.5) > 1e-12 {
		t.Errorf("%d groups, the first of %d; want 3, the first of those less than 5 apart", len(groups), len(groups[0].hypotheses))
	}
	s.linearAccount = &linearAccount{numReadings: 10} // the 95 % point of χ² with 10 degrees of freedom: 18.307 (handbook tables, from memory)
	if s.unexplained(&hypothesis{chiSquared: 18.30}) || !s.unexplained(&hypothesis{chiSquared: 18.31}) {
		t.Error("χ² of 10 readings is unexplained from 18.307")
	}
}

// Per cent, and the scatter where there is one.
func TestNumbersInSentences(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100, 10)})
	dial, whole := Place{PartDial, 0, 0}, Place{Part: PartBox}
	for _, c := range []struct {
		f    Fault
		want string
	}{
		{Fault{Kind: KindOverloaded, A: Place{PartElement, 0, 1}, B: Place{PartElement, 0, 3}, Value: 0.025}, "Elements 1 to 3 of ×100 Ω are high together, by 2.5 %,"},
		{Fault{Kind: KindDialDrift, A: dial, Value: -0.025}, "All of ×100 Ω is low by 2.5 %:"},
		{Fault{Kind: KindBoxDrift, A: whole, Value: 0.025}, "Everything reads high by 2.5 %:"},
		{Fault{Kind: KindAged, A: whole, Value: 0.025}, "by 2.5 % on average"},
		{Fault{Kind: KindSeries, A: whole, Value: 0.5}, "is in series with everything beyond"},
		{Fault{Kind: KindSeries, A: whole, Value: 0.5, Scatter: 0.2}, "not read the same twice (standard deviation 0.2 Ω)"},
		{Fault{Kind: KindDrift, A: Place{PartElement, 1, 3}, Value: 1}, "Element 3 of ×10 Ω, between positions 2 and 3, is high by 1 Ω, 10 % of it."},
		{Fault{Kind: KindDrift, A: Place{PartElement, 1, 3}, Value: -0.01234567, Uncertainty: 0.0005}, "is low by 12.3 mΩ (U = 1 mΩ), 0.12 % of it."},
		{Fault{Kind: KindDrift, A: Place{PartElement, 1, 3}, Value: 12.3}, "is high by 12.3 Ω, 1.2 times its value."},
		{Fault{Kind: KindBridge, A: Place{PartTap, 0, 3}, B: Place{PartTap, 0, 6}, Value: 0.01}, "Taps 3 and 6 of ×100 Ω touch:"},
		{Fault{Kind: KindContact, A: Place{PartPosition, 0, 3}, Value: 0.2, Uncertainty: 0.3}, "has about 0.2 Ω (U = 0.6 Ω) too much"},
		{Fault{Kind: KindSlip, A: dial, Value: 2}, "has slipped by +2 positions on its shaft (no contact"},
	} {
		if got := c.f.advice(b); !strings.Contains(got, c.want) {
			t.Errorf("%q does not contain %q", got, c.want)
		}
	}
	if got, want := (Cause{Probability: 0.873, Sentence: "Dirt."}).String(), "87 %: Dirt."; got != want {
		t.Errorf("%q; want %q", got, want)
	}
}

// A search that is stopped says so, also between fits.
func TestStoppedSearch(t *testing.T) {
	s := repeated(t).s
	ctx, stop := context.WithCancel(t.Context())
	stop()
	leak := &hypothesis{faults: []Fault{{Kind: KindElementLeak, A: Place{PartElement, 0, 1}, Value: 50}}, uncertainty: []float64{1}, effect: make([]float64, s.numSettings)}
	s.found, s.work = []*hypothesis{leak}, newWork(ctx, nil)
	s.work.askContext()
	if err := s.refitWithCircuit(newProbe(s.model.layout)); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
	s.work = nil
	if err := s.refitWithCircuit(newProbe(s.model.layout)); err != nil || leak.effect[0] != 0 || !(leak.effect[1] < 0) {
		t.Errorf("fitted with its circuit: %v, %v", leak.effect, err)
	}
	// What has draws is left as it is.
	for _, h := range []*hypothesis{{drawSD: 1}} {
		h.faults, h.uncertainty, h.effect = []Fault{{Kind: KindElementLeak, A: Place{PartElement, 0, 1}, Value: 50}}, []float64{1}, make([]float64, s.numSettings)
		s.found = []*hypothesis{h}
		if err := s.refitWithCircuit(newProbe(s.model.layout)); err != nil || h.effect[1] != 0 {
			t.Errorf("loose: %v, %v", h.effect, err)
		}
	}
}

// The smallest range that shows a value is taken, in whatever order the ranges stand.
func TestRangeOfSpecimen(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100)})
	rising, falling := testMeter(), testMeter()
	slices.Reverse(falling.Ranges)
	for _, meter := range []*verify.Meter{rising, falling} {
		sp, err := NewSpecimen(b, meter, 1)
		if err != nil {
			t.Fatal(err)
		}
		for p, want := range map[int]string{0: "10 Ω", 1: "100 Ω", 2: "1000 Ω", 10: "1000 Ω"} {
			r, err := sp.Read(at(t, b, p))
			if err != nil || r.Range != want {
				t.Errorf("position %d on %q, %v; want %q", p, r.Range, err, want)
			}
		}
	}
}
