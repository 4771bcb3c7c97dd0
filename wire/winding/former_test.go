// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
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
		if there.Layers != int(math.Ceil(turns/there.PerLayer)) || !near(there.Build, float64(there.Layers)*covered, 1e-12) || there.Width > f.Length*(1+1e-9) {
			t.Errorf("lay %+v on %+v", there, f)
		}
	}
}

// One layer on a cylinder is a helix through the middle of the wire.
func TestOneLayer(t *testing.T) {
	l := must[winding.Lay](t)(winding.Cylinder(0.01, 0.03).WireLength(60, 0.5e-3, 0))
	if want := 60 * math.Hypot(math.Pi*0.0105, 0.5e-3); !near(l.WireLength, want, 1e-14) || l.Layers != 1 || l.PerLayer != 60 || !near(l.Width, 0.03, 1e-12) {
		t.Errorf("%+v, want %v m", l, want)
	}
	surface := must[float64](t)(winding.Cylinder(0.01, 0.03).Surface(l))
	if want := math.Pi * 0.011 * 0.03; !near(surface, want, 1e-12) {
		t.Errorf("surface %v, want %v", surface, want)
	}
}

// 1.9 m of 0.32 mm wire, 0.36 mm over its enamel, on a 10 mm rod.
func ExampleFormer_Wind() {
	lay, err := winding.Cylinder(0.010, 0.030).Wind(1.9, 0.36e-3, 0)
	fmt.Printf("%.1f turns, %d layer, %.1f mm wide %v\n", lay.Turns, lay.Layers, lay.Width*1e3, err)
	// Output: 58.4 turns, 1 layer, 21.0 mm wide <nil>
}

func ExampleSolenoidInductance() {
	l, err := winding.SolenoidInductance(100, 0.01, 0.5e-3, 0.4e-3)
	fmt.Printf("%.3f µH %v\n", l*1e6, err)
	// Output: 66.272 µH <nil>
}

// A folded resistor: what the fold leaves of the inductance, and what it brings in capacitance.
func ExampleLine() {
	const length, spacing, wire = 0.94, 0.36e-3, 0.32e-3 // half of the wire; middle to middle; bare
	inductance, _ := winding.PairInductance(length, spacing, wire, winding.LowFrequency)
	capacitance, _ := winding.PairCapacitance(length, spacing, wire, 3)
	line := winding.Line{R: 10, L: inductance, C: capacitance}
	tau, err := line.TimeConstant()
	fmt.Printf("%.2f µH, %.0f pF, τ %.0f ns %v\n", inductance*1e6, capacitance*1e12, tau*1e9, err)
	// Output: 0.40 µH, 158 pF, τ 39 ns <nil>
}

func ExampleEquivalent_FrequencyForMagnitude() {
	e := winding.Equivalent{R: 100e3, C: 8e-12}
	f, err := e.FrequencyForMagnitude(0.001)
	fmt.Printf("0.1 %% at %.1f kHz %v\n", f/1e3, err)
	// Output: 0.1 % at 8.9 kHz <nil>
}

// Copper of 1 mm at 100 kHz.
func ExampleResistanceRatio() {
	x, _ := winding.SkinParameter(1e-3, 1.724e-8, 1, 100e3)
	ratio, err := winding.ResistanceRatio(x)
	fmt.Printf("x %.3f, Rac/Rdc %.3f %v\n", x, ratio, err)
	// Output: x 3.384, Rac/Rdc 1.450 <nil>
}

func ExampleTemperatureRise() {
	rise, err := winding.TemperatureRise(0.5, 20e-4, winding.StillAir)
	fmt.Printf("%.0f K %v\n", rise, err)
	// Output: 25 K <nil>
}

func ExampleMaxCurrent() {
	i, err := winding.MaxCurrent(0.5, 10)
	fmt.Printf("%.0f mA %v\n", i*1e3, err)
	// Output: 224 mA <nil>
}
