// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify_test

import (
	"fmt"
	"log"
	"os"
	"strings"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
)

// newPlan is a plan for the box with one dial of three steps.
func newPlan(extent verify.Extent) *verify.Plan {
	plan, err := verify.NewPlan(newDial(), extent)
	if err != nil {
		log.Fatal(err)
	}
	return plan
}

// Zero, and each step once: four readings for the residual and three elements.
func ExamplePlan() {
	plan := newPlan(verify.ExtentMinimal)
	for _, step := range plan.Steps {
		fmt.Println(step.Setting, "for", step.Purpose)
	}
	// Output:
	// 0 for residual
	// 1 for elements
	// 2 for elements
	// 3 for elements
}

// How much is read, for one dial of three steps.
func ExampleExtent() {
	for _, extent := range []verify.Extent{verify.ExtentFull, verify.ExtentMinimal, verify.ExtentRecommended} {
		fmt.Printf("%v: %v\n", extent, newPlan(extent).Settings())
	}
	// Output:
	// full: [0 1 2 3 3]
	// minimal: [0 1 2 3]
	// recommended: [0 1 2 3 2 3 0]
}

// Three readings more than residual and elements: they can contradict.
func ExamplePlan_DegreesOfFreedom() {
	for _, extent := range []verify.Extent{verify.ExtentMinimal, verify.ExtentRecommended} {
		plan := newPlan(extent)
		fmt.Println(extent, len(plan.Steps), "readings,", plan.DegreesOfFreedom(), "to check them")
	}
	// Output:
	// minimal 4 readings, 0 to check them
	// recommended 7 readings, 3 to check them
}

func ExamplePlan_Determination() {
	d, err := newPlan(verify.ExtentMinimal).Determination()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(d.Rank, "of", d.Unknowns, "unknowns, complete:", d.Complete())
	// Output:
	// 4 of 4 unknowns, complete: true
}

// An hour to warm up; then for each of four settings 10 s to settle, three values of 5 s,
// and a second for each of three turns.
func ExamplePlan_Duration() {
	d, err := newPlan(verify.ExtentMinimal).Duration(verify.Pace{})
	fmt.Println(d, err)
	// Output:
	// 1h1m43s <nil>
}

// A meter that is warm already, and a quick hand: a second, then four times 3 s, and three
// turns.
func ExamplePace() {
	pace := verify.Pace{Prepare: time.Second, Settle: 2 * time.Second, Read: time.Second, Repeats: 1}
	d, err := newPlan(verify.ExtentMinimal).Duration(pace)
	fmt.Println(d, err)
	// Output:
	// 16s <nil>
}

func ExamplePlan_Settings() {
	for _, s := range newPlan(verify.ExtentFull).Settings() {
		fmt.Printf("%v (%.0f Ω)  ", s, s.Nominal())
	}
	fmt.Println()
	// Output:
	// 0 (0 Ω)  1 (100 Ω)  2 (200 Ω)  3 (300 Ω)  3 (300 Ω)
}

func ExamplePlan_String() {
	fmt.Println(newPlan(verify.ExtentFull))
	// Output:
	// full plan of "one dial": 5 readings, 1 degree of freedom
}

// A form to be filled in, which Read reads.
func ExamplePlan_WriteCSV() {
	if err := newPlan(verify.ExtentMinimal).WriteCSV(os.Stdout, 2); err != nil {
		log.Fatal(err)
	}
	// Output:
	// setting,dialling,range,temperature (°C),value 1 (Ω),value 2 (Ω)
	// 0,1,,,,
	// 1,1,,,,
	// 2,1,,,,
	// 3,1,,,,
}

func ExamplePlan_WriteText() {
	if err := newPlan(verify.ExtentMinimal).WriteText(os.Stdout); err != nil {
		log.Fatal(err)
	}
	// Output:
	// minimal plan of "one dial": 4 readings, 0 degrees of freedom
	// About 1h2m0s at the bench.
	// Disconnect the box from everything and discharge it; keep the test current within the rating of the
	// smallest dial in use. Read before cleaning or exercising anything: that is the as-found record.
	// Local codes and licensed practice come first.
	//
	// Setting  Nominal/Ω  For
	// 0        0          residual
	// 1        100        elements
	// 2        200        elements
	// 3        300        elements
}

