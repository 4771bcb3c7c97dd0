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

func ExampleFindEMF() {
	e, err := thermal.FindEMF("brass")
	if err != nil {
		log.Fatal(err)
	}
	v, err := e.Largest(0.2) // posts that differ by 0.2 K
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("up to %.1f µV\n", v*1e6)
	// Output: up to 0.6 µV
}

// The materials to build a low-EMF circuit of: at most 1 µV/K against copper in
// either direction, by a source that was read.
func ExampleEMFs() {
	const limit = 1e-6
	for e := range thermal.EMFs() {
		if e.Known == "seen" && e.Low >= -limit && e.High <= limit {
			fmt.Printf("%s: %+.1f to %+.1f µV/K\n", e.Material, e.Low*1e6, e.High*1e6)
		}
	}
	// Output:
	// cadmium-tin solder: -0.2 to +0.2 µV/K
	// copper: -0.3 to +0.3 µV/K
	// gold: +0.1 to +0.1 µV/K
	// gold: -0.5 to +0.5 µV/K
	// manganin: -1.0 to +1.0 µV/K
}

// Handbook of Modern Sensors, Table A.11: aluminium is the negative wire of the
// pair, at 3.2 µV/K.
func ExampleEMF() {
	e, err := thermal.FindEMF("aluminium")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s: %.1f µV/K, %s (%s)\n", e.Material, e.Low*1e6, e.Source, e.Known)
	// Output: aluminium: -3.2 µV/K, Handbook of Modern Sensors, Table A.11, p. 567 (seen)
}

// A manganin resistor between copper posts that differ by 0.5 K, read at 1 mA:
// the published ±1 µV/K as an uncertainty of the resistance.
func ExampleEMF_Coefficient() {
	e, err := thermal.FindEMF("manganin")
	if err != nil {
		log.Fatal(err)
	}
	pair := e.Coefficient("manganin-copper") // once for the circuit
	emf := pair.Scale(0.5)
	b, err := uncertainty.Evaluate(thermal.EMFErrorOf(emf, uncertainty.Exact(1e-3)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("u = %.2f mΩ\n", b.StandardUncertainty*1e3) // 0.5 µV/√3 over 1 mA
	// Output: u = 0.29 mΩ
}

// Tin-lead solder or cadmium-tin solder at a joint that is warmer by 2 K.
// Cadmium is poisonous: such solder is for old instruments that have it.
func ExampleEMF_Largest() {
	for _, name := range []string{"tin-lead solder", "cadmium-tin solder"} {
		e, err := thermal.FindEMF(name)
		if err != nil {
			log.Fatal(err)
		}
		v, err := e.Largest(2)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%s: up to %.1f µV\n", name, v*1e6)
	}
	// Output:
	// tin-lead solder: up to 10.0 µV
	// cadmium-tin solder: up to 0.4 µV
}
