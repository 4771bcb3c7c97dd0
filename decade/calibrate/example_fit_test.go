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
	"example.com/ohmwright/uncertainty"
)

// slipped is the report of the box with two dials, with two digits of the last closure
// exchanged: 30.0133 where 30.0313 was read.
func slipped() *verify.Report {
	box, report := twoDials()
	var readings []verify.Reading
	for _, row := range report.Rows {
		rd := row.Reading
		if rd.Values[0] == 30.0313 {
			rd.Values = []float64{30.0133}
		}
		readings = append(readings, rd)
	}
	again, err := verify.Evaluate(box, &report.Meter, readings, report.Rule)
	if err != nil {
		log.Fatal(err)
	}
	return again
}

// The fit finds every element, and readings beyond that check each other.
func ExampleFit() {
	_, report := twoDials()
	fit, err := calibrate.NewFit(report, verify.StageAsFound)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("chi-squared %.2f with %d degrees of freedom\n", fit.ChiSquared, fit.DOF)
	for _, q := range fit.Elements[0] {
		b, _ := uncertainty.Evaluate(q)
		fmt.Println(q.Name(), b.PlusMinus(2))
	}
	// Output:
	// chi-squared 0.23 with 3 degrees of freedom
	// ×10 element 1 (10.0037 ± 0.0010) Ω
	// ×10 element 2 (10.0061 ± 0.0010) Ω
}

// The sheet shows that the reading at 2-10, row 8, was a recording error: leave it out, and
// take the rest as the calibration.
func ExampleFit_Calibration() {
	fit, err := calibrate.NewFit(slipped(), verify.StageAsFound, 8)
	if err != nil {
		log.Fatal(err)
	}
	calibration, err := fit.Calibration("two dials 8, 2026-03-02, without 2-10")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(calibration.Values.ID, len(calibration.Values.Quantities), "values")
	// Output:
	// two dials 8, 2026-03-02, without 2-10 7 values
}

func ExampleFit_Consistent() {
	_, report := twoDials()
	good, err := calibrate.NewFit(report, verify.StageAsFound)
	if err != nil {
		log.Fatal(err)
	}
	bad, err := calibrate.NewFit(slipped(), verify.StageAsFound)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(good.Consistent(), bad.Consistent())
	// Output:
	// true false
}

func ExampleFit_String() {
	fit, err := calibrate.NewFit(slipped(), verify.StageAsFound)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(fit)
	// Output:
	// 6 elements and the residual from 10 readings as found: chi-squared 7.48e+03 with 3 degrees of freedom, probability 0
}

// What each reading leaves, and how far it is from what the others say.
func ExampleFitRow() {
	_, report := twoDials()
	fit, err := calibrate.NewFit(report, verify.StageAsFound)
	if err != nil {
		log.Fatal(err)
	}
	row := fit.Rows[8]
	fmt.Printf("%v: %+.1f mΩ left of u = %.1f mΩ, %+.1f standard deviations\n", row.Setting, 1e3*row.Residual, 1e3*row.Uncertainty, row.Statistic)
	// Output:
	// 2-10: +0.2 mΩ left of u = 1.8 mΩ, -0.5 standard deviations
}

// A recording error is found, because other readings contain the same elements. Two of
// them would explain it; a third would tell which.
func ExampleOutlier() {
	fit, err := calibrate.NewFit(slipped(), verify.StageAsFound)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(fit.Outliers[0].Text)
	// Output:
	// One of these readings is off by 86.5 standard deviations, and the others do not say which: 2-0; 2-10. Dial them again.
}

// newTable is the table of the box with two dials.
func newTable() *calibrate.DeviationTable {
	box, report := twoDials()
	calibration, err := calibrate.NewCalibration(report, "two dials 8, 2026-03-02")
	if err != nil {
		log.Fatal(err)
	}
	measured, err := box.With(calibration)
	if err != nil {
		log.Fatal(err)
	}
	table, err := calibrate.Deviations(measured, 0)
	if err != nil {
		log.Fatal(err)
	}
	return table
}

func ExampleDeviationTable() {
	table := newTable()
	fmt.Printf("%s, coverage %.0f %%: residual %.2f mΩ, %d dials\n", table.Box.Name(), 100*table.Coverage, 1e3*table.Residual.Value, len(table.Dials))
	// Output:
	// two dials, coverage 95 %: residual 21.29 mΩ, 2 dials
}

