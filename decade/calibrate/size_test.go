// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// sevenDials is a fit of seven dials of ten elements from the recommended plan.
func sevenDials(t *testing.T) *calibrate.Fit {
	spec := decade.Spec{Name: "seven dials", Serial: "S-7", Contact: 1e-4}
	spec.Residual, spec.ResidualTolerance = 0.01, 0.005
	meter := &verify.Meter{
		Name: "meter", Serial: "M-7", Certificate: "17/2026", Wiring: verify.WiringFourWire,
	}
	for _, step := range []float64{1e5, 1e4, 1e3, 100, 10, 1, 0.1} {
		spec.Decades = append(spec.Decades, decade.Decade{Step: step, Tolerance: 1e-3})
		full := 100 * step
		meter.Ranges = append(meter.Ranges, verify.Range{
			Name: fmt.Sprintf("%v Ω", full), FullScale: full, OverRange: 1.2,
			OfReading: 2e-5, OfRange: 4e-6, Resolution: full * 1e-7,
		})
	}
	box, err := decade.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := verify.NewPlan(box, verify.ExtentRecommended)
	if err != nil {
		t.Fatal(err)
	}
	var readings []verify.Reading
	for _, s := range plan.Steps {
		readings = append(readings, verify.Reading{Setting: s.Setting, Dialling: s.Dialling,
			Values: []float64{s.Setting.Nominal() + 0.01}, Session: "2026"})
	}
	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
	if err != nil {
		t.Fatal(err)
	}
	fit, err := calibrate.NewFit(report, verify.StageAsFound)
	if err != nil {
		t.Fatal(err)
	}
	return fit
}

// A record of 71 quantities takes at most 150 kB, and holds what the fit holds: each source
// once, each sensitivity.
func TestRecordSize(t *testing.T) {
	fit := sevenDials(t)
	c, err := fit.Calibration("S-7 2026-03-02")
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d quantities: %d bytes", len(c.Values.Quantities), len(text))
	if n := len(c.Values.Quantities); n != 71 || len(text) > 150e3 {
		t.Errorf("%d quantities in %d bytes; want 71 in at most 150 kB", n, len(text))
	}
	read, err := decade.ReadCalibration(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	made := []uncertainty.Quantity{fit.Residual}
	for _, dial := range fit.Elements {
		made = append(made, dial...)
	}
	want, err := uncertainty.EvaluateAll(made...)
	if err != nil {
		t.Fatal(err)
	}
	got, err := uncertainty.EvaluateAll(read.Values.Quantities...)
	if err != nil {
		t.Fatal(err)
	}
	for i, w := range want.Budgets {
		if g := got.Budgets[i]; g.Estimate != w.Estimate || len(g.Components) != len(w.Components) {
			t.Errorf("%s: %v with %d sources; want %v with %d",
				w.Name, g.Estimate, len(g.Components), w.Estimate, len(w.Components))
		}
		for k := range i + 1 {
			scale := w.StandardUncertainty * want.Budgets[k].StandardUncertainty
			if math.Abs(got.Covariance.At(i, k)-want.Covariance.At(i, k)) > 1e-9*scale {
				t.Errorf("covariance %d, %d: %v; want %v",
					i, k, got.Covariance.At(i, k), want.Covariance.At(i, k))
			}
		}
	}
}