// Zero comes again at the end: it shows whether the meter has drifted.
func ExamplePlanStep() {
	steps := newPlan(verify.ExtentRecommended).Steps
	last := steps[len(steps)-1]
	fmt.Printf("%v, dialling %d: %s\n", last.Setting, last.Dialling, last.Purpose)
	// Output:
	// 0, dialling 2: residual again
}

// Readings at 0 and 2 contain the first two elements only together, and the third nowhere.
func ExampleDetermination() {
	box := newDial()
	second, _ := box.At(2)
	d, err := verify.Determine(box, box.Zero(), second)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("together:", d.Together, "- missing:", d.Missing)
	fmt.Println(d)
	// Output:
	// together: [[×100 element 1 ×100 element 2]] - missing: [×100 element 3]
	// 3 of 4 elements and residual are undetermined; not in any reading: ×100 element 3; only together: ×100 element 1, ×100 element 2; to be read as well: 1, 3
}

func ExampleDetermination_Complete() {
	box := newDial()
	var settings []decade.Setting
	for s := range box.Settings() {
		settings = append(settings, s)
		d, err := verify.Determine(box, settings...)
		fmt.Print(len(settings), " ", d.Complete(), " ", err, "  ")
	}
	fmt.Println()
	// Output:
	// 1 false <nil>  2 false <nil>  3 false <nil>  4 true <nil>
}

// A sheet for a spreadsheet that writes decimal commas: semicolons between the cells, behind
// a byte-order mark, and room for remarks.
func ExamplePlan_WriteSheet() {
	var sheet strings.Builder
	err := newPlan(verify.ExtentMinimal).WriteSheet(&sheet, verify.Sheet{Repeats: 2, DecimalComma: true})
	fmt.Print(strings.TrimPrefix(sheet.String(), "\ufeff"))
	fmt.Println(err)
	// Output:
	// setting;dialling;range;temperature (°C);value 1 (Ω);value 2 (Ω);remarks
	// 0;1;;;;;
	// 1;1;;;;;
	// 2;1;;;;;
	// 3;1;;;;;
	// <nil>
}

// Settings of two or three dials look like dates to a spreadsheet: they have blanks instead.
func ExampleSheet() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 10, Positions: 1}, {Step: 1, Positions: 1}}})
	if err != nil {
		log.Fatal(err)
	}
	plan, err := verify.NewPlan(box, verify.ExtentMinimal)
	if err != nil {
		log.Fatal(err)
	}
	var sheet strings.Builder
	if err := plan.WriteSheet(&sheet, verify.Sheet{Repeats: 1}); err != nil {
		log.Fatal(err)
	}
	fmt.Print(strings.TrimPrefix(sheet.String(), "\ufeff"))
	// Output:
	// setting,dialling,range,temperature (°C),value 1 (Ω),remarks
	// 0 0,1,,,,
	// 1 0,1,,,,
	// 0 1,1,,,,
}

// Readings for a spreadsheet with decimal commas.
func ExampleSheet_WriteReadings() {
	box := newDial()
	setting, err := box.At(1)
	if err != nil {
		log.Fatal(err)
	}
	var sheet strings.Builder
	err = verify.Sheet{DecimalComma: true}.WriteReadings(&sheet, []verify.Reading{
		{Setting: box.Zero(), Values: []float64{0.021}, Temperature: new(23.2)},
		{Setting: setting, Values: []float64{100.026, 100.027}, Remarks: "no. 1.5"},
	})
	fmt.Print(strings.TrimPrefix(sheet.String(), "\ufeff"))
	fmt.Println(err)
	// Output:
	// setting;dialling;temperature (°C);remarks;value 1 (Ω);value 2 (Ω)
	// 0;1;23,2;;0,021;
	// 1;1;;no. 1.5;100,026;100,027
	// <nil>
}
