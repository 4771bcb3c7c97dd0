// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// pairBox has ladders of ×1 kΩ, ×100 Ω and ×10 Ω, or codes 1-2-2-5 of these steps.
func pairBox(t testing.TB, code decade.Code) *decade.Box {
	t.Helper()
	d := coded(0.0005, code, 1000, 100, 10)
	return box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: d})
}

// noiseless are the readings of the recommended plan that a nominal box with faults gives.
func noiseless(t testing.TB, b *decade.Box, faults ...Fault) []verify.Reading {
	t.Helper()
	var rs []verify.Reading
	for _, s := range plan(t, b) {
		v := predicted(t, s, faults...)
		if math.IsInf(v, 1) {
			rs = append(rs, verify.Reading{Setting: s, Overload: true})
			continue
		}
		rs = append(rs, verify.Reading{Setting: s, Values: []float64{v}})
	}
	return rs
}

// hasFaults reports whether a cause, or one of its class, is these faults.
func hasFaults(c Cause, faults ...Fault) bool {
	want := placesEitherWay(faults)
	for _, list := range append([][]Fault{c.Faults}, c.Equal...) {
		if len(list) == len(faults) && placesEitherWay(list) == want {
			return true
		}
	}
	return false
}

// placesEitherWay is placesOf with the ends of bridges in order.
func placesEitherWay(faults []Fault) [2]Fault {
	faults = slices.Clone(faults)
	for i, f := range faults {
		if f.B.Part != PartNone && (Fault{A: f.B}).before(Fault{A: f.A}) {
			faults[i].A, faults[i].B = f.B, f.A
		}
	}
	return (&hypothesis{faults: faults}).placesOf()
}

// Pairs that hide each other: each is the first cause, and no answer is one that a box
// cannot be.
func TestJointPairs(t *testing.T) {
	element := func(dial, n int) Place { return Place{PartElement, dial, n} }
	tap := func(dial, n int) Place { return Place{PartTap, dial, n} }
	for _, c := range []struct {
		name   string
		code   decade.Code
		faults []Fault
	}{
		{"an open element with a wider bridge, as elements 1 to 9 off by -200 %", decade.Code{}, []Fault{
			{Kind: KindOpenElement, A: element(0, 2)}, {Kind: KindBridge, A: tap(0, 1), B: tap(0, 9), Value: 8770}}},
		{"an open element with a bridge up to the next dial", decade.Code{}, []Fault{
			{Kind: KindOpenElement, A: element(1, 8)}, {Kind: KindBridge, A: tap(1, 5), B: tap(1, 9), Value: 935}}},
		{"an open element of a code", decade.Code1225(), []Fault{
			{Kind: KindOpenElement, A: element(0, 2)}, {Kind: KindBridge, A: tap(0, 1), B: tap(0, 3), Value: 5200}}},
		{"a dial off with a strong leak", decade.Code{}, []Fault{
			{Kind: KindDialDrift, A: Place{PartDial, 1, 0}, Value: -0.02}, {Kind: KindTerminalLeak, A: Place{PartTerminal, 0, 1}, B: Place{PartTerminal, 0, 2}, Value: 150e3}}},
		{"an open contact beside a leak", decade.Code{}, []Fault{
			{Kind: KindOpenContact, A: Place{PartPosition, 1, 3}}, {Kind: KindTerminalLeak, A: Place{PartTerminal, 0, 1}, B: Place{PartTerminal, 0, 2}, Value: 3.05e6}}},
		{"exchanged elements of a box that drifted", decade.Code1225(), []Fault{
			{Kind: KindElementsExchanged, A: element(2, 3), B: element(0, 2)}, {Kind: KindBoxDrift, A: Place{Part: PartBox}, Value: -0.0117}}},
		{"a drift with a dirty contact on one dial", decade.Code{}, []Fault{
			{Kind: KindDrift, A: element(1, 7), Value: -12}, {Kind: KindContact, A: Place{PartPosition, 1, 3}, Value: 4}}},
		{"two drifts that cancel at the top", decade.Code{}, []Fault{
			{Kind: KindDrift, A: element(1, 3), Value: 9}, {Kind: KindDrift, A: element(1, 7), Value: -9}}},
		{"two drifts of a code that cancel at the top", decade.Code1225(), []Fault{
			{Kind: KindDrift, A: element(1, 3), Value: 9}, {Kind: KindDrift, A: element(1, 4), Value: -9}}},
		{"two drifts, one of them nearly a short", decade.Code{}, []Fault{
			{Kind: KindDrift, A: element(1, 6), Value: -90}, {Kind: KindDrift, A: element(1, 4), Value: 90}}},
	} {
		b := pairBox(t, c.code)
		d := diagnosed(t, b, noiseless(t, b, c.faults...))
		if d.Healthy || !hasFaults(d.Causes[0], c.faults...) {
			t.Errorf("%s: %v", c.name, d.Causes[0])
			continue
		}
		for i, f := range d.Causes[0].Faults {
			j := slices.IndexFunc(c.faults, f.samePlace)
			if j >= 0 && math.Abs(f.Value-c.faults[j].Value) > 0.02*math.Abs(f.Value) {
				t.Errorf("%s: fault %d is %s; expected %v", c.name, i, f.In(b), c.faults[j].Value)
			}
		}
		l := newLayout(b)
		for _, cause := range d.Causes {
			for _, faults := range append([][]Fault{cause.Faults}, cause.Equal...) {
				change := l.unchanged()
				for _, f := range faults {
					if err := change.apply("test", f); err != nil && cause.Probability > 1e-9 {
						t.Errorf("%s: %v, with a probability of %v", c.name, err, cause.Probability)
					}
				}
			}
		}
	}
}

