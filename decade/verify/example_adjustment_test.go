// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify_test

import (
	"fmt"
	"log"
	"os"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// cleaned is the box with one dial before and after its switch was cleaned: the contact
// at 2 was bad.
func cleaned() *verify.Adjustment {
	adjustment, err := judged(`setting, value, stage
0, 0.024, as found
1, 100.027, as found
2, 200.530, as found
0, 0.021, as left
1, 100.026, as left
2, 200.030, as left`).Adjustment()
	if err != nil {
		log.Fatal(err)
	}
	return adjustment
}

func ExampleReport_Adjustment() {
	report := judged("setting, value, stage\n0, 0.052, as found\n0, 0.021, as left")
	adjustment, err := report.Adjustment()
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
	// 0: -3.0 mΩ
	// 1: +2.0 mΩ
	// 2: -497.0 mΩ
}

func ExampleAdjustment_Summary() {
	for _, sentence := range cleaned().Summary() {
		fmt.Println(sentence)
	}
	// Output:
	// As found: 3 settings: 2 conform, 1 do not conform.
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
	// | 0 | 0 | +0.0240 | 0.0046 | conforms | +0.0210 | 0.0046 | conforms | -0.0030 | 0.0056 | 0.01 to 0.03 |
	// | 1 | 100 | +0.003 | 0.016 | conforms | +0.005 | 0.016 | conforms | +0.002 | 0.016 | ±0.1 |
	// | 2 | 200 | +0.506 | 0.027 | does not conform | +0.009 | 0.027 | conforms | -0.497* | 0.022 | ±0.2 |
}

func ExampleAdjustment_WriteText() {
	if err := cleaned().WriteText(os.Stdout); err != nil {
		log.Fatal(err)
	}
	// Output:
	// Box            one dial
	// Meter          bench meter
	// Decision rule  guard band w = 1·U on each side of a limit, U at 95 %
	//
	//   - As found: 3 settings: 2 conform, 1 do not conform.
	//   - As left: 3 settings: 3 conform, 0 do not conform.
	//   - 1 setting changed by more than the uncertainty of the change (95 %).
	//   - The box was out of its class as found: earlier work with it may be affected.
	//
	// Setting  Nominal/Ω  As found/Ω  U/Ω     Verdict           As left/Ω  U/Ω     Verdict   Change/Ω  U/Ω     Limits/Ω
	// 0        0          +0.0240     0.0046  conforms          +0.0210    0.0046  conforms  -0.0030   0.0056  0.01 to 0.03
	// 1        100        +0.003      0.016   conforms          +0.005     0.016   conforms  +0.002    0.016   ±0.1
	// 2        200        +0.506      0.027   does not conform  +0.009     0.027   conforms  -0.497*   0.022   ±0.2
}

// In the change the gain of the meter drops out, since both were read in one session.
func ExampleAdjustmentRow() {
	row := cleaned().Rows[2]
	fmt.Printf("%v: U %.0f mΩ as found, U %.1f mΩ of the change\n", row.Setting, 1e3*row.Found.Expanded.U, 1e3*row.Change.Expanded.U)
	// Output:
	// 2: U 27 mΩ as found, U 21.8 mΩ of the change
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

// Ten steps of 1 Ω against one of 10 Ω with a meter of 0.5 %: too coarse for either, but
// 50 mΩ between them is more than both classes allow.
func ExampleComparison() {
	box, err := decade.New(decade.Spec{Name: "two dials", Decades: []decade.Decade{
		{Name: "×10", Step: 10, Positions: 1, Tolerance: 0.001}, {Name: "×1", Step: 1, Tolerance: 0.001},
	}})
	if err != nil {
		log.Fatal(err)
	}
	meter := &verify.Meter{Name: "old meter", Wiring: verify.FourWire, OffsetCompensated: true, Ranges: []verify.Range{
		{Name: "20 Ω", FullScale: 20, OfReading: 0.005, OfRange: 0.0001, Resolution: 0.001},
	}}
	readings, err := verify.Read(strings.NewReader("setting, value\n0-0, 0\n1-0, 9.980\n0-10, 10.030"), box)
	if err != nil {
		log.Fatal(err)
	}
	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	comparisons, err := report.Comparisons()
	if err != nil {
		log.Fatal(err)
	}
	c := comparisons[0]
	fmt.Printf("%+.3f Ω, U %.3f Ω; alone ± %.3f Ω\n", c.Difference.Estimate(), c.Expanded.U, report.Rows[1].Expanded.U)
	fmt.Println(c)
	// Output:
	// -0.050 Ω, U 0.023 Ω; alone ± 0.059 Ω
	// 1-0 reads -50 mΩ against 0-10, U = 22.8 mΩ: more than both classes together allow (20 mΩ). At least one of the two is outside its class; the comparison does not say which.
}

// EA-4/02 M:2013, supplement S3 (from memory): a resistor of 10 kΩ by substitution against
// a standard, with a meter that is stable between the two readings. The scatter of the ratio is put into
// the readings of the unknown.
func ExampleStandard() {
	box, err := decade.New(decade.Spec{Name: "10 kΩ", Decades: []decade.Decade{{Step: 10e3, Positions: 1}}})
	if err != nil {
		log.Fatal(err)
	}
	s, _ := box.At(1)
	meter := &verify.Meter{Name: "bench meter", Wiring: verify.FourWire, OffsetCompensated: true, Ranges: []verify.Range{{Name: "10 kΩ", FullScale: 12e3, OfReading: 1e-3}}}
	unknown := verify.Reading{Setting: s, Values: []float64{10000.104, 10000.107, 10000.106, 10000.103, 10000.105}}
	report, err := verify.Evaluate(box, meter, []verify.Reading{unknown}, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	value := uncertainty.Input("certificate", uncertainty.Certificate(10000.053, 0.005, 2)).
		Add(uncertainty.Input("drift", uncertainty.Rectangular(0.020, 0.010))).
		Add(uncertainty.Input("temperature of the standard", uncertainty.Rectangular(0, 0.00275))).
		Sub(uncertainty.Input("temperature of the unknown", uncertainty.Rectangular(0, 0.0055))).
		Mul(uncertainty.Input("parasitics", uncertainty.Triangular(1, 1e-6)))
	standard := verify.Standard{Name: "standard 10 kΩ", Value: value, Reading: verify.Reading{Values: []float64{10000, 10000, 10000, 10000, 10000}}}
	corrected, err := report.Substitute(standard)
	if err != nil {
		log.Fatal(err)
	}
	b, err := uncertainty.Evaluate(corrected.Rows[0].Measured)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(standard)
	fmt.Printf("unknown %.3f Ω, standard uncertainty %.2f mΩ\n", b.Estimate, 1e3*b.StandardUncertainty)
	// Output:
	// standard 10 kΩ: 10000.0730(83)
	// unknown 10000.178 Ω, standard uncertainty 8.33 mΩ
}
