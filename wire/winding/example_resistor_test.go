// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/winding"
)

// How much of a winding of enamelled wire is metal across: the share of the
// diameter, and of the area in its square.
func ExampleWire() {
	w := winding.Wire{Bare: 0.10e-3, Covered: 0.12e-3}
	share := w.Bare / w.Covered
	fmt.Printf("%.0f %% of the diameter, %.0f %% of the square\n", share*100, share*share*100)
	// Output: 83 % of the diameter, 69 % of the square
}

// From the inductance of one winding, 100 µH, and the coupling of the two.
func ExampleAyrtonPerryInductance() {
	for _, k := range []float64{0.98, 0.99, 0.995} {
		l, err := winding.AyrtonPerryInductance(100e-6, k)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("k = %g: %.2f µH\n", k, l*1e6)
	}
	// Output:
	// k = 0.98: 1.00 µH
	// k = 0.99: 0.50 µH
	// k = 0.995: 0.25 µH
}

// The coupling of a card that nobody measured, 0.98 to 0.995, is all that counts.
func ExampleAyrtonPerryInductanceOf() {
	coupling := uncertainty.Input("coupling", uncertainty.Between(0.98, 0.995))
	l := winding.AyrtonPerryInductanceOf(uncertainty.Exact(1e-3), coupling)
	b, err := uncertainty.Evaluate(l.Scale(1e6))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f µH, u = %.1f µH\n", b.Estimate, b.StandardUncertainty) // 0.0075/√3 × 500 µH
	// Output: 6.25 µH, u = 2.2 µH
}

// Medhurst's rule, Wireless Engineer 24 (1947), from memory: 0.46 pF for each
// centimetre of diameter of a coil that is as long as it is wide.
func ExampleSelfCapacitance() {
	c, err := winding.SelfCapacitance(0.010, 0.010)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f pF\n", c*1e12)
	// Output: 0.46 pF
}

// Proc. IEE 96 (1949) 309, abstract: about 1e-8 s for constantan strip of 2 mil
// folded over mica; 0.12 mm of mica gives that.
func ExampleStripTimeConstant() {
	tau, err := winding.StripTimeConstant(2*25.4e-6, 0.12e-3, 4.9e-7)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0e s\n", tau)
	// Output: 1e-08 s
}
