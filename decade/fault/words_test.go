// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// Every kind says where it is and what to do, in words of the box.
func TestSentences(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100, 10)})
	e, p := Place{PartElement, 0, 3}, Place{PartPosition, 1, 4}
	for k := KindDrift; k < numKinds; k++ {
		f := Fault{Kind: k, A: e, Value: 4.7}
		switch k {
		case KindContact, KindOpenContact, KindOverlap:
			f.A = p
		case KindTapsExchanged, KindElementsExchanged, KindBridge, KindDialBridge, KindCaseLeak:
			f.B = p
		case KindOverloaded:
			f.B = Place{PartElement, 0, 5}
		case KindSlip:
			f.A, f.Wraps, f.Value = Place{PartDial, 1, 0}, true, -2
		}
		s := sentence(b, Cause{Kind: k, Faults: []Fault{f}, Equal: [][]Fault{{f}, {f}, {f}}}, false)
		place := k == KindBoxDrift || k == KindAged || k == KindSeries || k == KindTerminalLeak || strings.Contains(s, "×100") || strings.Contains(s, "×10 Ω") || k == KindOpenPath
		if !place || !strings.HasSuffix(s, "These readings cannot tell which.") {
			t.Errorf("%v: %q", k, s)
		}
		if strings.Contains(k.String(), "kind") || f.In(b) == "" {
			t.Errorf("kind %d has no name", k)
		}
	}
	if got, want := Kind(99).String(), "Kind(99)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	text, err := KindContact.MarshalText()
	if err != nil || string(text) != "bad contact" {
		t.Errorf("%q, %v", text, err)
	}
	scattered := Fault{Kind: KindSeries, A: Place{Part: PartBox}, Value: 0.5, Scatter: 0.2}
	if s := scattered.advice(b); !strings.Contains(s, "0.2 Ω") && !strings.Contains(s, "200 mΩ") {
		t.Errorf("%q does not give the scatter", s)
	}
}

// A large class is described by what its members share, without those that nobody reads.
func TestSharedSentences(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 10000, 100)})
	drift := func(dial, n int) []Fault {
		return []Fault{{Kind: KindDrift, A: Place{PartElement, dial, n}, Value: 1.7, Uncertainty: 0.05}}
	}
	contact := []Fault{{Kind: KindContact, A: Place{PartPosition, 0, 10}, Value: 1.7}}
	over := func(n int) []Fault {
		return []Fault{{Kind: KindOverloaded, A: Place{PartElement, 0, 1}, B: Place{PartElement, 0, n}, Value: 1e-4}}
	}
	for _, c := range []struct {
		members [][]Fault
		want    string
	}{
		{[][]Fault{drift(0, 10), contact}, "Element 10 of ×10 kΩ, between positions 9 and 10, is high by 1.7 Ω (U = 0.1 Ω), 0.017 % of it. These readings cannot tell it apart from: dirt on the contact at position 10 of ×10 kΩ."},
		{[][]Fault{drift(0, 2), drift(0, 1), drift(0, 4), drift(0, 3), drift(0, 9), contact, over(7), over(8)}, "Something in ×10 kΩ reads high by 1.7 Ω (U = 0.1 Ω): one of elements 1 to 4 and 9 off; dirt on the contact at position 10; elements 1 to k overloaded together, k = 7 and 8. These readings cannot tell which."},
		{[][]Fault{drift(0, 2), drift(1, 1), drift(0, 4), drift(0, 3)}, "Something in ×10 kΩ and ×100 Ω reads high by 1.7 Ω (U = 0.1 Ω): one of elements 2 to 4 of ×10 kΩ off; element 1 of ×100 Ω off. These readings cannot tell which."},
		{[][]Fault{{{Kind: KindSeries, A: Place{Part: PartBox}, Value: 2}}, drift(1, 1), drift(0, 4), drift(0, 3)}, "Several causes remain: resistance in leads, posts, links or a wiper; element 1 of ×100 Ω off; one of elements 3 and 4 of ×10 kΩ off. These readings cannot tell which."},
	} {
		got := sentence(b, Cause{Kind: c.members[0][0].Kind, Faults: c.members[0], Equal: c.members[1:]}, false)
		if got != c.want {
			t.Errorf("%q\nwant %q", got, c.want)
		}
	}
	var pairs [][]Fault
	for n := range 6 {
		pairs = append(pairs, append(drift(0, n+1), drift(1, n+2)...))
	}
	if got := phrases(b, pairs, false); len(got) != 4 || got[3] != "3 less likely causes" {
		t.Errorf("pairs: %q", got)
	}
}

