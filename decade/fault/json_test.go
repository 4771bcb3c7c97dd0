// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"encoding/json"
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/unit"
)

// What is written is read back the same: a class of several, a contact that scatters, a
// case with an open reading and warnings, a healthy box.
func TestDiagnosisJSON(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, Contact: 0.002, Decades: dials(0.001, 10)})
	scatter := ladderReadings(t, b, 0.02, 10.02, 20.02, 30.52, 40.02, 50.02, 60.02, 70.02, 80.02, 90.02, 100.02)
	scatter = append(scatter, verify.Reading{Setting: at(t, b, 3), Values: []float64{30.31}})
	open := ladderReadings(t, b, 0.02, 10.02, 20.02, 30.02)
	open = append(open, verify.Reading{Setting: at(t, b, 4), Overload: true}, verify.Reading{Setting: at(t, b, 5), Overload: true})
	for name, rs := range map[string][]verify.Reading{
		"class": ladderReadings(t, b, 0.02, 10.02, 20.02, 30.52), "scatter": scatter, "open": open,
		"slip":    ladderReadings(t, b, 10.02, 20.02, 30.02, 40.02),
		"healthy": ladderReadings(t, b, 0.02, 10.02, 20.02, 30.02),
	} {
		d := diagnosed(t, b, rs)
		text, err := json.Marshal(d)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if strings.Contains(string(text), `"Kind"`) || strings.Contains(string(text), "%!") {
			t.Errorf("%s: %s", name, text)
		}
		var got Diagnosis
		if err := json.Unmarshal(text, &got); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		again, err := json.Marshal(&got)
		if err != nil || string(again) != string(text) {
			t.Errorf("%s: %v\n%s\nread and written again\n%s", name, err, text, again)
		}
		if len(got.Causes) != len(d.Causes) || len(d.Causes) > 0 && d.Causes[0].Value.Err() == nil && math.Abs(got.Causes[0].Value.Estimate()-d.Causes[0].Value.Estimate()) > 1e-5*d.Causes[0].Faults[0].Uncertainty {
			t.Errorf("%s: value %v; want %v", name, got.Causes[0].Value, d.Causes[0].Value)
		}
		if got.Next.String() != d.Next.String() || len(got.Warnings) != len(d.Warnings) {
			t.Errorf("%s: next %v, warnings %v", name, got.Next, got.Warnings)
		}
	}
}

