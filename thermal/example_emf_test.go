// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

func ExampleConstantanEMF() {
	// Terminals of a constantan resistor at 24 °C and 25 °C, read with 10 mA.
	warm, err := thermal.ConstantanEMF(25)
	if err != nil {
		log.Fatal(err)
	}
	cold, err := thermal.ConstantanEMF(24)
	if err != nil {
		log.Fatal(err)
	}
	e, err := thermal.EMFError(warm-cold, 0.010)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f µV, %.2f mΩ\n", (warm-cold)*1e6, e*1e3)
	// Output: 40.6 µV, 4.06 mΩ
}

// Two terminals of a constantan resistor, each known to 0.02 K.
func ExampleConstantanEMFOf() {
	left := uncertainty.Input("left", uncertainty.Normal(23.20, 0.02))
	right := uncertainty.Input("right", uncertainty.Normal(23.00, 0.02))
	emf := thermal.ConstantanEMFOf(left).Sub(thermal.ConstantanEMFOf(right))
	b, err := uncertainty.Evaluate(emf.Scale(1e6))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f µV, u = %.1f µV\n", b.Estimate, b.StandardUncertainty) // 40.5 µV/K × √2 × 0.02 K
	// Output: 8.1 µV, u = 1.1 µV
}

// What one kelvin between its ends puts into a constantan resistor, in an icy
// shed, in the laboratory and in an oven.
func ExampleConstantanSeebeck() {
	for _, t := range []float64{0, 23, 100} {
		s, err := thermal.ConstantanSeebeck(t)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%3g °C: %.2f µV/K\n", t, s*1e6)
	}
	// Output:
	//   0 °C: 38.75 µV/K
	//  23 °C: 40.51 µV/K
	// 100 °C: 46.78 µV/K
}

// NIST Monograph 175, type T, read backwards: the millivolts printed for −190 °C,
// 50 °C (from memory) and 200 °C (from memory).
func ExampleConstantanTemperature() {
	for _, mV := range []float64{-5.439, 2.036, 9.288} {
		t, err := thermal.ConstantanTemperature(mV / 1e3)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.3f mV: %.1f °C\n", mV, t)
	}
	// Output:
	// -5.439 mV: -190.0 °C
	// 2.036 mV: 50.0 °C
	// 9.288 mV: 200.0 °C
}

// Brass posts, by a multimeter manual within 3 µV/K of copper, that differ by 0.2 K.
func ExampleEMF() {
	brass := thermal.EMF{Material: "brass", Low: -3e-6, High: 3e-6}
	v, err := brass.Largest(0.2)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("up to %.1f µV\n", v*1e6)
	// Output: up to 0.6 µV
}

// A manganin resistor between copper posts that differ by 0.5 K, read at 1 mA: ±1 µV/K
// as an uncertainty of the resistance.
func ExampleEMF_Coefficient() {
	e := thermal.EMF{Material: "manganin", Low: -1e-6, High: 1e-6}
	pair := e.Coefficient("manganin-copper") // once for the circuit
	emf := pair.Scale(0.5)
	b, err := uncertainty.Evaluate(thermal.EMFErrorOf(emf, uncertainty.Exact(1e-3)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("u = %.2f mΩ\n", b.StandardUncertainty*1e3) // 0.5 µV/√3 over 1 mA
	// Output: u = 0.29 mΩ
}

// Gold-chromium wire, −8 to −7 µV/K against copper, with posts that differ by 2 K: the
// largest magnitude counts, whichever post is the warmer one.
func ExampleEMF_Largest() {
	e := thermal.EMF{Material: "gold-chromium", Low: -8e-6, High: -7e-6}
	v, err := e.Largest(-2)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("up to %.0f µV\n", v*1e6)
	// Output: up to 16 µV
}
