// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"testing"

	"example.com/ohmwright/wire/winding"
)

var enamelled = winding.Wire{Bare: 0.32e-3, Covered: 0.36e-3}

// A bifilar resistor is the pair of half of its wire; the lay is that of the pair.
func TestBifilar(t *testing.T) {
	ok := must[float64](t)
	former := winding.Cylinder(0.010, 0.030)
	lay, line, err := former.Bifilar(10, 1.88, enamelled, 3)
	if err != nil {
		t.Fatal(err)
	}
	want := must[winding.Lay](t)(former.Wind(0.94, 0.36e-3, 0.72e-3))
	if lay != want || line.R != 10 || line.L != ok(winding.PairInductance(0.94, 0.36e-3, 0.32e-3, 1)) || line.C != ok(winding.PairCapacitance(0.94, 0.36e-3, 0.32e-3, 3)) {
		t.Errorf("%+v, %+v", lay, line)
	}
}

// Folding loses inductance and wins capacitance; two windings in opposition have little of both.
func TestNonreactiveWindings(t *testing.T) {
	lay, coil, err := winding.SingleLayer(0.010, 0.040, 10, 1.88, enamelled)
	if err != nil || lay.Layers != 1 || coil.C == 0 {
		t.Fatalf("%+v, %+v, %v", lay, coil, err)
	}
	_, line, err := winding.Cylinder(0.010, 0.040).Bifilar(10, 1.88, enamelled, 3)
	if err != nil || line.L > coil.L/5 || line.C < 10*coil.C {
		t.Errorf("bifilar %+v, coil %+v, %v", line, coil, err)
	}
	_, crossed, err := winding.AyrtonPerry(0.010, 0.040, 10, 1.88, 0.6e-3, 0.99, enamelled)
	one := must[float64](t)(winding.SolenoidInductance(must[winding.Lay](t)(winding.Cylinder(0.010, 0.040).Wind(1.88, 0.36e-3, 0.6e-3)).Turns, 0.00518, 0.6e-3, 0.32e-3))
	if err != nil || !near(crossed.L, one*0.005, 1e-12) || crossed.R != 10 {
		t.Errorf("Ayrton–Perry %+v, one winding %v H, %v", crossed, one, err)
	}
	// A long thin coil lies outside the rule for capacitance, which is left out.
	if _, long, err := winding.SingleLayer(0.002, 0.5, 10, 10, enamelled); err != nil || long.C != 0 || long.L == 0 {
		t.Errorf("long coil %+v, %v", long, err)
	}
}
