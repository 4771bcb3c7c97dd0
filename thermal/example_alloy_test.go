// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

func ExampleFindAlloy() {
	a, err := thermal.FindAlloy("manganin")
	if err != nil {
		log.Fatal(err)
	}
	low, high, _ := a.Law.Limits()
	fmt.Printf("%s: %g ± %g ppm/K at %g °C, for %g to %g °C\n",
		a.Name, a.Law.Alpha()*1e6, a.AlphaTolerance*1e6, a.Law.Reference(), low, high)

	_, err = thermal.FindAlloy("manganine")
	fmt.Println(errors.Is(err, thermal.ErrUnknown), err)
	// Output:
	// manganin: 0 ± 15 ppm/K at 25 °C, for 0 to 100 °C
	// true thermal.FindAlloy: name: "manganine"; expected a name of the table; did you mean "manganin"?
}

// What the table holds of a metal, and where it has it from.
func ExampleAlloy() {
	a, err := thermal.FindAlloy("Nichrome")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s (%s)\n", a.Name, a.Composition)
	fmt.Printf("%.0f ± %.0f ppm/K, bare to %g °C\n", a.Law.Alpha()*1e6, a.AlphaTolerance*1e6, a.MaxTemperature)
	fmt.Println(a.Source)
	// Output:
	// nickel-chromium 80/20 (Ni 80 Cr 20)
	// 75 ± 55 ppm/K, bare to 1200 °C
	// GB/T 1234, resistance factors to 300 °C; Lessons in Electric Circuits vol. 1 chapter 12 (upper end of the range)
}

// The alloys published as 0 at 25 °C, and how far from it a spool may be: the
// candidates for a resistance that keeps still.
func ExampleAlloys() {
	for a := range thermal.Alloys() {
		slope, err := a.Law.Slope(25)
		if err != nil {
			log.Fatal(err)
		}
		if slope == 0 && a.AlphaTolerance > 0 {
			fmt.Printf("%s: ±%.0f ppm/K\n", a.Name, a.AlphaTolerance*1e6)
		}
	}
	// Output:
	// manganin: ±15 ppm/K
	// constantan, stabilised: ±20 ppm/K
	// copper-manganese-tin: ±10 ppm/K
	// nickel-chromium-aluminium-copper: ±20 ppm/K
}

func ExampleAlloy_UncertainLaw() {
	a, err := thermal.FindAlloy("manganin")
	if err != nil {
		log.Fatal(err)
	}
	spool := a.UncertainLaw("spool 3") // once for a spool
	room := uncertainty.Input("room", uncertainty.Rectangular(23, 2))
	b, err := uncertainty.Evaluate(spool.RatioOf(room))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f ppm, u = %.0f ppm\n", (b.Estimate-1)*1e6, b.StandardUncertainty*1e6)
	// Output: -2 ppm, u = 17 ppm
}

func ExamplePublishedCoefficients() {
	for p := range thermal.PublishedCoefficients("nickel silver") {
		fmt.Printf("%s at %s °C: %s\n", p.Alpha, p.AlphaAt, p.Source)
	}
	// Output:
	// 0.000273 at 15 °C: Encyclopaedia Britannica, 11th ed., vol. 6 (1910), Conduction, Electric
	// 0.00029 at 20 °C: Cyclopedia of Telephony and Telegraphy vol. 1 (1911-12)
}

// How far sources differ about the bend of manganin, digit for digit as printed,
// and how well each is known here.
func ExamplePublishedCoefficient() {
	for p := range thermal.PublishedCoefficients("manganin") {
		if p.Beta != "" {
			fmt.Printf("%s 1/K² at %s °C (%s)\n", p.Beta, p.BetaAt, p.Known)
		}
	}
	// Output:
	// -2.5e-7 1/K² at 25 °C (seen)
	// -5e-7 1/K² at 25 °C (memory)
	// -0.6e-6 to -0.4e-6 1/K² at 25 °C (memory)
}