// A knob one position on, on a switch that stops at its end, whose end position was not read:
// the same as a knob that turned all round, and as ohms in series. The knob is by far the more
// probable, and is looked at before any contact is cleaned.
func TestClassOfSlip(t *testing.T) {
	d := dials(0.001, 1000, 100, 10)
	for i := range d {
		d[i].Positions = 11
	}
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: d})
	whole := Place{PartDial, 1, 0}
	var rs []verify.Reading
	for _, r := range noiseless(t, b, Fault{Kind: KindSlip, A: whole, Value: 1}) {
		if r.Setting.Position(1) < 11 {
			rs = append(rs, r)
		}
	}
	got := diagnosed(t, b, rs)
	c := got.Causes[0]
	for _, f := range []Fault{{Kind: KindSlip, A: whole, Value: 1}, {Kind: KindSlip, A: whole, Value: 1, Wraps: true}, {Kind: KindSeries, A: Place{Part: PartBox}}} {
		if !hasFaults(c, f) {
			t.Errorf("%s is not in the class: %v", f.In(b), c)
		}
	}
	if want := "Look at the knob and the stops of ×100 Ω:"; got.Healthy || c.Probability < 0.99 || got.Next.Act != ActOpen || !strings.HasPrefix(got.Next.Text, want) {
		t.Errorf("%v, next %v; want the class above 99 %%, and %q", c, got.Next, want)
	}
}

// All round by v and by v less a turn are one fault: no two slips that turn round do the same at
// every setting, in boxes of ladders, of codes and of two ranges on a switch, and the answer names
// the shorter way.
func TestSlipsAllRoundOnce(t *testing.T) {
	list := constructions(t)
	for _, c := range list {
		l := c.model.layout
		for i := range l.sections {
			u := &l.sections[i]
			seen := make(map[string]Fault)
			for _, f := range c.model.slips(u) {
				if !f.Wraps {
					continue
				}
				x := l.unchanged()
				x.moveTaps(f)
				key := fmt.Sprint(x.positions)
				if g, ok := seen[key]; ok {
					t.Errorf("%s: %s does what %s does", c.name, f.In(c.box), g.In(c.box))
				}
				seen[key] = f
			}
			marks := 1
			for _, d := range u.dials {
				marks += l.decades[d].Positions
			}
			if len(seen) != marks-1 {
				t.Errorf("%s: %d slips of %d marks; want one less", c.name, len(seen), marks)
			}
		}
	}
	slip := Fault{Kind: KindSlip, A: Place{PartDial, 1, 0}, Value: 1, Wraps: true}
	d, err := list[0].run(161, Options{}, []Fault{slip})
	if err != nil {
		t.Fatal(err)
	}
	c := d.Causes[0]
	if want := "The knob of ×100 Ω has slipped by +1 position on its shaft (it turns all round)."; c.Sentence != want || len(c.Equal) != 0 {
		t.Errorf("%q, and %d more; want %q alone", c.Sentence, len(c.Equal), want)
	}
}

