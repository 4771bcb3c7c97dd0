// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"errors"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// A standard speaks for the range that it was read on and for no other: from a twentieth of it
// on for the gain, below for the zero.
func TestStandardsOfRanges(t *testing.T) {
	standard := func(name string, ohms float64) verify.Standard {
		return verify.Standard{Value: uncertainty.Exact(ohms), Reading: verify.Reading{Range: name}}
	}
	r := &verify.Report{Standards: []verify.Standard{standard("100 Ω", 99), standard("1 kΩ", 50),
		standard("10 kΩ", 499), standard("both", 9), standard("both", 0.1)}}
	want := map[string][2]bool{"100 Ω": {false, true}, "1 kΩ": {false, true},
		"10 kΩ": {true, false}, "both": {false, false}, "none": {true, true}}
	for name, full := range map[string]float64{
		"100 Ω": 100, "1 kΩ": 1000, "10 kΩ": 1e4, "both": 10, "none": 10,
	} {
		r.Meter.Ranges = append(r.Meter.Ranges, verify.Range{Name: name, FullScale: full})
	}
	var e evidence
	e.addMeter(r)
	for _, x := range e.meter {
		if got := [2]bool{x.gain, x.zero}; got != want[x.name] {
			t.Errorf("%s: gain and zero may be off: %v; want %v", x.name, got, want[x.name])
		}
	}
}

// A drift at the limit of its class is inside, beyond it outside. What a dial or a box is off by
// must be outside by two standard uncertainties.
func TestLimitsOfClass(t *testing.T) {
	b := pairBox(t, decade.Code{})
	s := searchOf(t, b)
	element, whole := Place{PartElement, 1, 4}, Place{PartDial, 1, 0}
	for _, c := range []struct {
		f     Fault
		limit float64
	}{
		{Fault{Kind: KindSeries, A: Place{Part: PartBox}}, 0.01},
		{Fault{Kind: KindDrift, A: element}, 0.0005 * 100},
		{Fault{Kind: KindDialDrift, A: whole}, 0.0005 + 2*s.ofElements.dialSD[1]},
		{Fault{Kind: KindOverloaded, A: element, B: element}, 0.0005 + 2*s.ofElements.dialSD[1]},
		{Fault{Kind: KindBoxDrift, A: Place{Part: PartBox}},
			0.0005 + 2*slices.Min(s.ofElements.dialSD)},
	} {
		for _, sign := range []float64{-1, 1} {
			for by, want := range map[float64]bool{1 - 1e-9: true, 1 + 1e-9: false} {
				c.f.Value = sign * by * c.limit
				if got := s.insideClass(c.f); got != want {
					t.Errorf("%v of %v: inside %v; want %v", c.f.Kind, c.f.Value, got, want)
				}
			}
		}
	}
	// To the last bit where the limit is a number of the description.
	for _, c := range []struct{ f, outside Fault }{
		{Fault{Kind: KindSeries, Value: 0.01},
			Fault{Kind: KindSeries, Value: math.Nextafter(0.01, 1)}},
		{Fault{Kind: KindDrift, A: element, Value: -s.model.classLimit[13]},
			Fault{Kind: KindDrift, A: element, Value: -math.Nextafter(s.model.classLimit[13], 1)}},
	} {
		if !s.insideClass(c.f) || s.insideClass(c.outside) {
			t.Errorf("%v of %v and of %v: %v, %v; want the first inside", c.f.Kind, c.f.Value,
				c.outside.Value, s.insideClass(c.f), s.insideClass(c.outside))
		}
	}
	part := Fault{Kind: KindWrongPart, A: element}
	for ohms, want := range map[float64]bool{99.94: false, 99.96: true, 100.04: true, 100.06: false} {
		if part.Value = ohms; s.insideClass(part) != want {
			t.Errorf("a part of %v Ω: inside %v; want %v", ohms, !want, want)
		}
	}
	// All elements off without a pattern: with settings for half of them the likelihood tells.
	few, _ := separating(t)
	aged := Fault{Kind: KindAged, A: Place{Part: PartBox}, Value: 0.001}
	for n, want := range map[int]bool{2: true, 3: false} {
		if few.numSettings = n; few.insideClass(aged) != want {
			t.Errorf("aged, %d settings of 6 elements: inside %v; want %v", n, !want, want)
		}
	}
}

// Elements that were overloaded together differ by a part of their drift: by a tenth of 5 % of
// 100 Ω.
func TestSpreadOfOverload(t *testing.T) {
	s := searchOf(t, pairBox(t, decade.Code{}))
	h := &hypothesis{}
	s.spreadOverload(h, Fault{Kind: KindOverloaded, A: Place{PartElement, 1, 2},
		B: Place{PartElement, 1, 4}, Value: -0.05}, 0.1)
	if !slices.Equal(h.free, []int{11, 12, 13}) || len(h.freeSD) != 3 {
		t.Fatalf("elements 2 to 4 of the second dial: %v ± %v", h.free, h.freeSD)
	}
	for _, sd := range h.freeSD {
		if relative(sd, 0.5) > 1e-12 {
			t.Errorf("elements 2 to 4 of the second dial: %v; want 0.5 Ω each", h.freeSD)
		}
	}
}

