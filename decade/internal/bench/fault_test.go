// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

import (
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
)

// Every kind by hand: what the faults make of settings of a box without residual.
func TestFaultsByHand(t *testing.T) {
	two := []decade.Decade{{Step: 100}, {Step: 10}}
	coded := []decade.Decade{{Step: 100, Code: decade.Code1225()}}
	shared := []decade.Decade{{Step: 100, Positions: 9, Switch: "A"}, {Step: 10, Positions: 9, Switch: "A"}}
	inf := math.Inf(1)
	for name, c := range map[string]struct {
		dials  []decade.Decade
		fault  Fault
		at     [][]int
		want   []float64
		strap  int
		within float64 // Ω; 0: 1e-9
	}{
		"drift":                  {two, Fault{Kind: Drift, A: elementPlace(0, 3), Value: 2}, [][]int{{2, 0}, {3, 0}, {9, 5}}, []float64{200, 302, 952}, 0, 0},
		"cracked joint":          {two, Fault{Kind: CrackedJoint, A: elementPlace(1, 1), Value: 2}, [][]int{{2, 0}, {0, 1}}, []float64{200, 12}, 0, 0},
		"wrong part":             {two, Fault{Kind: WrongPart, A: elementPlace(0, 3), Value: 120}, [][]int{{3, 0}}, []float64{320}, 0, 0},
		"open element":           {two, Fault{Kind: OpenElement, A: elementPlace(0, 3)}, [][]int{{2, 4}, {3, 4}}, []float64{240, inf}, 0, 0},
		"open element of a code": {coded, Fault{Kind: OpenElement, A: elementPlace(0, 4)}, [][]int{{4}, {5}}, []float64{400, inf}, 0, 0},
		"lifted trim":            {two, Fault{Kind: TrimLifted, A: elementPlace(0, 3), Value: 0.01}, [][]int{{3, 0}}, []float64{301}, 0, 0},
		"overloaded":             {two, Fault{Kind: Overloaded, A: elementPlace(0, 3), Value: 0.01}, [][]int{{2, 0}, {5, 0}}, []float64{202, 503}, 0, 0},
		"dial off":               {two, Fault{Kind: DialDrift, A: dialPlace(1), Value: 0.01}, [][]int{{2, 3}}, []float64{230.3}, 0, 0},
		"box off":                {two, Fault{Kind: BoxDrift, Value: 0.01}, [][]int{{2, 3}}, []float64{232.3}, 0, 0},
		"contact":                {two, Fault{Kind: Contact, A: positionPlace(0, 3), Value: 2}, [][]int{{2, 0}, {3, 4}, {4, 0}}, []float64{200, 342, 400}, 0, 0},
		// Beside element 1 of 100 Ω at 0: 25 ∥ 100 = 20; nothing at 1.
		"contact of a code":      {coded, Fault{Kind: Contact, A: elementPlace(0, 1), Value: 25}, [][]int{{0}, {1}, {2}, {10}}, []float64{20, 100, 220, 1000}, 0, 0},
		"open contact":           {two, Fault{Kind: OpenContact, A: positionPlace(0, 3)}, [][]int{{3, 4}, {4, 4}}, []float64{inf, 440}, 0, 0},
		"open contact of a code": {coded, Fault{Kind: OpenContact, A: elementPlace(0, 1)}, [][]int{{0}, {1}}, []float64{100, 100}, 0, 0},
		"link":                   {two, Fault{Kind: Series, A: Place{Part: Link, Number: 1}, Value: 2}, [][]int{{0, 0}, {3, 4}}, []float64{2, 342}, 0, 0},
		"post":                   {two, Fault{Kind: Series, A: Place{Part: Terminal, Number: 2}, Value: 2}, [][]int{{0, 0}}, []float64{2}, 0, 0},
		"wiper":                  {two, Fault{Kind: Series, A: Place{Part: Wiper, Dial: 1}, Value: 2}, [][]int{{0, 0}, {3, 4}}, []float64{2, 342}, 0, 0},
		"open path":              {two, Fault{Kind: OpenPath, A: Place{Part: Wiper, Dial: 1}}, [][]int{{0, 0}}, []float64{inf}, 0, 0},
		"overlap":                {two, Fault{Kind: Overlap, A: positionPlace(0, 3)}, [][]int{{2, 0}, {3, 4}, {4, 0}}, []float64{200, 240, 400}, 0, 0},
		"slip, stops":            {two, Fault{Kind: Slip, A: dialPlace(0), Value: 1, B: Place{Number: SlipStops}}, [][]int{{0, 0}, {9, 0}, {10, 0}}, []float64{100, 1000, 1000}, 0, 0},
		"slip, turns":            {two, Fault{Kind: Slip, A: dialPlace(0), Value: 1, B: Place{Number: SlipTurns}}, [][]int{{9, 0}, {10, 3}}, []float64{1000, 30}, 0, 0},
		"slip down":              {two, Fault{Kind: Slip, A: dialPlace(0), Value: -1, B: Place{Number: SlipTurns}}, [][]int{{0, 0}, {1, 0}}, []float64{1000, 0}, 0, 0},
		"slip, opens":            {two, Fault{Kind: Slip, A: dialPlace(0), Value: 1, B: Place{Number: SlipOpens}}, [][]int{{9, 0}, {10, 3}}, []float64{1000, inf}, 0, 0},
		"slip of a code":         {coded, Fault{Kind: Slip, A: dialPlace(0), Value: 1}, [][]int{{0}, {4}}, []float64{100, 500}, 0, 0},
		// The second range lies below the common zero.
		"slip of a shared switch": {shared, Fault{Kind: Slip, A: dialPlace(0), Value: 1}, [][]int{{0, 0}, {8, 0}, {0, 1}, {0, 9}}, []float64{100, 900, 0, 80}, 0, 0},
		"taps":                    {two, Fault{Kind: Taps, A: positionPlace(0, 3), B: positionPlace(0, 4)}, [][]int{{2, 0}, {3, 0}, {4, 0}}, []float64{200, 400, 300}, 0, 0},
		"exchange":                {two, Fault{Kind: Exchanged, A: elementPlace(0, 3), B: elementPlace(1, 2)}, [][]int{{2, 0}, {3, 0}, {0, 2}}, []float64{200, 210, 110}, 0, 0},
		"exchange in a code":      {coded, Fault{Kind: Exchanged, A: elementPlace(0, 1), B: elementPlace(0, 4)}, [][]int{{1}, {5}, {6}}, []float64{500, 100, 600}, 0, 0},
		// 300 Ω beside 700 Ω.
		"leak across terminals": {two, Fault{Kind: LeakTerminals, Value: 700}, [][]int{{3, 0}}, []float64{210}, 0, 0},
		// Taps 0 to 10 of 1000 Ω with 1000 Ω across: at 5, 500 ∥ (500 + 1000).
		"leak across a dial": {two, Fault{Kind: LeakDial, A: dialPlace(0), Value: 1000}, [][]int{{10, 0}, {5, 0}}, []float64{500, 375}, 0, 0},
		// Tap 2 by 200 Ω to terminal 2: at 3, 200 + 200 ∥ 100; at 1 both ends are at the wiper.
		"leak to the case":        {two, Fault{Kind: LeakCase, A: tapPlace(0, 2), Value: 200}, [][]int{{3, 0}, {1, 0}}, []float64{200 + 200*100/300.0, 100}, 2, 0},
		"leak to a floating case": {two, Fault{Kind: LeakCase, A: tapPlace(0, 2), Value: 200}, [][]int{{3, 0}}, []float64{300}, 0, 0},
		"resistive bridge":        {two, Fault{Kind: BridgeInDial, A: tapPlace(0, 2), B: tapPlace(0, 4), Value: 200}, [][]int{{2, 0}, {4, 0}}, []float64{200, 300}, 0, 0},
		"shorted":                 {two, Fault{Kind: ShortElement, A: elementPlace(0, 3)}, [][]int{{2, 0}, {4, 0}}, []float64{200, 300}, 0, 2e-4},
	} {
		within := max(c.within, 1e-9)
		b := set(t, bare(t, c.dials...), ideal(), 1, Options{Strapped: c.strap}, c.fault)
		for i, p := range c.at {
			got := b.Mean(p...)
			if got != c.want[i] && !(math.Abs(got-c.want[i]) <= within) {
				t.Errorf("%s at %v: %v Ω; expected %v", name, p, got, c.want[i])
			}
		}
	}
}

