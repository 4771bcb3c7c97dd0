// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate_test

import (
	"fmt"
	"log"
	"strings"
	"time"

	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
)

// drifting is the box with two dials after a year: everything reads 400 ppm more.
func drifting() *calibrate.Drift {
	box, report := twoDials()
	first, err := calibrate.NewCalibration(report, "two dials 8, 2026-03-02")
	if err != nil {
		log.Fatal(err)
	}
	var readings []verify.Reading
	for _, row := range report.Rows {
		rd := row.Reading
		rd.Session, rd.Time = "2027", rd.Time.AddDate(1, 0, 0)
		rd.Values = []float64{rd.Values[0] * 1.0004}
		readings = append(readings, rd)
	}
	next, err := verify.Evaluate(box, &report.Meter, readings, report.Rule)
	if err != nil {
		log.Fatal(err)
	}
	second, err := calibrate.NewCalibration(next, "two dials 8, 2027-03-02")
	if err != nil {
		log.Fatal(err)
	}
	drift, err := calibrate.NewDrift(box, first, second)
	if err != nil {
		log.Fatal(err)
	}
	return drift
}

// Two calibrations make a line for the residual and for each element, and a warning.
func ExampleDrift() {
	drift := drifting()
	fmt.Println(len(drift.Calibrations), "calibrations,", len(drift.Lines), "lines")
	for _, warning := range drift.Warnings {
		fmt.Println(warning)
	}
	// Output:
	// 2 calibrations, 7 lines
	// calibrate.NewDrift: two calibrations: nothing checks that the change was steady. Uncertainties come from the records alone, and a step cannot be told from a drift.
}

// What the box is expected to be a year later, as a calibration for Box.With. The values
// go on as they went: 20.0097 Ω and 8 mΩ, then 8 mΩ more.
func ExampleDrift_At() {
	drift := drifting()
	expected, err := drift.At(time.Date(2028, 3, 1, 0, 0, 0, 0, time.UTC))
	if err != nil {
		log.Fatal(err)
	}
	box, err := drift.Box.With(expected)
	if err != nil {
		log.Fatal(err)
	}
	s, _ := box.At(2, 0)
	increment, err := uncertainty.Evaluate(box.Zero().ChangeTo(s))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%v: %.3f Ω, U %.3f Ω\n", s, increment.Estimate, increment.Expanded.U)
	// Output:
	// 2-0: 20.026 Ω, U 0.004 Ω
}

// A setting that has room in its class for a few years more.
func ExampleDrift_Due() {
	drift := drifting()
	for _, positions := range [][]int{{1, 0}, {0, 5}} {
		s, _ := drift.Box.At(positions...)
		due, ok, err := drift.Due(s, 0.95)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(s, due.Format("2006-01"), ok)
	}
	// Output:
	// 1-0 2027-06 true
	// 0-5 2031-01 true
}

// When to send the box in: the setting that leaves its class first.
func ExampleDrift_FirstDue() {
	s, due, ok, err := drifting().FirstDue(0.95)
	fmt.Println(s, due.Format("2006-01"), ok, err)
	// Output:
	// 2-0 2027-03 true <nil>
}

// The head and the first dial of the table.
func ExampleDrift_WriteText() {
	var text strings.Builder
	if err := drifting().WriteText(&text); err != nil {
		log.Fatal(err)
	}
	for line := range strings.Lines(text.String()) {
		if strings.HasPrefix(line, "Element") || strings.HasPrefix(line, "×10") {
			fmt.Print(line)
		}
	}
	// Output:
	// Element        Nominal/Ω  Change/mΩ  U/mΩ  Change/ppm  Rate/(ppm/year)  U/(ppm/year)
	// ×10 element 1  10         +4.0*      1.4   +400        +400             140
	// ×10 element 2  10         +4.0*      1.4   +400        +400             140
}

func ExampleDrift_WriteMarkdown() {
	var text strings.Builder
	if err := drifting().WriteMarkdown(&text); err != nil {
		log.Fatal(err)
	}
	for line := range strings.Lines(text.String()) {
		if strings.HasPrefix(line, "| ×10 element 1") {
			fmt.Print(line)
		}
	}
	// Output:
	// | ×10 element 1 | 10 | +4.0* | 1.4 | +400 | +400 | 140 |
}

func ExampleDrift_WriteCSV() {
	var text strings.Builder
	if err := drifting().WriteCSV(&text); err != nil {
		log.Fatal(err)
	}
	head, _, _ := strings.Cut(text.String(), "\n")
	fmt.Println(head)
	// Output:
	// element,nominal,change,expanded uncertainty of change,rate,expanded uncertainty of rate
}

// The line of one element: 400 ppm of 5 Ω are 2 mΩ.
func ExampleDriftLine() {
	line := drifting().Lines[6]
	change, err := uncertainty.Evaluate(line.Change)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s: %+.1f mΩ, U %.1f mΩ\n", line.Name, 1e3*change.Estimate, 1e3*change.Expanded.U)
	// Output:
	// ×1 element 4: +2.0 mΩ, U 0.7 mΩ
}
