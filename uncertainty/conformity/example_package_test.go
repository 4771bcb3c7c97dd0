// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"fmt"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// Is a resistor of 100 Ω ± 0.1 % inside its limits, measured at 100.08 Ω with U = 30 mΩ? Not
// beyond doubt: the guard band of U is not kept. The probability says how near it is.
func Example() {
	limits := uncertainty.Interval{Lower: 99.9, Upper: 100.1}
	budget, err := uncertainty.Evaluate(
		uncertainty.Input("reading", uncertainty.Certificate(100.08, 0.03, 2)))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, rule := range []conformity.Rule{conformity.Guarded(1), conformity.Simple()} {
		verdict, err := rule.Decide(limits, budget)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%v: %v\n", rule, verdict)
	}
	known, err := conformity.FromBudget(budget)
	if err != nil {
		fmt.Println(err)
		return
	}
	p, err := conformity.Probability(limits, known)
	fmt.Printf("inside with %.1f %% %v\n", 100*p, err)
	// Output:
	// guard band w = 1·U on each side of a limit, U at 95 %: cannot be decided
	// simple acceptance, no guard band; U at 95 %: conforms
	// inside with 90.9 % <nil>
}
