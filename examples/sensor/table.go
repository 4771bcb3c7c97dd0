// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/examples/internal/files"
)

// table is the result for other programs: resistances in ohms, values in the unit of the
// sensor, errors and their limits in that of its differences, K for °C.
type table struct {
	Box        string `json:"box"`
	Calibrated string `json:"calibrated,omitempty"` // date; empty: nominal values
	Sensor     string `json:"sensor"`
	Unit       string `json:"unit,omitempty"`
	ErrorUnit  string `json:"errorUnit,omitempty"`
	Rows       []row  `json:"rows"`
}

type row struct {
	Value       float64        `json:"value"`
	Resistance  float64        `json:"resistance"`
	Setting     decade.Setting `json:"setting"`
	Error       float64        `json:"error"`
	Class       float64        `json:"class"` // worst case by the class of the box
	U           float64        `json:"u95"`
	SelfHeating float64        `json:"selfHeating,omitempty"` // K, of the sensor
	BoxHeating  *float64       `json:"boxHeating,omitempty"`  // absent where it is not known
}

// digits keeps six figures, and nothing of what rounding leaves near 0: a table of errors is
// not worth more.
func digits(v float64) float64 { return rounded(v, 6) }

func rounded(v float64, figures int) float64 {
	const least = 1e-12
	if math.Abs(v) < least {
		return 0
	}
	return files.Rounded(v, figures)
}

func tableOf(o options, points []decade.SensorPoint) table {
	x := o.standIn.Sensor
	t := table{Box: o.box.Name(), Sensor: x.String(), Unit: x.Unit(), ErrorUnit: x.DifferenceUnit()}
	if c := o.box.Calibration(); c != nil {
		t.Calibrated = c.Date.Format(time.DateOnly)
	}
	for _, p := range points {
		r := row{Value: p.Value, Resistance: rounded(p.Resistance, 9), Setting: p.Setting,
			Error: digits(p.Error),
			Class: digits(p.Limit), U: digits(p.U), SelfHeating: digits(p.SelfHeating)}
		if p.BoxHeatingKnown && o.standIn.Current != 0 {
			heating := digits(p.BoxHeating)
			r.BoxHeating = &heating
		}
		t.Rows = append(t.Rows, r)
	}
	return t
}

func writeCSV(w io.Writer, o options, points []decade.SensorPoint) error {
	t := tableOf(o, points)
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', 9, 64) }
	rows := [][]string{{over("value", t.Unit), over("resistance", "Ω"), "setting",
		over("error", t.ErrorUnit), over("class", t.ErrorUnit), over("U95", t.ErrorUnit)}}
	for _, r := range t.Rows {
		rows = append(rows, []string{number(r.Value), number(r.Resistance), r.Setting.String(),
			number(r.Error), number(r.Class), number(r.U)})
	}
	return csv.NewWriter(w).WriteAll(rows)
}
