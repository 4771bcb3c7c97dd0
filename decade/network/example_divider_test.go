// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package network_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/decade/network"
)

// The resistors that a divider of three stages takes.
func ExampleNewDivider() {
	d, err := network.NewDivider(3, 1000)
	if err != nil {
		log.Fatal(err)
	}
	for _, stage := range d.Stages {
		fmt.Println(len(stage), "of", stage[0], "Ω")
	}
	// Output:
	// 11 of 1000 Ω
	// 11 of 200 Ω
	// 10 of 40 Ω
}

// The source sees ten of the first stage, whatever is dialled.
func ExampleDivider_InputResistance() {
	d, err := network.NewDivider(3, 1000)
	if err != nil {
		log.Fatal(err)
	}
	low, _ := d.InputResistance(0, 0, 1)
	high, _ := d.InputResistance(9, 9, 9)
	fmt.Printf("%.1f kΩ, %.1f kΩ\n", low/1e3, high/1e3)
	// Output:
	// 10.0 kΩ, 10.0 kΩ
}

// The lowest resistor of the first stage is 100 ppm high. The tap above it is off most: it
// gains a tenth of that, less what the whole has gained, 0.1·(1 − 0.1)·100 ppm.
func ExampleDivider_Linearity() {
	d, err := network.NewDivider(2, 1000)
	if err != nil {
		log.Fatal(err)
	}
	d.Stages[0][0] *= 1 + 100e-6
	deviation, positions, err := d.Linearity()
	fmt.Printf("%+.1f ppm of the input at %v %v\n", 1e6*deviation, positions, err)
	// Output:
	// +9.0 ppm of the input at [1 0] <nil>
}

// A load equal to the output resistance halves the voltage.
func ExampleDivider_Loaded() {
	d, err := network.NewDivider(1, 1000)
	if err != nil {
		log.Fatal(err)
	}
	open, _ := d.Ratio(5)
	loaded, err := d.Loaded(2500, 5)
	fmt.Printf("%.2f without load, %.2f with 2.5 kΩ, %v\n", open, loaded, err)
	// Output:
	// 0.50 without load, 0.25 with 2.5 kΩ, <nil>
}

// What the dials show; the last of them goes to 10.
func ExampleDivider_Nominal() {
	d, err := network.NewDivider(4, 10e3)
	if err != nil {
		log.Fatal(err)
	}
	for _, positions := range [][]int{{1, 2, 5, 0}, {9, 9, 9, 10}} {
		n, err := d.Nominal(positions...)
		fmt.Printf("%v: %.4f %v\n", positions, n, err)
	}
	// Output:
	// [1 2 5 0]: 0.1250 <nil>
	// [9 9 9 10]: 1.0000 <nil>
}

// One stage of ten times 1 kΩ at its middle: 5 kΩ to either end of the input.
func ExampleDivider_OutputResistance() {
	d, err := network.NewDivider(1, 1000)
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range []int{0, 1, 5} {
		r, err := d.OutputResistance(p)
		fmt.Printf("%d: %.0f Ω %v\n", p, r, err)
	}
	// Output:
	// 0: 0 Ω <nil>
	// 1: 900 Ω <nil>
	// 5: 2500 Ω <nil>
}

// 10 mΩ in every contact: the current of a stage lifts the output by what it drops there,
// 50 µA/V of the second stage and 25 µA/V of the third.
func ExampleDivider_Ratio() {
	d, err := network.NewDivider(3, 1000)
	if err != nil {
		log.Fatal(err)
	}
	d.Contact = 0.01
	ratio, err := d.Ratio(1, 0, 0)
	fmt.Printf("0.1 %+.1f ppm of the input, %v\n", 1e6*(ratio-0.1), err)
	// Output:
	// 0.1 +0.7 ppm of the input, <nil>
}
