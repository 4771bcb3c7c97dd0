// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/winding"
)

func ExampleSolenoid_Inductance() {
	l, err := winding.Solenoid{Turns: 100, Radius: 0.01, Pitch: 0.5e-3, Diameter: 0.4e-3}.Inductance()
	fmt.Printf("%.3f µH %v\n", l*1e6, err)
	// Output: 66.272 µH <nil>
}

// The radius of a hand-made former is known to 0.1 mm.
func ExampleSolenoidOf_Inductance() {
	radius := uncertainty.Input("radius", uncertainty.Rectangular(0.010, 0.1e-3))
	l := winding.SolenoidOf{Turns: uncertainty.Exact(100), Radius: radius,
		Pitch: uncertainty.Exact(0.5e-3), Diameter: uncertainty.Exact(0.4e-3)}.Inductance()
	b, err := uncertainty.Evaluate(l.Scale(1e6))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f µH, u = %.1f µH\n", b.Estimate, b.StandardUncertainty)
	// Output: 66.3 µH, u = 0.7 µH
}

// The same coil of strip that leaves no gaps: what round wire makes of it is 1.2 %
// less.
func ExampleCurrentSheetInductance() {
	l, err := winding.CurrentSheetInductance(100, 0.01, 100*0.5e-3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f µH\n", l*1e6)
	// Output: 67.10 µH
}

// NBS Circular 74, table of K by diameter over length (the printed figures are from
// memory).
func ExampleNagaokaCoefficient() {
	for _, ratio := range []float64{0.1, 0.6, 1, 2} {
		k, err := winding.NagaokaCoefficient(ratio)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("D/l = %g: %.4f\n", ratio, k)
	}
	// Output:
	// D/l = 0.1: 0.9588
	// D/l = 0.6: 0.7885
	// D/l = 1: 0.6884
	// D/l = 2: 0.5255
}

// NBS Circular 74, table of A (the printed figures are from memory): close-wound
// bare wire, and wire with gaps.
func ExampleWireCorrection() {
	for _, ratio := range []float64{1, 0.7, 0.4} {
		a, err := winding.WireCorrection(ratio)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("d/D = %g: %+.3f\n", ratio, a)
	}
	// Output:
	// d/D = 1: +0.557
	// d/D = 0.7: +0.200
	// d/D = 0.4: -0.359
}

// NBS Circular 74, table of B by turns (the printed figures are from memory).
func ExampleTurnsCorrection() {
	for _, turns := range []float64{1, 4, 10, 30} {
		b, err := winding.TurnsCorrection(turns)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%2g: %.3f\n", turns, b)
	}
	// Output:
	//  1: 0.000
	//  4: 0.197
	// 10: 0.266
	// 30: 0.308
}

// 100 turns of 20 mm across on 50 mm: the formula of 1928 against the current sheet
// with its corrections.
func ExampleWheelerInductance() {
	simple, err := winding.WheelerInductance(100, 0.01, 0.05)
	if err != nil {
		log.Fatal(err)
	}
	better, err := winding.Solenoid{Turns: 100, Radius: 0.01, Pitch: 0.5e-3, Diameter: 0.4e-3}.Inductance()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f µH, %.1f %% above\n", simple*1e6, (simple/better-1)*100)
	// Output: 66.7 µH, 0.7 % above
}
