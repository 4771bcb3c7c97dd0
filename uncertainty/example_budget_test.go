// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"

	"example.com/ohmwright/uncertainty"
)

// bench holds what stays the same from one calibration to the next: the standard
// resistor and the conditions of the bench.
type bench struct {
	Standard, Drift, Bath, Parasitics uncertainty.Quantity
}

func newBench() bench {
	return bench{
		Standard: uncertainty.Source{Name: "standard", Unit: "Ω",
			Distribution: uncertainty.Certificate(10000.053, 0.005, 2),
			Note:         "certificate"}.Input(),
		Drift: uncertainty.Source{Name: "drift", Unit: "Ω",
			Distribution: uncertainty.Rectangular(0.020, 0.010)}.Input(),
		Bath: uncertainty.Source{Name: "bath, standard", Unit: "Ω",
			Distribution: uncertainty.Rectangular(0, 0.00275)}.Input(),
		Parasitics: uncertainty.Source{Name: "parasitics", Unit: "1",
			Distribution: uncertainty.Triangular(1, 1e-6)}.Input(),
	}
}

// Resistance is the model: standard and unknown read in turn on one meter.
func (b bench) Resistance(object string, ratios ...float64) uncertainty.Quantity {
	ratio := uncertainty.Source{Name: "ratio", Unit: "1", Distribution: uncertainty.TypeA(ratios...)}.Input()
	bath := uncertainty.Source{Name: "bath, unknown", Unit: "Ω",
		Distribution: uncertainty.Rectangular(0, 0.0055)}.Input()
	return uncertainty.Sum(b.Standard, b.Drift, b.Bath).Mul(b.Parasitics).Mul(ratio).Sub(bath).Named(object)
}

// A standard resistor of 10 kΩ is compared with another by substitution. The inputs
// are those of EA-4/02, example S3 (from memory).
func Example() {
	r := newBench().Resistance("Rx", 1.0000104, 1.0000107, 1.0000106, 1.0000103, 1.0000105)
	budget, err := uncertainty.Evaluate(r)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(budget)
	// Output:
	// Quantity        Estimate      Standard     Type  Distribution  Degrees of  Sensitivity  Uncertainty
	//                               uncertainty                      freedom     coefficient  contribution
	// standard        10000.0530 Ω  0.0025 Ω     B     normal        ∞           1.000        0.0025 Ω
	// drift           0.0200 Ω      0.0058 Ω     B     rectangular   ∞           1.000        0.0058 Ω
	// bath, standard  0 Ω           0.0016 Ω     B     rectangular   ∞           1.000        0.0016 Ω
	// parasitics      1.00000000    4.1e-7       B     triangular    ∞           10000        0.0041 Ω
	// ratio           1.000010500   7.1e-8       A     t             4           10000        0.00071 Ω
	// bath, unknown   0 Ω           0.0032 Ω     B     rectangular   ∞           -1.000       -0.0032 Ω
	// Rx              10000.1780 Ω  0.0083 Ω                         77000
	//
	// Rx = (10000.178 ± 0.016) Ω, k = 1.96, coverage probability 95 %
	// Rx = 10000.1780(83) Ω, standard uncertainty in parentheses
	//
	// Share of variance
	// drift            48.06 %  ██████████
	// parasitics       24.03 %  █████
	// bath, unknown    14.54 %  ███
	// standard          9.01 %  ██
	// bath, standard    3.63 %  █
	// ratio             0.72 %
}
