// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

func ExampleFitLaw() {
	t := []float64{18, 20.5, 23, 25.5, 28}
	r := []float64{9999.991, 10000.000, 10000.004, 10000.008, 10000.012}
	fit, err := thermal.FitLaw("box 4, 10 kΩ", 23, 2, t, r)
	if err != nil {
		log.Fatal(err)
	}
	b, err := uncertainty.Evaluate(fit.Law.Alpha.Scale(1e6))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("alpha = %.2f ppm/K, u = %.2f ppm/K, %.0f degrees of freedom\n", b.Estimate,
		b.StandardUncertainty, b.DOF)
	// Output: alpha = 0.20 ppm/K, u = 0.02 ppm/K, 2 degrees of freedom
}

// One meter reads an element at three temperatures. Its gain, 50 ppm, is in the
// resistance that the fit finds and not in the coefficient.
func ExampleFitLawOf() {
	gain := uncertainty.Input("gain", uncertainty.Normal(1, 50e-6))
	var t, r []uncertainty.Quantity
	for _, at := range []struct{ celsius, ohms float64 }{{18, 999.9475}, {23, 1000.0000}, {28, 1000.0275}} {
		noise := uncertainty.Input(fmt.Sprintf("noise at %g °C", at.celsius), uncertainty.Normal(at.ohms, 0.001))
		t = append(t, uncertainty.Exact(at.celsius))
		r = append(r, gain.Mul(noise))
	}
	fit, err := thermal.FitLawOf(23, 2, t, r)
	if err != nil {
		log.Fatal(err)
	}
	m, err := uncertainty.EvaluateAll(fit.Resistance, fit.Law.Alpha.Scale(1e6))
	if err != nil {
		log.Fatal(err)
	}
	ohms, alpha := m.Budgets[0], m.Budgets[1]
	fmt.Printf("%.3f Ω, u = %.3f Ω\n", ohms.Estimate, ohms.StandardUncertainty)
	fmt.Printf("%.2f ppm/K, u = %.2f ppm/K\n", alpha.Estimate, alpha.StandardUncertainty)
	// Output:
	// 1000.000 Ω, u = 0.050 Ω
	// 8.00 ppm/K, u = 0.14 ppm/K
}

// What a fit is for: the resistance at the temperature of today. Resistance and
// coefficients are correlated, and the result knows it.
func ExampleLawFit() {
	t := []float64{18, 20.5, 23, 25.5, 28}
	r := []float64{999.980, 999.991, 1000.000, 1000.009, 1000.020}
	fit, err := thermal.FitLaw("element 7", 23, 1, t, r)
	if err != nil {
		log.Fatal(err)
	}
	today := uncertainty.Exact(21)
	b, err := uncertainty.Evaluate(fit.Law.Correct(fit.Resistance, uncertainty.Exact(23), today))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("scatter %.1f mΩ, %d degrees of freedom\n", fit.StdDev*1e3, fit.DOF)
	fmt.Printf("%.4f Ω at 21 °C, u = %.1f mΩ\n", b.Estimate, b.StandardUncertainty*1e3)
	// Output:
	// scatter 0.7 mΩ, 3 degrees of freedom
	// 999.9922 Ω at 21 °C, u = 0.4 mΩ
}