func TestPlaces(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100, 10)})
	for _, x := range []struct {
		p    Place
		want string
	}{
		{Place{PartElement, 0, 4}, "element 4 of ×100 Ω"}, {Place{PartTap, 1, 0}, "tap 0 of ×10 Ω"}, {Place{PartWiper, 1, 0}, "wiper of ×10 Ω"},
		{Place{PartPosition, 0, 3}, "position 3 of ×100 Ω"}, {Place{PartDial, 0, 0}, "×100 Ω"}, {Place{PartLink, 0, 2}, "link 2"},
		{Place{PartTerminal, 0, 1}, "terminal 1"}, {Place{PartBox, 0, 0}, "the whole box"}, {Place{}, "no part"}, {Place{PartElement, 7, 1}, "element 1 of dial 7"},
	} {
		if got := x.p.In(b); got != x.want {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
	if got := (Fault{}).In(b); got != "healthy" {
		t.Errorf("%q, want healthy", got)
	}
	for _, x := range []struct {
		f    Fault
		want string
	}{
		{Fault{Kind: KindSlip, A: Place{PartDial, 0, 0}, Value: -1}, "slipped dial, ×100 Ω: by -1"},
		{Fault{Kind: KindSlip, A: Place{PartDial, 0, 0}, Value: 2, Wraps: true}, "slipped dial, ×100 Ω: by +2, turning all round"},
		{Fault{Kind: KindOverloaded, A: Place{PartElement, 1, 1}, B: Place{PartElement, 1, 4}, Value: 0.02}, "overloaded elements, elements 1 to 4 of ×10 Ω: +2 %"},
	} {
		if got := x.f.In(b); got != x.want {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
}

// A refused fault says where it was to be, and what places its kind can have.
func TestRefusedPlaces(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100, 10)})
	tap, far := Place{PartTap, 0, 4}, Place{PartTap, 0, 12}
	expected := make(map[string]bool)
	for _, x := range []struct {
		f    Fault
		want string
	}{
		{Fault{Kind: KindDrift}, "nowhere; expected an element of the box"},
		{Fault{Kind: KindDrift, A: far}, "at tap 12 of ×100 Ω; expected an element of the box"},
		{Fault{Kind: KindBridge, A: tap, B: far}, "at tap 4 of ×100 Ω and tap 12 of ×100 Ω; expected two different places"},
		{Fault{Kind: KindBridge, B: tap}, "at tap 4 of ×100 Ω as the second place, without a first; expected two different places"},
		{Fault{Kind: KindElementsExchanged, A: tap}, "expected two elements"},
		{Fault{Kind: KindSlip, A: Place{PartDial, 2, 0}, Value: 1}, "at dial 2; expected a dial of the box"},
		{Fault{Kind: KindDialDrift, Value: 0.01}, "nowhere; expected a dial of the box"},
		{Fault{Kind: KindOpenPath, A: tap}, "expected a wiper, dial, link or terminal"},
		{Fault{Kind: KindContact, A: tap, Value: 1}, "expected a position of a dial"},
		{Fault{Kind: KindOverlap, A: Place{PartPosition, 0, 0}}, "expected a position above 0"},
		{Fault{Kind: KindTapsExchanged, A: tap}, "expected two positions of one dial"},
	} {
		_, err := Predict(b.Zero(), x.f)
		if !errors.Is(err, ErrPlace) || !strings.Contains(err.Error(), x.want) {
			t.Errorf("%v: %v; want %q", x.f.Kind, err, x.want)
		}
		expected[placeRules[x.f.Kind].expected] = true
	}
	if len(expected) != 9 {
		t.Errorf("%d expectations; want 9", len(expected))
	}
}

