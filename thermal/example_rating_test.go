// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
)

// Half a watt in each step: the largest current falls by √10 from decade to
// decade. Contacts, leads and the case may allow less.
func ExampleRatedCurrent() {
	for _, ohms := range []float64{1, 10, 1000, 10e3} {
		i, err := thermal.RatedCurrent(0.5, ohms)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%5g Ω: %5.1f mA\n", ohms, i*1e3)
	}
	// Output:
	//     1 Ω: 707.1 mA
	//    10 Ω: 223.6 mA
	//  1000 Ω:  22.4 mA
	// 10000 Ω:   7.1 mA
}

// 0.25 W in 1 MΩ is 500 V: a danger to life, and more than the insulation of a
// box may be made for. The rating of the box comes first, and local codes.
func ExampleRatedVoltage() {
	v, err := thermal.RatedVoltage(0.25, 1e6)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f V\n", v)
	// Output: 500 V
}

// Half a watt up to 40 °C, nothing at 120 °C: what is left in rooms that are
// warmer and warmer.
func ExampleDerating() {
	d := thermal.Derating{Rated: 0.5, Full: 40, Zero: 120}
	for _, ambient := range []float64{23, 40, 80, 125} {
		p, err := d.Power(ambient)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%3g °C: %.2f W\n", ambient, p)
	}
	// Output:
	//  23 °C: 0.50 W
	//  40 °C: 0.50 W
	//  80 °C: 0.25 W
	// 125 °C: 0.00 W
}

func ExampleDerating_Power() {
	d := thermal.Derating{Rated: 0.5, Full: 40, Zero: 120}
	p, err := d.Power(60)
	if err != nil {
		log.Fatal(err)
	}
	i, err := thermal.RatedCurrent(p, 100)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f W at 60 °C, %.1f mA in 100 Ω\n", p, i*1e3)
	// Output: 0.375 W at 60 °C, 61.2 mA in 100 Ω
}

// Where no data sheet states the kelvins per watt, the rating implies them.
func ExampleDerating_ThermalResistance() {
	rth, err := thermal.Derating{Rated: 0.5, Full: 40, Zero: 120}.ThermalResistance()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f K/W\n", rth) // 80 K at 0.5 W
	// Output: 160 K/W
}
