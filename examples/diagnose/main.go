// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Diagnose finds out what is wrong inside a decade box, one reading at a time.
//
//	go run ./examples/diagnose
//	go run ./examples/diagnose -seed 7
//
// The box, its fault and the readings are invented: a box of three dials, one element of
// which was once overheated. A few readings show that something is wrong, not what: any
// element of the dial, its contact or a bridge could do it. From then on the program asks
// for the reading that tells the remaining causes apart best, takes it, and thinks again,
// as one would at the bench.
//
// At a real bench: disconnect the box from everything and discharge it first, keep the
// test current within the rating of the smallest dial in use, and remember that
// insulation testers and high-ohm ranges carry dangerous voltage. Local codes and
// licensed practice come first.
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

func main() {
	seed := flag.Uint64("seed", 1, "of the simulated box and meter")
	flag.Parse()
	if err := run(context.Background(), *seed, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "diagnose:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, seed uint64, out io.Writer) error {
	// The box as its plate describes it: three ladders of ten steps, 0.1 %, with 20 mΩ of
	// residual resistance and contacts that repeat within half a milliohm.
	box, err := decade.New(decade.Spec{
		Name: "training box", Residual: 0.020, ResidualTolerance: 0.010, Contact: 0.0005,
		Decades: []decade.Decade{{Step: 1000, Tolerance: 0.001}, {Step: 100, Tolerance: 0.001}, {Step: 10, Tolerance: 0.001}},
	})
	if err != nil {
		return err
	}
	meter := fourWireMeter()

	// What nobody at the bench knows: element 7 of the ×100 dial is 1.7 Ω high.
	truth := fault.Fault{Kind: fault.KindDrift, A: fault.Place{Part: fault.PartElement, Dial: 1, Number: 7}, Value: 1.7}
	specimen, err := fault.NewSpecimen(box, meter, seed, truth)
	if err != nil {
		return err
	}

	// Triage: zero, each dial at its maximum alone, everything at maximum.
	readings, err := specimen.ReadAll(triage(box)...)
	if err != nil {
		return err
	}
	for _, r := range readings {
		show(out, r)
	}

	// Evaluate and diagnose; read what separates the causes; and so on.
	const most = 12
	for range most {
		report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
		if err != nil {
			return err
		}
		answer, err := inspect.New(ctx, report, fault.Options{})
		if err != nil {
			return err
		}
		if answer.Next.Act != fault.ActDial && answer.Next.Act != fault.ActDialAgain {
			return finish(out, answer, truth)
		}
		think(out, answer)
		next, err := specimen.Read(answer.Next.Setting)
		if err != nil {
			return err
		}
		show(out, next)
		readings = append(readings, next)
	}
	fmt.Fprintln(out, "\nEnough for today: the causes above are what is left.")
	return nil
}

func show(out io.Writer, r verify.Reading) {
	if r.Overload {
		fmt.Fprintf(out, "%-10v above range\n", r.Setting)
		return
	}
	fmt.Fprintf(out, "%-10v %12.4f Ω, nominal %g Ω\n", r.Setting, r.Values[0], r.Setting.Nominal())
}

// think prints what leads, and what to do next.
func think(out io.Writer, a *inspect.Answer) {
	fmt.Fprintf(out, "\nAfter %d readings\n", a.Diagnosis.Readings)
	for _, cause := range a.Causes() {
		fmt.Fprintln(out, "  "+cause)
	}
	fmt.Fprintln(out, a.Next.Text)
}

// finish prints the answer once no reading tells more.
func finish(out io.Writer, a *inspect.Answer, truth fault.Fault) error {
	fmt.Fprintln(out)
	if err := a.WriteAdvice(out); err != nil {
		return err
	}
	_, err := fmt.Fprintf(out, "\nWhat was put in: %s\n", truth.In(a.Report.Box))
	return err
}
