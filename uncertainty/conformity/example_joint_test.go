// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"context"
	"fmt"
	"log"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// twoSettings are deviations in mΩ that share the standard.
func twoSettings() []uncertainty.Quantity {
	standard := uncertainty.Input("standard", uncertainty.Normal(0, 0.8))
	return []uncertainty.Quantity{
		uncertainty.Input("reading of 100 Ω", uncertainty.Normal(0.5, 0.6)).Add(standard),
		uncertainty.Input("reading of 200 Ω", uncertainty.Normal(1.5, 0.6)).Add(standard.Scale(2)),
	}
}

// Both settings conform at once more often than their probabilities multiplied say, since the
// standard is right or wrong for both.
func ExampleJointly() {
	results, err := uncertainty.EvaluateAll(twoSettings()...)
	if err != nil {
		log.Fatal(err)
	}
	limits := []uncertainty.Interval{{Lower: -2, Upper: 2}, {Lower: -4, Upper: 4}}
	joint, err := conformity.Jointly(limits, results)
	if err != nil {
		log.Fatal(err)
	}
	product := 1.0
	for i, b := range results.Budgets {
		d, err := conformity.FromBudget(b)
		if err != nil {
			log.Fatal(err)
		}
		p, err := conformity.Probability(limits[i], d)
		if err != nil {
			log.Fatal(err)
		}
		product *= p
	}
	fmt.Printf("jointly %.3f, multiplied %.3f\n", joint.Conforming, product)
	// Output: jointly 0.888, multiplied 0.860
}

// The same by simulation, for laws that are not normal and models that bend.
func ExampleJointlySimulated() {
	limits := []uncertainty.Interval{{Lower: -2, Upper: 2}, {Lower: -4, Upper: 4}}
	joint, err := conformity.JointlySimulated(context.Background(),
		uncertainty.MonteCarlo{Trials: 100_000, Seed: 1}, limits, twoSettings()...)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f ± %.3f\n", joint.Conforming, joint.Error)
	// Output: 0.89 ± 0.003
}

func ExampleJointProbability() {
	p := conformity.JointProbability{Conforming: 0.9732, Error: 4e-6}
	fmt.Printf("%.1f %% that all conform\n", 100*p.Conforming)
	// Output: 97.3 % that all conform
}

// A wider guard band costs the producer more than it saves the consumer.
func ExampleRiskCurve() {
	limits := uncertainty.Interval{Lower: -1, Upper: 1}
	points, err := conformity.RiskCurve(limits, uncertainty.Normal(0, 0.5), 0.1, -0.1, 0, 0.1, 0.2)
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range points {
		fmt.Printf("w = %4.1f: consumer %.2f %%, producer %.2f %%\n", p.Width, 100*p.Consumer,
			100*p.Producer)
	}
	// Output:
	// w = -0.1: consumer 1.67 %, producer 0.22 %
	// w =  0.0: consumer 0.68 %, producer 1.11 %
	// w =  0.1: consumer 0.15 %, producer 3.36 %
	// w =  0.2: consumer 0.02 %, producer 7.13 %
}

func ExampleRiskPoint() {
	points, err := conformity.RiskCurve(uncertainty.Interval{Lower: -1, Upper: 1},
		uncertainty.Normal(0, 0.5), 0.1, 0.1)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("accepted from %.1f to %.1f: %.0f %% of the items\n", points[0].Acceptance.Lower,
		points[0].Acceptance.Upper, 100*points[0].Accepted)
	// Output: accepted from -0.9 to 0.9: 92 % of the items
}

// An item on its limit is accepted half the time by simple acceptance.
func ExampleAcceptanceProbability() {
	for _, x := range []float64{0.8, 1, 1.2} {
		p, err := conformity.AcceptanceProbability(uncertainty.Interval{Lower: -1, Upper: 1}, x,
			0.1)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("true value %v: %.3f\n", x, p)
	}
	// Output:
	// true value 0.8: 0.977
	// true value 1: 0.500
	// true value 1.2: 0.023
}

func ExampleNamedRules() {
	for name, rule := range conformity.NamedRules() {
		fmt.Printf("%s: %v\n", name, rule)
	}
	// Output:
	// 6 sigma: guard band w = 3·U on each side of a limit, U at 95 %
	// 3 sigma: guard band w = 1.5·U on each side of a limit, U at 95 %
	// ILAC G8:2009: guard band w = 1·U on each side of a limit, U at 95 %
	// ISO 14253-1:2017: guard band w = 0.83·U on each side of a limit, U at 95 %
	// simple acceptance: simple acceptance, no guard band; U at 95 %
	// uncritical: guarded rejection, accepted up to w = 1·U beyond a limit, U at 95 %
}

func ExampleRuleNamed() {
	rule, err := conformity.RuleNamed("ISO 14253-1:2017")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(rule.Multiple)
	// Output: 0.83
}

// An owner must be shown beyond doubt that the item is out.
func ExampleGuardedRejection() {
	b, err := uncertainty.Evaluate(uncertainty.Input("deviation", uncertainty.Normal(1.1, 0.1)))
	if err != nil {
		log.Fatal(err)
	}
	limits := uncertainty.Interval{Lower: -1, Upper: 1}
	for _, rule := range []conformity.Rule{conformity.Guarded(1), conformity.GuardedRejection(1)} {
		v, err := rule.Decide(limits, b)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(v)
	}
	// Output:
	// cannot be decided
	// conforms
}

// A fine is due where the limit is exceeded with 99.9 %.
func ExampleGuardForRejection() {
	limit := uncertainty.Interval{Lower: 0, Upper: 100}
	g, err := conformity.GuardForRejection(limit, 2, 50, 0.999)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("from %.1f on\n", g.Acceptance.Upper)
	// Output: from 106.5 on
}