// A second fault that adds nothing is no cause of its own, and the readings' class is whole.
func TestNestedPairs(t *testing.T) {
	s := &search{options: Options{Distance: 5}}
	drift := Fault{Kind: KindDrift, A: Place{PartElement, 0, 1}}
	other := Fault{Kind: KindDrift, A: Place{PartElement, 0, 2}}
	contact := Fault{Kind: KindContact, A: Place{PartPosition, 1, 3}}
	of := func(score, fit float64, faults ...Fault) *hypothesis {
		return &hypothesis{faults: faults, score: score, fit: fit, uncertainty: make([]float64, len(faults))}
	}
	lead := of(10, 1, drift)
	nested := of(18, 0.5, drift, contact)
	beside := of(16, 1.5, other, contact) // two for one, not thirty times less probable
	remote := of(31, 1.5, contact, other)
	remote.faults[1].A.Number = 7
	got := s.groups(hideNested([]*hypothesis{lead, nested, beside, remote}))
	if len(got) != 2 || !slices.Equal(got[0].hypotheses, []*hypothesis{lead, beside}) || !slices.Equal(got[1].hypotheses, []*hypothesis{remote}) {
		t.Errorf("%d groups, the first of %d", len(got), len(got[0].hypotheses))
	}
	if want := math.Exp(-(31.0-10)/2) / (1 + math.Exp(-3) + math.Exp(-4) + math.Exp(-10.5)); relative(got[1].probability, want) > 1e-12 {
		t.Errorf("probability of what is left: %v; want %v", got[1].probability, want)
	}
	// However many there are that the readings do not tell from the lead, and however little
	// is to be said for them: they are in the class.
	list := []*hypothesis{lead}
	for i := range 700 {
		h := of(60, 2, Fault{Kind: KindDialBridge, A: Place{PartTap, 0, i}})
		list = append(list, h)
	}
	if got := s.groups(list); len(got) != 1 || len(got[0].hypotheses) != 701 {
		t.Errorf("%d groups, the first of %d; want one of 701", len(got), len(got[0].hypotheses))
	}
}

// All pairs of lines against each pair fitted by itself, inside its bounds, with the whole
// likelihood.
func TestPairLinesAgainstEach(t *testing.T) {
	for _, code := range []decade.Code{{}, decade.Code1225()} {
		d := coded(0.001, code, 100, 10)
		b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: d})
		truth := []Fault{{Kind: KindDrift, A: Place{PartElement, 0, 2}, Value: -30}, {Kind: KindDrift, A: Place{PartElement, 1, 3}, Value: 2}}
		s := searchOf(t, b, truth...)
		s.addSingles()
		all := s.pairLines()
		best := math.Inf(1)
		for _, h := range all {
			best = min(best, h.score)
		}
		each := math.Inf(1)
		var found []Fault
		for i := range s.lines {
			for j := range i {
				if h := s.fitEach(i, j); h != nil && h.score < each {
					each, found = h.score, h.faults
				}
			}
		}
		if len(s.lines) < 20 || math.Abs(best-each) > 1e-6*math.Abs(each) {
			t.Errorf("%d lines: best score %v; fitted one by one %v, %v", len(s.lines), best, each, found)
		}
	}
}

// fitEach fits two lines by the normal equations, summed in the plainest way.
func (s *search) fitEach(i, j int) *hypothesis {
	a, b := s.lines[i], s.lines[j]
	if a.fault.Kind == KindOverloaded || b.fault.Kind == KindOverloaded || a.fault.Kind == KindDialling && b.fault.Kind == KindDialling || a.fault.samePlace(b.fault) {
		return nil
	}
	var aa, ab, bb, az, bz float64
	for k := range s.numSettings {
		for l := range s.numSettings {
			g := s.bySetting.inverse[k*s.numSettings+l]
			aa += a.perUnit[k] * g * a.perUnit[l]
			ab += a.perUnit[k] * g * b.perUnit[l]
			bb += b.perUnit[k] * g * b.perUnit[l]
		}
		az += a.perUnit[k] * s.bySetting.weighted[k]
		bz += b.perUnit[k] * s.bySetting.weighted[k]
	}
	det := aa*bb - ab*ab
	if !(det > 1e-9*aa*bb) {
		return nil
	}
	x, y := (az*bb-bz*ab)/det, (bz*aa-az*ab)/det
	if !a.allowed(x) || !b.allowed(y) {
		return nil
	}
	h := &hypothesis{effect: make([]float64, s.numSettings), uncertainty: make([]float64, 2), faults: make([]Fault, 2)}
	h.faults[0], h.uncertainty[0] = a.valued(x, 1/math.Sqrt(aa))
	h.faults[1], h.uncertainty[1] = b.valued(y, math.Sqrt(aa/det))
	if s.insideClass(h.faults[0]) || s.insideClass(h.faults[1]) || !s.model.layout.possible(h.faults) {
		return nil
	}
	for k := range h.effect {
		h.effect[k] = x*a.perUnit[k] + y*b.perUnit[k]
	}
	h.prior = s.weight(h.faults[0].Kind) + s.weight(h.faults[1].Kind)
	s.evaluate(h)
	h.setScore()
	return h
}

