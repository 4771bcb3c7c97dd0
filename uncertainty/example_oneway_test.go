// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/uncertainty"
)

// diallings are three values in mΩ of each of four diallings of a setting.
func diallings() *uncertainty.OneWay {
	a, err := uncertainty.NewOneWay([]float64{21.1, 21.3, 21.2}, []float64{22.4, 22.3, 22.6},
		[]float64{20.2, 20.1, 20.2}, []float64{21.6, 21.9, 21.7})
	if err != nil {
		log.Fatal(err)
	}
	return a
}

// Repeats agree to 0.1 mΩ, diallings to 0.9 mΩ: the mean of all twelve values is no better
// than four diallings make it.
func ExampleNewOneWay() {
	a := diallings()
	fmt.Printf("within %.2f mΩ, between %.2f mΩ\n", a.Within(), a.Between())
	b, err := uncertainty.Evaluate(uncertainty.Input("mean of the setting", a.MeanOfGroups()))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f mΩ, U = %.2f mΩ\n", b.Estimate, b.Expanded.U)
	// Output:
	// within 0.12 mΩ, between 0.95 mΩ
	// 21.38 mΩ, U = 1.52 mΩ
}

func ExampleOneWay() {
	a := diallings()
	fmt.Println(a.Groups, "groups,", a.Observations, "observations, degrees of freedom",
		a.DOFBetween, "and", a.DOFWithin)
	// Output:
	// 4 groups, 12 observations, degrees of freedom 3 and 8
}

func ExampleOneWay_F() {
	a := diallings()
	fmt.Printf("F = %.0f, by chance with a probability of %.0e\n", a.F(), a.Probability())
	// Output:
	// F = 183, by chance with a probability of 1e-07
}

func ExampleOneWay_Probability() {
	a, err := uncertainty.NewOneWay([]float64{1, 2, 3}, []float64{2, 3, 4})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f\n", a.Probability())
	// Output:
	// 0.29
}

func ExampleOneWay_Within() {
	fmt.Printf("%.2f mΩ\n", diallings().Within())
	// Output:
	// 0.12 mΩ
}

func ExampleOneWay_Between() {
	fmt.Printf("%.2f mΩ\n", diallings().Between())
	// Output:
	// 0.95 mΩ
}

func ExampleOneWay_MeanOfGroups() {
	fmt.Printf("%.2f mΩ\n", diallings().MeanOfGroups().Mean())
	// Output:
	// 21.38 mΩ
}

// What the next dialling shows scatters more than the mean is uncertain.
func ExampleOneWay_NextGroup() {
	a := diallings()
	for _, d := range []uncertainty.Distribution{a.MeanOfGroups(), a.NextGroup()} {
		b, err := uncertainty.Evaluate(uncertainty.Input("setting", d))
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(b.PlusMinus(2))
	}
	// Output:
	// 21.4 ± 1.5
	// 21.4 ± 3.4
}
