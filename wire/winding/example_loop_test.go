// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/winding"
)

// One turn of 1 mm wire, 10 cm across: at low frequency, and when the current has
// left the inside of the wire.
func ExampleLoopInductance() {
	low, err := winding.LoopInductance(0.05, 1e-3, winding.LowFrequency)
	if err != nil {
		log.Fatal(err)
	}
	high, err := winding.LoopInductance(0.05, 1e-3, winding.HighFrequency)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f µH, %.3f µH\n", low*1e6, high*1e6)
	// Output: 0.310 µH, 0.294 µH
}

// The radius of a loop of leads on a bench, 50 ± 2 mm.
func ExampleLoopInductanceOf() {
	radius := uncertainty.Input("radius", uncertainty.Rectangular(0.05, 0.002))
	l := winding.LoopInductanceOf(radius, uncertainty.Exact(1e-3), uncertainty.Exact(winding.LowFrequency))
	b, err := uncertainty.Evaluate(l.Scale(1e9))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f nH, u = %.0f nH\n", b.Estimate, b.StandardUncertainty)
	// Output: 310 nH, u = 9 nH
}

// A thick turn, r = a/10, where the usual formula is 0.2 % low.
func ExampleLoopInductanceRefined() {
	refined, err := winding.LoopInductanceRefined(0.1, 0.02)
	if err != nil {
		log.Fatal(err)
	}
	usual, err := winding.LoopInductance(0.1, 0.02, winding.LowFrequency)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f µH, usual %.4f µH\n", refined*1e6, usual*1e6)
	// Output: 0.3315 µH, usual 0.3308 µH
}

// The same 0.204 m of wire as an open square and as a hairpin with 2 mm between its
// legs.
func ExampleRectangle_Inductance() {
	square, err := winding.Rectangle{A: 0.051, B: 0.051, Diameter: 0.6e-3, Internal: winding.LowFrequency}.Inductance()
	if err != nil {
		log.Fatal(err)
	}
	hairpin, err := winding.Rectangle{A: 0.100, B: 0.002, Diameter: 0.6e-3, Internal: winding.LowFrequency}.Inductance()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f nH, %.1f nH\n", square*1e9, hairpin*1e9)
	// Output: 188 nH, 86.8 nH
}

// The legs of that hairpin are bent by hand, 2.0 ± 0.3 mm apart.
func ExampleRectangleOf_Inductance() {
	gap := uncertainty.Input("gap", uncertainty.Rectangular(2.0e-3, 0.3e-3))
	l := winding.RectangleOf{A: uncertainty.Exact(0.100), B: gap,
		Diameter: uncertainty.Exact(0.6e-3),
		Internal: uncertainty.Exact(winding.LowFrequency)}.Inductance()
	b, err := uncertainty.Evaluate(l.Scale(1e9))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f nH, u = %.1f nH\n", b.Estimate, b.StandardUncertainty)
	// Output: 86.8 nH, u = 3.6 nH
}