func TestDiagnosisJSONRefuses(t *testing.T) {
	good := `{"box": {"decades": [{"step": 10}]}, "healthy": false, "probability": 0.1, "causes": [
		{"kind": "bad contact", "probability": 0.9, "sentence": "", "faults": [{"kind": "bad contact", "at": {"part": "position", "dial": 1, "number": 3}, "value": 1}], "settings": ["3"], "repair": {}}],
		"next": {"act": "dial a setting", "setting": "4", "text": ""}, "chiSquared": 1, "readings": 3, "weights": {"healthy": 1}}`
	var d Diagnosis
	if err := json.Unmarshal([]byte(good), &d); err != nil || d.Causes[0].Faults[0].A != (Place{PartPosition, 0, 3}) {
		t.Fatalf("%+v, %v", d, err)
	}
	for _, c := range []struct {
		old, new, says string
		cause          error
	}{
		{`"healthy": false`, `"helthy": false`, `did you mean "healthy"`, unit.ErrUnknown},
		{`"kind": "bad contact", "probability"`, `"kind": "bad contacts", "probability"`, `did you mean "bad contact"`, unit.ErrUnknown},
		{`"kind": "bad contact", "probability"`, `"kind": "open element", "probability"`, "causes[0].kind: open element; expected bad contact", ErrContradiction},
		{`"act": "dial a setting"`, `"act": "dail a setting"`, `did you mean "dial a setting"`, unit.ErrUnknown},
		{`"part": "position"`, `"part": "positon"`, `did you mean "position"`, unit.ErrUnknown},
		{`"number": 3`, `"number": 13`, "causes[0].faults[0]", ErrPlace},
		{`"dial": 1`, `"dial": 2`, "expected 1 to 1", ErrPlace},
		{`"settings": ["3"]`, `"settings": ["3-1"]`, "causes[0].settings[0]", nil},
		{`"setting": "4"`, `"setting": "14"`, "next.setting", nil},
		{`"probability": 0.9`, `"probability": 1.9`, "expected 0 to 1", ErrDomain},
		{`"weights": {"healthy": 1}`, `"weights": {"healthy": 0}`, "expected more than 0", ErrDomain},
		{`"box": {"decades": [{"step": 10}]}, `, ``, "expected the description of the box", unit.ErrNotStated},
		{`"setting": "4"`, `"setting": "4", "places": [{"part": "element", "dial": 1, "number": 11}]`, "element 11 of ×10 Ω; expected a place of the box", ErrPlace},
		{`"setting": "4"`, `"setting": "4", "places": [{"part": "tap", "dial": 1, "number": 11}]`, "next.places[0]", ErrPlace},
		{`"setting": "4"`, `"setting": "4", "places": [{"part": "range"}]`, "next.places[0]", ErrPlace},
		{`"faults": [`, `"faults": [{"kind": "aged throughout", "value": 0.1}, {"kind": "aged throughout", "value": 0.1}, `, "3 faults; expected one or two", ErrDomain},
		{`"faults": [{"kind": "bad contact", "at": {"part": "position", "dial": 1, "number": 3}, "value": 1}]`, `"faults": []`, "expected one or two", ErrEmpty},
	} {
		text := strings.Replace(good, c.old, c.new, 1)
		if text == good {
			t.Fatalf("%q is not there", c.old)
		}
		d := Diagnosis{Readings: 77}
		err := json.Unmarshal([]byte(text), &d)
		if err == nil || !strings.Contains(err.Error(), c.says) || c.cause != nil && !errors.Is(err, c.cause) || d.Readings != 77 {
			t.Errorf("%s: %v", c.new, err)
		}
	}
}

// The texts of acts and parts, both ways.
func TestStepTexts(t *testing.T) {
	for a := ActNothing; a <= ActOpen; a++ {
		text, err := a.MarshalText()
		var got Act
		if err != nil || string(text) != a.String() || got.UnmarshalText(text) != nil || got != a {
			t.Errorf("%d: %q, %v, %v", a, text, err, got)
		}
	}
	for p := PartNone; p <= PartBox; p++ {
		text, err := p.MarshalText()
		var got Part
		if err != nil || string(text) != p.String() || got.UnmarshalText(text) != nil || got != p {
			t.Errorf("%d: %q, %v, %v", p, text, err, got)
		}
	}
}

