// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/wire/winding"
)

// The same 1.9 m of wire on three rods.
func ExampleFormer() {
	for _, mm := range []float64{8, 10, 12} {
		lay, err := winding.Cylinder(mm/1e3, 0.030).Wind(1.9, 0.36e-3, 0)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%2g mm: %.1f turns of %g\n", mm, lay.Turns, lay.PerLayer)
	}
	// Output:
	//  8 mm: 72.3 turns of 83
	// 10 mm: 58.4 turns of 83
	// 12 mm: 48.9 turns of 83
}

func ExampleCylinder() {
	rod := winding.Cylinder(0.010, 0.030)
	fmt.Printf("%.2f mm round, %g mm long\n", rod.Perimeter()*1e3, rod.Length*1e3)
	// Output: 31.42 mm round, 30 mm long
}

// 5 m of wire on a card 30 mm broad and 1 mm thick, every 0.5 mm.
func ExampleCard() {
	lay, err := winding.Card(0.030, 0.001, 0.050).Wind(5, 0.25e-3, 0.5e-3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f turns, %.1f mm wide\n", lay.Turns, lay.Width*1e3) // of 62.8 mm each
	// Output: 79.6 turns, 39.8 mm wide
}

// Too long for one layer: 83 turns are full, and three layers are begun.
func ExampleLay() {
	lay, err := winding.Cylinder(0.010, 0.030).Wind(6, 0.36e-3, 0)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f turns in %d layers of %g, %.2f mm high\n", lay.Turns, lay.Layers, lay.PerLayer, lay.Build*1e3)
	// Output: 177.0 turns in 3 layers of 83, 1.08 mm high
}

// 1.9 m of 0.32 mm wire, 0.36 mm over its enamel, on a 10 mm rod.
func ExampleFormer_Wind() {
	lay, err := winding.Cylinder(0.010, 0.030).Wind(1.9, 0.36e-3, 0)
	fmt.Printf("%.1f turns, %d layer, %.1f mm wide %v\n", lay.Turns, lay.Layers, lay.Width*1e3, err)
	// Output: 58.4 turns, 1 layer, 21.0 mm wide <nil>
}

// What to cut for 100 turns on 20 mm, ends not counted.
func ExampleFormer_WireLength() {
	lay, err := winding.Cylinder(0.020, 0.060).WireLength(100, 0.5e-3, 0)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f m\n", lay.WireLength)
	// Output: 6.44 m
}

// The surface that carries the heat away, and what it carries at 10 K.
func ExampleFormer_Surface() {
	rod := winding.Cylinder(0.010, 0.030)
	lay, err := rod.Wind(1.9, 0.36e-3, 0)
	if err != nil {
		log.Fatal(err)
	}
	area, err := rod.Surface(lay)
	if err != nil {
		log.Fatal(err)
	}
	power, err := winding.PowerForRise(10, area, winding.StillAir)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f cm², about %.0f mW\n", area*1e4, power*1e3)
	// Output: 7.1 cm², about 71 mW
}

func ExampleFormer_Perimeter() {
	fmt.Printf("%.1f mm\n", winding.Card(0.030, 0.001, 0.050).Perimeter()*1e3)
	// Output: 62.0 mm
}
