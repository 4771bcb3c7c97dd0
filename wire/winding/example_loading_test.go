// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/winding"
)

// Half a watt on 20 cm² in still air, for planning only: measure the rise.
func ExampleTemperatureRise() {
	rise, err := winding.TemperatureRise(0.5, 20e-4, winding.StillAir)
	fmt.Printf("%.0f K %v\n", rise, err)
	// Output: 25 K <nil>
}

// The coefficient of heat transfer is good to a third.
func ExampleTemperatureRiseOf() {
	transfer := uncertainty.Input("heat transfer", uncertainty.Rectangular(winding.StillAir, 3))
	rise := winding.TemperatureRiseOf(uncertainty.Exact(0.5), uncertainty.Exact(20e-4), transfer)
	b, err := uncertainty.Evaluate(rise)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f K, u = %.0f K\n", b.Estimate, b.StandardUncertainty) // 25 K × 0.3/√3
	// Output: 25 K, u = 4 K
}

// What the same 20 cm² shed at a rise of 10 K: an estimate, no rating.
func ExamplePowerForRise() {
	p, err := winding.PowerForRise(10, 20e-4, winding.StillAir)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f W\n", p)
	// Output: 0.2 W
}

// The figure by which windings of different size are compared.
func ExampleLoading() {
	loading, err := winding.Loading(0.5, 20e-4)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f W/m²\n", loading)
	// Output: 250 W/m²
}

// A step of 10 Ω whose maker allows half a watt where it is mounted.
func ExampleMaxCurrent() {
	i, err := winding.MaxCurrent(0.5, 10)
	fmt.Printf("%.0f mA %v\n", i*1e3, err)
	// Output: 224 mA <nil>
}

// The allowed power itself is an estimate, 0.5 ± 0.05 W: the current is known to
// half of its fraction.
func ExampleMaxCurrentOf() {
	power := uncertainty.Input("power", uncertainty.Rectangular(0.5, 0.05))
	b, err := uncertainty.Evaluate(winding.MaxCurrentOf(power, uncertainty.Exact(10)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f mA, u = %.1f mA\n", b.Estimate*1e3, b.StandardUncertainty*1e3)
	// Output: 224 mA, u = 6.5 mA
}
