// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// Every kind says where it is and what to do, in words of the box.
func TestSentences(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100, 10)})
	e, p := Place{Element, 0, 3}, Place{Position, 1, 4}
	for k := Drift; k < numKinds; k++ {
		f := Fault{Kind: k, A: e, Value: 4.7}
		switch k {
		case Contact, OpenContact, Overlap:
			f.A = p
		case TapsExchanged, ElementsExchanged, Bridge, DialBridge, CaseLeak:
			f.B = p
		case Slip:
			f.A, f.Value = Place{WholeDial, 1, SlipWraps}, -2
		}
		s := sentence(b, Cause{Kind: k, Faults: []Fault{f}, Equal: [][]Fault{{f}, {f}, {f}, {f}, {f}}})
		place := k == BoxDrift || k == Aged || k == Series || k == TerminalLeak || strings.Contains(s, "×100") || strings.Contains(s, "×10 Ω")
		if !place || !strings.Contains(s, "1 more") {
			t.Errorf("%v: %q", k, s)
		}
		if strings.Contains(k.String(), "kind") || f.In(b) == "" {
			t.Errorf("kind %d has no name", k)
		}
	}
	if got, want := Kind(99).String(), "kind 99"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	text, err := Contact.MarshalText()
	if err != nil || string(text) != "bad contact" {
		t.Errorf("%q, %v", text, err)
	}
	scattered := Fault{Kind: Series, A: Place{Part: WholeBox}, Value: 0.5, Scatter: 0.2}
	if s := scattered.advice(b); !strings.Contains(s, "0.2 Ω") && !strings.Contains(s, "200 mΩ") {
		t.Errorf("%q does not give the scatter", s)
	}
}

func TestPlaces(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100, 10)})
	for _, x := range []struct {
		p    Place
		want string
	}{
		{Place{Element, 0, 4}, "element 4 of ×100 Ω"}, {Place{Tap, 1, 0}, "tap 0 of ×10 Ω"}, {Place{Wiper, 1, 0}, "wiper of ×10 Ω"},
		{Place{Position, 0, 3}, "position 3 of ×100 Ω"}, {Place{WholeDial, 0, 0}, "×100 Ω"}, {Place{Link, 0, 2}, "link 2"},
		{Place{Terminal, 0, 1}, "terminal 1"}, {Place{WholeBox, 0, 0}, "the whole box"}, {Place{}, "no part"}, {Place{Element, 7, 1}, "element 1 of dial 7"},
	} {
		if got := x.p.In(b); got != x.want {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
	if got := (Fault{}).In(b); got != "healthy" {
		t.Errorf("%q, want healthy", got)
	}
	if got, want := (Fault{Kind: Slip, A: Place{WholeDial, 0, 0}, Value: -1}).In(b), "slipped dial, ×100 Ω: by -1"; got != want {
		t.Errorf("%q, want %q", got, want)
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
		rs = append(rs, verify.Reading{Setting: s, Values: []float64{s.Value() * (1 + 0.3*float64(i*i*7%11)/11)}})
	}
	d := diagnosed(t, b, rs)
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