// A contact is taken for one that is open beside a leak from 20 times the box on: 222 kΩ of a box
// of 11.1 kΩ.
func TestOpenBesideLeak(t *testing.T) {
	b := pairBox(t, decade.Code{})
	n := len(newLayout(b).nodes)
	contact := Place{PartPosition, 1, 3}
	s := searchOf(t, b, Fault{Kind: KindOpenContact, A: contact}, Fault{Kind: KindTerminalLeak,
		A: newLayout(b).nodes[n-2], B: newLayout(b).nodes[n-1], Value: 240e3})
	for ohms, want := range map[float64]bool{221e3: false, 223e3: true} {
		single := &hypothesis{faults: []Fault{{Kind: KindContact, A: contact, Value: ohms}}}
		got, err := s.openedBesideLeak(newProbe(s.model.layout), []*hypothesis{single})
		if err != nil || (len(got) > 0) != want {
			t.Errorf("a contact of %v Ω: %d pairs, %v; want some: %v", ohms, len(got), err, want)
		}
	}
}

// A bridge around an open element has more than 0 Ω. At position 2 it takes the place of
// elements 1 and 2 and comes back through element 3: 10 Ω and the bridge where 20 Ω were.
func TestOhmsOfOpened(t *testing.T) {
	s, _ := separating(t)
	for _, c := range []struct {
		off, ohms float64
		want      bool
	}{{-11, 0, false}, {-10, 0, false}, {-9.5, 0.5, true}, {-4, 6, true}} {
		o := opened{dial: 0, element: 2, a: 0, b: 3}
		s.bySetting.reference[2] = c.off
		if got := s.fitOpened(&o); got != c.want || got && math.Abs(o.ohms-c.ohms) > 1e-12 {
			t.Errorf("20 Ω off by %v Ω: %v, %v Ω; want %v, %v", c.off, got, o.ohms, c.want, c.ohms)
		}
	}
}

// Far behind the best nothing is fitted with its circuit, except for the first faults of each
// kind that move a wiper: the lines misjudge them by more than any limit.
func TestFarBehindTheBest(t *testing.T) {
	s := searchOf(t, pairBox(t, decade.Code{}),
		Fault{Kind: KindDrift, A: Place{PartElement, 1, 4}, Value: 7})
	const far = 1e9
	single := func(f Fault, score float64) *hypothesis {
		return &hypothesis{faults: []Fault{f}, uncertainty: make([]float64, 1),
			effect: make([]float64, s.numSettings), score: score}
	}
	list := []*hypothesis{single(Fault{Kind: KindBridge, A: Place{PartTap, 1, 2},
		B: Place{PartTap, 1, 5}, Value: 1e4}, 0)}
	s.evaluate(list[0]) // its fit says how far the lines may err: here by the least
	for i := range bestMoves + 2 {
		at := float64(i)
		list = append(list,
			single(Fault{Kind: KindSlip, A: Place{PartDial, i % 3, 0}, Value: float64(1 + i/3)}, far+at),
			single(Fault{Kind: KindBridge, A: Place{PartTap, 1, i}, B: Place{PartTap, 1, i + 3},
				Value: 100}, far+at))
	}
	if err := s.refit(newProbe(s.model.layout), list, list[0].score); err != nil {
		t.Fatal(err)
	}
	for i := range bestMoves + 2 {
		slip, bridge := list[1+2*i], list[2+2*i]
		if fitted := slip.score != far+float64(i); fitted != (i < bestMoves) {
			t.Errorf("slip %d: fitted %v", i+1, fitted)
		}
		if bridge.score != far+float64(i) {
			t.Errorf("bridge %d, as far behind, was fitted: %v", i+1, bridge.score)
		}
	}
}

// Bridges that look as good as the best, and by their circuits are far behind it: after so many in
// a row no more are fitted.
func TestPatience(t *testing.T) {
	s := searchOf(t, pairBox(t, decade.Code{}),
		Fault{Kind: KindDrift, A: Place{PartElement, 1, 4}, Value: 7})
	var list []*hypothesis
	for i := range mostPatient + 6 {
		list = append(list, &hypothesis{
			faults: []Fault{{Kind: KindBridge, A: Place{PartTap, i % 3, i / 10},
				B: Place{PartTap, i % 3, i/10 + 4}, Value: 100}},
			uncertainty: make([]float64, 1), effect: make([]float64, s.numSettings),
			score: float64(i) / 100})
	}
	if err := s.refit(newProbe(s.model.layout), list, 0); err != nil {
		t.Fatal(err)
	}
	for i, h := range list {
		if fitted := h.score != float64(i)/100; fitted != (i < mostPatient) {
			t.Errorf("bridge %d: fitted %v", i+1, fitted)
		}
	}
}