// A member that is far more probable than the rest of its class is named, and the others beside it.
func TestFavouredSentence(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 1000, 10)})
	bridge := func(part Part, n int) []Fault {
		return []Fault{{Kind: KindDialBridge, A: Place{part, 0, 0}, B: Place{PartTap, 1, n}, Value: 2e6}}
	}
	c := Cause{
		Faults: []Fault{{Kind: KindTerminalLeak, A: Place{PartTerminal, 0, 1}, B: Place{PartTerminal, 0, 2}, Value: 2e6}},
		Equal:  [][]Fault{bridge(PartTap, 1), bridge(PartTap, 2), bridge(PartWiper, 1), bridge(PartWiper, 2)},
	}
	others := "a bridge from ×1 kΩ to another dial."
	for favoured, want := range map[bool]string{
		true: "2 MΩ lies across the terminals: posts, panel or leads, dirty or moist. " +
			"These readings cannot tell it apart from what is far less likely: " + others,
		false: "Several causes remain: a leak across the terminals; " + others +
			" The most probable would have 2 MΩ. These readings cannot tell which.",
	} {
		if got := sentence(b, c, favoured); got != want {
			t.Errorf("favoured %v: %q; want %q", favoured, got, want)
		}
	}
	g := &group{hypotheses: []*hypothesis{{score: 10}, {score: 10 + 2*math.Log(30)}, {score: 10 + 2*math.Log(60)}}}
	if got, want := g.leadShare(), 20.0/21; math.Abs(got-want) > 1e-12 {
		t.Errorf("share %v; want %v", got, want)
	}
}

// Elements off without order may be so to a larger or smaller extent: one cause.
func TestCausesOnce(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: dials(0.001, 100)})
	sum, rs := 0.02, []verify.Reading{{Setting: at(t, b, 0), Values: []float64{0.02}}}
	for i, by := range []float64{0.031, 0.004, 0.052, 0.018, 0.044, 0.009, 0.061, 0.027, 0.013, 0.038} {
		sum += 100 * (1 + by)
		rs = append(rs, verify.Reading{Setting: at(t, b, i+1), Values: []float64{sum}})
	}
	d := diagnosed(t, b, rs)
	seen := make(map[string]bool)
	for _, c := range d.Causes {
		for _, faults := range append([][]Fault{c.Faults}, c.Equal...) {
			var words []string
			for _, f := range faults {
				f.Value, f.Scatter = 0, 0
				words = append(words, f.In(b))
			}
			key := strings.Join(words, " with ")
			if seen[key] {
				t.Errorf("%q stands twice", key)
			}
			seen[key] = true
		}
	}
	total := d.Probability
	for _, c := range d.Causes {
		total += c.Probability
	}
	if d.Causes[0].Kind != KindAged || math.Abs(total-1) > 1e-9 {
		t.Errorf("%v, probabilities sum to %v", d.Causes[0], total)
	}
}

// Readings of both polarities that differ are a warning, not a fault of the network.
func TestPolarity(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Contact: 0.002, Decades: dials(0.001, 10)})
	rs := ladderReadings(t, b, 0.02, 10.02, 20.02, 30.02, 40.02, 50.02, 60.02, 70.02, 80.02, 90.02, 100.02)
	rs[2].Values, rs[2].Reversed = []float64{20.52}, []float64{19.52}
	d := diagnosed(t, b, rs)
	found := false
	for _, w := range d.Warnings {
		found = found || strings.Contains(w.Error(), "polarit")
	}
	if !d.Healthy || !found {
		t.Errorf("healthy %v, warnings %v", d.Healthy, d.Warnings)
	}
}

// What is not stated, and what is not explained, is named.
func TestWarnings(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, Contact: 0.0005, Decades: []decade.Decade{{Step: 10}, {Step: 1}}})
	var rs []verify.Reading
	for i, s := range unique(plan(t, b)) {
		rs = append(rs, verify.Reading{Setting: s, Values: []float64{s.Value() * (1 + 0.6*(float64(i*i*7%11)/11-0.4))}})
	}
	d, err := Options{Faults: 1}.Diagnose(t.Context(), evaluated(t, b, rs))
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, w := range d.Warnings {
		all = append(all, w.Error())
	}
	text := strings.Join(all, "\n")
	for _, want := range []string{"class", "residual", "χ²"} {
		if !strings.Contains(text, want) {
			t.Errorf("warnings %q lack %q", text, want)
		}
	}
}