// Ladders with the wiper towards the first terminal have other bridges between dials.
func TestWiperFirst(t *testing.T) {
	touch := Fault{Kind: BridgeDials, A: tapPlace(0, 4), B: tapPlace(1, 6)}
	b := set(t, bare(t, decade.Decade{Step: 100, WiperFirst: true}, decade.Decade{Step: 10, WiperFirst: true}), ideal(), 1, Options{}, touch)
	// At (6, 6): from the wiper at tap 6 two steps of 100 Ω to tap 4, over to tap 6 of ×10
	// where the second wiper and so tap 0 of the first one stands: beside 400 Ω nothing is
	// left, then 60 Ω.
	if got := b.Mean(6, 6); math.Abs(got-260) > 1e-3 {
		t.Errorf("%v Ω; expected 200 + 60", got)
	}
	if got := b.Mean(4, 0); math.Abs(got-1/(1/400.0+1/60.0)) > 1e-3 {
		t.Errorf("%v Ω; expected 400 ∥ 60", got)
	}
}

func TestFaultsNewAtEachDialling(t *testing.T) {
	b := set(t, bare(t, decade.Decade{Step: 100}), ideal(), 1, Options{}, Fault{Kind: Series, A: Place{Part: Link}, Value: 1, Fresh: true})
	least, largest := math.Inf(1), 0.0
	for range 500 {
		r := b.Read(1, 2)
		least, largest = min(least, r.Shift), max(largest, r.Shift)
		if !near(r.Shift, r.True-200, 1e-9) || !near(r.Sound, 200, 1e-12) {
			t.Fatalf("%+v", r)
		}
	}
	if least < 0.4 || least > 0.45 || largest > 1.6 || largest < 1.55 {
		t.Errorf("between %v and %v Ω; expected 0.4 to 1.6", least, largest)
	}
	if m := b.Mean(2); !near(m, 201, 1e-12) {
		t.Errorf("mean %v Ω; expected 201", m)
	}
}

