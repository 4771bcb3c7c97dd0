// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"errors"
	"math"
	"testing"

	"example.com/ohmwright/decade"
)

// Exchanged wires stay exchanged when the knob slips as well, whichever is stated first: with the
// knob one on, the wire of tap 4 is reached where tap 7 would be, and the reverse.
func TestExchangedAndSlipped(t *testing.T) {
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 10}}})
	exchanged := Fault{Kind: KindTapsExchanged, A: Place{PartPosition, 0, 4},
		B: Place{PartPosition, 0, 7}}
	slip := Fault{Kind: KindSlip, A: Place{PartDial, 0, 0}, Value: 1}
	back := Fault{Kind: KindSlip, A: Place{PartDial, 0, 0}, Value: -1}
	for p, want := range []float64{10, 20, 30, 40, 80, 60, 70, 50, 90, 100} {
		x := at(t, b, p)
		first, second := predicted(t, x, exchanged, slip), predicted(t, x, slip, exchanged)
		if math.Abs(first-want) > 1e-9 || math.Abs(second-want) > 1e-9 {
			t.Errorf("at %d: %v and %v, want %v", p, first, second, want)
		}
		if got := predicted(t, x, slip, back); math.Abs(got-10*float64(p)) > 1e-9 {
			t.Errorf("one on and one back at %d: %v", p, got)
		}
	}
}

// The position of a bad contact is that which the scale shows, of a ladder and of a code alike.
func TestContactBesideSlip(t *testing.T) {
	slip := Fault{Kind: KindSlip, A: Place{PartDial, 0, 0}, Value: 1}
	contact := Fault{Kind: KindContact, A: Place{PartPosition, 0, 4}, Value: 1}
	for name, d := range map[string]decade.Decade{
		"ladder": {Step: 10}, "code": {Step: 10, Code: decade.Code1332()},
	} {
		b := box(t, decade.Spec{Decades: []decade.Decade{d}})
		for p := range 9 {
			by := predicted(t, at(t, b, p), slip, contact) - predicted(t, at(t, b, p), slip)
			if p == 4 != (by > 0.5) {
				t.Errorf("%s at %d: %+.3g Ω by the contact at 4", name, p, by)
			}
		}
	}
}

// Series resistance below what the link has is refused, also where two faults take it together.
func TestSeriesTogether(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, Decades: []decade.Decade{{Step: 10}}})
	// 0.02 Ω are shared by two links and the contact of the wiper: 6.67 mΩ each.
	less := Fault{Kind: KindSeries, A: Place{Part: PartBox}, Value: -0.004}
	if got := predicted(t, at(t, b, 3), less); math.Abs(got-30.016) > 1e-9 {
		t.Errorf("4 mΩ less: %v", got)
	}
	if got, err := Predict(at(t, b, 3), less, less); !errors.Is(err, ErrDomain) {
		t.Errorf("8 mΩ less: %v, %v; want ErrDomain", got, err)
	}
}

// The order of the contacts of three ranges on one switch is not known: a slipped knob is no
// cause there, and Predict says so.
func TestSlipOfThreeRanges(t *testing.T) {
	three := func(step float64) decade.Decade {
		return decade.Decade{Step: step, Positions: 9, Switch: "A"}
	}
	b := box(t, decade.Spec{Decades: []decade.Decade{three(100), three(10), three(1)}})
	slip := Fault{Kind: KindSlip, A: Place{PartDial, 0, 0}, Value: 1}
	if got, err := Predict(at(t, b, 0, 3, 0), slip); !errors.Is(err, ErrPlace) {
		t.Errorf("%v, %v; want ErrPlace", got, err)
	}
	for _, v := range newModel(b, []decade.Setting{b.Zero()}, 0).moves {
		if v.fault.Kind == KindSlip {
			t.Errorf("%v is considered", v.fault)
		}
	}
}
