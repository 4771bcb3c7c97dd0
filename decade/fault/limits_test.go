// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
)

// A value says "about" from where its expanded uncertainty is as large as the value, and
// stands alone without an uncertainty.
func TestAmount(t *testing.T) {
	for _, c := range []struct {
		v, u float64
		want string
	}{
		{1, 0.5, "about 1 Ω (U = 1 Ω)"},
		{-1, 0.5, "about -1 Ω (U = 1 Ω)"},
		{1.1, 0.5, "1.1 Ω (U = 1 Ω)"},
		{-1.1, 0.5, "-1.1 Ω (U = 1 Ω)"},
		{1.234, 0, "1.23 Ω"},
		{1.234, math.NaN(), "1.23 Ω"},
		{1.234, math.Inf(1), "1.23 Ω"},
	} {
		if got := amount(c.v, c.u); got != c.want {
			t.Errorf("%v, %v: %q; expected %q", c.v, c.u, got, c.want)
		}
	}
}

// A new element is within its class where the box has one, that of the dial or of the box.
func TestReplacementStatesTheClass(t *testing.T) {
	for _, c := range []struct {
		ofDial, ofBox float64
		want          string // empty: no class is named
	}{
		{0, 0, ""},
		{0.001, 0, "within 0.1 % (its class)"},
		{0, 0.002, "within 0.2 % (its class)"},
		{0.001, 0.002, "within 0.3 % (its class)"},
	} {
		b := box(t, decade.Spec{Tolerance: c.ofBox, Decades: dials(c.ofDial, 100)})
		r := &repairing{box: b}
		got := r.replacementInWords(Place{PartElement, 0, 3})
		if strings.Contains(got, "class") != (c.want != "") || !strings.Contains(got, c.want) {
			t.Errorf("%v and %v: %q; expected %q", c.ofDial, c.ofBox, got, c.want)
		}
	}
}

// A bridge below half an ohm is bare metal, from there on it is flux or dirt.
func TestAdviceOnShortBridges(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100)})
	for v, metal := range map[float64]bool{0.49: true, 0.5: false, 0.51: false} {
		f := Fault{Kind: KindElementLeak, A: Place{PartElement, 0, 3}, Value: v}
		if got := f.advice(b); strings.Contains(got, "almost 0 Ω") != metal {
			t.Errorf("%v Ω: %q; expected bare metal: %v", v, got, metal)
		}
	}
}

// An element that is 20 of its values too high beside a bridge is taken as open, wherever it
// stands in the list; below that, or without a bridge, it is not.
func TestOpenInstead(t *testing.T) {
	s := repeated(t).s
	bridge := Fault{Kind: KindElementLeak, A: Place{PartElement, 0, 2}, Value: 50}
	drift := func(times float64) Fault { // of an element of 10 Ω
		return Fault{Kind: KindDrift, A: Place{PartElement, 0, 1}, Value: 10 * times}
	}
	wrong := drift(30)
	wrong.Kind = KindWrongPart
	small := Fault{Kind: KindDrift, A: Place{PartElement, 1, 1}, Value: 0.1}
	for i, c := range []struct {
		faults []Fault
		open   int // absent: none
	}{
		{[]Fault{bridge, drift(20)}, 1},
		{[]Fault{drift(20), bridge}, 0},
		{[]Fault{bridge, wrong}, 1},
		{[]Fault{small, drift(20), bridge}, 1},
		{[]Fault{bridge, drift(19.9)}, absent},
		{[]Fault{bridge, drift(-30)}, absent},
		{[]Fault{bridge, small}, absent},
		{[]Fault{small, drift(30)}, absent},
	} {
		h := &hypothesis{
			score: 1, prior: 7, faults: slices.Clone(c.faults),
			uncertainty: make([]float64, len(c.faults)),
		}
		for k := range h.uncertainty {
			h.uncertainty[k] = 0.5
		}
		got := s.openInstead(h)
		if (got != nil) != (c.open != absent) {
			t.Errorf("case %d: %+v; expected an open element: %v", i, got, c.open != absent)
			continue
		}
		if !slices.Equal(h.faults, c.faults) || h.prior != 7 || slices.Contains(h.uncertainty, 0) {
			t.Errorf("case %d: the pair itself was changed to %+v", i, h)
		}
		if got == nil {
			continue
		}
		want := slices.Clone(c.faults)
		want[c.open] = Fault{Kind: KindOpenElement, A: want[c.open].A}
		prior := 7 + s.weight(KindOpenElement) - s.weight(c.faults[c.open].Kind)
		if !slices.Equal(got.faults, want) || got.uncertainty[c.open] != 0 ||
			relative(got.prior, prior) > 1e-12 {
			t.Errorf("case %d: %+v; expected %+v and a weight of %v", i, got, want, prior)
		}
	}
	h := &hypothesis{
		score: math.Inf(1), faults: []Fault{bridge, drift(30)}, uncertainty: make([]float64, 2),
	}
	if s.openInstead(h) != nil {
		t.Error("a pair that fits no reading was taken on")
	}
}

// A weight is shared between as many places as a fault can have: of eleven taps 55 pairs of
// wires can be exchanged, of elements of two dials each with each of the other dial.
func TestPlacesOfKinds(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100, 10)})
	n := newModel(b, []decade.Setting{b.Zero(), at(t, b, 3, 4)}, 0).places()
	for k, want := range map[Kind]int{
		KindDrift: 20, KindOpenElement: 20, KindBoxDrift: 1, KindDialDrift: 2, KindDialling: 2,
		KindOverloaded: 20, KindOverlap: 20, KindTapsExchanged: 2 * 55, KindElementsExchanged: 100,
	} {
		if n[k] != want {
			t.Errorf("%v: %d places; expected %d", k, n[k], want)
		}
	}
}

// Two faults are one where kind, place and behaviour at the stops agree and the values differ
// by two percent at most.
func TestAboutOneFault(t *testing.T) {
	f := Fault{Kind: KindSlip, A: Place{PartDial, 0, 0}, Value: 100, Wraps: true}
	changed := func(change func(g *Fault)) Fault {
		g := f
		change(&g)
		return g
	}
	for i, c := range []struct {
		g    Fault
		want bool
	}{
		{f, true},
		{changed(func(g *Fault) { g.Value = 98 }), true},
		{changed(func(g *Fault) { g.Value = 102 }), true},
		{changed(func(g *Fault) { g.Value = 97.9 }), false},
		{changed(func(g *Fault) { g.Value = 102.1 }), false},
		{changed(func(g *Fault) { g.Value = -100 }), false},
		{changed(func(g *Fault) { g.Uncertainty = 5 }), true},
		{changed(func(g *Fault) { g.Kind = KindDialDrift }), false},
		{changed(func(g *Fault) { g.A.Dial = 1 }), false},
		{changed(func(g *Fault) { g.B = Place{PartDial, 1, 0} }), false},
		{changed(func(g *Fault) { g.Wraps = false }), false},
		{changed(func(g *Fault) { g.Stops = true }), false},
	} {
		if got := f.about(c.g); got != c.want {
			t.Errorf("case %d: %+v: %v; expected %v", i, c.g, got, c.want)
		}
	}
	var zero Fault
	if !zero.about(zero) {
		t.Error("a fault of no value is not itself")
	}
}
