// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/winding"
)

// Copper of 5.8e7 S/m: 8.53 mm at 60 Hz in textbooks (from memory), 66 µm at 1 MHz.
func ExampleSkinEffect_Depth() {
	for _, f := range []float64{60, 1e6} {
		d, err := winding.SkinEffect{Resistivity: 1 / 5.8e7, Permeability: 1, Frequency: f}.Depth()
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%g Hz: %.3g m\n", f, d)
	}
	// Output:
	// 60 Hz: 0.00853 m
	// 1e+06 Hz: 6.61e-05 m
}

// Manganin of 0.5 mm at 1 MHz: x near 1, where tables of Rac/Rdc begin to move.
func ExampleSkinEffect_Parameter() {
	x, err := winding.SkinEffect{Resistivity: 0.43e-6, Permeability: 1, Frequency: 1e6}.Parameter(0.5e-3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("x = %.3f\n", x)
	// Output: x = 1.071
}

// Copper of 1.00 ± 0.01 mm at 100 kHz.
func ExampleSkinEffectOf_Parameter() {
	diameter := uncertainty.Input("diameter", uncertainty.Rectangular(1e-3, 0.01e-3))
	x := winding.SkinEffectOf{Resistivity: uncertainty.Exact(1.724e-8),
		Permeability: uncertainty.Exact(1), Frequency: uncertainty.Exact(100e3)}.Parameter(diameter)
	b, err := uncertainty.Evaluate(x)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("x = %.2f, u = %.2f\n", b.Estimate, b.StandardUncertainty) // 0.01 mm/√3 of 1 mm
	// Output: x = 3.38, u = 0.02
}

// Copper of 1 mm at 100 kHz.
func ExampleResistanceRatio() {
	x, _ := winding.SkinEffect{Resistivity: 1.724e-8, Permeability: 1, Frequency: 100e3}.Parameter(1e-3)
	ratio, err := winding.ResistanceRatio(x)
	fmt.Printf("x %.3f, Rac/Rdc %.3f %v\n", x, ratio, err)
	// Output: x 3.384, Rac/Rdc 1.450 <nil>
}

// About x = 3.4 the ratio rises by 0.36 for each unit of x.
func ExampleResistanceRatioOf() {
	x := uncertainty.Input("x", uncertainty.Normal(3.384, 0.02))
	b, err := uncertainty.Evaluate(winding.ResistanceRatioOf(x))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f, u = %.3f\n", b.Estimate, b.StandardUncertainty)
	// Output: 1.450, u = 0.007
}

// What skin effect adds to a manganin wire of 0.2 mm at 100 kHz: x⁴/192, far below
// what Rac/Rdc could show.
func ExampleResistanceIncrease() {
	x, err := winding.SkinEffect{Resistivity: 0.43e-6, Permeability: 1, Frequency: 100e3}.Parameter(0.2e-3)
	if err != nil {
		log.Fatal(err)
	}
	increase, err := winding.ResistanceIncrease(x)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f ppm\n", increase*1e6)
	// Output: 1.76 ppm
}

// Grover, Inductance Calculations (1946), Table 52: T for x of 2, 5 and 20.
func ExampleInternalInductanceRatio() {
	for _, x := range []float64{2, 5, 20} {
		t, err := winding.InternalInductanceRatio(x)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%2g: %.4f\n", x, t)
	}
	// Output:
	//  2: 0.9611
	//  5: 0.5560
	// 20: 0.1413
}

// Lecture notes on communication lines, table 3.1: G for x of 2, 5 and 10. A return
// wire ten diameters away then adds a hundredth of that.
func ExampleProximityFactor() {
	for _, x := range []float64{2, 5, 10} {
		g, err := winding.ProximityFactor(x)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%2g: %.3f, ten diameters away %+.2f %%\n", x, g, g/(10*10)*100)
	}
	// Output:
	//  2: 0.172, ten diameters away +0.17 %
	//  5: 0.755, ten diameters away +0.75 %
	// 10: 1.641, ten diameters away +1.64 %
}

// The thickest manganin wire that skin effect raises by 1 % at 1 MHz, for a
// resistivity of 44 µΩ·cm.
func ExampleSkinEffect_DiameterForIncrease() {
	d, err := winding.SkinEffect{Resistivity: 44e-8, Permeability: 1, Frequency: 1e6}.DiameterForIncrease(0.01)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f mm\n", d*1e3)
	// Output: 0.557 mm
}
