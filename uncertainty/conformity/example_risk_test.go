// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// The breakdown voltage of a diode must not be above −5.40 V (JCGM 106:2012, 7.3.3,
// example 1).
func ExampleProbability() {
	limit := uncertainty.Interval{Lower: math.Inf(-1), Upper: -5.40}
	p, err := conformity.Probability(limit, distuv.Normal{Mu: -5.47, Sigma: 0.05})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f %%\n", 100*p)
	// Output: 92 %
}

// A result of few readings: the t-distribution makes the risk larger than the normal
// one would.
func ExampleSpecificRisk() {
	r := uncertainty.Input("R", uncertainty.TypeA(1000.31, 1000.34, 1000.36, 1000.39))
	budget, err := uncertainty.Evaluate(r)
	if err != nil {
		fmt.Println(err)
		return
	}
	known, err := conformity.FromBudget(budget)
	if err != nil {
		fmt.Println(err)
		return
	}
	risk, err := conformity.SpecificRisk(uncertainty.Interval{Lower: 999.6, Upper: 1000.4}, known)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("outside with %.1f %%\n", 100*risk)
	// Output: outside with 3.0 %
}

// Resistors of 1500 Ω from a production with a standard deviation of 0.12 Ω, measured
// with u = 0.04 Ω (JCGM 106:2012, 9.5.3.2). The guide prints 1 % and 7 %.
func ExampleGlobalRisk() {
	tolerance := uncertainty.Interval{Lower: 1499.8, Upper: 1500.2}
	acceptance := uncertainty.Interval{Lower: 1499.82, Upper: 1500.18}
	risk, err := conformity.GlobalRisk(tolerance, acceptance, uncertainty.Normal(1500, 0.12), 0.04)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("consumer's risk %.1f %%, producer's risk %.1f %%\n", 100*risk.Consumer, 100*risk.Producer)
	fmt.Printf("of the accepted %.1f %% conform, of the rejected %.0f %%\n",
		100*risk.ConformingAmongAccepted(), 100*risk.ConformingAmongRejected())
	// Output:
	// consumer's risk 1.0 %, producer's risk 6.9 %
	// of the accepted 98.8 % conform, of the rejected 45 %
}

func ExampleGuardForSpecificRisk() {
	tolerance := uncertainty.Interval{Lower: 999, Upper: 1001}
	guard, err := conformity.GuardForSpecificRisk(tolerance, 0.1, math.Inf(1), 0.01)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("w = %.3f Ω, accepted from %.3f Ω to %.3f Ω\n", guard.Width, guard.Acceptance.Lower,
		guard.Acceptance.Upper)
	// Output: w = 0.233 Ω, accepted from 999.233 Ω to 1000.767 Ω
}

// Of all resistors of a lot no more than one in a thousand shall be accepted wrongly.
func ExampleGuardForGlobalRisk() {
	tolerance := uncertainty.Interval{Lower: 999, Upper: 1001}
	lot := uncertainty.Normal(1000, 0.5)
	guard, risk, err := conformity.GuardForGlobalRisk(tolerance, lot, 0.1, 0.001)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("w = %.3f Ω; %.1f %% are rejected though they conform\n", guard.Width, 100*risk.Producer)
	// Output: w = 0.121 Ω; 4.0 % are rejected though they conform
}

// The risk quoted with this rule is global; that of an item at the limit is large.
func ExampleRootDifference() {
	tolerance := uncertainty.Interval{Lower: 999, Upper: 1001}
	guard, err := conformity.RootDifference(tolerance, 0.25)
	if err != nil {
		fmt.Println(err)
		return
	}
	risk, err := conformity.SpecificRisk(tolerance, distuv.Normal{Mu: guard.Acceptance.Upper, Sigma: 0.125})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("accepted up to %.4f Ω; an item there is outside with %.0f %%\n", guard.Acceptance.Upper, 100*risk)
	// Output: accepted up to 1000.9682 Ω; an item there is outside with 40 %
}

func ExampleCapabilityIndex() {
	index, err := conformity.CapabilityIndex(uncertainty.Interval{Lower: 999, Upper: 1001}, 0.125)
	fmt.Println(index, err)
	// Output: 4 <nil>
}

func ExampleFromOutput() {
	r := uncertainty.Input("V",
		uncertainty.Rectangular(1, 0.05)).Div(
		uncertainty.Input("I", uncertainty.Rectangular(0.01, 0.0005)))
	sim, err := uncertainty.MonteCarlo{Trials: 100_000, Seed: 1}.Run(context.Background(), r)
	if err != nil {
		fmt.Println(err)
		return
	}
	known, err := conformity.FromOutput(&sim.Outputs[0])
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := conformity.Probability(uncertainty.Interval{Lower: 95, Upper: 105}, known)
	fmt.Printf("%.2f %v\n", p, err)
	// Output: 0.75 <nil>
}

func ExampleNewSamples() {
	trials, err := conformity.NewSamples([]float64{9.9, 10.0, 10.0, 10.1, 10.3})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(conformity.Probability(uncertainty.Interval{Lower: 9.8, Upper: 10.2}, trials))
	// Output: 0.8 <nil>
}

func ExampleRule_Statement() {
	limits := uncertainty.Interval{Lower: 999, Upper: 1001}
	for _, y := range []float64{1000.5, 1000.95, 1001.1, 1001.4} {
		budget, err := uncertainty.Evaluate(uncertainty.Input("R", uncertainty.Certificate(y, 0.2, 1.96)))
		if err != nil {
			fmt.Println(err)
			return
		}
		statement, err := conformity.Guarded(1).Statement(limits, budget)
		fmt.Println(y, statement, err)
	}
	// Output:
	// 1000.5 pass <nil>
	// 1000.95 conditional pass <nil>
	// 1001.1 conditional fail <nil>
	// 1001.4 fail <nil>
}

// The true value by a budget: a t-distribution, with the degrees of freedom of the
// budget.
func ExampleFromBudget() {
	budget, err := uncertainty.Evaluate(uncertainty.Input("R", uncertainty.TypeA(99.98, 100.01, 100.03, 100.02)))
	if err != nil {
		fmt.Println(err)
		return
	}
	known, err := conformity.FromBudget(budget)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("below 100 Ω with %.2f\n", known.CDF(100))
	// Output: below 100 Ω with 0.21
}
