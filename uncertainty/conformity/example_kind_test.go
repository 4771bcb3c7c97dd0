// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"fmt"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// tenth is a deviation of 80 mΩ with u = 8 mΩ, and limits of ±0.1 Ω.
func tenth() (uncertainty.Interval, *uncertainty.Budget) {
	b, err := uncertainty.Evaluate(uncertainty.Input("deviation", uncertainty.Normal(0.08, 0.008)))
	if err != nil {
		fmt.Println(err)
	}
	return uncertainty.Interval{Lower: -0.1, Upper: 0.1}, b
}

// One result, five rules.
func ExampleRuleKind() {
	limits, b := tenth()
	for _, rule := range []conformity.Rule{
		conformity.Simple(), conformity.Guarded(1), conformity.ByRootDifference(),
		conformity.BySpecificRisk(0.002), conformity.ByGlobalRisk(0.001, uncertainty.Normal(0, 0.5)),
	} {
		verdict, err := rule.Decide(limits, b)
		fmt.Printf("%v: %v %v\n", rule.Kind, verdict, err)
	}
	var k conformity.RuleKind
	fmt.Println(k.UnmarshalText([]byte("majority")))
	// Output:
	// guard band: conforms <nil>
	// guard band: conforms <nil>
	// root difference: conforms <nil>
	// specific risk: cannot be decided <nil>
	// global risk: conforms <nil>
	// conformity.RuleKind.UnmarshalText: "majority"; expected one of guard band, root difference, specific risk, global risk, guarded rejection
}

func ExampleByRootDifference() {
	limits, _ := tenth()
	accept, ok := conformity.ByRootDifference().Acceptance(limits, 0.025)
	fmt.Printf("±%.4f Ω %v\n", accept.Upper, ok)
	// Output:
	// ±0.0968 Ω true
}

// The item at hand, whatever the others are like.
func ExampleBySpecificRisk() {
	limits, b := tenth()
	for _, risk := range []float64{0.01, 0.001} {
		verdict, err := conformity.BySpecificRisk(risk).Decide(limits, b)
		fmt.Println(risk, verdict, err)
	}
	// Output:
	// 0.01 conforms <nil>
	// 0.001 cannot be decided <nil>
}

// The better the items, the less of a guard band it takes.
func ExampleByGlobalRisk() {
	limits, _ := tenth()
	for _, spread := range []float64{0.3, 0.8} {
		rule := conformity.ByGlobalRisk(0.001, uncertainty.Normal(0, spread))
		accept, ok := rule.Acceptance(limits, 0.02)
		fmt.Printf("items with a standard deviation of %.1f limits: ±%.4f Ω %v\n", spread, accept.Upper, ok)
	}
	// Output:
	// items with a standard deviation of 0.3 limits: ±0.1000 Ω true
	// items with a standard deviation of 0.8 limits: ±0.0836 Ω true
}

// The class that a deviation still meets.
func ExampleRule_SmallestTolerance() {
	_, b := tenth()
	for _, rule := range []conformity.Rule{conformity.Simple(), conformity.Guarded(1)} {
		t, err := rule.SmallestTolerance(b)
		fmt.Printf("±%.4f Ω %v\n", t, err)
	}
	// Output:
	// ±0.0800 Ω <nil>
	// ±0.0957 Ω <nil>
}