// A dial behind the last one is no place of a box, whatever the part of it.
func TestDialBehindTheLast(t *testing.T) {
	b := pairBox(t, decade.Code{})
	x := at(t, b, 3, 4, 5)
	for _, dial := range []int{-1, 3} {
		for _, part := range []Part{PartElement, PartTap, PartWiper, PartPosition, PartDial} {
			for _, f := range []Fault{
				{Kind: KindDrift, A: Place{part, dial, 1}, Value: 1},
				{Kind: KindBridge, A: Place{PartTap, 1, 1}, B: Place{part, dial, 2}, Value: 100},
				{Kind: KindContact, A: Place{part, dial, 1}, Value: 1},
				{Kind: KindDialDrift, A: Place{part, dial, 0}, Value: 0.01},
			} {
				if v, err := Predict(x, f); !errors.Is(err, ErrPlace) || !math.IsNaN(v) {
					t.Errorf("%v at %+v, %+v: %v, %v; want ErrPlace", f.Kind, f.A, f.B, v, err)
				}
			}
		}
	}
}

// Where open elements or bridges have no weight, the two together are not considered either.
func TestOpenedWithoutWeight(t *testing.T) {
	b := pairBox(t, decade.Code{})
	s := searchOf(t, b, Fault{Kind: KindOpenElement, A: Place{PartElement, 1, 4}},
		Fault{Kind: KindBridge, A: Place{PartTap, 1, 2}, B: Place{PartTap, 1, 6}, Value: 300})
	o := opened{dial: 1, element: 4, a: 2, b: 6}
	if !s.fitOpened(&o) || relative(o.ohms, 300) > 0.01 {
		t.Fatalf("the bridge of 300 Ω is not found: %+v", o)
	}
	full := s.options.Weights
	for _, c := range []struct {
		without Kind
		want    bool
	}{{KindSlip, true}, {KindOpenElement, false}, {KindBridge, false}} {
		s.options.Weights = maps.Clone(full)
		delete(s.options.Weights, c.without)
		if got := s.hypothesisOfOpened(o); (got != nil) != c.want {
			t.Errorf("without %v: considered %v; want %v", c.without, !c.want, c.want)
		}
	}
}

// Elements that aged are considered with those spreads of their drift whose outermost elements,
// two standard deviations beyond the mean, leave a class of 0.1 %; and only where they read high.
func TestSpreadsOfAged(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01,
		Decades: []decade.Decade{{Step: 100, Positions: 4, Tolerance: 0.001}}})
	for by, want := range map[float64]int{
		0.0003: 0, 0.00042: 1, 0.0006: 2, 0.00075: 3, 0.002: 4, -0.002: 0,
	} {
		var ev evidence
		for p := range 5 {
			x := at(t, b, p)
			ev.observations = append(ev.observations,
				observation{ev.settingIndex(x), x.Value() + 100*by*float64(p), p})
		}
		ev.covariance = mat.NewSymDense(5, nil)
		for i := range 5 {
			ev.covariance.SetSym(i, i, 1e-6)
		}
		p, err := newLinearAccount(newModel(b, ev.settings, 0), &ev)
		if err != nil {
			t.Fatal(err)
		}
		s := newSearch(p, complete(t))
		s.addAged()
		if len(s.found) != want {
			t.Errorf("all off by %v: %d spreads considered; want %d", by, len(s.found), want)
		}
	}
}

// Another range is read first where the fault of the first shifts the reading by more than three
// limits of the other.
func TestShiftForOtherRange(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Decades: dials(0.001, 100)})
	rs := noiseless(t, b)
	r := evaluated(t, b, rs)
	x := at(t, b, 1)
	first := r.At(x)[0].Range
	other := otherRange(r, x.Value(), first)
	i := slices.IndexFunc(r.Meter.Ranges, func(g verify.Range) bool { return g.Name == other })
	if i < 0 {
		t.Fatalf("no other range than %s", first)
	}
	limit := 3 * r.Meter.Ranges[i].Limit(x.Value(), 0)
	for _, c := range []struct {
		ohms float64
		name string
		want Act
	}{
		{limit, first, ActKnownResistor},
		{math.Nextafter(limit, math.Inf(1)), first, ActOtherRange},
		{-math.Nextafter(limit, math.Inf(1)), first, ActOtherRange},
		{2 * limit, other, ActKnownResistor},
	} {
		d := &Diagnosis{Next: Step{Act: ActKnownResistor, Setting: x, Range: first}, Causes: []Cause{
			{Kind: KindMeterZero, Faults: []Fault{{Kind: KindMeterZero, Name: c.name, Value: c.ohms}}}}}
		if d.otherRangeFirst(r); d.Next.Act != c.want {
			t.Errorf("%v Ω on range %s: %v; want %v", c.ohms, c.name, d.Next.Act, c.want)
		}
	}
}

// A pivot of no more than rounding leaves is none: of four readings 4·2⁻⁵². With a correlation
// of 1 − 2⁻⁵¹ it is 1 − ρ² = 2⁻⁵⁰, just that, and with 1 − 2⁻⁵⁰ twice as much.
func TestSmallestPivot(t *testing.T) {
	for below, want := range map[int]bool{-51: false, -50: true} {
		rho := 1 - math.Ldexp(1, below)
		c := mat.NewSymDense(4, []float64{1, rho, 0, 0, rho, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1})
		if got := new(factor).factorize(c); got != want {
			t.Errorf("a correlation of 1 − 2^%d: a factor %v; want %v", below, got, want)
		}
	}
}

