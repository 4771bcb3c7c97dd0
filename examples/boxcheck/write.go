// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
)

// write prints the report in the form that was asked for. examples/formats/README.md
// describes the last two, which are for other programs.
func write(out io.Writer, report *verify.Report, format string) error {
	switch strings.ToLower(format) {
	case "text":
		if err := report.WriteText(out); err != nil {
			return err
		}
		return writeBudget(out, report, (*uncertainty.Budget).WriteText)
	case "markdown":
		if err := report.WriteMarkdown(out); err != nil {
			return err
		}
		return writeBudget(out, report, (*uncertainty.Budget).WriteMarkdown)
	case "csv":
		return report.WriteCSV(out)
	case "json":
		text, err := json.MarshalIndent(report, "", "  ")
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(out, "%s\n", text)
		return err
	}
	return fmt.Errorf("format %q; expected text, markdown, csv or json", format)
}

// writeBudget shows where one uncertainty comes from, line by line.
func writeBudget(out io.Writer, report *verify.Report, form func(*uncertainty.Budget, io.Writer) error) error {
	row := example(report)
	if row == nil {
		return nil
	}
	fmt.Fprintf(out, "\nOne budget in full: the deviation at %v, nominal %v Ω\n\n", row.Setting, row.Nominal)
	return form(row.Budget, out)
}

// example is the row to show: the first of a step outside its class, else the
// last one with a value.
func example(report *verify.Report) *verify.Row {
	for _, f := range report.Findings {
		if f.Kind != verify.FindingStep {
			continue
		}
		for _, s := range f.Settings {
			for _, row := range report.At(s) {
				if row.Budget != nil {
					return &row
				}
			}
		}
	}
	for i := len(report.Rows) - 1; i >= 0; i-- {
		if report.Rows[i].Budget != nil {
			return &report.Rows[i]
		}
	}
	return nil
}

// writePlan writes the sheet to take to the bench: settings that determine every element
// and check it, with room for three values each.
func writePlan(out io.Writer, boxFile string) error {
	box, err := read(boxFile, "box.json", decade.ReadBox)
	if err != nil {
		return err
	}
	plan, err := verify.NewPlan(box, verify.ExtentRecommended)
	if err != nil {
		return err
	}
	return plan.WriteCSV(out, 3)
}
