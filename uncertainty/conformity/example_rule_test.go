// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"encoding/json"
	"errors"
	"fmt"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// Multipliers of U for the guard band, as decision rules name them, on a resistor of
// 100 Ω ± 0.1 Ω with U = 0.02 Ω (ILAC-G8:09/2019, table 1, from memory: 1 and 0.83).
func ExampleGuarded() {
	limits := uncertainty.Interval{Lower: 99.9, Upper: 100.1}
	for _, multiple := range []float64{1, 0.83} {
		accept, ok := conformity.Guarded(multiple).Acceptance(limits, 0.02)
		fmt.Printf("w = %.2f·U: %.3f Ω to %.3f Ω %v\n", multiple, accept.Lower, accept.Upper, ok)
	}
	// Output:
	// w = 1.00·U: 99.920 Ω to 100.080 Ω true
	// w = 0.83·U: 99.917 Ω to 100.083 Ω true
}

// Without a guard band every result is decided, and one close to a limit with the risk
// of a coin: it is the reader who has to know.
func ExampleSimple() {
	limits := uncertainty.Interval{Lower: 99.9, Upper: 100.1}
	b, err := uncertainty.Evaluate(uncertainty.Input("R", uncertainty.Certificate(100.09, 0.02, 2)))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, rule := range []conformity.Rule{conformity.Simple(), conformity.Guarded(1)} {
		verdict, err := rule.Decide(limits, b)
		fmt.Println(rule, "-", verdict, err)
	}
	// Output:
	// simple acceptance, no guard band; U at 95 % - conforms <nil>
	// guard band w = 1·U on each side of a limit, U at 95 % - cannot be decided <nil>
}

// A rule from a settings file is checked once, before the readings begin.
func ExampleRule_Check() {
	fmt.Println(conformity.Rule{Multiple: 1, Coverage: 0.95}.Check())
	err := conformity.Rule{Multiple: 1, Coverage: 95}.Check()
	fmt.Println(errors.Is(err, conformity.ErrDomain))
	// Output:
	// <nil>
	// true
}

// U as the rule takes it, at k = 2 here, and the rule in words for the report.
func ExampleRule_Expanded() {
	b, err := uncertainty.Evaluate(uncertainty.Input("R", uncertainty.Normal(100.02, 0.012)))
	if err != nil {
		fmt.Println(err)
		return
	}
	rule := conformity.Rule{Multiple: 1, Coverage: uncertainty.P2}
	e, err := rule.Expanded(b)
	fmt.Printf("U = %.3f Ω, k = %.0f %v\n", e.U, e.K, err)
	fmt.Println(rule)
	// Output:
	// U = 0.024 Ω, k = 2 <nil>
	// guard band w = 1·U on each side of a limit, U at 95.45 %
}

// The three verdicts. They are words in a file too; the zero value is the one that
// claims nothing.
func ExampleVerdict() {
	var none conformity.Verdict
	fmt.Println(none)
	text, err := json.Marshal(map[string]conformity.Verdict{"1 kΩ": conformity.VerdictConforms,
		"10 kΩ": conformity.VerdictDoesNotConform})
	fmt.Println(string(text), err)
	var read map[string]conformity.Verdict
	err = json.Unmarshal(text, &read)
	fmt.Println(read["10 kΩ"] == conformity.VerdictDoesNotConform, err)
	// Output:
	// cannot be decided
	// {"1 kΩ":"conforms","10 kΩ":"does not conform"} <nil>
	// true <nil>
}

// From worst to best, so that the worst of several settings is their minimum.
func ExampleStatement() {
	settings := []conformity.Statement{conformity.StatementPass,
		conformity.StatementConditionalPass, conformity.StatementPass}
	worst := min(settings[0], settings[1], settings[2])
	text, err := json.Marshal(worst)
	fmt.Println(string(text), err)
	var read conformity.Statement
	err = json.Unmarshal(text, &read)
	fmt.Println(read, read == conformity.StatementConditionalPass, err)
	// Output:
	// "conditional pass" <nil>
	// conditional pass true <nil>
}

// What was refused: a tolerance interval with its limits exchanged.
func ExampleError() {
	_, err := conformity.TestUncertaintyRatio(uncertainty.Interval{Lower: 100.1, Upper: 99.9}, 0.02)
	if e, ok := errors.AsType[*conformity.Error](err); ok {
		fmt.Println("refused by", e.Op)
	}
	fmt.Println(errors.Is(err, conformity.ErrInterval))
	fmt.Println(err)
	// Output:
	// refused by conformity.TestUncertaintyRatio
	// true
	// conformity.TestUncertaintyRatio: lower limit: 100.1 is above the upper limit 99.9; expected lower ≤ upper
}
