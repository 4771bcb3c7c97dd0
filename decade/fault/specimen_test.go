// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// A reading is what is at the terminals and the leads, less what was nulled.
func TestLeadsOfSpecimen(t *testing.T) {
	b := box(t, decade.Spec{Residual: 0.02, ResidualTolerance: 0.01, Decades: dials(0.001, 100)})
	meter := &verify.Meter{Wiring: verify.WiringTwoWire, Ranges: []verify.Range{{Name: "1 kΩ", FullScale: 1000, OverRange: 1.2}}}
	for _, c := range []struct{ leads, nulled float64 }{{0, 0}, {0.5, 0}, {0.5, 0.125}, {-0.25, 0.125}} {
		sp, err := newSpecimen("test", newModel(b, nil, 0), meter, 1, nil)
		if err != nil {
			t.Fatal(err)
		}
		sp.leads, sp.nulled = c.leads, c.nulled
		for _, p := range []int{0, 1, 7} {
			x := at(t, b, p)
			r, err := sp.Read(x)
			if want := sp.terminals(x) + c.leads - c.nulled; err != nil || len(r.Values) != 1 || math.Abs(r.Values[0]-want) > 1e-9 {
				t.Errorf("leads %v, nulled %v, position %d: %v, %v; want %v", c.leads, c.nulled, p, r.Values, err, want)
			}
		}
	}
}

// The errors of a reading are the gain of its range times the value, the zero of the range,
// and a draw of what these two leave of the limit: √(L² − G² − Z²).
func TestErrorsOfSpecimen(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100)})
	none := 0.0
	for _, c := range []struct {
		r    verify.Range
		rest float64 // Ω, its limit at 400 Ω
	}{
		{verify.Range{Name: "1 kΩ", FullScale: 1000}, 0},
		{verify.Range{Name: "1 kΩ", FullScale: 1000, OfReading: 0.01, OfRange: 0.001}, 3}, // 5² − 4²
		{verify.Range{Name: "1 kΩ", FullScale: 1000, OfReading: 0.01, OfRange: 0.001, K: 2}, 3},
	} {
		meter := &verify.Meter{Wiring: verify.WiringFourWire, ZeroShare: &none, Ranges: []verify.Range{c.r}}
		sp, err := NewSpecimen(b, meter, 1)
		if err != nil {
			t.Fatal(err)
		}
		sp.gainError, sp.zeroError = []float64{0.002}, []float64{0.25}
		sp.rng = rand.New(rand.NewPCG(3, 4))
		same := rand.New(rand.NewPCG(3, 4)) // the same draws
		for range 4 {
			drawn := 0.0
			if c.r.K > 0 {
				drawn = same.NormFloat64() * c.rest / c.r.K
			} else {
				drawn = (2*same.Float64() - 1) * c.rest
			}
			want := 0.002*400 + 0.25 + drawn
			if got := sp.readingError(0, 400); math.Abs(got-want) > 1e-9 {
				t.Errorf("%+v: off by %v; want %v", c.r, got, want)
			}
		}
	}
}