// The faults of the best pairs are tried as first faults: each alone, with what it alone does, and
// again only where its value has moved by more than 2 %. A pair that is far behind the best of all
// or behind the best single fault, or that takes up what it likes, gives none.
func TestLeadersOfPairs(t *testing.T) {
	s := searchOf(t, pairBox(t, decade.Code{}))
	drift := Fault{Kind: KindDrift, A: Place{PartElement, 1, 4}, Value: 7}
	series := Fault{Kind: KindSeries, A: Place{Part: PartBox}, Value: 3}
	pair := func(score float64, faults ...Fault) *hypothesis {
		return &hypothesis{score: score, faults: faults, uncertainty: []float64{0.1, 0.2}}
	}
	drawn, free := pair(0, drift, series), pair(0, drift, series)
	drawn.drawSD, free.free = 0.1, []int{1}
	for name, c := range map[string]struct {
		h           *hypothesis
		best, alone float64
		tried       []Fault
		want        []Kind
	}{
		"as good as the single fault": {pair(nearBest, drift, series), 0, 0, nil,
			[]Kind{KindDrift, KindSeries}},
		"behind it": {pair(math.Nextafter(nearBest, 3), drift, series), 0, 0, nil, nil},
		"close to the best": {pair(closeBehind, drift, series), 0, 99, nil,
			[]Kind{KindDrift, KindSeries}},
		"far behind the best": {pair(math.Nextafter(closeBehind, 15), drift, series), 0, 99, nil, nil},
		"with a scatter":      {drawn, 0, 0, nil, nil},
		"with free elements":  {free, 0, 0, nil, nil},
		"tried with 1 % less": {pair(0, drift, series), 0, 0,
			[]Fault{{Kind: KindDrift, A: drift.A, Value: 6.93}}, []Kind{KindSeries}},
		"tried with 3 % less": {pair(0, drift, series), 0, 0,
			[]Fault{{Kind: KindDrift, A: drift.A, Value: 6.79}}, []Kind{KindDrift, KindSeries}},
	} {
		p := &pairSearch{search: s, probe: newProbe(s.model.layout), pairs: []*hypothesis{c.h},
			best: &hypothesis{score: c.best}, single: c.alone, tried: c.tried}
		got := p.leaders()
		var kinds []Kind
		for i, h := range got {
			kinds = append(kinds, h.firstKind())
			for k, x := range s.model.settings {
				want := predicted(t, x, h.faults...) - s.model.nominal[k]
				if len(h.faults) != 1 || math.Abs(h.effect[k]-want) > 1e-9 {
					t.Errorf("%s: fault %d changes %v by %v Ω; want %v", name, i, x, h.effect[k], want)
				}
			}
		}
		if !slices.Equal(kinds, c.want) {
			t.Errorf("%s: %v; want %v", name, kinds, c.want)
		}
		if again := p.leaders(); len(again) != 0 {
			t.Errorf("%s: %d faults twice", name, len(again))
		}
	}
}

// A pair of a bridge and a drift that is as good as open is fitted with the element open too,
// unless it is far behind the best.
func TestOpenBesideThePair(t *testing.T) {
	bridge := Fault{Kind: KindBridge, A: Place{PartTap, 1, 2}, B: Place{PartTap, 1, 6}, Value: 300}
	s := searchOf(t, pairBox(t, decade.Code{}),
		Fault{Kind: KindOpenElement, A: Place{PartElement, 1, 4}}, bridge)
	keep := func(best float64) *pairSearch {
		p := &pairSearch{search: s, probe: newProbe(s.model.layout), best: &hypothesis{score: best}}
		h := &hypothesis{
			faults: []Fault{bridge,
				{Kind: KindDrift, A: Place{PartElement, 1, 4}, Value: 1e5}},
			uncertainty: make([]float64, 2), effect: make([]float64, s.numSettings)}
		if err := p.keepPairs([]*hypothesis{h}); err != nil {
			t.Fatal(err)
		}
		return p
	}
	open := func(p *pairSearch) bool {
		return slices.ContainsFunc(p.pairs, func(h *hypothesis) bool {
			return slices.ContainsFunc(h.faults, func(f Fault) bool { return f.Kind == KindOpenElement })
		})
	}
	i := slices.IndexFunc(keep(1e9).pairs, func(h *hypothesis) bool {
		return slices.ContainsFunc(h.faults, func(f Fault) bool { return f.Kind == KindDrift })
	})
	if i < 0 {
		t.Fatal("the pair with the drift is lost")
	}
	score := keep(1e9).pairs[i].score
	limit := score - closeBehind
	if limit+closeBehind != score {
		limit = math.Nextafter(limit, score) // closeBehind beyond it, to the last bit or less
	}
	for best, want := range map[float64]bool{
		limit - 1e-6: false, limit: limit+closeBehind > score, limit + 1e-6: true,
	} {
		if got := open(keep(best)); got != want {
			t.Errorf("a pair of %v, the best %v: open element tried %v; want %v", score, best, got, want)
		}
	}
}

