// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// The law of a manganin resistor, as it is stated on a certificate: what it makes
// of the resistance at a few temperatures of a laboratory.
func ExampleLaw() {
	law := thermal.NewLaw(25, 4.2e-6, -0.56e-6)
	fmt.Println("R/R(25 °C) =", law)
	for _, t := range []float64{20, 25, 30} {
		q, err := law.Ratio(t)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%g °C: %+.0f ppm\n", t, (q-1)*1e6)
	}
	// Output:
	// R/R(25 °C) = 1 +4.2e-06 (t−25) −5.6e-07 (t−25)²
	// 20 °C: -35 ppm
	// 25 °C: +0 ppm
	// 30 °C: +7 ppm
}

// A reference temperature, α in 1/K and β in 1/K², in the form of J. Res. NBS 36
// (1946) 107; the figures of this standard of 1 Ω are invented.
func ExampleNewLaw() {
	law := thermal.NewLaw(25, 1.5e-6, -0.50e-6)
	r, err := law.Correct(1.0000123, 25, 20)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.7f Ω at 20 °C\n", r)
	// Output: 0.9999923 Ω at 20 °C
}

func ExampleLaw_Correct() {
	law := thermal.NewLaw(23, 8e-6, -0.5e-6)
	r, err := law.Correct(1000.012, 23, 26.5)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f Ω\n", r)
	// Output: 1000.0339 Ω
}

// A bath known to ±0.05 K is warmer than the certificate's 23 °C.
func ExampleLaw_CorrectOf() {
	law := thermal.NewLaw(23, 8e-6, -0.5e-6)
	r23 := uncertainty.Input("R23", uncertainty.Certificate(1000.0120, 0.0004, 2))
	bath := uncertainty.Input("bath", uncertainty.Rectangular(26.5, 0.05))
	b, err := uncertainty.Evaluate(law.CorrectOf(r23, uncertainty.Exact(23), bath))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f Ω, u = %.4f Ω\n", b.Estimate, b.StandardUncertainty)
	// Output: 1000.0339 Ω, u = 0.0002 Ω
}

// A box with manganin in it, forgotten in the sun at 45 °C.
func ExampleLaw_Ratio() {
	law := thermal.NewLaw(25, 0, -0.5e-6)
	q, err := law.Ratio(45)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f Ω of 10 kΩ\n", 10e3*q)
	// Output: 9998.00 Ω of 10 kΩ
}

// What a room known to ±2 K leaves open, with the law itself exact.
func ExampleLaw_RatioOf() {
	law := thermal.NewLaw(23, 8e-6, 0)
	room := uncertainty.Input("room", uncertainty.Rectangular(23, 2))
	b, err := uncertainty.Evaluate(law.RatioOf(room))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f ppm\n", b.StandardUncertainty*1e6) // 8 ppm/K × 2 K/√3
	// Output: 9.2 ppm
}

// How carefully a bath must be held: the coefficient is another one at each
// temperature, and little near the peak of the parabola at 28.75 °C.
func ExampleLaw_Slope() {
	law := thermal.NewLaw(25, 4.2e-6, -0.56e-6)
	for _, t := range []float64{18, 25, 28} {
		slope, err := law.Slope(t)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.2f ppm/K at %g °C\n", slope*1e6, t)
	}
	// Output:
	// 12.04 ppm/K at 18 °C
	// 4.20 ppm/K at 25 °C
	// 0.84 ppm/K at 28 °C
}

func ExampleLaw_Rebase() {
	// The coefficient 0.00428 at 0 °C of old copper tables, told from 20 °C.
	law, err := thermal.NewLaw(0, 0.00428, 0).Rebase(20)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.6f /K at %g °C\n", law.Alpha(), law.Reference())
	// Output: 0.003943 /K at 20 °C
}