// What a box cannot be: no element below nothing, no drift of -100 % or less, alone or
// together.
func TestPossible(t *testing.T) {
	l := newLayout(pairBox(t, decade.Code{}))
	e := func(n int) Place { return Place{PartElement, 1, n} }
	for _, c := range []struct {
		want   bool
		faults []Fault
	}{
		{true, []Fault{{Kind: KindDrift, A: e(1), Value: -99}}},
		{false, []Fault{{Kind: KindDrift, A: e(1), Value: -100}}},
		{true, []Fault{{Kind: KindDialDrift, A: Place{PartDial, 1, 0}, Value: -0.99}}},
		{false, []Fault{{Kind: KindDialDrift, A: Place{PartDial, 1, 0}, Value: -2}}},
		{false, []Fault{{Kind: KindBoxDrift, A: Place{Part: PartBox}, Value: -1}}},
		{false, []Fault{{Kind: KindOverloaded, A: e(1), B: e(9), Value: -2}, {Kind: KindOverloaded, A: e(1), B: e(2), Value: 3}}},
		{true, []Fault{{Kind: KindDrift, A: e(1), Value: -60}, {Kind: KindDrift, A: e(2), Value: -60}}},
		{false, []Fault{{Kind: KindDrift, A: e(1), Value: -60}, {Kind: KindUnsteady, A: e(1), Value: 1}, {Kind: KindDrift, A: e(1), Value: -60}}},
		{true, []Fault{{Kind: KindOverloaded, A: e(1), B: e(3), Value: -0.5}, {Kind: KindDrift, A: e(2), Value: 40}}},
		{false, []Fault{{Kind: KindDrift, A: e(2), Value: -60}, {Kind: KindDialDrift, A: Place{PartDial, 1, 0}, Value: -0.9999}}},
		{false, []Fault{{Kind: KindContact, A: Place{PartPosition, 1, 3}, Value: -0.1}}},
		{false, []Fault{{Kind: KindSeries, A: Place{Part: PartBox}, Value: -0.1}}},
		{false, []Fault{{Kind: KindWrongPart, A: e(3), Value: 0}}},
		{true, []Fault{{Kind: KindUnsteady, A: e(1), Value: 1, Scatter: 2}}},
		{false, []Fault{{Kind: KindUnsteady, A: e(1), Value: 0, Scatter: 2}}},
	} {
		if got := l.possible(c.faults); got != c.want {
			t.Errorf("%v: possible %v", c.faults, got)
		}
	}
}

// A touch that leaves a dial of 10 kΩ a milliohm has a circuit to be fitted: the class of
// the dial, which the readings no longer see, takes no digits from what they say.
func TestTouchOfLargeDial(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.0005, Decades: coded(0.001, decade.Code1225(), 10000, 1000, 100, 10)})
	f := Fault{Kind: KindDialBridge, A: Place{PartTap, 0, 0}, B: Place{PartTap, 1, 2}, Value: 0.001}
	ev, err := gather(evaluated(t, b, noiseless(t, b, f)))
	if err != nil {
		t.Fatal(err)
	}
	p, err := newLinearAccount(newModel(b, ev.settings, 0), ev)
	if err != nil {
		t.Fatal(err)
	}
	s := newSearch(p, complete(t))
	h := &hypothesis{faults: []Fault{f}, uncertainty: make([]float64, 1), effect: make([]float64, s.numSettings)}
	if err := s.fitCircuit(newProbe(s.model.layout), h); err != nil || !finite(h.fit) || h.chiSquared > 0.1 {
		t.Errorf("χ² %v, fit %v, %v; want that of readings without errors", h.chiSquared, h.fit, err)
	}
	// Settings dialled twice, with other readings between: the same to rounding.
	once := s.estimates
	for i := range ev.observations {
		o := ev.observations[i]
		o.row += len(ev.observations)
		ev.observations = append(ev.observations, o)
	}
	n := len(ev.observations) / 2
	wide := mat.NewSymDense(2*n, nil)
	for i := range 2 * n {
		for j := range i + 1 {
			wide.SetSym(i, j, ev.covariance.At(i%n, j%n))
		}
		wide.SetSym(i, i, wide.At(i, i)+1e-4*ev.covariance.At(i%n, i%n))
	}
	ev.covariance = wide
	if p, err = newLinearAccount(newModel(b, ev.settings, 0), ev); err != nil {
		t.Fatal(err)
	}
	twice, err := newSettingEstimates(p, ev.covariance)
	if err != nil {
		t.Fatal(err)
	}
	for i := range twice.read {
		if relative(twice.covariance.At(i, i), once.covariance.At(i, i)) > 1e-3 || math.Abs(twice.ohms[i]-once.ohms[i]) > 1e-6 {
			t.Errorf("setting %d: %v with %v; each once %v with %v", i, twice.ohms[i], twice.covariance.At(i, i), once.ohms[i], once.covariance.At(i, i))
		}
	}
}
