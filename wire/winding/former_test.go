// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/wire/winding"
)

func TestWindRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	lay := must[winding.Lay](t)
	for range 500 {
		f := winding.Cylinder(0.005+0.05*r.Float64(), 0.01+0.1*r.Float64())
		if r.IntN(2) == 0 {
			f = winding.Card(0.005+0.05*r.Float64(), 0.001, 0.01+0.1*r.Float64())
		}
		covered := 0.05e-3 + 1e-3*r.Float64()
		pitch := []float64{0, covered, 2 * covered}[r.IntN(3)]
		turns := 0.5 + 1000*r.Float64()
		there := lay(f.WireLength(turns, covered, pitch))
		back := lay(f.Wind(there.WireLength, covered, pitch))
		if !near(back.Turns, turns, 1e-12) || back.Layers != there.Layers || there.Turns != turns {
			t.Errorf("%v turns: %+v, %+v", turns, there, back)
		}
		if there.Layers != int(math.Ceil(turns/there.PerLayer)) ||
			!near(there.Build, float64(there.Layers)*covered, 1e-12) ||
			there.Width > f.Length*(1+1e-9) {
			t.Errorf("lay %+v on %+v", there, f)
		}
	}
}

// One layer on a cylinder is a helix through the middle of the wire.
func TestOneLayer(t *testing.T) {
	l := must[winding.Lay](t)(winding.Cylinder(0.01, 0.03).WireLength(60, 0.5e-3, 0))
	if want := 60 * math.Hypot(math.Pi*0.0105, 0.5e-3); !near(l.WireLength, want, 1e-14) ||
		l.Layers != 1 || l.PerLayer != 60 || !near(l.Width, 0.03, 1e-12) {
		t.Errorf("%+v, want %v m", l, want)
	}
	surface := must[float64](t)(winding.Cylinder(0.01, 0.03).Surface(l))
	if want := math.Pi * 0.011 * 0.03; !near(surface, want, 1e-12) {
		t.Errorf("surface %v, want %v", surface, want)
	}
}
