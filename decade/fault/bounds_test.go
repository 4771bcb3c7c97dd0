// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
)

// one is a search over one setting and one pair of nodes, with the whitened reading z and
// its weight g: a bridge of r ohms changes the setting by −1/(1 + r).
func one(z, g float64) (*search, *pair) {
	p := &linearAccount{numSettings: 1, diallings: [][]int{{0}}, bySetting: settingSums{weighted: []float64{z}, inverse: []float64{g}, variance: []float64{1 / g}}}
	return &search{linearAccount: p}, &pair{kind: KindBridge, setting: []int32{0}, numerator: []float64{1}, denominator: []float64{1}}
}

// The best change is z/g, so that a reading half an ohm low is a bridge of 1 Ω, with a gain
// of z²/g.
func TestCoarseBridge(t *testing.T) {
	sig := make([]float64, 1)
	for _, c := range []struct{ z, g, atLeast, r, gain float64 }{
		{-50, 100, math.Inf(-1), 1, 25},
		{-50, 100, 25, 1, 25}, // as good as is wanted, no more
		{-25, 100, 0, 3, 6.25},
		{-150, 100, 0, 0, 200}, // more than a touch explains
	} {
		s, q := one(c.z, c.g)
		got := s.coarseFit(q, sig, c.atLeast)
		if got.pair != q || relative(got.gain, c.gain) > 1e-12 || math.Abs(got.ohms-c.r) > 1e-12 {
			t.Errorf("z %v, g %v: %v Ω with a gain of %v; want %v Ω, %v", c.z, c.g, got.ohms, got.gain, c.r, c.gain)
		}
	}
	for _, c := range [][3]float64{{0, 100, math.Inf(-1)}, {10, 100, 0}, {-50, 100, 25.5}} { // as nominal; too high; too little
		s, q := one(c[0], c[1])
		if got := s.coarseFit(q, sig, c[2]); !math.IsInf(got.gain, -1) {
			t.Errorf("z %v, at least %v: gain %v; want none", c[0], c[2], got.gain)
		}
	}
}

// The golden section ends at the best resistance; a touch is taken where it is behind by
// less than 1.
func TestGoldenBridge(t *testing.T) {
	for _, c := range []struct{ z, g, from, r, gain float64 }{
		{-50, 100, 1, 1, 25},
		{-50, 100, 0.3, 1, 25},
		{-50, 100, 9, 1, 25},
		{-1, 2, 1, smallestBridge, 2/(1+smallestBridge) - 2/(1+smallestBridge)/(1+smallestBridge)},
		{-250, 100, 0, smallestBridge, 500/(1+smallestBridge) - 100/(1+smallestBridge)/(1+smallestBridge)},
	} {
		s, q := one(c.z, c.g)
		x := bridgeTrial{pair: q, ohms: c.from}
		s.refineOhms(&x)
		if relative(x.ohms, c.r) > 5e-3 || relative(x.gain, c.gain) > 1e-4 {
			t.Errorf("z %v from %v Ω: %v Ω with a gain of %v; want %v Ω, %v", c.z, c.from, x.ohms, x.gain, c.r, c.gain)
		}
	}
	s, q := one(-50, 100)
	if got, want := s.bridgeUncertainty(q, 1), 1/math.Sqrt(100*0.25*0.25); relative(got, want) > 1e-12 {
		t.Errorf("uncertainty of 1 Ω: %v; want %v", got, want)
	}
}

// Of many trials the best are kept; leaks in any case.
func TestRefinedBridges(t *testing.T) {
	s, q := one(-50, 100)
	leak := *q
	leak.kind = KindDialLeak
	var list []bridgeTrial
	for range 2*keptBridges + 5 {
		list = append(list, bridgeTrial{pair: q, ohms: 1, gain: 2})
	}
	list = append(list, bridgeTrial{pair: &leak, ohms: 1, gain: 1})
	got := s.refineBridges(list)
	if len(got) != keptBridges+1 || got[keptBridges].pair != &leak {
		t.Errorf("%d of %d kept; want %d and the leak", len(got), len(list), keptBridges)
	}
	// No more than twice as many are refined: the next one is not, however good it would be.
	s.bySetting.weighted, s.diallings = append(s.bySetting.weighted, -200), [][]int{{0}, {1}}
	s.bySetting.inverse, s.bySetting.variance = []float64{100, 0, 0, 400}, []float64{0.01, 0.0025}
	s.numSettings = 2
	next := &pair{kind: KindBridge, setting: []int32{1}, numerator: []float64{1},
		denominator: []float64{1}}
	for n, kept := range map[int]bool{2*keptBridges - 1: true, 2 * keptBridges: false} {
		list := append(slices.Repeat([]bridgeTrial{{pair: q, ohms: 1, gain: 2}}, n),
			bridgeTrial{pair: next, ohms: 1, gain: 1})
		if got := s.refineBridges(list); (got[0].pair == next) != kept {
			t.Errorf("the best of all behind %d others: first %v; want %v", n, !kept, kept)
		}
	}
	// 70 behind the best: only the leak stays.
	far, _ := one(-50, 100)
	far.bySetting.weighted, far.bySetting.inverse, far.diallings = append(far.bySetting.weighted, -200), []float64{100, 0, 0, 400}, [][]int{{0}, {1}}
	far.numSettings, far.bySetting.variance = 2, []float64{0.01, 0.0025}
	best := &pair{kind: KindBridge, setting: []int32{1}, numerator: []float64{1}, denominator: []float64{1}}
	got = far.refineBridges([]bridgeTrial{{pair: q, ohms: 1, gain: 25}, {pair: &leak, ohms: 1, gain: 25}, {pair: best, ohms: 1, gain: 100}})
	if len(got) != 2 || got[0].pair != best || got[1].pair != &leak {
		t.Errorf("%d kept of a gain of 100, and two of 25; want the first and the leak", len(got))
	}
}

