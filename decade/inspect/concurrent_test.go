// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package inspect

import (
	"fmt"
	"io"
	"sync"
	"testing"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/internal/concurrent"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// shared is one of each type that a server would keep, of the packages that are below this one.
func shared(t *testing.T) []any {
	t.Helper()
	b := testBox(t, 100, 10)
	high := fault.Fault{Kind: fault.KindDrift, A: fault.Place{Part: fault.PartElement, Dial: 0, Number: 3}, Value: 1.2}
	readings := readBox(t, b, recommended(t, b), high)
	calibrated := func(id string, at time.Time) *decade.Calibration {
		r, err := verify.Evaluate(b, testMeter(), readings, conformity.Guarded(1))
		if err != nil {
			t.Fatal(err)
		}
		c, err := calibrate.NewCalibration(r, id)
		if err != nil {
			t.Fatal(err)
		}
		c.Date = at
		return c
	}
	first := calibrated("1", time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC))
	second := calibrated("2", time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC))
	measured, err := b.With(first)
	if err != nil {
		t.Fatal(err)
	}
	drift, err := calibrate.NewDrift(b, first, second)
	if err != nil {
		t.Fatal(err)
	}
	table, err := calibrate.Deviations(measured, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	left := readings[4]
	left.Stage = verify.StageAsLeft
	known := verify.Reading{Known: &verify.Known{Name: "standard", Value: 100, U: 0.002},
		Values: []float64{100.001}, Range: "1 kΩ"}
	report, err := verify.Evaluate(b, testMeter(), append(readings, known, left), conformity.Guarded(1))
	if err != nil {
		t.Fatal(err)
	}
	adjustment, err := calibrate.NewAdjustment(report)
	if err != nil {
		t.Fatal(err)
	}
	fit, err := calibrate.NewFit(report, verify.StageAsFound)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := verify.NewPlan(b, verify.ExtentRecommended)
	if err != nil {
		t.Fatal(err)
	}
	determination, err := verify.Determine(b, plan.Settings()...)
	if err != nil {
		t.Fatal(err)
	}
	in := newInspection(t, b, fault.Options{Faults: 1})
	if err := in.Add(readings...); err != nil {
		t.Fatal(err)
	}
	answer, err := in.Answer(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	d := answer.Diagnosis
	return []any{
		b, measured, readings[3].Setting, b.Decades()[0], first, fit, drift, table, adjustment, plan, determination, testMeter(), testMeter().Ranges[0],
		report, &report.Rows[3], &report.Increments[0], report.Common[0], report.MeterErrors[0], report.Standards[0], &readings[3], report.Summary(verify.StageAsFound),
		report.Headline(verify.StageAsFound), report.ClassMet[0], report.Switching, in, in.Coverage(), answer, d, d.Causes[0], d.Causes[0].Faults[0], d.Next, d.Causes[0].Repair,
	}
}

// Several goroutines call every method of one value that takes nothing, a context, a writer or a
// number, all at once: for the race detector.
func TestConcurrentUse(t *testing.T) {
	methods := concurrent.Methods(t, shared(t), nil, "Undo")
	if methods < 100 {
		t.Errorf("%d methods were called; expected 100 or more", methods)
	}
}

// A report goes on while others read it and go on from it.
func TestConcurrentReevaluation(t *testing.T) {
	b, readings := drifted(t)
	report, err := verify.Evaluate(b, testMeter(), readings[:20], conformity.Guarded(1))
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for n := range 4 {
		wg.Go(func() {
			next, err := report.Reevaluate(readings[:18+n])
			if err != nil || len(next.Rows) != 18+n {
				t.Errorf("%d readings: %v", 18+n, err)
			}
			if err := report.WriteText(io.Discard); err != nil {
				t.Error(err)
			}
			if _, err := report.Comparisons(); err != nil {
				t.Error(err)
			}
			_ = fmt.Sprint(report.Findings, report.Settings)
		})
	}
	wg.Wait()
}
