// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify_test

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// One dialling with all that is known of it.
func ExampleRow() {
	row := judged(soundTable).Rows[2]
	fmt.Printf("%v: %s within ±%.1f Ω: %v, test uncertainty ratio %.1f\n",
		row.Setting, row.Budget().PlusMinus(2), row.Limits.Upper, row.Verdict, row.UncertaintyRatio)
	// Output:
	// 2: (0.009 ± 0.027) Ω within ±0.2 Ω: conforms, test uncertainty ratio 8.9
}

// The largest contribution to the uncertainty of a row.
func ExampleRow_Budget() {
	row := judged(soundTable).Rows[2]
	b := row.Budget()
	largest := slices.MaxFunc(b.Components, func(x, y uncertainty.Component) int {
		return cmp.Compare(x.Share, y.Share)
	})
	fmt.Printf("u = %.2g Ω, most of it: %s\n", b.StandardUncertainty, largest.Name)
	// Output:
	// u = 0.014 Ω, most of it: meter gain 1 kΩ
}

// Counts of settings: 2 and 3 contain the element that is high.
func ExampleSummary() {
	s := judged(highTable).Summary(verify.StageAsFound)
	fmt.Printf("%d of %d outside\n", s.DoNotConform, s.Settings)
	// Output:
	// 2 of 4 outside
}

// Common practice: all positions above a step that is off carry it.
func ExampleFinding() {
	f := judged(highTable).Findings[0]
	fmt.Println(f.Kind, f.Settings)
	fmt.Println(f)
	// Output:
	// step [2 3]
	// The step from position 1 to 2 of the ×100 dial is high by 1 Ω, 1 % of it, U = 12.3 mΩ; its class allows 0.1 Ω. Positions 2 to 3 show it.
}

// Common practice: a step is carried by the positions above it, a dirty contact is not.
func ExampleFindingKind() {
	for _, table := range []string{highTable, "setting, value\n0, 0.021\n1, 100.026\n2, 201.030\n3, 300.033"} {
		f := judged(table).Findings[0]
		fmt.Println(f.Kind, f.Settings)
	}
	// Output:
	// step [2 3]
	// position [2]
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
			fmt.Println("the step to position", i.Position, "of", newDial().Decades()[i.Dial].Name)
		}
	}
	// Output:
	// the step to position 2 of ×100
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

// How much was looked at. One reading of one dial out of two makes no verdict on the box.
func ExampleHeadline() {
	report := judged("setting, value\n0, 0.021")
	fmt.Println(report.Headline(verify.StageAsFound))
	fmt.Println("the box", report.Verdict())
	// Output:
	// 1 of 4 settings judged; 1 dial not read: ×100
	// the box cannot be decided
}

func ExampleReport_Headline() {
	h := judged(soundTable).Headline(verify.StageAsFound)
	fmt.Println(h.Judged, "of", h.Planned, h.NotRead)
	// Output:
	// 4 of 4 []
}

// What a used box is worth: the class that each dial still meets.
func ExampleClassMet() {
	for _, table := range []string{soundTable, highTable} {
		fmt.Println(judged(table).ClassMet[0])
	}
	// Output:
	// The ×100 dial meets 0.02 %: it needs 0.0178 %, at 1 (stated 0.1 %; 3 settings).
	// The ×100 dial meets 1 %: it needs 0.516 %, at 2 (stated 0.1 %; 3 settings).
}