// A fault that changes no reading leaves what the readings say.
func TestFreeFirstOfNothing(t *testing.T) {
	s, _ := separating(t)
	before := slices.Clone(s.byDialling.inverse)
	v := &view{linearAccount: s.linearAccount, slope: make([]float64, s.numSettings)}
	v.freeFirst()
	if !slices.Equal(s.byDialling.inverse, before) {
		t.Errorf("%v; want %v", s.byDialling.inverse, before)
	}
}

// Less than half an ohm across an element is a short of it, half an ohm is not.
func TestShortOfElement(t *testing.T) {
	for _, c := range []struct {
		f    Fault
		want bool
	}{
		{Fault{Kind: KindShorted}, true}, {Fault{Kind: KindElementLeak, Value: 0.5}, false},
		{Fault{Kind: KindElementLeak, Value: math.Nextafter(0.5, 0)}, true},
		{Fault{Kind: KindBridge, Value: 0.1}, false},
	} {
		if got := c.f.isShort(); got != c.want {
			t.Errorf("%v of %v Ω: %v; want %v", c.f.Kind, c.f.Value, got, c.want)
		}
	}
}

// A value has the digits of its uncertainty (GUM 7.2.6), and all of them where it has none.
func TestDigitsOfUncertainty(t *testing.T) {
	for _, c := range []struct{ v, U, want float64 }{
		{1234.56789, 0.12, 1234.57}, {1234.56789, 3.4, 1234.6}, {1234.56789, 1e-9, 1234.57},
		{1234.56789, 0, 1234.56789}, {1234.56789, -1, 1234.56789}, {0, 1, 0}, {0, 0, 0},
		{1234.56789, math.Inf(1), 1234.56789}, {1234.56789, 5e6, 1000}, {-0.0123456, 0.002, -0.0123},
	} {
		if got := toDigitsOf(c.v, c.U); got != c.want {
			t.Errorf("%v with U = %v: %v; want %v", c.v, c.U, got, c.want)
		}
	}
}

// A range confirms a value that it just reaches and whose full scale is 20 times the value at most;
// of two that do, the smaller one is taken.
func TestRangesThatConfirm(t *testing.T) {
	r := &verify.Report{Meter: verify.Meter{Ranges: []verify.Range{
		{Name: "2 kΩ", FullScale: 2000, OverRange: 1}, {Name: "100 Ω", FullScale: 100, OverRange: 1},
		{Name: "200 Ω", FullScale: 200, OverRange: 1}, {Name: "40 Ω", FullScale: 40, OverRange: 1},
	}}}
	for _, c := range []struct {
		ohms float64
		than string
		want string
	}{
		{100, "200 Ω", "100 Ω"}, {100, "100 Ω", "200 Ω"}, {100.1, "100 Ω", "200 Ω"},
		{200, "200 Ω", "2 kΩ"}, {100, "", "100 Ω"}, {101, "200 Ω", "2 kΩ"}, {99, "200 Ω", "100 Ω"},
		{40, "100 Ω", "40 Ω"}, {41, "100 Ω", "200 Ω"}, {2, "100 Ω", "40 Ω"}, {1.99, "100 Ω", ""},
		{2000, "100 Ω", "2 kΩ"}, {2001, "100 Ω", ""},
	} {
		if got := otherRange(r, c.ohms, c.than); got != c.want {
			t.Errorf("%v Ω, read on %q: %q; want %q", c.ohms, c.than, got, c.want)
		}
	}
}

// A knob is off by a whole number of positions, one at least and no more than a dial may have.
func TestPositionsOfSlip(t *testing.T) {
	for v, want := range map[float64]bool{
		0: false, 1: true, -1: true, 0.5: false, 255: true, -255: true, 256: false, -256: false,
	} {
		err := (Fault{Kind: KindSlip, Value: v}).checkSlip("fault.Test")
		if (err == nil) != want || !want && !errors.Is(err, ErrDomain) {
			t.Errorf("off by %v positions: %v; want it allowed: %v", v, err, want)
		}
	}
}

// An element that reads high by up to 1.5 % may have lost the resistor that trimmed it, R·(R + v)/v;
// one that reads low by as much gets v in series. Beyond it is replaced.
func TestTrimOfElement(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100)})
	for v, want := range map[float64]string{
		0.0049: "", 0.0051: "2 MΩ in parallel", 1: "10 kΩ in parallel", 1.49: "6.8 kΩ in parallel",
		1.51: "", -0.001: "1 mΩ in series", -1.49: "1.5 Ω in series", -1.51: "",
	} {
		r := &repairing{box: b}
		r.repairElement(Fault{Kind: KindDrift, A: Place{PartElement, 0, 3}, Value: v})
		text := strings.Join(r.Steps, " ")
		trimmed := strings.Contains(text, "in parallel") || strings.Contains(text, "in series")
		if trimmed != (want != "") || !strings.Contains(text, want) {
			t.Errorf("off by %v Ω: %s; want %q", v, text, want)
		}
	}
}

