// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"fmt"
	"log"
	"math"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// NBS Handbook 100, section 1: annealed copper of 0.00393 1/K, read at 20 °C and 30 °C.
func ExampleResistanceAtTemperature() {
	cold := thermal.ResistanceAtTemperature{Resistance: 10, Temperature: 20}
	warm := thermal.ResistanceAtTemperature{Resistance: 10.393, Temperature: 30}
	alpha, err := thermal.MeanCoefficient(cold, warm)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.5f 1/K\n", alpha)
	// Output: 0.00393 1/K
}

// Two readings in one bath of oil: the thermometer's error is common to both temperatures
// and drops out of their difference.
func ExampleResistanceAtTemperatureOf() {
	thermometer := uncertainty.Input("thermometer", uncertainty.Normal(0, 0.05))
	at := func(ohms, t float64) thermal.ResistanceAtTemperatureOf {
		return thermal.ResistanceAtTemperatureOf{
			Resistance: uncertainty.Exact(ohms), Temperature: thermometer.Add(uncertainty.Exact(t)),
		}
	}
	b, err := uncertainty.Evaluate(thermal.MeanCoefficientOf(at(1000, 20), at(1000.2, 30)).Scale(1e6))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f ppm/K, u = %.0f ppm/K\n", b.Estimate, b.StandardUncertainty)
	// Output: 20 ppm/K, u = 0 ppm/K
}

// At I and √2 I the resistance without power is twice the first reading less the second.
func ExampleResistanceAtCurrent() {
	first := thermal.ResistanceAtCurrent{Resistance: 100.004, Current: 1e-3}
	second := thermal.ResistanceAtCurrent{Resistance: 100.007, Current: math.Sqrt2 * 1e-3}
	r0, err := thermal.ZeroPower(first, second)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω\n", r0)
	// Output: 100.001 Ω
}

// Twice the first reading less the second: a noise of 0.1 mΩ in both is √5 times as large
// in the result.
func ExampleResistanceAtCurrentOf() {
	r := func(name string, ohms float64) uncertainty.Quantity {
		return uncertainty.Input(name, uncertainty.Normal(ohms, 0.1e-3))
	}
	first := thermal.ResistanceAtCurrentOf{Resistance: r("first", 100.004), Current: uncertainty.Exact(1e-3)}
	second := thermal.ResistanceAtCurrentOf{Resistance: r("second", 100.007),
		Current: uncertainty.Exact(math.Sqrt2 * 1e-3)}
	b, err := uncertainty.Evaluate(thermal.ZeroPowerOf(first, second))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω, u = %.2f mΩ\n", b.Estimate, b.StandardUncertainty*1e3)
	// Output: 100.001 Ω, u = 0.22 mΩ
}

// With the current off the meter shows the EMF alone.
func ExampleVoltageAtCurrent() {
	off := thermal.VoltageAtCurrent{Voltage: 3e-6}
	on := thermal.VoltageAtCurrent{Voltage: 10.003e-3, Current: 1e-3}
	r, err := thermal.OffsetCompensated(off, on)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω\n", r)
	// Output: 10.000 Ω
}

// An EMF that both readings share drops out of the budget.
func ExampleVoltageAtCurrentOf() {
	emf := uncertainty.Input("EMF", uncertainty.Normal(3e-6, 1e-6))
	off := thermal.VoltageAtCurrentOf{Voltage: emf, Current: uncertainty.Exact(0)}
	on := thermal.VoltageAtCurrentOf{Voltage: emf.Add(uncertainty.Exact(10e-3)), Current: uncertainty.Exact(1e-3)}
	b, err := uncertainty.Evaluate(thermal.OffsetCompensatedOf(off, on))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω, u = %.3f Ω\n", b.Estimate, b.StandardUncertainty)
	// Output: 10.000 Ω, u = 0.000 Ω
}
