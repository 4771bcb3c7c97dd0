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

// 10 Ω from 1.88 m of wire, 0.32 mm bare: wound as a coil, and folded.
func ExampleFormer_Bifilar() {
	w := winding.Wire{Bare: 0.32e-3, Covered: 0.36e-3}
	_, coil, _ := winding.SingleLayer(0.010, 0.040, 10, 1.88, w)
	lay, line, err := winding.Cylinder(0.010, 0.040).Bifilar(10, 1.88, w, 3)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f turns of the pair; %.2f µH in place of %.1f µH, but %.0f pF in place of %.1f pF\n",
		lay.Turns, line.L*1e6, coil.L*1e6, line.C*1e12, coil.C*1e12)
	// Output: 28.9 turns of the pair; 0.40 µH in place of 13.6 µH, but 158 pF in place of 0.5 pF
}

// 1 kΩ of 0.1 mm manganin in a single layer: a coil, with the inductance of one.
func ExampleSingleLayer() {
	w := winding.Wire{Bare: 0.10e-3, Covered: 0.12e-3}
	lay, coil, err := winding.SingleLayer(0.020, 0.040, 1000, 18.27, w)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f turns, %.1f mm wide: %.0f µH, %.2f pF\n", lay.Turns, lay.Width*1e3, coil.L*1e6, coil.C*1e12)
	// Output: 289 turns, 34.7 mm wide: 762 µH, 0.97 pF
}

// 500 Ω of two such wires, 1 kΩ each, crossing on one rod: the coupling of 0.99
// leaves half a per cent of the inductance of one.
func ExampleAyrtonPerry() {
	w := winding.Wire{Bare: 0.10e-3, Covered: 0.12e-3}
	lay, r, err := winding.AyrtonPerry(0.020, 0.080, 500, 18.27, 0.25e-3, 0.99, w)
	if err != nil {
		log.Fatal(err)
	}
	tau, err := r.TimeConstant()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f turns of each, %.1f µH, τ = %.1f ns\n", lay.Turns, r.L*1e6, tau*1e9)
	// Output: 289 turns of each, 2.1 µH, τ = 4.1 ns
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