// NBS Circular 31, Table II, 100 % conductivity (the printed figures are from
// memory): one wire, a coefficient for every reference temperature.
func ExampleLaw_Alpha() {
	for _, t := range []float64{0, 15, 20, 25, 30, 50} {
		law, err := thermal.CopperConductor().Rebase(t)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%2g °C: %.5f /K\n", t, law.Alpha())
	}
	// Output:
	//  0 °C: 0.00427 /K
	// 15 °C: 0.00401 /K
	// 20 °C: 0.00393 /K
	// 25 °C: 0.00385 /K
	// 30 °C: 0.00378 /K
	// 50 °C: 0.00352 /K
}

// Moving the reference changes α but hardly β: the bend is the same everywhere.
func ExampleLaw_Beta() {
	law, err := thermal.NewLaw(25, 4.2e-6, -0.56e-6).Rebase(20)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("α = %.2f ppm/K, β = %.2f ppm/K²\n", law.Alpha()*1e6, law.Beta()*1e6)
	// Output: α = 9.80 ppm/K, β = -0.56 ppm/K²
}

// Two laws can be compared only about the same reference.
func ExampleLaw_Reference() {
	fmt.Println(thermal.NewLaw(25, 4.2e-6, -0.56e-6).Reference(), "°C for a standard resistor")
	fmt.Println(thermal.CopperConductor().Reference(), "°C for copper")
	// Output:
	// 25 °C for a standard resistor
	// 20 °C for copper
}

// A field of type Law that nobody set means no dependence on temperature. A law
// with coefficients of 0 means the same but was stated.
func ExampleLaw_IsZero() {
	var unset thermal.Law
	fmt.Println(unset.IsZero(), thermal.NewLaw(20, 0, 0).IsZero())
	q, err := unset.Ratio(85)
	fmt.Println(q, err)
	// Output:
	// true false
	// 1 <nil>
}

// A parabola taken between 15 °C and 35 °C is not a statement about an oven.
func ExampleLaw_Within() {
	law := thermal.NewLaw(25, 4.2e-6, -0.56e-6).Within(15, 35)
	_, err := law.Ratio(80)
	fmt.Println(errors.Is(err, thermal.ErrDomain))
	fmt.Println(err)
	// Output:
	// true
	// thermal.Law.Ratio: temperature: 80; expected 15 to 35 °C, where the law holds
}

func ExampleLaw_Limits() {
	silver := thermal.NewLaw(20, 0.003819, 0).Within(0, 100) // a mean between 0 and 100 °C
	low, high, ok := silver.Limits()
	fmt.Printf("silver: %g to %g °C, %v\n", low, high, ok)
	_, _, ok = thermal.NewLaw(20, 0.0038, 0).Limits()
	fmt.Println("your own:", ok)
	// Output:
	// silver: 0 to 100 °C, true
	// your own: false
}

// A law in a file of parts.
func ExampleLaw_MarshalJSON() {
	law := thermal.NewLaw(25, 4.2e-6, -0.56e-6).Within(15, 35)
	text, err := json.Marshal(law)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(string(text))
	// Output: {"reference":25,"alpha":0.0000042,"beta":-5.6e-7,"low":15,"high":35}
}

// A law from a file. A coefficient without its reference temperature is refused.
func ExampleLaw_UnmarshalJSON() {
	var part struct {
		Ohms float64     `json:"ohms"`
		Law  thermal.Law `json:"law"`
	}
	text := `{"ohms": 9999.97, "law": {"reference": 23, "alpha": 8e-6}}`
	if err := json.Unmarshal([]byte(text), &part); err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%g Ω × (%v)\n", part.Ohms, part.Law)
	fmt.Println(json.Unmarshal([]byte(`{"alpha": 8e-6}`), &part.Law) != nil) // at which temperature?
	// Output:
	// 9999.97 Ω × (1 +8e-06 (t−23))
	// true
}

func ExampleLaw_Temperature() {
	// The mean temperature of a copper winding from its resistance, cold and warm.
	cold, warm := 50.0, 58.0
	t, err := thermal.CopperConductorByZero(20).Temperature(warm / cold)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f °C\n", t)
	// Output: 60.7 °C
}
