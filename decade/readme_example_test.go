// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"fmt"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// The program of the README: tolerance and residual of one setting, in the worst case
// and statistically.
func Example_readme() {
	box, err := decade.New(decade.Spec{
		Name: "school box", Residual: 0.02, ResidualTolerance: 0.005,
		Decades: []decade.Decade{
			{Step: 1000, Tolerance: 0.001}, {Step: 100, Tolerance: 0.001},
			{Step: 10, Tolerance: 0.001}, {Step: 1, Tolerance: 0.005},
		},
	})
	if err != nil {
		panic(err)
	}
	s, _ := box.SettingFor(1234)
	fmt.Println(s, s.Limits())                        // worst case at the terminals, in ohms
	budget, _ := uncertainty.Evaluate(s.Resistance()) // statistical, with its budget
	fmt.Println(budget)
	// Output:
	// 1-2-3-4 [1232.765, 1235.275]
	// Quantity          Estimate   Standard     Type  Distribution  Degrees of  Sensitivity  Uncertainty
	//                              uncertainty                      freedom     coefficient  contribution
	// residual          0.0200 Ω   0.0029 Ω     B     rectangular   ∞           1.000        0.0029 Ω
	// ×1 kΩ tolerance   0          0.00058      B     rectangular   ∞           1000         0.58 Ω
	// ×100 Ω tolerance  0          0.00058      B     rectangular   ∞           200.0        0.12 Ω
	// ×10 Ω tolerance   0          0.00058      B     rectangular   ∞           30.00        0.017 Ω
	// ×1 Ω tolerance    0          0.0029       B     rectangular   ∞           4.000        0.012 Ω
	// result            1234.02 Ω  0.59 Ω                           ∞
	//
	// result = (1234.0 ± 1.0) Ω, coverage probability 95 %, from the distributions of the inputs
	// k·u = 1.2 Ω with k = 1.96 would hold for a normal distribution
	// result = 1234.02(59) Ω, standard uncertainty in parentheses
	//
	// Share of variance
	// ×1 kΩ tolerance    96.03 %  ███████████████████
	// ×100 Ω tolerance    3.84 %  █
	// ×10 Ω tolerance     0.09 %
	// ×1 Ω tolerance      0.04 %
	//
	// warning: ×1 kΩ tolerance: the result is not normally distributed: about ±1 covers 95 %, where k·u gives ±1.15
}
