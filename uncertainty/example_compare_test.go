// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"context"
	"errors"
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty"
)

// dominated is a sum in which one rectangle dominates (JCGM 101:2008, 9.2.4).
func dominated() uncertainty.Quantity {
	y := uncertainty.Input("large", uncertainty.Rectangular(0, 10*math.Sqrt(3)))
	for _, name := range []string{"a", "b", "c"} {
		y = y.Add(uncertainty.Input(name, uncertainty.Rectangular(0, math.Sqrt(3))))
	}
	return y
}

// JCGM 101:2008, 9.2.4 and table 4 print ±19.9 for the linear result and ±17.0 by Monte
// Carlo: with u = 10.1 they agree to one digit, not to two.
func ExampleComparison() {
	b, err := uncertainty.Evaluate(dominated())
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := uncertainty.MonteCarlo{Trials: 200_000}.Run(context.Background(), dominated())
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := uncertainty.Compare(b, &s.Outputs[0], 2)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("linear ±%.1f, simulated ±%.1f\n", c.Linear.Width()/2, c.Simulated.Width()/2)
	fmt.Println("stands to two digits:", c.Stands, "- digits to which it stands:", c.Holds)
	// Output:
	// linear ±19.9, simulated ±17.0
	// stands to two digits: false - digits to which it stands: 1
}

// The verdict in one line, for a report; an exact quantity leaves no doubt.
func ExampleComparison_String() {
	y := uncertainty.Exact(10000)
	b, err := uncertainty.Evaluate(y)
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := uncertainty.MonteCarlo{Trials: 1000}.Run(context.Background(), y)
	if err != nil {
		fmt.Println(err)
		return
	}
	c, err := uncertainty.Compare(b, &s.Outputs[0], 2)
	fmt.Println(c, err)
	// Output: the linear result stands to 2 significant digits: ends differ by 0 and 0, tolerance 0 <nil>
}

// Two laboratories that do not agree: the mean keeps the stated uncertainty, and warns.
func ExampleMean() {
	m, err := uncertainty.WeightedMean(
		uncertainty.Input("laboratory A", uncertainty.Normal(100.002, 0.0004)),
		uncertainty.Input("laboratory B", uncertainty.Normal(100.006, 0.0004)))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(m.Value, "Ω")
	fmt.Printf("chi-squared %.0f with %d degree of freedom, Birge ratio %.1f\n", m.ChiSquared, m.DOF, m.BirgeRatio)
	fmt.Println(errors.Is(m.Warnings[0], uncertainty.ErrInconsistent))
	// Output:
	// 100.00400(28) Ω
	// chi-squared 50 with 1 degree of freedom, Birge ratio 7.1
	// true
}