// A cause is in the answer up to 40 behind the best, and of a hundred at most; the healthy box is
// in it however far behind.
func TestNumberOfCauses(t *testing.T) {
	s := &search{options: Options{Distance: 5}}
	cause := func(i int, score float64) *hypothesis {
		return &hypothesis{faults: []Fault{{Kind: KindDrift, A: Place{PartElement, 0, i}}},
			uncertainty: make([]float64, 1), score: score, fit: 10 * float64(i)}
	}
	for _, c := range []struct {
		n    int
		last float64
		want int
	}{{20, 40, 20}, {20, 40.1, 19}, {100, 1, 100}, {101, 1, 100}, {150, 1, 100}} {
		var list []*hypothesis
		for i := range c.n - 1 {
			list = append(list, cause(i+1, float64(i)/1000))
		}
		list = append(list, cause(c.n, c.last),
			&hypothesis{score: 200, fit: -1000}) // the healthy box
		got := s.groups(list)
		healthy := slices.ContainsFunc(got, func(g *group) bool {
			return len(g.hypotheses[0].faults) == 0
		})
		if len(got) != c.want+1 || !healthy {
			t.Errorf("%d causes, the last %v behind: %d groups, the healthy box in it %v; want %d",
				c.n, c.last, len(got), healthy, c.want+1)
		}
	}
}

// Of the settings that speak for a cause the twelve strongest are listed, each once.
func TestNumberOfAffected(t *testing.T) {
	s := searchOf(t, pairBox(t, decade.Code{}))
	h := &hypothesis{effect: make([]float64, s.numSettings)}
	for k := range h.effect {
		h.effect[k] = 1e3 * s.model.nominal[k]
	}
	got := s.affectedSettings(h)
	if len(got) != 12 || len(unique(got)) != 12 {
		t.Errorf("%d of %d settings, %d different; want 12", len(got), s.numSettings, len(unique(got)))
	}
}

// The zero of a range may be off by more than its limit, and by less than a fifth of full scale;
// the gain by more than gain, zero and cross term together, and by less than a fifth: below, the
// meter keeps what it promises, and beyond it is broken and not off.
func TestLimitsOfMeter(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.001, Decades: dials(0.0005, 100, 10)})
	const limit, full = 1e-5 * 1000, 1000.0
	reading := func(k Kind, x decade.Setting, by float64) float64 {
		if k == KindMeterZero {
			return x.Value() + by
		}
		return x.Value() + by*x.Nominal()
	}
	meter := &verify.Meter{Wiring: verify.WiringFourWire, OffsetCompensated: true,
		Ranges: []verify.Range{{Name: "1 kΩ", FullScale: full, OverRange: 1.5, OfReading: 1e-6,
			OfRange: limit / full, Resolution: 1e-4}}}
	for _, c := range []struct {
		kind Kind
		by   float64
		want bool
	}{
		{KindMeterZero, 0.5 * limit, false}, {KindMeterZero, 5 * limit, true},
		{KindMeterZero, -5 * limit, true}, {KindMeterZero, 0.19 * full, true},
		{KindMeterZero, 0.21 * full, false},
		{KindMeterGain, 5e-6, false}, {KindMeterGain, 0.01, true}, {KindMeterGain, -0.01, true},
		{KindMeterGain, 0.19, true}, {KindMeterGain, 0.21, false},
	} {
		var rs []verify.Reading
		for d := range 2 {
			for p := range 11 {
				if d == 1 && p == 0 {
					continue // the zero setting again
				}
				x := at(t, b, p*(1-d), p*d)
				rs = append(rs, verify.Reading{Setting: x, Range: "1 kΩ", Values: []float64{reading(c.kind, x, c.by)}})
			}
		}
		r, err := verify.Evaluate(b, meter, rs, conformity.Guarded(1))
		if err != nil {
			t.Fatal(err)
		}
		s := searchOfReport(t, r)
		s.addMeterFaults()
		found := slices.ContainsFunc(s.found, func(h *hypothesis) bool {
			return h.faults[0].Kind == c.kind && math.Abs(h.faults[0].Value-c.by) < 0.1*math.Abs(c.by)
		})
		if found != c.want {
			t.Errorf("%v of %v: found %v; want %v", c.kind, c.by, found, c.want)
		}
	}
}