// Beside a first fault readings above range count against the box with both faults in it.
func TestContradicted(t *testing.T) {
	s := &search{linearAccount: &linearAccount{
		numSettings: 3, model: &model{nominal: []float64{0, 100, 50}}, diallings: [][]int{{0}, {}, {1, 2}},
		evidence: &evidence{overloads: []overload{{1, 120, 3}}},
	}}
	if got, want := s.contradiction([]float64{0, 19.4, 0}), 0.25; relative(got, want) > 1e-9 { // 0.5 % short, of 1 %
		t.Errorf("0.6 Ω below range: %v; want %v", got, want)
	}
	if got, want := s.contradiction([]float64{0, 0, math.Inf(1)}), 2.0*impossible+(20/1.2)*(20/1.2); relative(got, want) > 1e-9 {
		t.Errorf("two readings of an open setting: %v; want %v", got, want)
	}
	s.firstEffect = []float64{0, 18.2, 0}
	if got, want := s.contradiction([]float64{0, 1.2, 0}), 0.25; relative(got, want) > 1e-9 {
		t.Errorf("with a first fault: %v; want %v", got, want)
	}
	s.firstEffect = []float64{math.Inf(1), math.Inf(1), 0}
	if got := s.contradiction(make([]float64, 3)); got != impossible {
		t.Errorf("a first fault that opens a reading: %v; want %v", got, impossible)
	}
	for _, c := range [][3]float64{{119, 120, 1.0 / 120}, {120, 120, 0}, {121, 120, 0}, {1, 0, 0}} {
		if got := s.evidence.shortfall(overload{reach: c[1]}, c[0]); math.Abs(got-c[2]) > 1e-15 {
			t.Errorf("%v Ω of a range to %v Ω: %v short; want %v", c[0], c[1], got, c[2])
		}
	}
}

// The penalty for fitted values, by its formula.
func TestFreedom(t *testing.T) {
	root := math.Sqrt(2 * math.Pi)
	for _, c := range []struct {
		name string
		h    hypothesis
		want float64
	}{
		{"no value", hypothesis{faults: []Fault{{Kind: KindShorted}}}, 0},
		{"ohms", hypothesis{faults: []Fault{{Kind: KindBridge, Value: 50}}, uncertainty: []float64{2}}, 2 * math.Log(34.5*50/(2*root))},
		{"a fraction", hypothesis{faults: []Fault{{Kind: KindDialDrift, Value: -0.02}}, uncertainty: []float64{0.001}}, 2 * math.Log(11.5*20/root)},
		{"drift of an element", hypothesis{faults: []Fault{{Kind: KindDrift, Value: -4}}, uncertainty: []float64{0.5}}, 2 * math.Log(11.5*8/root)},
		{"a part of a series", hypothesis{faults: []Fault{{Kind: KindWrongPart, Value: 120}}, uncertainty: []float64{0.01}}, 2 * math.Log(34.5*100/root)},
		{"such a part, badly known", hypothesis{faults: []Fault{{Kind: KindWrongPart, Value: 120}}, uncertainty: []float64{6}}, 2 * math.Log(34.5*20/root)},
		{"anything", hypothesis{faults: []Fault{{Kind: KindSeries, Value: 1}}, uncertainty: []float64{100}}, 0},
		{"draws and elements", hypothesis{drawn: []int{0, 1}, free: []int{4}}, 2 * math.Log(4.6*math.Sqrt(3/math.Pi))},
	} {
		if got := c.h.freedomPenalty(); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: %v; want %v", c.name, got, c.want)
		}
	}
}

