// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade/verify"
)

// Of an insulation test the text says first to take the strap off where the leak goes to the
// strapped case, and only there.
func TestTextOfAnInsulationTest(t *testing.T) {
	s, _ := separating(t)
	r := &verify.Report{Box: s.model.layout.box, Meter: *testMeter()}
	toCase := Fault{Kind: KindCaseLeak, A: Place{PartTap, 0, 1}, B: Place{PartTerminal, 0, 2}, Value: 1e6}
	across := Fault{Kind: KindTerminalLeak, A: Place{PartTerminal, 0, 1}, B: Place{PartTerminal, 0, 2}, Value: 1e6}
	for name, c := range map[string]struct {
		lead  *Cause
		strap bool
	}{
		"to the case":          {&Cause{Kind: KindCaseLeak, Faults: []Fault{toCase}}, true},
		"between the ends":     {&Cause{Kind: KindTerminalLeak, Faults: []Fault{across}}, false},
		"no cause in the lead": {nil, false},
	} {
		step := Step{Act: ActInsulation}
		step.setText(r, c.lead)
		if got := strings.HasPrefix(step.Text, "Take the strap to the case off"); got != c.strap || got == strings.HasPrefix(step.Text, "Join the terminals") {
			t.Errorf("%s: %s", name, step.Text)
		}
	}
}

// A dial or a box that drifts multiplies what another fault does inside it, not what one does
// in another dial.
func TestMultiplied(t *testing.T) {
	of := func(dial int) Place { return Place{PartElement, dial, 1} }
	dial := Fault{Kind: KindDialDrift, A: Place{Part: PartDial, Dial: 0}, Value: 0.01}
	box := Fault{Kind: KindBoxDrift, A: Place{Part: PartBox}, Value: 0.01}
	for name, c := range map[string]struct {
		a, b Fault
		want bool
	}{
		"element of the dial":           {dial, Fault{Kind: KindDrift, A: of(0), Value: 1}, true},
		"element of another dial":       {dial, Fault{Kind: KindDrift, A: of(1), Value: 1}, false},
		"bridge from another dial here": {dial, Fault{Kind: KindDialBridge, A: of(1), B: of(0), Value: 1}, true},
		"bridge between two others":     {dial, Fault{Kind: KindDialBridge, A: of(1), B: of(2), Value: 1}, false},
		"ohms in series":                {dial, Fault{Kind: KindSeries, A: Place{Part: PartTerminal}, Value: 1}, false},
		"element in a box":              {box, Fault{Kind: KindDrift, A: of(1), Value: 1}, true},
		"ohms in series with the box":   {box, Fault{Kind: KindSeries, A: Place{Part: PartTerminal}, Value: 1}, false},
	} {
		for _, pair := range [][]Fault{{c.a, c.b}, {c.b, c.a}} {
			h := &hypothesis{faults: pair}
			if got := h.multiplied(); got != c.want {
				t.Errorf("%s: %v; want %v", name, got, c.want)
			}
			if got := h.wantsCircuit(); got != (c.want || c.b.Kind == KindDialBridge) {
				t.Errorf("%s: circuit %v", name, got)
			}
		}
	}
}

// A contact that shorts elements of a code changes more than the ohms in its path: it needs the
// circuit. One of a wiper does not.
func TestContactsThatNeedTheCircuit(t *testing.T) {
	for _, k := range []Kind{KindContact, KindOpenContact} {
		for part, want := range map[Part]bool{PartElement: true, PartPosition: false, PartDial: false} {
			if got := (Fault{Kind: k, A: Place{part, 0, 1}}).needsCircuit(); got != want {
				t.Errorf("%v of %v: %v; want %v", k, part, got, want)
			}
		}
	}
}

// The number of a line is contact and elements in parallel: x = s·R/(s + R), so that
// R = x/(1 − x/s) and dR/dx = (R/x)².
func TestLineOfContact(t *testing.T) {
	s, _ := separating(t)
	f := Fault{Kind: KindContact, A: Place{PartElement, 0, 1}}
	shorting := s.lineOfContact(f, nil, []float64{10})
	if shorting.fixed.Kind != KindOpenContact || shorting.at != 10 {
		t.Errorf("a contact across 10 Ω is open at %+v, %v", shorting.fixed, shorting.at)
	}
	if !shorting.allowed(9.9) || shorting.allowed(9.999) || shorting.allowed(0) || shorting.allowed(-1) {
		t.Error("across 10 Ω a contact has 0 to 10 Ω with them")
	}
	if got, u := shorting.valued(5, 0.1); relative(got.Value, 10) > 1e-15 || relative(u, 0.4) > 1e-15 {
		t.Errorf("5.0(1) Ω of 10 Ω in parallel: %v Ω, u = %v; want 10, 0.4", got.Value, u)
	}
	alone := s.lineOfContact(f, nil, nil)
	if alone.fixed != (Fault{}) || alone.at != 0 || !alone.allowed(1e9) {
		t.Errorf("a contact across nothing: %+v", alone)
	}
	if got, u := alone.valued(5, 0.1); got.Value != 5 || u != 0.1 {
		t.Errorf("a contact across nothing: %v Ω, u = %v; want 5, 0.1", got.Value, u)
	}
}

// A value is written with six digits of its uncertainty, and with six where it has none.
func TestWrittenValue(t *testing.T) {
	for _, c := range []struct{ value, u, want float64 }{
		{1234.567890123456, 0.01, 1234.5678901}, {1234.567890123456, 0, 1234.57},
		{1234.567890123456, 1e5, 1235}, {1234.567890123456, 1e-9, 1234.56789012}, {-0.5, 0.1, -0.5}, {0, 1, 0},
	} {
		if got := (Fault{Value: c.value, Uncertainty: c.u}).writtenValue(); got != c.want {
			t.Errorf("%v with u = %v is written %v; want %v", c.value, c.u, got, c.want)
		}
	}
}

// Two diallings are unlike where they differ by more than four standard uncertainties of their
// difference; equal ones never, not even without any uncertainty.
func TestUnlike(t *testing.T) {
	s, read := separating(t)
	for _, c := range []struct {
		v, covariance, difference float64
		want                      bool
	}{
		{0, 0, 0, false}, {0, 0, 1e-9, true}, {0.01, 0, 0.56, false}, {0.01, 0, 0.57, true}, {0.01, 0.0099, 0.06, true}, {0.01, 0.0099, 0.05, false},
	} {
		s.evidence.observations = []observation{{1, 2, 0}, {1, 2 + c.difference, 1}}
		s.evidence.covariance = mat.NewSymDense(2, []float64{c.v, c.covariance, c.covariance, c.v})
		x, got := s.unlike()
		if got != c.want || got && x != read[1] {
			t.Errorf("%+v: %v, %v", c, x, got)
		}
	}
	s.evidence.observations[1].setting = 2
	if x, got := s.unlike(); got {
		t.Errorf("two settings are unlike at %v", x)
	}
}