// An open element under a bridge leaves the way over the bridge, by hand: taps 2 and 6 are joined
// by 300 Ω, element 4 is open. Beyond tap 6 the bridge stands for the four elements under it, and
// below the current comes back from there. Beside no bridge there is no way at all.
func TestOpenUnderBridge(t *testing.T) {
	b := pairBox(t, decade.Code{})
	s := searchOf(t, b)
	bridge := Fault{Kind: KindBridge, A: Place{PartTap, 1, 2}, B: Place{PartTap, 1, 6}, Value: 300}
	open := Fault{Kind: KindOpenElement, A: Place{PartElement, 1, 4}}
	v := s.viewInCircuit(newProbe(s.model.layout),
		&hypothesis{faults: []Fault{bridge}, effect: make([]float64, s.numSettings)})
	beside := newSearch(v.linearAccount, s.options)
	beside.view, beside.work = v, s.work
	perUnit := s.model.inCircuit[s.model.layout.elementAt(1, 4)]
	step := b.Spec().Decades[1].Step
	got, alone := beside.openEffect(open, perUnit, math.Inf(1)), s.openEffect(open, perUnit, math.Inf(1))
	read := 0
	for k, x := range s.model.settings {
		p := float64(x.Position(1))
		switch {
		case p < 4:
			if got[k] != 0 || alone[k] != 0 {
				t.Errorf("%v: %v, alone %v; want 0", x, got[k], alone[k])
			}
			continue
		case !math.IsInf(alone[k], 1):
			t.Errorf("%v without a bridge: %v; want +Inf", x, alone[k])
		}
		read++
		want := x.Value() - p*step + 300 + 2*step + math.Abs(p-6)*step
		if r := got[k] + beside.model.networkNominal[k]; math.Abs(r-want) > 1e-6*want {
			t.Errorf("%v: %v Ω; want %v", x, r, want)
		}
	}
	if read < 7 {
		t.Errorf("%d settings beyond the open element; want 7 or more", read)
	}
}

// A null of the leads leaves what it is stated good for, anywhere within.
func TestLeadsAfterNull(t *testing.T) {
	m := newModel(pairBox(t, decade.Code{}), nil, 0)
	meter := *testMeter()
	meter.Wiring, meter.Leads = verify.WiringTwoWire, verify.Leads{Null: verify.NullLeadsJoined, NullTolerance: 0.01}
	largest := 0.0
	for seed := range uint64(200) {
		s, err := newSpecimen("test", m, &meter, seed, nil)
		if err != nil {
			t.Fatal(err)
		}
		largest = max(largest, math.Abs(s.leads))
	}
	// Of 200 draws from a rectangle the largest is below 97 % once in 400.
	if largest > 0.01 || largest < 0.0097 {
		t.Errorf("largest of 200 remainders %v Ω; want 0.0097 to 0.01", largest)
	}
}

// What an element with a contact of its own beside it adds, R − R∥c, is what the class is about.
func TestElementInPlace(t *testing.T) {
	beside := 0
	for _, c := range constructions(t) {
		l := c.model.layout
		for i, e := range l.elements {
			r := l.inPlace(i)
			if !l.decades[e.dial].Tapped() && l.separateContacts(e.dial) && l.contact > 0 {
				beside++
				r -= r * l.contact / (r + l.contact)
			}
			if math.Abs(r-e.ohms) > 1e-12*e.ohms {
				t.Errorf("%s: element %d adds %v Ω; want %v", c.name, i, r, e.ohms)
			}
		}
	}
	if beside == 0 {
		t.Error("no element with a contact of its own")
	}
}

// A dialling that was discarded counts twice, and those of another stage do not count.
func TestDialled(t *testing.T) {
	b := pairBox(t, decade.Code{})
	x, y := at(t, b, 0, 1, 0), at(t, b, 0, 2, 0)
	row := func(s decade.Setting, stage verify.Stage, discarded bool) verify.Row {
		return verify.Row{Discarded: discarded, Reading: verify.Reading{Setting: s, Stage: stage}, Setting: s}
	}
	got := dialled(&verify.Report{Rows: []verify.Row{row(x, verify.StageAsFound, false),
		row(x, verify.StageAsLeft, false), row(x, verify.StageAsLeft, false), row(y, verify.StageAsLeft, true)}})
	if got[x] != 2 || got[y] != 2 {
		t.Errorf("%v dialled %d times, %v %d; want 2 and 2", x, got[x], y, got[y])
	}
}

// One fault whose effect is a number times what it is by itself is a line, unless it is drawn anew
// at each dialling.
func TestIsLine(t *testing.T) {
	drift := []Fault{{Kind: KindDrift, A: Place{PartElement, 0, 2}, Value: 5}}
	for _, c := range []struct {
		h    hypothesis
		want bool
	}{
		{hypothesis{faults: drift}, true},
		{hypothesis{faults: drift, drawSD: 0.1}, false},
		{hypothesis{faults: append(slices.Clone(drift), drift...)}, false},
		{hypothesis{faults: []Fault{{Kind: KindBridge}}}, false},
		{hypothesis{faults: []Fault{{Kind: KindContact}}, effect: []float64{0, 2}}, true},
		{hypothesis{faults: []Fault{{Kind: KindOpenContact}}, effect: []float64{0, math.Inf(1)}}, false},
	} {
		if got := c.h.isLine(); got != c.want {
			t.Errorf("%v, drawn by %v: line %v; want %v", c.h.faults, c.h.drawSD, got, c.want)
		}
	}
}

// A variance along a direction: of the settings, and by the determinant as gonum has it.
func TestAddedVariance(t *testing.T) {
	s := searchOf(t, pairBox(t, decade.Code{}))
	p := s.linearAccount
	n := p.numReadings
	before, d := slices.Clone(p.bySetting.variance), make([]float64, n)
	for i := range d {
		d[i] = float64(i%3) - 1.5
	}
	inverse := mat.NewSymDense(n, slices.Clone(p.byDialling.inverse))
	added := p.addVariance(d, 0.5)
	for i, o := range s.evidence.observations {
		want := before[o.setting] + 0.25*d[i]*d[i]
		if got := p.bySetting.variance[o.setting]; len(s.diallings[o.setting]) == 1 && math.Abs(got-want) > 1e-12*want {
			t.Errorf("variance of %v: %v; want %v", s.model.settings[o.setting], got, want)
		}
	}
	x := mat.NewVecDense(n, d)
	if want := math.Log1p(0.25 * mat.Inner(x, inverse, x)); math.Abs(added-want) > 1e-9*want {
		t.Errorf("ln det grows by %v; want %v", added, want)
	}
}

