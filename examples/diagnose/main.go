// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Diagnose finds out what is wrong inside a decade box, one reading at a time.
//
//	go run ./examples/diagnose
//	go run ./examples/diagnose -box box.json -meter meter.json -readings readings.csv
//	go run ./examples/diagnose -box box.json -meter meter.json -readings readings.csv -out report
//	go run ./examples/diagnose -train -seed 7 -box box.json -meter meter.json
//
// With files it works at the bench: it asks for the reading that tells most, with the caution
// that belongs to it, takes what is typed, saves it in the file of readings and thinks again.
// That file need not exist yet; where it does, the work goes on from there. With -format or
// -out it asks for nothing and says what the readings so far say.
//
// With -train, or without anything, it is a lesson: the specimen and its fault are simulated.
// In that of the lesson without files, a box of three dials, one element was once overheated.
// A few readings show that something is wrong, not what: any element of the dial, its contact
// or a bridge could do it. From then on the reading comes that tells the remaining causes
// apart best, as one would choose it at the bench.
//
// At a real bench: disconnect the box from everything and discharge it first, keep the
// test current within the rating of the smallest dial in use, and remember that
// insulation testers and high-ohm ranges carry dangerous voltage. Local codes and
// licensed practice come first.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

func main() {
	if err := run(context.Background(), os.Args[1:], os.Stdin, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "diagnose:", unit.WithoutOp(err))
		os.Exit(1)
	}
}

func run(ctx context.Context, arguments []string, in io.Reader, out io.Writer) error {
	const own = "-box mybox/box.json -meter mybox/meter.json -readings mybox/readings.csv"
	p := files.New("diagnose", nil,
		"go run ./examples/diagnose "+own,
		"go run ./examples/diagnose "+own+" -out mybox/report")
	boxFile, meterFile, readingsFile := p.File("box"), p.File("meter"), p.File("readings")
	train := p.Flags.Bool("train", false, "a lesson on a simulated box with a fault, by -box and "+
		"-meter if given")
	seed := p.Flags.Uint64("seed", 1, "`number` that selects the simulated box of -train")
	p.Formats("text", "markdown", "csv", "json")
	p.Explain(func(w io.Writer) error {
		_, err := fmt.Fprintf(w, "\nWhat can be typed at the bench:\n%s", typed)
		return err
	})
	if run, err := p.Parse(arguments, out); !run {
		return err
	}
	asked := p.Given("readings") || p.Given("format") || p.Given("out")
	switch alone := !asked && !p.Given("box") && !p.Given("meter"); {
	case *train && asked:
		return errors.New("-readings, -format or -out with -train; " +
			"expected -box, -meter and -seed alone: the box is simulated")
	case *train || alone:
		return lesson(ctx, p, *boxFile, *meterFile, *seed, out)
	case p.Given("seed"):
		return errors.New("-seed without -train; expected it with a simulated box only")
	}
	if all, err := p.All("box", "meter", "readings"); err != nil {
		return err
	} else if !all {
		return errors.New("-format or -out alone; expected -box, -meter and -readings as well")
	}
	inspection, err := begin(p, *boxFile, *meterFile, *readingsFile)
	if err != nil {
		return err
	}
	if !p.Given("format") && !p.Given("out") {
		return newBench(inspection, *readingsFile, in, out).work(ctx)
	}
	answer, err := inspection.Complete(ctx)
	if err != nil {
		return err
	}
	answer.Budget = answer.Strongest()
	return p.Write(out, "diagnose", files.Form{Format: "text", Write: answer.WriteText},
		files.Form{Format: "markdown", Write: answer.WriteMarkdown},
		files.Form{Format: "csv", Write: answer.WriteCSV}, files.JSON(answer))
}

// begin reads box and meter, and what was read of the box before.
func begin(p *files.Program, boxFile, meterFile, readingsFile string) (*inspect.Inspection, error) {
	box, err := files.Open(p, boxFile, "", decade.ReadBox)
	if err != nil {
		return nil, err
	}
	meter, err := files.Open(p, meterFile, "", verify.ReadMeter)
	if err != nil {
		return nil, err
	}
	inspection, err := inspect.NewInspection(box, meter, conformity.Guarded(1), fault.Options{})
	if err != nil {
		return nil, err
	}
	readings, err := files.Open(p, readingsFile, "",
		func(r io.Reader) ([]verify.Reading, error) { return verify.ReadReadings(r, box) })
	switch {
	case errors.Is(err, fs.ErrNotExist), unread(err): // the first reading makes it
	case err != nil:
		return nil, err
	default:
		if err := inspection.Add(readings...); err != nil {
			return nil, fmt.Errorf("%s: %w", readingsFile, err)
		}
	}
	return inspection, nil
}

// unread reports whether an error says that a file has columns and no reading yet: a plan that
// nobody filled in.
func unread(err error) bool {
	e, ok := errors.AsType[*verify.Error](err)
	return ok && e.Name == "" && errors.Is(err, verify.ErrEmpty)
}
