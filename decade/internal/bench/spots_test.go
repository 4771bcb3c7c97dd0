// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Bridges by the sums of a tree, against the network in 300 bits.
func TestBridgesAgreeWithTheNetwork(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for construction := range NumConstructions {
		box, err := MakeBox(construction, 1, 3, 0.0002)
		if err != nil {
			t.Fatal(err)
		}
		c := newCircuit(box)
		nominal := newMade(c, rand.New(rand.NewPCG(1, 1)))
		for i, e := range c.elements {
			nominal.ohms[i] = e.nominal
		}
		for range 60 {
			plan := Plan(box, Recommended, 1)
			positions := plan[rng.IntN(len(plan))]
			x, y := rng.IntN(c.nodes), rng.IntN(c.nodes)
			if x == y || x == caseNode || y == caseNode {
				continue
			}
			ohms := math.Pow(10, 1+5*rng.Float64())
			s := nominal.healthy()
			sound := nominal.terminals(s, positions, 20)
			s.bridges = append(s.bridges, resistor{x, y, ohms})
			want := nominal.terminals(s, positions, 20) - sound
			spots := c.spots(positions, nominal.ohms)
			path, all := spots[x].between(spots[y])
			if got := -path * path / (all + ohms); math.Abs(got-want) > 0.2+1e-3*math.Abs(want) {
				t.Errorf("%v at %v, %v to %v, %v Ω: %v Ω; the network says %v Ω", construction, positions, c.placeOf(x), c.placeOf(y), ohms, got, want)
			}
		}
	}
}

// A bridge of two dials in the middle is one of several that no reading of a plan of single
// dials tells apart: its other end moves in the small dial without an effect.
func TestAlternativesOfABridge(t *testing.T) {
	box, err := MakeBox(Ladders, 1, 2, 0.0002)
	if err != nil {
		t.Fatal(err)
	}
	f := Fault{Kind: BridgeDials, A: Place{Tap, 0, 5}, B: Place{Tap, 1, 4}, Value: 2e4}
	b := set(t, box, Meters()[0], 3, Options{}, f)
	got := b.Alternatives(b.ReadAll(Plan(box, Minimal, 1), 1))
	if len(got) < 2 || len(got) > mostBridges {
		t.Errorf("%q; expected several", got)
	}
	touch := set(t, box, Meters()[2], 3, Options{}, Fault{Kind: BridgeInDial, A: Place{Tap, 0, 2}, B: Place{Tap, 0, 5}})
	if got := touch.Alternatives(touch.ReadAll(Plan(box, Full, 1), 1)); len(got) != 1 {
		t.Errorf("touch in a dial: %q; expected itself", got)
	}
}

// A bridge of 250 Ω from tap 3 to tap 9 around the open element 6 reads as one of 550 Ω from
// tap 0 does, 450 Ω from 1, 350 Ω from 2, 150 Ω from 4 and 50 Ω from 5: by hand, at 7 it is
// 300 + 250 + 2·100 Ω.
func TestSameBridges(t *testing.T) {
	box, err := MakeBox(Ladders, 1, 2, 0.0002)
	if err != nil {
		t.Fatal(err)
	}
	open := Fault{Kind: OpenElement, A: elementPlace(0, 6)}
	mean := func(from int, ohms float64) float64 {
		b := set(t, box, Meters()[0], 3, Options{}, open, Fault{Kind: BridgeInDial, A: Place{Tap, 0, from}, B: Place{Tap, 0, 9}, Value: ohms})
		return b.Mean(7, 0)
	}
	for from, ohms := range []float64{550, 450, 350, 250, 150, 50} {
		if got := mean(from, ohms); math.Abs(got-750) > 0.5 {
			t.Errorf("from tap %d: %v Ω; expected 750 Ω", from, got)
		}
	}
	c := &Case{Bench: set(t, box, Meters()[0], 3, Options{}, open, Fault{Kind: BridgeInDial, A: Place{Tap, 0, 3}, B: Place{Tap, 0, 9}, Value: 250})}
	if got := c.sameBridges(); got != 6 {
		t.Errorf("%d; expected 6", got)
	}
	c.Faults = []Fault{open, {Kind: BridgeInDial, A: Place{Tap, 0, 1}, B: Place{Tap, 0, 9}, Value: 50}}
	if got := c.sameBridges(); got != 2 {
		t.Errorf("%d; expected 2", got)
	}
}