// Who comes first, with the numbers of two at once.
func TestBesideFirst(t *testing.T) {
	drift := Fault{Kind: KindDrift, A: Place{PartElement, 0, 1}, Value: 2}
	contact := Fault{Kind: KindContact, A: Place{PartPosition, 0, 3}, Value: 1}
	first := &hypothesis{faults: []Fault{drift}, uncertainty: []float64{0.1}, effect: []float64{2, 0}, drawn: []int{7}}
	v := &view{first: first}
	second := &hypothesis{faults: []Fault{contact}, uncertainty: []float64{0.2}, effect: []float64{1, 1}, drawn: []int{1}, drawSD: 0.5}
	got := v.combine(second)
	if !slices.Equal(got.faults, []Fault{drift, contact}) || !slices.Equal(got.uncertainty, []float64{0.1, 0.2}) || !slices.Equal(got.effect, []float64{3, 1}) {
		t.Errorf("both: %+v", got)
	}
	if !slices.Equal(got.drawn, []int{1}) || got.drawSD != 0.5 { // rows without draws do not count
		t.Errorf("draws of the second: rows %v, tau %v", got.drawn, got.drawSD)
	}
	first.drawSD = 0.3
	if got := v.combine(second); !slices.Equal(got.drawn, []int{7, 1}) || got.drawSD != 0.5 {
		t.Errorf("draws of both: rows %v, tau %v", got.drawn, got.drawSD)
	}
	second.drawSD, second.drawn = 0, nil
	if got := v.combine(second); !slices.Equal(got.drawn, []int{7}) || got.drawSD != 0.3 {
		t.Errorf("draws of the first: rows %v, tau %v", got.drawn, got.drawSD)
	}
	// The first is worth 0.75 Ω more by what the second leaves of the readings.
	v.slope, v.weighted, v.slopeWeighted, v.slopeSize = []float64{1, 0}, []float64{7, 0}, []float64{4, 0}, 4
	if got := v.combine(second); got.faults[0].Value != 2.75 || !slices.Equal(got.effect, []float64{3.75, 1}) || first.faults[0].Value != 2 {
		t.Errorf("adjusted: %v with %v; want 2.75 Ω", got.faults[0].Value, got.effect)
	}
	first.faults[0] = Fault{Kind: KindBridge, A: Place{PartTap, 0, 1}, Value: 2}
	if got := v.combine(second); relative(got.faults[0].Value, 2*math.Exp(0.375)) > 1e-15 {
		t.Errorf("a bridge adjusted: %v", got.faults[0].Value)
	}
	for _, c := range []struct {
		a, b float64
		want int
	}{{1, 2, -1}, {2, 1, 1}, {2, 2, 0}} {
		if got := byScore(&hypothesis{score: c.a}, &hypothesis{score: c.b}); got != c.want {
			t.Errorf("scores %v and %v: %d; want %d", c.a, c.b, got, c.want)
		}
	}
	if (&hypothesis{}).flexible() || !(&hypothesis{drawSD: 1}).flexible() || !(&hypothesis{free: []int{0}}).flexible() {
		t.Error("loose is what has draws or elements of its own")
	}
}

// A box of two dials with the readings 0, 1, 2 and 3 ohms in steps of 1 Ω.
func separating(t *testing.T) (*search, []decade.Setting) {
	t.Helper()
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 10, Positions: 3, Tolerance: 0.01}, {Step: 1, Positions: 3, Tolerance: 0.01}}})
	settings := []decade.Setting{at(t, b, 0, 0), at(t, b, 0, 2), at(t, b, 2, 0)}
	cov := mat.NewSymDense(3, []float64{0.01, 0, 0, 0, 0.04, 0, 0, 0, 0.09})
	m := newModel(b, settings, 0)
	ev := &evidence{settings: settings, observations: []observation{{0, 0, 0}, {1, 2, 1}, {2, 20, 2}}, covariance: cov}
	p, err := newLinearAccount(m, ev)
	if err != nil {
		t.Fatal(err)
	}
	return newSearch(p, complete(t)), settings
}

// A setting above range that the fault opens speaks for it most.
func TestSpeaksFor(t *testing.T) {
	s, at := separating(t)
	h := &hypothesis{effect: []float64{0, 1, 0.1}}
	if got := s.affectedSettings(h); !slices.Equal(got, at[1:2]) {
		t.Errorf("1 Ω of 0.2 Ω: %v", got)
	}
	s.evidence.overloads = []overload{{2, 120, 3}}
	if got := s.affectedSettings(h); !slices.Equal(got, at[1:2]) {
		t.Errorf("the fault leaves the setting in range: %v", got)
	}
	h.effect[2] = math.Inf(1)
	if got := s.affectedSettings(h); !slices.Equal(got, []decade.Setting{at[2], at[1]}) {
		t.Errorf("open: %v", got)
	}
}
