// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/wire"
)

// Wire for 10 Ω and half a watt: at most 2 m of it, loaded with 1 kW/m² at most.
func ExampleChoose() {
	m, _ := material.Find("manganin")
	choices, err := wire.Choose(m, 10, 20, wire.American, wire.Limits{MaxLength: 2, Power: 0.5, MaxLoading: 1000})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range choices {
		fmt.Printf("%v: %.3f m, %.0f W/m²\n", c.Gauge, c.Length, c.Loading)
	}
	// Output:
	// 28 AWG: 1.883 m, 263 W/m²
	// 29 AWG: 1.493 m, 373 W/m²
	// 30 AWG: 1.184 m, 528 W/m²
	// 31 AWG: 0.939 m, 747 W/m²
}

// 10 kΩ of manganin on no more than 5 m of wire that can still be handled: there
// is none, and the error says what stood in the way.
func ExampleLimits() {
	manganin, err := material.Find("manganin")
	if err != nil {
		log.Fatal(err)
	}
	limits := wire.Limits{MaxLength: 5, MinDiameter: 0.05e-3}
	_, err = wire.Choose(manganin, 10e3, 20, wire.MetricSizes, limits)
	fmt.Println(err)
	// Output: wire.Choose: resistance: 10000; expected limits that a size keeps; of 49 sizes 49 longer than MaxLength, 8 thinner than MinDiameter
}

// 10 kΩ for a quarter of a watt: of the sizes that fit, the first is the thickest
// and coolest, the last the shortest.
func ExampleChoice() {
	m, _ := material.Find("nickel-chromium 80/20")
	limits := wire.Limits{MaxLength: 30, MinDiameter: 0.05e-3, Power: 0.25}
	choices, err := wire.Choose(m, 10e3, 20, wire.MetricSizes, limits)
	if err != nil {
		log.Fatal(err)
	}
	for _, c := range []wire.Choice{choices[0], choices[len(choices)-1]} {
		fmt.Printf("%v: %.1f m, %.0f W/m², %.1f A/mm²\n", c.Gauge, c.Length, c.Loading, c.CurrentDensity*1e-6)
	}
	// Output:
	// 0.063 mm: 28.6 m, 44 W/m², 1.6 A/mm²
	// 0.05 mm: 18.0 m, 88 W/m², 2.5 A/mm²
}