func TestAged(t *testing.T) {
	b := set(t, bare(t, decade.Decade{Step: 100}), ideal(), 1, Options{}, Fault{Kind: Aged, Value: 0.06})
	for p := 1; p <= 10; p++ {
		if d := (b.Mean(p)-b.Mean(p-1))/100 - 1; d < 0.04 || d > 0.08 {
			t.Errorf("element %d is off by %v; expected 0.04 to 0.08", p, d)
		}
	}
	if b.Mean(10) != b.Mean(10) || b.Mean(1) == 2*b.Mean(2)-b.Mean(3) {
		t.Error("aged elements are not each its own, or not the same each time")
	}
}

// A slip of the one who reads shows in its first dialling alone, and Shift says so.
func TestOneSlip(t *testing.T) {
	dials := bare(t, decade.Decade{Step: 100}, decade.Decade{Step: 10})
	plan := [][]int{{0, 0}, {1, 0}, {2, 0}, {0, 1}, {2, 0}, {3, 4}}
	want := []float64{0, 100, 207, 10, 200, 340}
	b := set(t, dials, ideal(), 1, Options{}, Fault{Kind: OneSlip, A: positionPlace(0, 2), Value: 7})
	for i, r := range b.ReadAll(plan, 1) {
		if !near(r.Values[0], want[i], 1e-12) || !near(r.Sound+r.Shift, want[i], 1e-12) {
			t.Errorf("row %d is %v Ω (shift %v); expected %v", i, r.Values[0], r.Shift, want[i])
		}
	}
}

