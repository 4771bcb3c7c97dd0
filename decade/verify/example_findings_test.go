// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify_test

import (
	"errors"
	"fmt"

	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// One dialling with all that is known of it.
func ExampleRow() {
	row := judged(soundTable).Rows[2]
	fmt.Printf("%v: %s within ±%.1f Ω: %v, test uncertainty ratio %.1f\n",
		row.Setting, row.Budget.PlusMinus(2), row.Limits.Upper, row.Verdict, row.UncertaintyRatio)
	// Output:
	// 2: (0.009 ± 0.027) Ω within ±0.2 Ω: conforms, test uncertainty ratio 7.5
}

// Counts of settings: 2 and 3 contain the element that is high.
func ExampleSummary() {
	s := judged(highTable).Summary(verify.StageAsFound)
	fmt.Printf("%d of %d outside\n", s.DoNotConform, s.Settings)
	// Output:
	// 2 of 4 outside
}

// Common practice: all positions from its own up carry an element that is off.
func ExampleFinding() {
	f := judged(highTable).Findings[0]
	fmt.Println(f.Kind, f.Settings)
	fmt.Println(f.Text)
	// Output:
	// element [2 3]
	// Step 2 of the ×100 dial (from position 1 to 2) is high by 1 Ω, 1 % of it, U = 12.3 mΩ; its class allows 0.1 Ω. Every position from 2 up contains it: look at element 2.
}

// Common practice: a dirty contact shows at its own position only.
func ExampleFindingKind() {
	for _, table := range []string{highTable, "setting, value\n0, 0.021\n1, 100.026\n2, 201.030\n3, 300.033"} {
		f := judged(table).Findings[0]
		fmt.Println(f.Kind, f.Settings)
	}
	// Output:
	// element [2 3]
	// contact [2]
}

// What each step of the dial adds; the zero of the meter is in none of them.
func ExampleIncrement() {
	for _, i := range judged(highTable).Increments {
		fmt.Printf("%d to %d: %+.3f Ω, class %.1f Ω\n", i.Position-1, i.Position, i.Deviation.Estimate(), i.Limit)
	}
	// Output:
	// 0 to 1: +0.005 Ω, class 0.1 Ω
	// 1 to 2: +1.004 Ω, class 0.1 Ω
	// 2 to 3: +0.003 Ω, class 0.1 Ω
}

func ExampleIncrement_Outside() {
	for _, i := range judged(highTable).Increments {
		if i.Outside() {
			fmt.Println("look at element", i.Position, "of", newDial().Decades()[i.Dial].Name)
		}
	}
	// Output:
	// look at element 2 of ×100
}

// Cleaning a switch is an adjustment already: what was read before is as found.
func ExampleStage() {
	report := judged("setting, value, stage\n0, 0.052, as found\n0, 0.021, as left")
	for _, row := range report.Rows {
		fmt.Println(row.Reading.Stage, row.Verdict)
	}
	// Output:
	// as found does not conform
	// as left conforms
}

// Errors name what was refused; the cause can be asked for.
func ExampleError() {
	meter := newMeter()
	meter.Wiring = verify.WiringNotStated
	_, err := verify.Evaluate(newDial(), meter, nil, conformity.Guarded(1))
	if e, ok := errors.AsType[*verify.Error](err); ok {
		fmt.Println("refused:", e.Name)
	}
	fmt.Println(err)
	// Output:
	// refused: wiring
	// verify.Meter: wiring: not stated; expected two-wire or four-wire
}
