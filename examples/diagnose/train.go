// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

// lesson simulates a specimen and finds its fault.
func lesson(ctx context.Context, p *files.Program, boxFile, meterFile string, seed uint64,
	out io.Writer) error {
	box, meter, truth, err := specimenOf(p, boxFile, meterFile, seed)
	if err != nil {
		return err
	}
	specimen, err := fault.NewSpecimen(box, meter, seed, truth)
	if err != nil {
		return err
	}
	inspection, err := inspect.NewInspection(box, meter, conformity.Guarded(1), fault.Options{})
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
	if err := inspection.Add(readings...); err != nil {
		return err
	}
	// Think; read what separates the causes; and so on.
	const most = 12
	for range most {
		answer, err := inspection.Complete(ctx)
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
		if err := inspection.Add(next); err != nil {
			return err
		}
	}
	_, err = fmt.Fprintf(out, "\nStop here: the causes above remain.\n\nThe simulated fault: %s\n",
		truth.In(box))
	return err
}

// specimenOf is a box of one's own with a fault that the seed draws, or that of the lesson.
func specimenOf(p *files.Program, boxFile, meterFile string,
	seed uint64) (*decade.Box, *verify.Meter, fault.Fault, error) {
	if all, err := p.All("box", "meter"); err != nil || !all {
		if err != nil {
			return nil, nil, fault.Fault{}, err
		}
		// What nobody at the bench knows: element 7 of the ×100 dial is 3.7 Ω high.
		truth := fault.Fault{Kind: fault.KindDrift, A: fault.Place{Part: fault.PartElement, Dial: 1,
			Number: 7}, Value: 3.7}
		box, err := trainingBox()
		return box, fourWireMeter(), truth, err
	}
	box, err := files.Open(p, boxFile, "", decade.ReadBox)
	if err != nil {
		return nil, nil, fault.Fault{}, err
	}
	meter, err := files.Open(p, meterFile, "", verify.ReadMeter)
	if err != nil {
		return nil, nil, fault.Fault{}, err
	}
	truth, err := drawn(box, seed)
	return box, meter, truth, err
}

// trainingBox is as its plate describes it: three ladders of ten steps, 0.1 %, with 20 mΩ of
// residual resistance and contacts that repeat within half a milliohm.
func trainingBox() (*decade.Box, error) {
	return decade.New(decade.Spec{
		Name: "training box", Residual: 0.020, ResidualTolerance: 0.010, Contact: 0.0005,
		Decades: []decade.Decade{{Step: 1000, Tolerance: 0.001}, {Step: 100, Tolerance: 0.001},
			{Step: 10, Tolerance: 0.001}},
	})
}

// drawn is an element that drifted, far outside its class.
func drawn(box *decade.Box, seed uint64) (fault.Fault, error) {
	r := rand.New(rand.NewPCG(seed, 7))
	spec := box.Spec()
	if len(spec.Decades) == 0 {
		return fault.Fault{}, errors.New("a box without dials; expected one at least")
	}
	d := r.IntN(len(spec.Decades))
	dial := spec.Decades[d]
	const beyond = 20 // classes
	by := beyond*float64((dial.Tolerance+spec.Tolerance)*dial.Step) + dial.Floor + 0.002*dial.Step
	if r.IntN(2) == 0 {
		by = -min(by, 0.5*dial.Step)
	}
	place := fault.Place{Part: fault.PartElement, Dial: d, Number: 1 + r.IntN(dial.NumElements())}
	return fault.Fault{Kind: fault.KindDrift, A: place, Value: by}, nil
}

// fourWireMeter is an ordinary bench meter of 0.01 %, on its ranges for the training box.
func fourWireMeter() *verify.Meter {
	m := &verify.Meter{Name: "bench meter", Wiring: verify.WiringFourWire, OffsetCompensated: true}
	for _, scale := range []float64{100, 1e3, 1e4, 1e5} {
		m.Ranges = append(m.Ranges, verify.Range{Name: fmt.Sprintf("%g Ω", scale), FullScale: scale,
			OverRange: 1.2, OfReading: 0.0001, OfRange: 0.00001, Resolution: scale / 1e6})
	}
	return m
}

// triage is what to read first: zero, each dial at its maximum alone, everything at maximum.
func triage(box *decade.Box) []decade.Setting {
	out := []decade.Setting{box.Zero()}
	for dial, d := range box.Decades() {
		if s, err := box.Zero().With(dial, d.Positions); err == nil {
			out = append(out, s)
		}
	}
	if s, err := box.Max(); err == nil {
		out = append(out, s)
	}
	return out
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
	fmt.Fprintf(out, "\nAfter %s\n", unit.Counted(len(a.Report.Rows), "reading", "readings"))
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
	_, err := fmt.Fprintf(out, "\nThe simulated fault: %s\n", truth.In(a.Report.Box))
	return err
}
