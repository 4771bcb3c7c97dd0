// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/wire/winding"
)

// IEC 60063, from memory: the six values of E6.
func ExampleSeries() {
	fmt.Print(winding.E6, ":")
	for v := range winding.E6.Values() {
		fmt.Print(" ", v)
	}
	fmt.Println()
	// Output: E6: 1 1.5 2.2 3.3 4.7 6.8
}

// The values of E12 that a drawer of parts from 47 Ω to 100 Ω should have.
func ExampleSeries_Values() {
	for v := range winding.E12.Values() {
		if v >= 4.7 {
			fmt.Println(10*v, "Ω")
		}
	}
	// Output:
	// 47 Ω
	// 56 Ω
	// 68 Ω
	// 82 Ω
}

// A pad of 834.33 kΩ is wanted: what a coarse and a fine series have on either side.
func ExampleSeries_Around() {
	for _, s := range []winding.Series{winding.E24, winding.E96} {
		below, above, err := s.Around(834.33e3)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: %g kΩ, %g kΩ\n", s, below/1e3, above/1e3)
	}
	// Output:
	// E24: 820 kΩ, 910 kΩ
	// E96: 825 kΩ, 845 kΩ
}
