// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Boxcheck checks a decade box against its accuracy class: it reads what the box is,
// what the meter promises and what the meter showed, and says what was found.
//
//	go run ./examples/boxcheck
//	go run ./examples/boxcheck -box box.json -plan > readings.csv    # what to read: a sheet to fill in
//	go run ./examples/boxcheck -box box.json -plan -decimal comma > readings.csv    # for a spreadsheet
//	go run ./examples/boxcheck -box box.json -meter meter.json -readings readings.csv -format markdown
//
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
	"flag"
	"fmt"
	"io"
	"os"
	"path"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

//go:embed demo
var demo embed.FS

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "boxcheck:", err)
		os.Exit(1)
	}
}

func run(args []string, out io.Writer) error {
	flags := flag.NewFlagSet("boxcheck", flag.ContinueOnError)
	boxFile := flags.String("box", "", "`file` that describes the box (JSON)")
	meterFile := flags.String("meter", "", "`file` that describes the meter (JSON)")
	readingsFile := flags.String("readings", "", "`file` of readings (CSV)")
	plan := flags.Bool("plan", false, "write a sheet of settings to read for -box (CSV), and check nothing")
	decimal := flags.String("decimal", "", "`mark` of the spreadsheet that -plan is filled in with: point or comma")
	format := flags.String("format", "text", "text, markdown, csv or json")
	if err := flags.Parse(args); errors.Is(err, flag.ErrHelp) {
		return nil
	} else if err != nil {
		return err
	}
	if flags.NArg() > 0 {
		return fmt.Errorf("argument %q; expected files by -box, -meter and -readings", flags.Arg(0))
	}
	if *plan {
		return writePlan(out, *boxFile, *decimal)
	}
	report, err := check(*boxFile, *meterFile, *readingsFile)
	if err != nil {
		return err
	}
	// 5. What may be wrong inside, the next step, and the repair: one answer.
	answer, err := inspect.New(context.Background(), report, fault.Options{})
	if err != nil {
		return err
	}
	answer.Budget = answer.Strongest() // and where the uncertainty of one reading comes from
	return write(out, answer, *format)
}

// check does the job: three texts in, a report out.
func check(boxFile, meterFile, readingsFile string) (*verify.Report, error) {
	given := 0
	for _, name := range []string{boxFile, meterFile, readingsFile} {
		if name != "" {
			given++
		}
	}
	if given != 0 && given != 3 {
		return nil, fmt.Errorf("%d of the files -box, -meter and -readings given; expected all three, or none for the demonstration", given)
	}
	// 1. What the box is: dials, class, residual, temperature law.
	box, err := read(boxFile, "box.json", decade.ReadBox)
	if err != nil {
		return nil, err
	}
	// 2. What the meter promises.
	meter, err := read(meterFile, "meter.json", verify.ReadMeter)
	if err != nil {
		return nil, err
	}
	// 3. What it showed.
	readings, err := read(readingsFile, "readings.csv", func(r io.Reader) ([]verify.Reading, error) { return verify.ReadReadings(r, box) })
	if err != nil {
		return nil, err
	}
	// 4. The verdict, with a guard band as wide as the uncertainty: what conforms does so
	// with a risk of at most 2.5 %, and what is too close to a limit stays undecided.
	return verify.Evaluate(box, meter, readings, conformity.Guarded(1))
}

// read opens a file, or the one of the demonstration, and reads it.
func read[T any](name, demonstration string, from func(io.Reader) (T, error)) (T, error) {
	var none T
	shown := name
	open := func() (io.ReadCloser, error) { return os.Open(name) }
	if name == "" {
		shown = path.Join("demo", demonstration)
		open = func() (io.ReadCloser, error) { return demo.Open(shown) }
	}
	f, err := open()
	if err != nil {
		return none, err
	}
	defer f.Close()
	v, err := from(f)
	if err != nil {
		return none, fmt.Errorf("%s: %w", shown, err)
	}
	return v, nil
}