func TestKeys(t *testing.T) {
	b := bare(t, decade.Decade{Step: 100}, decade.Decade{Step: 10}, decade.Decade{Step: 1, Code: decade.Code1225()})
	e := func(k Kind) Fault { return Fault{Kind: k, A: elementPlace(0, 3)} }
	link := Fault{Kind: Series, A: Place{Part: Link}}
	fresh := link
	fresh.Fresh = true
	same := [][]Fault{
		{e(Drift), e(WrongPart), e(ShortElement), e(TrimLifted), e(CrackedJoint), e(OpenElement), {Kind: BridgeInDial, A: tapPlace(0, 3), B: tapPlace(0, 2)}},
		{link, {Kind: Series, A: Place{Part: Wiper, Dial: 1}}, {Kind: Series, A: Place{Part: Terminal, Number: 1}}, fresh},
		{{Kind: DialDrift, A: dialPlace(0)}, {Kind: Overloaded, A: elementPlace(0, 10)}},
		{{Kind: Overloaded, A: elementPlace(0, 4)}},
		{{Kind: Overloaded, A: elementPlace(1, 1)}, {Kind: Drift, A: elementPlace(1, 1)}},
		// The wiper of the first dial and the 0 tap of the second are one.
		{{Kind: BridgeDials, A: tapPlace(0, 4), B: Place{Part: Wiper, Dial: 0}}, {Kind: BridgeDials, A: tapPlace(1, 0), B: tapPlace(0, 4)}},
		{{Kind: LeakTerminals}, {Kind: BridgeDials, A: tapPlace(0, 0), B: Place{Part: Terminal, Number: 2}}, {Kind: BridgeDials, A: tapPlace(2, 4), B: tapPlace(0, 0)}},
		{{Kind: LeakDial, A: dialPlace(2)}, {Kind: BridgeInDial, A: tapPlace(2, 0), B: tapPlace(2, 4)}},
		{{Kind: LeakCase, A: tapPlace(1, 0)}, {Kind: LeakCase, A: Place{Part: Wiper, Dial: 0}}},
		{{Kind: Exchanged, A: elementPlace(0, 3), B: elementPlace(1, 2)}, {Kind: Exchanged, A: elementPlace(1, 2), B: elementPlace(0, 3)}},
		{{Kind: Contact, A: positionPlace(0, 3)}}, {{Kind: Contact, A: elementPlace(2, 3)}}, {{Kind: OpenContact, A: positionPlace(0, 3)}},
		{{Kind: Slip, A: dialPlace(0), Value: 1}, {Kind: Slip, A: dialPlace(0), Value: 1, B: Place{Number: SlipTurns}}, {Kind: Slip, A: dialPlace(0), Value: -10, B: Place{Number: SlipTurns}}},
		{{Kind: Slip, A: dialPlace(0), Value: -1}}, {{Kind: OpenPath}}, {{Kind: BoxDrift}}, {{Kind: Aged}},
		{{Kind: MeterGain, A: Place{Range, 0, 2}}}, {{Kind: MeterZero, A: Place{Range, 0, 2}}},
		{{Kind: OneSlip, A: positionPlace(0, 3)}}, {{Kind: Overlap, A: positionPlace(0, 3)}},
		{{Kind: Taps, A: positionPlace(0, 3), B: positionPlace(0, 4)}},
	}
	seen := make(map[string]int)
	for i, list := range same {
		for _, f := range list {
			k := Key(b, []Fault{f})
			if j, ok := seen[k]; ok && j != i {
				t.Errorf("%v has the key %q of %v", f, k, same[j][0])
			}
			seen[k] = i
			if k != Key(b, list[:1]) {
				t.Errorf("%v has the key %q; expected that of %v, %q", f, k, list[0], Key(b, list[:1]))
			}
		}
	}
	if Key(b, []Fault{link, e(Drift)}) != Key(b, []Fault{e(WrongPart), link}) || Key(b, nil) != "healthy" || Key(b, []Fault{{}}) != "healthy" {
		t.Error("two faults in another order, or none at all, have no one key")
	}
}

func TestFaultsAreChecked(t *testing.T) {
	b := bare(t, decade.Decade{Step: 100}, decade.Decade{Step: 10, Code: decade.Code1225()}, decade.Decade{Step: 1, Code: decade.Code1332()})
	for _, f := range []Fault{
		{Kind: Drift}, {Kind: Drift, A: elementPlace(0, 11)}, {Kind: Drift, A: elementPlace(7, 1)}, {Kind: DialDrift, A: dialPlace(3)},
		{Kind: Slip, A: dialPlace(0), Value: 0.5}, {Kind: Contact, A: elementPlace(0, 1)}, {Kind: Contact, A: positionPlace(1, 1)},
		{Kind: Contact, A: elementPlace(2, 1)}, {Kind: Series, A: tapPlace(0, 1)}, {Kind: Series, A: Place{Part: Link, Number: 4}},
		{Kind: Series, A: Place{Part: Wiper, Dial: 1}}, {Kind: Overlap, A: positionPlace(0, 0)}, {Kind: Taps, A: positionPlace(0, 1), B: positionPlace(1, 2)},
		{Kind: Exchanged, A: elementPlace(0, 1), B: elementPlace(0, 1)}, {Kind: BridgeInDial, A: tapPlace(0, 11), B: tapPlace(0, 1)},
		{Kind: LeakDial, A: dialPlace(-1)}, {Kind: LeakCase}, {Kind: MeterGain, A: Place{Range, 0, 1}}, {Kind: OneSlip}, {Kind: numKinds},
	} {
		if _, err := New(b, ideal(), 1, Options{}, f); err == nil || !strings.Contains(err.Error(), f.Kind.String()) {
			t.Errorf("%v: error %v; expected one that names it", f, err)
		}
	}
	plug := Fault{Kind: Contact, A: positionPlace(2, 4), Value: 1}
	// Position 4 of the plug box: the plug shorts elements 3 and 4, 5 Ω: 1 ∥ 5.
	if got := set(t, b, ideal(), 1, Options{}, plug).Mean(0, 0, 4); math.Abs(got-4-5.0/6) > 1e-9 {
		t.Errorf("plug with 1 Ω at 4: %v Ω; expected 4.8333", got)
	}
	for k := range numKinds {
		if k != numNetworkKinds && strings.HasPrefix(k.String(), "kind ") {
			t.Errorf("kind %d has no name", k)
		}
	}
}
