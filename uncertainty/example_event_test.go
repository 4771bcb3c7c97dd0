// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"context"
	"fmt"
	"log"

	"example.com/ohmwright/uncertainty"
)

// How probable is it that one of two resistors is more than 10 mΩ above the other?
func ExampleEvent() {
	a := uncertainty.Input("a", uncertainty.Rectangular(100, 0.010))
	b := uncertainty.Input("b", uncertainty.Rectangular(100, 0.010))
	apart := uncertainty.Event("apart", func(x []float64) bool { return x[0]-x[1] > 0.010 }, a, b)
	s, err := uncertainty.MonteCarlo{Trials: 200_000, Seed: 1}.Run(context.Background(), apart)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f (exactly 1/8)\n", s.Outputs[0].Estimate)
	// Output: 0.12 (exactly 1/8)
}

// One limit alone needs less than two: 1.645 where an interval takes 1.960.
func ExampleOneSidedFactor() {
	for _, dof := range []float64{5, 50} {
		k, err := uncertainty.OneSidedFactor(0.95, dof)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v degrees of freedom: k = %.3f\n", dof, k)
	}
	// Output:
	// 5 degrees of freedom: k = 2.015
	// 50 degrees of freedom: k = 1.676
}

func ExampleBudget_UpperLimit() {
	b, err := uncertainty.Evaluate(uncertainty.Input("contact resistance", uncertainty.Normal(3.2, 0.4)))
	if err != nil {
		log.Fatal(err)
	}
	most, err := b.UpperLimit(0.95)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("below %.2f mΩ with 95 %%\n", most)
	// Output: below 3.86 mΩ with 95 %
}

// The law of the input counts: a rectangle ends.
func ExampleBudget_LowerLimit() {
	b, err := uncertainty.Evaluate(uncertainty.Input("insulation", uncertainty.Rectangular(50, 10)))
	if err != nil {
		log.Fatal(err)
	}
	least, err := b.LowerLimit(0.95)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("above %.1f GΩ with 95 %%\n", least)
	// Output: above 41.0 GΩ with 95 %
}
