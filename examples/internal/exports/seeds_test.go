// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package exports

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"reflect"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// seeds are whole values that chance would not make: a box with its meter, readings,
// report and calibration, laws, quantities.
func seeds(g *generator) {
	add := func(x any, err error) {
		if v := reflect.ValueOf(x); err == nil && v.IsValid() {
			g.keep(v)
		}
	}
	open := func(name string) *bytes.Reader {
		text, _ := os.ReadFile(filepath.Join("../../formats/files", name))
		return bytes.NewReader(text)
	}
	box, err := decade.ReadBox(open("box.json"))
	add(box, err)
	odd, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1e15},
		{Step: 7.5, Positions: 255}, {Step: 0.001, ElementPower: 0.5}}})
	add(odd, err)
	meter, err := verify.ReadMeter(open("meter.json"))
	add(meter, err)
	readings, err := verify.ReadReadings(open("readings.csv"), box)
	add(readings, err)
	report, err := verify.Evaluate(box, meter, readings, conformity.Simple())
	add(report, err)
	add(verify.NewPlan(box, verify.ExtentMinimal))
	add(fault.Diagnose(context.Background(), report))
	specimen, err := fault.NewSpecimen(box, meter, 1)
	add(specimen, err)
	calibration, err := decade.ReadCalibration(open("calibration.json"))
	add(calibration, err)
	if calibration != nil {
		add(box.With(calibration))
		add(calibrate.NewDrift(box, calibration))
	}
	add(uncertainty.ReadModel(open("model.json")))
	for _, d := range []uncertainty.Distribution{uncertainty.Normal(100, 0.1),
		uncertainty.Rectangular(0, 1), uncertainty.TypeA(1, 2, 3),
		uncertainty.StudentT(1, 0.1, 3)} {
		add(d, nil)
		add(uncertainty.Input("x", d), nil)
	}
	add(thermal.Platinum(100), nil)
	for s := range box.Settings() {
		add(s, nil)
		if s.Position(0) > 1 {
			break
		}
	}
}
