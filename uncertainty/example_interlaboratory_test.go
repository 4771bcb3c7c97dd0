// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/uncertainty"
)

// threeLaboratories measured one 10 kΩ resistor.
func threeLaboratories() []uncertainty.Quantity {
	lab := func(name string, x, u float64) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Unit: "Ω",
			Distribution: uncertainty.Normal(x, u)}.Input().Named(name)
	}
	return []uncertainty.Quantity{lab("A", 10000.012, 0.004), lab("B", 10000.018, 0.005),
		lab("C", 10000.061, 0.006)}
}

// Two laboratories differ by less than their uncertainties allow.
func ExampleAgree() {
	lab := threeLaboratories()
	a, err := uncertainty.Agree(lab[0], lab[1])
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("d = %.0f mΩ, U(d) = %.0f mΩ, E_n = %.2f: %v\n", 1000*a.Estimate,
		1000*a.Expanded.U, a.En, uncertainty.JudgeEn(a.En))
	// Output: d = -6 mΩ, U(d) = 13 mΩ, E_n = -0.48: satisfactory
}

// A result against the mean that it is part of: the degree of equivalence.
func ExampleAgreement() {
	lab := threeLaboratories()
	m, err := uncertainty.WeightedMean(lab...)
	if err != nil {
		log.Fatal(err)
	}
	for _, q := range lab {
		a, err := uncertainty.Agree(q, m.Value)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%s: d = %.1f mΩ, U(d) = %.1f mΩ, E_n = %.1f\n", q.Name(), 1000*a.Estimate,
			1000*a.Expanded.U, a.En)
	}
	// Output:
	// A: d = -12.3 mΩ, U(d) = 5.7 mΩ, E_n = -2.2
	// B: d = -6.3 mΩ, U(d) = 8.2 mΩ, E_n = -0.8
	// C: d = 36.7 mΩ, U(d) = 10.4 mΩ, E_n = 3.5
}

func ExampleEnScore() {
	e, err := uncertainty.EnScore(10000.018, 0.010, 10000.012, 0.008)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f, %v\n", e, uncertainty.JudgeEn(e))
	// Output: 0.47, satisfactory
}

func ExampleZetaScore() {
	z, err := uncertainty.ZetaScore(10000.018, 0.005, 10000.012, 0.004)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f\n", z)
	// Output: 0.94
}

// What is good enough is stated by the organiser, here 5 mΩ.
func ExampleZScore() {
	z, err := uncertainty.ZScore(10000.024, 10000.012, 0.005)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f, %v\n", z, uncertainty.JudgeZ(z))
	// Output: 2.4, questionable
}

func ExampleZPrimeScore() {
	z, err := uncertainty.ZPrimeScore(10000.024, 10000.012, 0.005, 0.004)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f, %v\n", z, uncertainty.JudgeZ(z))
	// Output: 1.9, satisfactory
}

func ExampleJudgeZ() {
	fmt.Println(uncertainty.JudgeZ(1.9), uncertainty.JudgeZ(-2.5), uncertainty.JudgeZ(3))
	// Output: satisfactory questionable unsatisfactory
}

func ExampleJudgeEn() {
	fmt.Println(uncertainty.JudgeEn(-0.8), uncertainty.JudgeEn(1.1))
	// Output: satisfactory unsatisfactory
}

func ExamplePerformance() {
	var p uncertainty.Performance
	if err := p.UnmarshalText([]byte("questionable")); err != nil {
		log.Fatal(err)
	}
	fmt.Println(p == uncertainty.PerformanceQuestionable)
	// Output: true
}

// One of three stands apart; that it is the one in error is not said.
func ExampleLargestConsistentSubset() {
	s, err := uncertainty.LargestConsistentSubset(threeLaboratories()...)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("agree: %v, apart: %v, mean %v\n", s.Inside, s.Outside, s.Mean.Value)
	// Output: agree: [0 1], apart: [2], mean 10000.0143(31) Ω
}

func ExampleConsistentSubset() {
	s, err := uncertainty.LargestConsistentSubset(threeLaboratories()...)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("χ² = %.2f with %d degree of freedom\n", s.Mean.ChiSquared, s.Mean.DOF)
	// Output: χ² = 0.88 with 1 degree of freedom
}

// Where nobody can be left out, the disagreement itself is a component.
func ExampleMeanWithBetween() {
	m, err := uncertainty.MeanWithBetween(threeLaboratories()...)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%v, between laboratories %.0f mΩ\n", m.Mean.Value, 1000*m.Between)
	// Output: 10000.030(15) Ω, between laboratories 26 mΩ
}

func ExampleRandomEffectsMean() {
	m, err := uncertainty.MeanWithBetween(threeLaboratories()[:2]...)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("they agree, so that nothing is added:", m.Between)
	// Output: they agree, so that nothing is added: 0
}