// The position that comes closest to the limit of its class.
func ExampleDeviationRow() {
	var worst calibrate.DeviationRow
	for _, dial := range newTable().Dials {
		for _, row := range dial.Rows {
			if worst.Limit == 0 || row.Deviation/row.Limit > worst.Deviation/worst.Limit {
				worst = row
			}
		}
	}
	fmt.Printf("%v: %+.1f mΩ of ±%.0f mΩ, U %.1f mΩ\n", worst.Setting, 1e3*worst.Deviation, 1e3*worst.Limit, 1e3*worst.Expanded.U)
	// Output:
	// 2-0: +9.8 mΩ of ±20 mΩ, U 2.0 mΩ
}

func ExampleDialDeviations() {
	dial := newTable().Dials[0]
	for _, row := range dial.Rows {
		fmt.Printf("%s at %d: %.4f Ω\n", dial.Name, row.Position, row.Value)
	}
	// Output:
	// ×10 at 1: 10.0037 Ω
	// ×10 at 2: 20.0098 Ω
}

// The head and the first position, for a spreadsheet.
func ExampleDeviationTable_WriteCSV() {
	var text strings.Builder
	if err := newTable().WriteCSV(&text); err != nil {
		log.Fatal(err)
	}
	lines := strings.Split(text.String(), "\n")
	fmt.Println(lines[0])
	fmt.Println(strings.Join(strings.Split(lines[2], ",")[:4], ","))
	// Output:
	// dial,position,setting,nominal,value,deviation,expanded uncertainty,coverage factor,limit
	// ×10,1,1-0,10
}

// The first dial of the table.
func ExampleDeviationTable_WriteMarkdown() {
	var text strings.Builder
	if err := newTable().WriteMarkdown(&text); err != nil {
		log.Fatal(err)
	}
	_, after, _ := strings.Cut(text.String(), "×10")
	rows := 0
	for line := range strings.Lines(after) {
		if strings.HasPrefix(line, "|") && rows < 4 {
			fmt.Print(line)
			rows++
		}
	}
	// Output:
	// | Position | Nominal/Ω | Value/Ω | Deviation/mΩ | U/mΩ | Deviation/ppm | U/ppm | Class/mΩ |
	// |---|--:|--:|--:|--:|--:|--:|--:|
	// | 1 | 10 | 10.0037 | +3.7 | 1.0 | +370 | 100 | ±10 |
	// | 2 | 20 | 20.0098 | +9.8 | 2.0 | +490 | 100 | ±20 |
}

// A calibrated box keeps its table as a certificate has it; here of one dial alone.
func ExampleDeviationTable_WriteText() {
	box, err := decade.New(decade.Spec{Name: "one step", Residual: 0.02, Decades: []decade.Decade{{Name: "×10", Step: 10, Positions: 1, Tolerance: 0.001}}})
	if err != nil {
		log.Fatal(err)
	}
	measured, err := box.With(&decade.Calibration{Box: "one step", Values: uncertainty.Record{ID: "certificate 17", Quantities: []uncertainty.Quantity{
		uncertainty.Input("residual", uncertainty.Certificate(0.021, 0.001, 2)),
		uncertainty.Input("×10 element 1", uncertainty.Certificate(10.003, 0.0006, 2)),
	}}})
	if err != nil {
		log.Fatal(err)
	}
	table, err := calibrate.Deviations(measured, 0.95)
	if err != nil {
		log.Fatal(err)
	}
	if err := table.WriteText(os.Stdout); err != nil {
		log.Fatal(err)
	}
	// Output:
	// Box: one step
	// Record: certificate 17
	// Residual, all dials at zero: 21.00 ± 0.98 mΩ
	// Values are above the zero setting: the residual is not in them. Deviation is measured minus nominal, at reference conditions, without switching variation.
	// U has a coverage probability of 95 %.
	//
	// Dial ×10
	// Position  Nominal/Ω  Value/Ω   Deviation/mΩ  U/mΩ  Deviation/ppm  U/ppm  Class/mΩ
	// 1         10         10.00300  +3.00         0.59  +300           59     ±10
}
