// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
)

// The copper links inside a box, 20 mΩ at 20 °C, when the box has warmed to 35 °C.
func ExampleCopperConductor() {
	r, err := thermal.CopperConductor().Correct(0.020, 20, 35)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f mΩ\n", r*1e3)
	// Output: 21.18 mΩ
}

// The usual table of copper correction factors to 25 °C, (234.5 + t)/259.5.
func ExampleCopperConductorByZero() {
	law := thermal.CopperConductorByZero(25)
	for _, t := range []float64{25, 50, 100, 150} {
		q, err := law.Ratio(t)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%3g °C: %.3f\n", t, q)
	}
	// Output:
	//  25 °C: 1.000
	//  50 °C: 1.096
	// 100 °C: 1.289
	// 150 °C: 1.482
}

// Copper that conducts less follows the temperature less: NBS Circular 31, Table II,
// 97 % (the printed figures 0.00381, 0.00374 are from memory).
func ExampleCopperOfConductivity() {
	at20, err := thermal.CopperOfConductivity(0.97)
	if err != nil {
		log.Fatal(err)
	}
	at25, err := at20.Rebase(25)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.5f /K at 20 °C, %.5f /K at 25 °C\n", at20.Alpha(), at25.Alpha())

	_, err = thermal.CopperOfConductivity(0.28) // brass follows no such rule
	fmt.Println(errors.Is(err, thermal.ErrDomain))
	// Output:
	// 0.00381 /K at 20 °C, 0.00374 /K at 25 °C
	// true
}
