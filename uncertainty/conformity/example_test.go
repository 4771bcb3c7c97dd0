// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"fmt"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// A resistor of 100 Ω ± 0.1 % is read three times with growing deviation.
func ExampleRule_Decide() {
	limits := uncertainty.Interval{Lower: 99.9, Upper: 100.1}
	rule := conformity.Guarded(1)
	fmt.Println(rule)
	for _, reading := range []float64{100.02, 100.09, 100.15} {
		b, err := uncertainty.Evaluate(uncertainty.Input("R", uncertainty.Certificate(reading, 0.02, 2)))
		if err != nil {
			fmt.Println(err)
			return
		}
		verdict, err := rule.Decide(limits, b)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.2f Ω: %v\n", reading, verdict)
	}
	// Output:
	// guard band w = 1·U on each side of a limit, U at 95 %
	// 100.02 Ω: conforms
	// 100.09 Ω: cannot be decided
	// 100.15 Ω: does not conform
}

// Diallings of one setting have one U: it is found once, and decides for each of them.
func ExampleRule_DecideExpanded() {
	limits := uncertainty.Interval{Lower: -0.05, Upper: 0.05}
	rule := conformity.Guarded(1)
	for _, deviation := range []float64{0.01, 0.04, 0.08} {
		verdict, err := rule.DecideExpanded(limits, deviation, 0.02)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.2f Ω: %v\n", deviation, verdict)
	}
	// Output:
	// 0.01 Ω: conforms
	// 0.04 Ω: cannot be decided
	// 0.08 Ω: does not conform
}

func ExampleRule_Acceptance() {
	limits := uncertainty.Interval{Lower: 99.9, Upper: 100.1}
	accept, ok := conformity.Guarded(1).Acceptance(limits, 0.02)
	fmt.Printf("%.2f to %.2f %v\n", accept.Lower, accept.Upper, ok)
	_, ok = conformity.Guarded(1).Acceptance(limits, 0.2)
	fmt.Println("with a meter of U = 0.2 Ω:", ok)
	// Output:
	// 99.92 to 100.08 true
	// with a meter of U = 0.2 Ω: false
}

// A laboratory that never states less than 0.05 Ω, at k = 2.
func ExampleRule() {
	b, err := uncertainty.Evaluate(uncertainty.Input("R", uncertainty.Normal(100, 0.01)))
	if err != nil {
		fmt.Println(err)
		return
	}
	rule := conformity.Rule{Multiple: 1, Coverage: uncertainty.P2, Smallest: 0.05}
	e, err := rule.Expanded(b)
	fmt.Printf("U = %.2f %v\n", e.U, err)
	// Output:
	// U = 0.05 <nil>
}

func ExampleTestUncertaintyRatio() {
	limits := uncertainty.Interval{Lower: 99.9, Upper: 100.1}
	r, err := conformity.TestUncertaintyRatio(limits, 0.02)
	fmt.Printf("%.1f %v\n", r, err)
	// Output:
	// 5.0 <nil>
}