// Rows and ranges count from 1.
func TestPlacesBeforeTheFirst(t *testing.T) {
	l := newModel(pairBox(t, decade.Code{}), nil, 0).layout
	for _, f := range []Fault{
		{Kind: KindDialling, A: Place{Part: PartReading}, Value: 1},
		{Kind: KindMeterGain, A: Place{Part: PartRange}, Value: 0.1},
	} {
		if err := l.unchanged().apply("test", f); !errors.Is(err, ErrPlace) {
			t.Errorf("%v at 0: %v; want ErrPlace", f.Kind, err)
		}
		f.A.Number = 1
		if err := l.unchanged().apply("test", f); err != nil {
			t.Errorf("%v at 1: %v", f.Kind, err)
		}
	}
}

// Series resistance may take away what is stated, and no more.
func TestLeastInSeries(t *testing.T) {
	l := newModel(pairBox(t, decade.Code{}), nil, 0).layout
	if least := -0.999 * l.contact; l.allowsSeries(least) || !l.allowsSeries(math.Nextafter(least, 0)) {
		t.Errorf("allowed at %v: %v, just above: %v; want above alone", least, l.allowsSeries(least),
			l.allowsSeries(math.Nextafter(least, 0)))
	}
}

// The score of a pair of lines is what it leaves of χ² and the weights of both faults, with their
// values or as the faults of fixed numbers that they are, and the penalty for what is free.
func TestScoreOfLines(t *testing.T) {
	s := searchOf(t, pairBox(t, decade.Code{}))
	drift := Fault{Kind: KindDrift, A: Place{PartElement, 0, 2}}
	shorted := Fault{Kind: KindShorted, A: Place{PartElement, 0, 2}}
	series := Fault{Kind: KindSeries, A: Place{Part: PartBox}}
	always := func(float64) bool { return true }
	s.lines = []line{{fault: drift, allowed: always, fixed: shorted, at: -1000}, {fault: series, allowed: always}}
	for _, c := range []struct {
		pair  linePair
		first Fault
	}{
		{linePair{i: 0, j: 1, x: 5, ux: 0.1, y: 2, uy: 0.2}, Fault{Kind: KindDrift, A: drift.A, Value: 5}},
		{linePair{i: 0, j: 1, x: -1000, xFixed: true, y: 2, uy: 0.2}, shorted},
	} {
		h := hypothesis{faults: []Fault{c.first, {Kind: KindSeries, A: series.A, Value: 2}},
			uncertainty: []float64{c.pair.ux, c.pair.uy}}
		want := 40 + s.weight(c.first.Kind) + s.weight(KindSeries) + h.freedomPenalty()
		if !s.scoreLines(&c.pair, 40, math.Inf(1)) || math.Abs(c.pair.score-want) > 1e-9 {
			t.Errorf("%v: score %v; want %v", c.first, c.pair.score, want)
		}
		if c.pair.ux != h.uncertainty[0] || c.pair.uy != h.uncertainty[1] {
			t.Errorf("%v: u %v, %v; want %v", c.first, c.pair.ux, c.pair.uy, h.uncertainty)
		}
	}
}

// What faults leave of an element is at least a thousandth of it: less is an open or shorted
// element, which are kinds of their own.
func TestLeastOfElement(t *testing.T) {
	l := newModel(pairBox(t, decade.Code{}), nil, 0).layout
	for left, want := range map[float64]bool{0.0011: true, 0.0009: false} {
		f := Fault{Kind: KindDrift, A: Place{PartElement, 1, 4}, Value: (left - 1) * 100}
		if got := l.possible([]Fault{f}); got != want {
			t.Errorf("%v of 100 Ω left: possible %v; want %v", left, got, want)
		}
	}
}

// A second fault need not gain anything where its first one alone is as far behind the known best
// as causes in the answer may be, and as the account of lines may err.
func TestBehindTheKnownPair(t *testing.T) {
	s := searchOf(t, pairBox(t, decade.Code{}))
	f := Fault{Kind: KindDrift, A: Place{PartElement, 0, 2}, Value: 5}
	h := &hypothesis{faults: []Fault{f}, effect: scaled(s.model.inCircuit[1], 5), uncertainty: []float64{0.1}, prior: 3}
	v := s.viewBeside(newProbe(s.model.layout), h)
	alone := v.added + v.byDialling.chiSquared + h.prior
	s.known = alone - farBehind - s.errorOfLines(h)
	if got := s.behindOf(v); math.Abs(got) > 1e-9*alone {
		t.Errorf("must gain %v; want 0", got)
	}
}
