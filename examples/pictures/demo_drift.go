// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"errors"
	"fmt"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/uncertainty"
)

// drift shows five calibrations of one resistor, the line through them, and what is
// expected until it may leave its class.
func drift() (*figure, error) {
	box, err := decade.New(decade.Spec{Name: "one step", Serial: "9", Decades: []decade.Decade{
		{Name: "×1k", Step: 1000, Positions: 1, Tolerance: 50e-6}}})
	if err != nil {
		return nil, err
	}
	history := []*decade.Calibration{record(2018, 6), record(2020, 13.5), record(2022, 15.5), record(2024, 25), record(2026, 27)}
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
	p := gridded("date / year", "deviation from nominal / (µΩ/Ω)")
	f := &figure{
		title: "Drift of a 1 kΩ step with its prediction",
		note:  "Invented data. Due in " + due.Format("January 2006") + ": until then inside its class with a probability of at least 97.5 %.",
		width: pageWidth, height: 9.5 * vg.Centimeter, panels: [][]*plot.Plot{{p}}, keyColumns: 2,
	}
	predicted, err := addPrediction(p, d, s)
	if err != nil {
		return nil, err
	}
	measured, err := addHistory(p, box, history, s)
	if err != nil {
		return nil, err
	}
	limits := &plotter.Line{XYs: plotter.XYs{{X: 2017, Y: 50}, {X: 2036, Y: 50}}, LineStyle: limitStyle}
	at := &plotter.Line{XYs: plotter.XYs{{X: years(due), Y: -10}, {X: years(due), Y: 50}}, LineStyle: pens[2].line()}
	p.Add(limits, at)
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 2017, 2036, -10, 80
	f.key = append(predicted, measured, entry{"upper limit of the class", []plot.Thumbnailer{limits}}, entry{"due", []plot.Thumbnailer{at}})
	return f, nil
}

func date(year float64) time.Time {
	start := time.Date(2018, 1, 1, 0, 0, 0, 0, time.UTC)
	return start.Add(time.Duration((year - 2018) * 365.25 * 24 * float64(time.Hour)))
}

func years(t time.Time) float64 { return 2018 + t.Sub(date(2018)).Hours()/(365.25*24) }

// record is a calibration with a deviation in parts per million: a standard that all
// records share and a comparison of its own.
func record(year, deviation float64) *decade.Calibration {
	id := fmt.Sprintf("9 in %v", year)
	standard := uncertainty.Source{Name: "standard", ID: "standard 1", Distribution: uncertainty.Normal(0, 1)}.Input()
	own := uncertainty.Source{Name: "comparison", ID: id + "/comparison", Distribution: uncertainty.Normal(0, 1.5)}.Input()
	value := uncertainty.Linear(1000+deviation*1e-3, []float64{1e-3, 1e-3}, []uncertainty.Quantity{standard, own})
	return &decade.Calibration{Box: "one step", Serial: "9", Date: date(year), Values: uncertainty.Record{ID: id, Quantities: []uncertainty.Quantity{
		uncertainty.Exact(0).Named(decade.ResidualName), value.Named("×1k element 1"),
	}}}
}

// deviation evaluates a setting with a calibration, in parts per million.
func deviation(s decade.Setting, c *decade.Calibration) (y, u float64, err error) {
	box, err := s.Box().With(c)
	if err != nil {
		return 0, 0, err
	}
	if s, err = s.On(box); err != nil {
		return 0, 0, err
	}
	b, err := uncertainty.Evaluate(s.Resistance())
	if err != nil {
		return 0, 0, err
	}
	return (b.Estimate/s.Nominal() - 1) * 1e6, b.Expanded.U / s.Nominal() * 1e6, nil
}

func addPrediction(p *plot.Plot, d *calibrate.Drift, s decade.Setting) ([]entry, error) {
	var middle, lower, upper plotter.XYs
	for year := 2017.0; year <= 2036; year += 0.25 {
		c, err := d.At(date(year))
		if err != nil {
			return nil, err
		}
		y, u, err := deviation(s, c)
		if err != nil {
			return nil, err
		}
		middle = append(middle, plotter.XY{X: year, Y: y})
		lower = append(lower, plotter.XY{X: year, Y: y - u})
		upper = append([]plotter.XY{{X: year, Y: y + u}}, upper...)
	}
	band := &plotter.Polygon{XYs: []plotter.XYs{append(lower, upper...)}, Color: pale(skyBlue, 0.4), LineStyle: draw.LineStyle{Color: blue, Width: vg.Points(0.5)}}
	line := &plotter.Line{XYs: middle, LineStyle: pens[0].line()}
	p.Add(band, line)
	return []entry{{"line through the calibrations", []plot.Thumbnailer{line}}, {"prediction band, coverage 95 %", []plot.Thumbnailer{band}}}, nil
}

func addHistory(p *plot.Plot, box *decade.Box, history []*decade.Calibration, s decade.Setting) (entry, error) {
	bars := &plotter.YErrorBars{LineStyle: draw.LineStyle{Color: black, Width: vg.Points(1)}, CapWidth: 5}
	for _, c := range history {
		y, u, err := deviation(s, c)
		if err != nil {
			return entry{}, err
		}
		bars.XYs = append(bars.XYs, plotter.XY{X: years(c.Date), Y: y})
		bars.YErrors = append(bars.YErrors, struct{ Low, High float64 }{u, u})
	}
	points := &plotter.Scatter{XYs: bars.XYs, GlyphStyle: pen{vermilion, nil, draw.CircleGlyph{}}.glyph()}
	p.Add(bars, points)
	return entry{"calibrations, expanded uncertainty 95 %", []plot.Thumbnailer{points}}, nil
}
