// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate_test

import (
	"fmt"
	"log"
	"os"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// newDial is a box with one dial, three steps of 100 Ω with 0.1 %.
func newDial() *decade.Box {
	box, err := decade.New(decade.Spec{Name: "one dial", Residual: 0.02, ResidualTolerance: 0.01,
		Decades: []decade.Decade{
			{Name: "×100", Step: 100, Positions: 3, Tolerance: 0.001},
		}})
	if err != nil {
		log.Fatal(err)
	}
	return box
}

// newMeter has one range of 1 kΩ, ±(0.01 % of reading + 4 ppm of range).
func newMeter() *verify.Meter {
	return &verify.Meter{Name: "bench meter", Wiring: verify.WiringFourWire,
		OffsetCompensated: true, Ranges: []verify.Range{
			{Name: "1 kΩ", FullScale: 1000, OfReading: 0.0001, OfRange: 4e-6, Resolution: 0.001},
		}}
}

// judged is the report of readings of that box with that meter.
func judged(table string) *verify.Report {
	box := newDial()
	readings, err := verify.ReadReadings(strings.NewReader(table), box)
	if err != nil {
		log.Fatal(err)
	}
	report, err := verify.Evaluate(box, newMeter(), readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	return report
}

// cleaned is the box with one dial before and after its switch was cleaned: the contact
// at 2 was bad.
func cleaned() *calibrate.Adjustment {
	adjustment, err := calibrate.NewAdjustment(judged(`setting, value, stage
0, 0.021, as found
1, 100.026, as found
2, 200.530, as found
0, 0.021, as left
1, 100.026, as left
2, 200.030, as left`))
	if err != nil {
		log.Fatal(err)
	}
	return adjustment
}

func ExampleNewAdjustment() {
	report := judged("setting, value, stage\n0, 0.052, as found\n0, 0.021, as left")
	adjustment, err := calibrate.NewAdjustment(report)
	if err != nil {
		log.Fatal(err)
	}
	for _, row := range adjustment.Rows {
		fmt.Println(row.Setting, "was", row.Found.Verdict, "and is", row.Left.Verdict)
	}
	// Output:
	// 0 was does not conform and is conforms
}

// What the cleaning changed at each setting.
func ExampleAdjustment() {
	for _, row := range cleaned().Rows {
		fmt.Printf("%v: %+.1f mΩ\n", row.Setting, 1e3*row.Change.Estimate)
	}
	// Output:
	// 0: +0.0 mΩ
	// 1: +0.0 mΩ
	// 2: -500.0 mΩ
}

func ExampleAdjustment_Summary() {
	for _, sentence := range cleaned().Summary() {
		fmt.Println(sentence)
	}
	// Output:
	// As found: 3 settings: 2 conform, 1 does not conform.
	// As left: 3 settings: 3 conform, 0 do not conform.
	// 1 setting changed by more than the uncertainty of the change (95 %).
	// The box was out of its class as found: earlier work with it may be affected.
}

func ExampleAdjustment_WriteCSV() {
	var text strings.Builder
	if err := cleaned().WriteCSV(&text); err != nil {
		log.Fatal(err)
	}
	head, rows, _ := strings.Cut(text.String(), "\n")
	fmt.Println(head)
	fmt.Println(strings.Count(rows, "\n"), "rows")
	// Output:
	// setting,nominal,deviation as found,expanded uncertainty as found,verdict as found,deviation as left,expanded uncertainty as left,verdict as left,change,expanded uncertainty of change
	// 3 rows
}

// The table alone.
func ExampleAdjustment_WriteMarkdown() {
	var text strings.Builder
	if err := cleaned().WriteMarkdown(&text); err != nil {
		log.Fatal(err)
	}
	for line := range strings.Lines(text.String()) {
		if strings.HasPrefix(line, "|") {
			fmt.Print(line)
		}
	}
	// Output:
	// | Setting | Nominal/Ω | As found/Ω | U/Ω | Verdict | As left/Ω | U/Ω | Verdict | Change/Ω | U/Ω | Limits/Ω |
	// |---|--:|--:|--:|--:|--:|--:|--:|--:|--:|--:|
	// | 0 | 0 | +0.0210 | 0.0039 | conforms | +0.0210 | 0.0039 | conforms | 0.00000 | 0.00080 | 0.01 to 0.03 |
	// | 1 | 100 | +0.005 | 0.013 | conforms | +0.005 | 0.013 | conforms | 0.0000 | 0.0011 | ±0.1 |
	// | 2 | 200 | +0.509 | 0.023 | does not conform | +0.009 | 0.022 | conforms | -0.5000* | 0.0011 | ±0.2 |
}

func ExampleAdjustment_WriteText() {
	if err := cleaned().WriteText(os.Stdout); err != nil {
		log.Fatal(err)
	}
	// Output:
	// Box            one dial
	// Class          ±0.1 % (×100) of the dialled value of each dial; residual 20 mΩ ± 10 mΩ, not
	//                included; limits in Ω
	// Meter          bench meter
	// Meter limits   1 kΩ: ±(0.01 % of reading + 4 ppm of range), one limit
	// Decision rule  guard band w = 1·U on each side of a limit, U at 95 %
	//
	// As found and as left
	//   - As found: 3 settings: 2 conform, 1 does not conform.
	//   - As left: 3 settings: 3 conform, 0 do not conform.
	//   - 1 setting changed by more than the uncertainty of the change (95 %).
	//   - The box was out of its class as found: earlier work with it may be affected.
	//
	// Changes
	// Setting  Nominal/Ω  As found/Ω  U/Ω     Verdict           As left/Ω  U/Ω     Verdict   Change/Ω  U/Ω      Limits/Ω
	// 0        0          +0.0210     0.0039  conforms          +0.0210    0.0039  conforms  0.00000   0.00080  0.01 to 0.03
	// 1        100        +0.005      0.013   conforms          +0.005     0.013   conforms  0.0000    0.0011   ±0.1
	// 2        200        +0.509      0.023   does not conform  +0.009     0.022   conforms  -0.5000*  0.0011   ±0.2
}

// In the change the gain of the meter drops out, since both were read in one session.
func ExampleAdjustmentRow() {
	row := cleaned().Rows[2]
	fmt.Printf("%v: U %.0f mΩ as found, U %.1f mΩ of the change\n", row.Setting,
		1e3*row.Found.Expanded.U, 1e3*row.Change.Expanded.U)
	// Output:
	// 2: U 23 mΩ as found, U 1.1 mΩ of the change
}

func ExampleAdjustmentRow_Changed() {
	for _, row := range cleaned().Rows {
		fmt.Println(row.Setting, row.Changed())
	}
	// Output:
	// 0 false
	// 1 false
	// 2 true
}

// A report of one's own, from the parts.
func ExampleAdjustment_Sections() {
	for _, s := range cleaned().Sections() {
		fmt.Println(s.Title, len(s.Texts), len(s.Rows))
	}
	// Output:
	// As found and as left 4 0
	// Changes 0 3
}
