// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// Sentences and steps as they are read at the bench: what is of one dial is named together,
// what is the same is said once, and nothing is named in the words of the program.
func TestSentencesAtTheBench(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100, 10)})
	element, other := Place{PartElement, 0, 4}, Place{PartElement, 1, 2}
	tap := func(n int) Place { return Place{PartTap, 0, n} }
	position := func(n int) Place { return Place{PartPosition, 0, n} }
	short := Fault{Kind: KindShorted, A: element}
	bare := Fault{Kind: KindElementLeak, A: element, Value: 0.001}
	leak := Fault{Kind: KindTerminalLeak, A: Place{PartTerminal, 0, 1},
		B: Place{PartTerminal, 0, 2}, Value: 3e6, Uncertainty: 5e4}
	drift := Fault{Kind: KindDrift, A: element, Value: 2, Uncertainty: 0.1}
	dirt := Fault{Kind: KindContact, A: Place{PartPosition, 1, 0}, Value: 0.3, Scatter: 0.2}
	odd := Fault{Kind: KindDialling, A: Place{PartReading, 0, 7}, Value: 3, Name: "5-0"}
	bridge := Fault{Kind: KindDialBridge, A: tap(2), B: Place{PartTap, 1, 3}, Value: 4e6}
	for _, c := range []struct {
		faults []Fault
		equal  [][]Fault
		want   string
		not    string
	}{
		{[]Fault{{Kind: KindTapsExchanged, A: position(0), B: position(5)}}, nil,
			"The wires of positions 0 and 5 of ×100 Ω are exchanged.", "position 0 of"},
		{[]Fault{{Kind: KindElementsExchanged, A: element, B: other}}, nil,
			"Element 4 of ×100 Ω and element 2 of ×10 Ω are exchanged.", ""},
		{[]Fault{{Kind: KindBridge, A: tap(9), B: tap(2), Value: 4e4}}, nil,
			"40 kΩ joins taps 2 and 9 of ×100 Ω", "tap 9"},
		{[]Fault{bare}, [][]Fault{{short}}, "is bridged by almost 0 Ω", "cannot tell"},
		{[]Fault{short}, [][]Fault{{bare}}, "is shorted", "cannot tell"},
		{[]Fault{short}, [][]Fault{{drift}}, "cannot tell it apart from", ""},
		{[]Fault{leak}, [][]Fault{{bridge}, {bridge}, {bridge}},
			"The most probable would have 3 MΩ (U = 100 kΩ).", ""},
		{[]Fault{drift, dirt}, [][]Fault{{{Kind: KindUnsteady, A: element, Value: 2, Scatter: 0.4}, dirt}},
			"a cracked joint at element 4 of ×100 Ω with dirt on the contact at position 0 of ×10 Ω",
			"from dialling to dialling"},
		{[]Fault{drift}, [][]Fault{{{Kind: KindMeterGain, A: Place{PartRange, 0, 1}, Name: "1 kΩ",
			Value: 0.01}, odd}}, "the gain of range 1 kΩ of the meter with one dialling of 5-0 that differs",
			"row"},
		{[]Fault{drift}, [][]Fault{{bridge, dirt}}, "a bridge between tap 2 of ×100 Ω and tap 3 of ×10 Ω with", ""},
	} {
		s := sentence(b, Cause{Kind: c.faults[0].Kind, Faults: c.faults, Equal: c.equal}, false)
		if !strings.Contains(s, c.want) || c.not != "" && strings.Contains(s, c.not) {
			t.Errorf("%q; want %q, not %q", s, c.want, c.not)
		}
	}
	r := repair(b, Cause{Kind: KindElementLeak, Faults: []Fault{bare}}).String()
	if !strings.Contains(r, "between the ends of element 4 of ×100 Ω for wires") {
		t.Errorf("%q", r)
	}
	r = repair(b, Cause{Kind: KindSeries, Faults: []Fault{{Kind: KindSeries, A: Place{Part: PartBox},
		Value: 0.3}}, Equal: [][]Fault{{{Kind: KindContact, A: position(0), Value: 0.3}}}}).String()
	if strings.Count(r, "Exercise") != 1 || !strings.Contains(r, "Exercise every dial") {
		t.Errorf("exercised more than once: %q", r)
	}
	r = repair(b, Cause{Kind: KindContact, Faults: []Fault{
		{Kind: KindContact, A: position(3), Value: 0.3}, dirt}}).String()
	if strings.Count(r, "Exercise") != 2 {
		t.Errorf("two dials are to be exercised: %q", r)
	}
	step := Step{Act: ActInsulation, Places: []Place{leak.A, leak.B}}
	step.setText(&verify.Report{Box: b}, &Cause{Kind: KindTerminalLeak, Faults: []Fault{leak}})
	if !strings.Contains(step.Text, "look for the leak at terminal 1 and terminal 2.") {
		t.Errorf("%q", step.Text)
	}
}

// Resistance in series may sit anywhere: every dial is exercised, and not the one whose contact
// the readings do not tell from it.
func TestSeriesIsCleanedEverywhere(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.005, Contact: 0.0005,
		Decades: dials(0.001, 1000, 10)})
	rs := noiseless(t, b, Fault{Kind: KindSeries, A: Place{Part: PartBox}, Value: 0.4})
	d, err := Diagnose(t.Context(), evaluated(t, b, append(rs, rs...)))
	if err != nil {
		t.Fatal(err)
	}
	if d.Healthy || d.Causes[0].Kind != KindSeries {
		t.Fatalf("%v", d.Causes)
	}
	if d.Next.Act != ActClean || !strings.Contains(d.Next.Text, "Exercise every dial") {
		t.Errorf("next %v: %s", d.Next.Act, d.Next.Text)
	}
}
