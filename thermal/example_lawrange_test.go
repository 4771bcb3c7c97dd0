// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

func ExampleLaw_Extremum() {
	law := thermal.NewLaw(25, 4.2e-6, -0.56e-6)
	t, ok := law.Extremum()
	fmt.Printf("peak at %.2f °C, %v\n", t, ok)
	_, ok = thermal.CopperConductor().Extremum()
	fmt.Println("copper:", ok)
	// Output:
	// peak at 28.75 °C, true
	// copper: false
}

// From 15 °C to 35 °C the resistance is highest at neither end: the peak at
// 28.75 °C lies between them, and there it is α²/(4|β|) above the reference.
func ExampleLaw_Extremes() {
	law := thermal.NewLaw(25, 4.2e-6, -0.56e-6)
	span, err := law.Extremes(15, 35)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%+.1f ppm to %+.1f ppm\n", (span.Lower-1)*1e6, (span.Upper-1)*1e6)
	// Output: -98.0 ppm to +7.9 ppm
}

// Whether an element of 15 ppm/K stays within 0.01 % by temperature alone in a
// room of 18 °C to 28 °C.
func ExampleLaw_LargestChange() {
	change, err := thermal.NewLaw(23, 15e-6, 0).LargestChange(18, 28)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f %%, %v\n", change*100, change <= 0.01/100)
	// Output: 0.0075 %, true
}

// A standard near its peak: half a kelvin is parts in ten million.
func ExampleLaw_Change() {
	change, err := thermal.NewLaw(25, 4e-6, -5e-7).Change(29, 29.5)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f ppm\n", change*1e6)
	// Output: -0.1250 ppm
}

// How far a resistor may have moved that was measured in one room and is used in another:
// the law of manganin is flat there, and the thermometers matter little.
func ExampleLaw_ChangeOf() {
	law := thermal.NewLaw(25, 4e-6, -5e-7)
	laboratory := uncertainty.Input("laboratory", uncertainty.Rectangular(23, 0.3))
	workshop := uncertainty.Input("workshop", uncertainty.Rectangular(27, 1))
	b, err := uncertainty.Evaluate(law.ChangeOf(laboratory, workshop))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f ppm, u = %.1f ppm\n", b.Estimate*1e6, b.StandardUncertainty*1e6)
	// Output: 16.0 ppm, u = 1.6 ppm
}

// The coefficients of a spool are known to a tenth.
func ExampleUncertainLaw_ChangeOf() {
	spool := thermal.UncertainLaw{
		Reference: 25,
		Alpha:     uncertainty.Input("alpha", uncertainty.Normal(4e-6, 4e-7)),
		Beta:      uncertainty.Input("beta", uncertainty.Normal(-5e-7, 5e-8)),
	}
	b, err := uncertainty.Evaluate(spool.ChangeOf(uncertainty.Exact(23), uncertainty.Exact(33)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f ppm, u = %.1f ppm\n", b.Estimate*1e6, b.StandardUncertainty*1e6)
	// Output: 10.0 ppm, u = 5.0 ppm
}

// IEC 60228, annex B: aluminium goes by 228 + t, which is α = 0.00403 /K at 20 °C.
func ExampleLawFromZero() {
	law := thermal.LawFromZero(20, -228)
	fmt.Printf("α = %.5f /K\n", law.Alpha())
	q, err := law.Ratio(75)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("R(75 °C)/R(20 °C) = %.4f\n", q) // (228 + 75)/(228 + 20)
	// Output:
	// α = 0.00403 /K
	// R(75 °C)/R(20 °C) = 1.2218
}

// NBS Circular 31, Table II: the inferred zero of copper by its conductivity
// (the printed figures are from memory).
func ExampleLaw_InferredZero() {
	for _, percent := range []float64{95, 97, 98, 100, 101} {
		law, err := thermal.CopperOfConductivity(percent / 100)
		if err != nil {
			log.Fatal(err)
		}
		zero, _ := law.InferredZero()
		fmt.Printf("%3g %%: %.1f °C\n", percent, zero)
	}
	// Output:
	//  95 %: -247.8 °C
	//  97 %: -242.3 °C
	//  98 %: -239.6 °C
	// 100 %: -234.5 °C
	// 101 %: -231.9 °C
}
