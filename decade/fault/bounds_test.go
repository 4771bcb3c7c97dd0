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
	p := &posterior{s: 1, rows: [][]int{{0}}, zs: []float64{z}, gs: []float64{g}, variance: []float64{1 / g}}
	return &search{posterior: p}, &pair{kind: Bridge, setting: []int32{0}, num: []float64{1}, den: []float64{1}}
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
		got := s.coarse(q, sig, c.atLeast)
		if got.q != q || relative(got.gain, c.gain) > 1e-12 || math.Abs(got.r-c.r) > 1e-12 {
			t.Errorf("z %v, g %v: %v Ω with a gain of %v; want %v Ω, %v", c.z, c.g, got.r, got.gain, c.r, c.gain)
		}
	}
	for _, c := range [][3]float64{{0, 100, math.Inf(-1)}, {10, 100, 0}, {-50, 100, 25.5}} { // as nominal; too high; too little
		s, q := one(c[0], c[1])
		if got := s.coarse(q, sig, c[2]); !math.IsInf(got.gain, -1) {
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
		{-1, 2, 1, mere, 2/(1+mere) - 2/(1+mere)/(1+mere)},
		{-250, 100, 0, mere, 500/(1+mere) - 100/(1+mere)/(1+mere)},
	} {
		s, q := one(c.z, c.g)
		x := trial{q: q, r: c.from}
		s.golden(&x)
		if relative(x.r, c.r) > 5e-3 || relative(x.gain, c.gain) > 1e-4 {
			t.Errorf("z %v from %v Ω: %v Ω with a gain of %v; want %v Ω, %v", c.z, c.from, x.r, x.gain, c.r, c.gain)
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
	leak.kind = DialLeak
	var list []trial
	for range 2*keepBridges + 5 {
		list = append(list, trial{q: q, r: 1, gain: 2})
	}
	list = append(list, trial{q: &leak, r: 1, gain: 1})
	got := s.refine(list)
	if len(got) != keepBridges+1 || got[keepBridges].q != &leak {
		t.Errorf("%d of %d kept; want %d and the leak", len(got), len(list), keepBridges)
	}
	// 70 behind the best: only the leak stays.
	far, _ := one(-50, 100)
	far.zs, far.gs, far.rows = append(far.zs, -200), []float64{100, 0, 0, 400}, [][]int{{0}, {1}}
	far.s, far.variance = 2, []float64{0.01, 0.0025}
	best := &pair{kind: Bridge, setting: []int32{1}, num: []float64{1}, den: []float64{1}}
	got = far.refine([]trial{{q: q, r: 1, gain: 25}, {q: &leak, r: 1, gain: 25}, {q: best, r: 1, gain: 100}})
	if len(got) != 2 || got[0].q != best || got[1].q != &leak {
		t.Errorf("%d kept of a gain of 100, and two of 25; want the first and the leak", len(got))
	}
}

// Beside a first fault readings above range count against the box with both faults in it.
func TestContradicted(t *testing.T) {
	s := &search{posterior: &posterior{
		s: 3, m: &model{base: []float64{0, 100, 50}}, rows: [][]int{{0}, {}, {1, 2}},
		ev: &evidence{open: []limit{{1, 120, 3}}},
	}}
	if got, want := s.contradicts([]float64{0, 19.4, 0}), 0.25; relative(got, want) > 1e-9 { // 0.5 % short, of 1 %
		t.Errorf("0.6 Ω below range: %v; want %v", got, want)
	}
	if got, want := s.contradicts([]float64{0, 0, math.Inf(1)}), 2.0*impossible+(20/1.2)*(20/1.2); relative(got, want) > 1e-9 {
		t.Errorf("two readings of an open setting: %v; want %v", got, want)
	}
	s.shift = []float64{0, 18.2, 0}
	if got, want := s.contradicts([]float64{0, 1.2, 0}), 0.25; relative(got, want) > 1e-9 {
		t.Errorf("with a first fault: %v; want %v", got, want)
	}
	s.shift = []float64{math.Inf(1), math.Inf(1), 0}
	if got := s.contradicts(make([]float64, 3)); got != impossible {
		t.Errorf("a first fault that opens a reading: %v; want %v", got, impossible)
	}
	for _, c := range [][3]float64{{119, 120, 1.0 / 120}, {120, 120, 0}, {121, 120, 0}, {1, 0, 0}} {
		if got := s.ev.openShort(limit{reach: c[1]}, c[0]); math.Abs(got-c[2]) > 1e-15 {
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
		{"no value", hypothesis{faults: []Fault{{Kind: Shorted}}}, 0},
		{"ohms", hypothesis{faults: []Fault{{Kind: Bridge, Value: 50}}, u: []float64{2}}, 2 * math.Log(34.5*50/(2*root))},
		{"a fraction", hypothesis{faults: []Fault{{Kind: DialDrift, Value: -0.02}}, u: []float64{0.001}}, 2 * math.Log(11.5*20/root)},
		{"drift of an element", hypothesis{faults: []Fault{{Kind: Drift, Value: -4}}, u: []float64{0.5}}, 2 * math.Log(11.5*8/root)},
		{"a part of a series", hypothesis{faults: []Fault{{Kind: WrongPart, Value: 120}}, u: []float64{0.01}}, 2 * math.Log(34.5*100/root)},
		{"such a part, badly known", hypothesis{faults: []Fault{{Kind: WrongPart, Value: 120}}, u: []float64{6}}, 2 * math.Log(34.5*20/root)},
		{"anything", hypothesis{faults: []Fault{{Kind: Series, Value: 1}}, u: []float64{100}}, 0},
		{"draws and elements", hypothesis{rows: []int{0, 1}, elements: []int{4}}, 2 * math.Log(4.6*math.Sqrt(3/math.Pi))},
	} {
		if got := c.h.freedom(); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: %v; want %v", c.name, got, c.want)
		}
	}
}

// Who comes first, with the numbers of two at once.
func TestBesideFirst(t *testing.T) {
	drift := Fault{Kind: Drift, A: Place{Element, 0, 1}, Value: 2}
	contact := Fault{Kind: Contact, A: Place{Position, 0, 3}, Value: 1}
	first := &hypothesis{faults: []Fault{drift}, u: []float64{0.1}, sig: []float64{2, 0}, rows: []int{7}}
	v := &view{first: first}
	second := &hypothesis{faults: []Fault{contact}, u: []float64{0.2}, sig: []float64{1, 1}, rows: []int{1}, tau: 0.5}
	got := v.with(second)
	if !slices.Equal(got.faults, []Fault{drift, contact}) || !slices.Equal(got.u, []float64{0.1, 0.2}) || !slices.Equal(got.sig, []float64{3, 1}) {
		t.Errorf("both: %+v", got)
	}
	if !slices.Equal(got.rows, []int{1}) || got.tau != 0.5 { // rows without draws do not count
		t.Errorf("draws of the second: rows %v, tau %v", got.rows, got.tau)
	}
	first.tau = 0.3
	if got := v.with(second); !slices.Equal(got.rows, []int{7, 1}) || got.tau != 0.5 {
		t.Errorf("draws of both: rows %v, tau %v", got.rows, got.tau)
	}
	second.tau, second.rows = 0, nil
	if got := v.with(second); !slices.Equal(got.rows, []int{7}) || got.tau != 0.3 {
		t.Errorf("draws of the first: rows %v, tau %v", got.rows, got.tau)
	}
	// The first is worth 0.75 Ω more by what the second leaves of the readings.
	v.slope, v.zs, v.gs, v.norm = []float64{1, 0}, []float64{7, 0}, []float64{4, 0}, 4
	if got := v.with(second); got.faults[0].Value != 2.75 || !slices.Equal(got.sig, []float64{3.75, 1}) || first.faults[0].Value != 2 {
		t.Errorf("adjusted: %v with %v; want 2.75 Ω", got.faults[0].Value, got.sig)
	}
	first.faults[0] = Fault{Kind: Bridge, A: Place{Tap, 0, 1}, Value: 2}
	if got := v.with(second); relative(got.faults[0].Value, 2*math.Exp(0.375)) > 1e-15 {
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
	if (&hypothesis{}).loose() || !(&hypothesis{tau: 1}).loose() || !(&hypothesis{elements: []int{0}}).loose() {
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
	ev := &evidence{settings: settings, obs: []observation{{0, 0, 0}, {1, 2, 1}, {2, 20, 2}}, cov: cov}
	p, err := newPosterior(m, ev)
	if err != nil {
		t.Fatal(err)
	}
	return newSearch(p, complete(t)), settings
}

func TestSeparation(t *testing.T) {
	s, at := separating(t)
	none, two := &hypothesis{rows: []int{1}}, &hypothesis{rows: []int{1}, tau: 0.4}
	for k, want := range []bool{false, true, false} {
		if s.in(none, at[k]) || s.in(two, at[k]) != want {
			t.Errorf("%v: draws %v, without draws %v", at[k], s.in(two, at[k]), s.in(none, at[k]))
		}
	}
	// 0.2 Ω of the reading, a tenth of 1 % of 2 Ω.
	u := math.Hypot(0.2, 0.002)
	if got := s.expected(at[1]); relative(got, u) > 1e-12 {
		t.Errorf("expected uncertainty %v; want %v", got, u)
	}
	inf := math.Inf(1)
	for _, c := range []struct {
		a, b   *hypothesis
		va, vb float64
		want   float64
	}{
		{none, none, 2, 2.5, 0.25 / u / u},
		{none, none, 2.5, 2, 0.25 / u / u},
		{none, two, 2, 2, 0.04 / u / u}, // (0.4/2)²
		{two, two, 2, 2.1, 0.01 / u / u},
		{none, none, 2, 9, 25},
		{none, none, inf, inf, 0},
		{none, none, inf, 2, 25},
		{none, none, 2, inf, 25},
	} {
		if got := s.separation(at[1], c.a, c.b, c.va, c.vb); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v and %v: %v; want %v", c.va, c.vb, got, c.want)
		}
	}
	list := []*hypothesis{{score: 1}, {score: 11}, {score: 11.5}}
	if got := likely(list); len(got) != 2 {
		t.Errorf("%d of %d leaders within 10", len(got), len(list))
	}
	if got := likely(slices.Repeat(list[:1], 12)); len(got) != 8 {
		t.Errorf("%d leaders; want 8", len(got))
	}
	// Seven settings of one dial at most off zero; with the first dial at 1, 2 and 3, the
	// second at 1 and 3.
	if got := s.candidates(nil); len(got) != 7 || !slices.Equal(got[:3], at) {
		t.Errorf("candidates %v; want those read and 4 more", got)
	}
	about := []*hypothesis{{faults: []Fault{{Kind: Drift, A: Place{Element, 0, 1}}}}}
	if got := s.candidates(about); len(got) != 13 || len(unique(got)) != 13 {
		t.Errorf("candidates about one dial: %v; want 13", got)
	}
}

// The next reading is where two leaders differ.
func TestNextSeparates(t *testing.T) {
	s, _ := separating(t)
	hyp := func(f Fault) *hypothesis {
		h := &hypothesis{faults: []Fault{f}, sig: make([]float64, s.s)}
		if err := s.m.exact(newProbe(s.m.l), h.faults, h.sig, nil); err != nil {
			t.Fatal(err)
		}
		for k := range h.sig {
			h.sig[k] -= s.m.base[k]
		}
		return h
	}
	// Elements 1 and 2 of the second dial: the settings read carry both or none.
	a, b := hyp(Fault{Kind: Drift, A: Place{Element, 1, 1}, Value: 0.9}), hyp(Fault{Kind: Drift, A: Place{Element, 1, 2}, Value: 0.9})
	if best, ok := s.next(newProbe(s.m.l), []*hypothesis{a, b}); !ok || !slices.Equal(best.Positions(), []int{0, 1}) {
		t.Errorf("next %v, %v; want position 1 of the second dial", best, ok)
	}
	if best, ok := s.next(newProbe(s.m.l), []*hypothesis{a}); ok {
		t.Errorf("one leader: %v", best)
	}
	if best, ok := s.next(newProbe(s.m.l), []*hypothesis{a, a}); ok {
		t.Errorf("twice the same: %v", best)
	}
}

// A setting above range that the fault opens speaks for it most.
func TestSpeaksFor(t *testing.T) {
	s, at := separating(t)
	h := &hypothesis{sig: []float64{0, 1, 0.1}}
	if got := s.speakFor(h); !slices.Equal(got, at[1:2]) {
		t.Errorf("1 Ω of 0.2 Ω: %v", got)
	}
	s.ev.open = []limit{{2, 120, 3}}
	if got := s.speakFor(h); !slices.Equal(got, at[1:2]) {
		t.Errorf("the fault leaves the setting in range: %v", got)
	}
	h.sig[2] = math.Inf(1)
	if got := s.speakFor(h); !slices.Equal(got, []decade.Setting{at[2], at[1]}) {
		t.Errorf("open: %v", got)
	}
}
