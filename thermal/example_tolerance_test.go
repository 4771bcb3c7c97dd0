// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// The classes of IEC 60751 by name, with their tolerance at 0 °C.
func ExampleToleranceClass() {
	for _, class := range []thermal.ToleranceClass{thermal.ClassAA, thermal.ClassA, thermal.ClassB, thermal.ClassC} {
		k, err := class.Tolerance(0)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("class %v: ±%g K\n", class, k)
	}
	// Output:
	// class AA: ±0.1 K
	// class A: ±0.15 K
	// class B: ±0.3 K
	// class C: ±0.6 K
}

func ExampleToleranceClass_Tolerance() {
	for _, class := range []thermal.ToleranceClass{thermal.ClassAA, thermal.ClassA, thermal.ClassB} {
		k, err := class.Tolerance(100)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: ±%.2f K at 100 °C\n", class, k)
	}
	// Output:
	// AA: ±0.27 K at 100 °C
	// A: ±0.35 K at 100 °C
	// B: ±0.80 K at 100 °C
}

// IEC 751 amendment 2, tolerance table: class A of the sensor of 100 Ω in ohms.
func ExampleToleranceClass_ToleranceResistance() {
	for _, t := range []float64{0, 100, 300, 600} {
		ohms, err := thermal.ClassA.ToleranceResistance(thermal.Platinum(100), t)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%3g °C: ±%.2f Ω\n", t, ohms)
	}
	// Output:
	//   0 °C: ±0.06 Ω
	// 100 °C: ±0.13 Ω
	// 300 °C: ±0.27 Ω
	// 600 °C: ±0.43 Ω
}

// A film resistor keeps to its class in a smaller range than a wound one
// (IEC 60751:2022, figures from memory).
func ExampleToleranceClass_Range() {
	span, err := thermal.ClassA.Range(thermal.FilmResistor)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%g to %g °C\n", span.Lower, span.Upper)
	fmt.Println(span.Contains(400))
	// Output:
	// -30 to 300 °C
	// false
}

// IEC 60751:2022, from memory: where a class B resistor or thermometer keeps to
// its class depends on how it is made.
func ExampleConstruction() {
	for _, how := range []thermal.Construction{thermal.WireWoundThermometer, thermal.FilmThermometer} {
		span, err := thermal.ClassB.Range(how)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: %g to %g °C\n", how, span.Lower, span.Upper)
	}
	// Output:
	// wire-wound thermometer: -196 to 600 °C
	// film thermometer: -50 to 500 °C
}

// Two sources of one temperature: the reading of the resistance and the sensor's
// own departure from the curve.
func ExampleToleranceClass_Departure() {
	reading := uncertainty.Input("reading", uncertainty.Normal(138.51, 0.01))
	departure := thermal.ClassA.Departure("sensor 12", 100)
	t := thermal.Platinum(100).ValueOf(reading).Add(departure)
	b, err := uncertainty.Evaluate(t)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f °C, u = %.2f K\n", b.Estimate, b.StandardUncertainty) // 0.35 K/√3 and 0.026 K
	// Output: 100.01 °C, u = 0.20 K
}
