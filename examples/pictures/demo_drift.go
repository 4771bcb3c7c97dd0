// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"errors"
	"fmt"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/examples/pictures/internal/chart"
	"example.com/ohmwright/uncertainty"
)

// drift shows five calibrations of one resistor, the line through them, and what is
// expected until it may leave its class.
func drift() (*chart.Figure, error) {
	box, err := decade.New(decade.Spec{Name: "one step", Serial: "9", Decades: []decade.Decade{
		{Name: "×1k", Step: 1000, Positions: 1, Tolerance: 50e-6}}})
	if err != nil {
		return nil, err
	}
	history := []*decade.Calibration{record(2018, 6), record(2020, 13.5), record(2022, 15.5),
		record(2024, 25), record(2026, 27)}
	d, err := calibrate.NewDrift(box, history...)
	if err != nil {
		return nil, err
	}
	s, err := box.SettingFor(1000)
	if err != nil {
		return nil, err
	}
	due, ok, err := d.Due(s, 0.975)
	if err != nil {
		return nil, err
	}
	if !ok {
		return nil, errors.New("the step stays in its class; expected a due date to draw")
	}
	note := "Invented data. Due in " + due.Format("January 2006") +
		": until then inside its class with a probability of at least 97.5 %."
	return chart.Drift(d, history, s, due, "Drift of a 1 kΩ step with its prediction", note)
}

func date(year float64) time.Time {
	start := time.Date(2018, 1, 1, 0, 0, 0, 0, time.UTC)
	return start.Add(time.Duration((year - 2018) * 365.25 * 24 * float64(time.Hour)))
}

// record is a calibration with a deviation in parts per million: a standard that all
// records share and a comparison of its own.
func record(year, deviation float64) *decade.Calibration {
	id := fmt.Sprintf("9 in %v", year)
	standard := uncertainty.Source{Name: "standard", ID: "standard 1",
		Distribution: uncertainty.Normal(0, 1)}.Input()
	own := uncertainty.Source{Name: "comparison", ID: id + "/comparison",
		Distribution: uncertainty.Normal(0, 1.5)}.Input()
	value := uncertainty.Linear(1000+deviation*1e-3, []float64{1e-3, 1e-3},
		[]uncertainty.Quantity{standard, own})
	return &decade.Calibration{Box: "one step", Serial: "9", Date: date(year),
		Values: uncertainty.Record{ID: id, Quantities: []uncertainty.Quantity{
			uncertainty.Exact(0).Named(decade.ResidualName), value.Named("×1k element 1"),
		}}}
}