// Every kind says how it is repaired, what to read afterwards, and with which caution.
func TestRepairs(t *testing.T) {
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 100, Tolerance: 0.001, ElementPower: 0.5}, {Step: 10, Tolerance: 0.001}}})
	e, p, d := Place{PartElement, 0, 3}, Place{PartPosition, 1, 4}, Place{PartDial, 1, 0}
	for _, c := range []struct {
		f    Fault
		says []string
		not  string
	}{
		{Fault{Kind: KindDrift, A: e, Value: 0.5}, []string{"between positions 2 and 3", "trimming resistor of about 20 kΩ", "100 Ω, within 0.1 %", "rated 0.5 W or more", "after an hour", "Soldering"}, "Solvents"},
		{Fault{Kind: KindDrift, A: e, Value: 20}, []string{"Otherwise replace it"}, "trimming"},
		{Fault{Kind: KindDrift, A: e, Value: -0.5}, []string{"0.5 Ω in series"}, "parallel"},
		{Fault{Kind: KindOpenElement, A: e}, []string{"resolder", "replace"}, "trimming"},
		{Fault{Kind: KindContact, A: p, Value: 0.3}, []string{"Exercise", "isopropanol", "three diallings", "Solvents", "every position of ×10 Ω"}, "Soldering"},
		{Fault{Kind: KindOpenContact, A: p}, []string{"bent, burnt or missing", "resolder"}, "Otherwise replace"},
		{Fault{Kind: KindOverlap, A: p}, []string{"detent"}, "isopropanol"},
		{Fault{Kind: KindSeries, A: Place{Part: PartBox}, Value: 0.3}, []string{"Tighten posts", "zero and each dial"}, "Otherwise replace"},
		{Fault{Kind: KindShorted, A: e}, []string{"the ends of element 3", "bend bare wires apart"}, "Otherwise replace"},
		{Fault{Kind: KindBridge, A: Place{PartTap, 0, 1}, B: Place{PartTap, 0, 4}, Value: 10}, []string{"taps 1 and 4 of ×100 Ω"}, "Otherwise replace"},
		{Fault{Kind: KindSlip, A: d, Value: 2}, []string{"on its shaft by 2 positions"}, "Soldering"},
		{Fault{Kind: KindTapsExchanged, A: p, B: Place{PartPosition, 1, 5}}, []string{"exchange them", "Soldering"}, "Solvents"},
		{Fault{Kind: KindTerminalLeak, A: Place{PartTerminal, 0, 1}, B: Place{PartTerminal, 0, 2}, Value: 1e6}, []string{"dry"}, "insulation tester"},
		{Fault{Kind: KindDialLeak, A: d, Value: 1e6}, []string{"wafer", "dry"}, "insulation tester"},
		{Fault{Kind: KindCaseLeak, A: Place{PartTap, 0, 1}, B: Place{PartTerminal, 0, 2}, Value: 1e6}, []string{"strap", "insulation tester"}, "Soldering"},
		{Fault{Kind: KindOverloaded, A: Place{PartElement, 0, 1}, B: e, Value: 0.01}, []string{"elements 1 to 3", "discoloured"}, "Solvents"},
		{Fault{Kind: KindDialDrift, A: d, Value: 0.01}, []string{"known resistor", "R·(R + d)/d"}, "Soldering"},
		{Fault{Kind: KindBoxDrift, A: Place{Part: PartBox}, Value: 0.01}, []string{"1.69 ppm", "meter"}, "Soldering"},
		{Fault{Kind: KindAged, A: Place{Part: PartBox}, Value: 0.1}, []string{"Rebuild"}, "Solvents"},
	} {
		got := repair(b, Cause{Kind: c.f.Kind, Faults: []Fault{c.f}}).String()
		for _, want := range append(c.says, "Afterwards read, as left", "Local codes") {
			if !strings.Contains(got, want) {
				t.Errorf("%v: %q lacks %q", c.f.Kind, got, want)
			}
		}
		if strings.Contains(got, c.not) {
			t.Errorf("%v: %q has %q", c.f.Kind, got, c.not)
		}
		if strings.Count(got, "Local codes") != 1 || strings.Count(got, "discharge it first") != 1 {
			t.Errorf("%v: a caution twice: %q", c.f.Kind, got)
		}
	}
	// Of a class the contact is cleaned before the element is touched; of two faults both
	// are repaired.
	both := repair(b, Cause{Kind: KindDrift, Faults: []Fault{{Kind: KindDrift, A: e, Value: 0.5}}, Equal: [][]Fault{{{Kind: KindContact, A: p, Value: 0.5}}}})
	if s := both.String(); !strings.HasPrefix(s, "1. Exercise") || !strings.Contains(s, "trimming") || strings.Count(s, "Afterwards") != 1 {
		t.Errorf("class: %q", s)
	}
	two := repair(b, Cause{Kind: KindDrift, Faults: []Fault{{Kind: KindDrift, A: e, Value: 0.5}, {Kind: KindSlip, A: d, Value: 1}}})
	if s := two.String(); !strings.Contains(s, "trimming") || !strings.Contains(s, "knob") {
		t.Errorf("two faults: %q", s)
	}
}

// The pad and the series resistor bring the element back: R·(R + d)/d parallel to R + d
// is R.
func TestTrimByHand(t *testing.T) {
	for _, d := range []float64{0.01, 0.5, 1.2} {
		r := 100.0
		pad := r * (r + d) / d
		if got := pad * (r + d) / (pad + r + d); math.Abs(got-r) > 1e-9 {
			t.Errorf("%v Ω high: %v Ω with the pad", d, got)
		}
	}
}
