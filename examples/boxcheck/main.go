// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Boxcheck checks a decade box against its accuracy class: it reads what the box is,
// what the meter promises and what the meter showed, and says what was found.
//
//	go run ./examples/boxcheck
//	# What to read: a sheet to fill in. With -decimal comma for a spreadsheet that wants it.
//	go run ./examples/boxcheck -box box.json -plan > readings.csv
//	go run ./examples/boxcheck -box box.json -plan -decimal comma > readings.csv
//	# The report of what was read.
//	go run ./examples/boxcheck -box box.json -meter meter.json -readings readings.csv
//	go run ./examples/boxcheck -box box.json -meter meter.json -readings readings.csv -out report
//
// The report is text, Markdown, CSV or JSON (-format), on the terminal or in a folder (-out).
// Without files it runs on a demonstration with invented data: a used six-decade box,
// 0.1 Ω to 10 kΩ per step, read four-wire with a 6½-digit meter. Someone overloaded it
// with the 1 kΩ dial at 1, and one contact of the 0.1 Ω dial is dirty.
//
// The check needs the box disconnected from everything, discharged, and a test current
// within the rating of its smallest dial. Local codes and licensed practice come first.
package main

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/uncertainty/unit"
)

//go:embed demo
var demo embed.FS

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "boxcheck:", unit.WithoutOp(err))
		os.Exit(1)
	}
}

func run(args []string, out io.Writer) error {
	p := files.New("boxcheck", demo,
		"go run ./examples/boxcheck -box mybox/box.json -plan > mybox/readings.csv",
		"go run ./examples/boxcheck -box mybox/box.json -meter mybox/meter.json -readings "+
			"mybox/readings.csv")
	boxFile, meterFile, readingsFile := p.File("box"), p.File("meter"), p.File("readings")
	plan := p.Flags.Bool("plan", false, "write a sheet of settings to read for -box (CSV), and "+
		"check nothing")
	decimal := p.Flags.String("decimal", "", "`mark` of the spreadsheet that -plan is filled in "+
		"with: point or comma")
	p.Formats("text", "markdown", "csv", "json")
	if run, err := p.Parse(args, out); !run {
		return err
	}
	if *plan {
		for _, name := range []string{"meter", "readings", "format", "out"} {
			if p.Given(name) {
				return fmt.Errorf("-%s with -plan; expected -box and -decimal alone", name)
			}
		}
		return writePlan(p, out, *boxFile, *decimal)
	}
	if p.Given("decimal") {
		return errors.New("-decimal without -plan; readings are read with either mark")
	}
	if _, err := p.All("box", "meter", "readings"); err != nil {
		return err
	}
	report, err := files.OpenReport(p, *boxFile, *meterFile, *readingsFile, "readings.csv")
	if err != nil {
		return err
	}
	// 5. What may be wrong inside, the next step, and the repair: one answer.
	answer, err := inspect.New(context.Background(), report, fault.Options{})
	if err != nil {
		return err
	}
	answer.Budget = answer.Strongest() // and where the uncertainty of one reading comes from
	// examples/formats/README.md describes the last two forms, which are for other programs.
	return p.Write(out, "boxcheck", files.Form{Format: "text", Write: answer.WriteText},
		files.Form{Format: "markdown", Write: answer.WriteMarkdown},
		files.Form{Format: "csv", Write: answer.WriteCSV}, files.JSON(answer))
}

// writePlan writes the sheet to take to the bench: settings that determine every element
// and check it, with room for three values each. The decimal mark, if any, is that of the
// spreadsheet which it is filled in with.
func writePlan(p *files.Program, out io.Writer, boxFile, decimal string) error {
	box, err := files.Open(p, boxFile, "box.json", decade.ReadBox)
	if err != nil {
		return err
	}
	plan, err := verify.NewPlan(box, verify.ExtentRecommended)
	if err != nil {
		return err
	}
	switch strings.ToLower(decimal) {
	case "":
		return plan.WriteCSV(out, 3)
	case "point", "comma":
		return plan.WriteSheet(out,
			verify.Sheet{Repeats: 3, DecimalComma: strings.ToLower(decimal) == "comma"})
	}
	return fmt.Errorf("-decimal %q; expected point or comma", decimal)
}
