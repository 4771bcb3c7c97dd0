// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"errors"
	"time"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/uncertainty"
)

// Drift shows the calibrations of one setting, the line through them and what is expected
// until a date: the time at which the setting may leave its class, or another.
func Drift(d *calibrate.Drift, history []*decade.Calibration, s decade.Setting, due time.Time,
	title, note string) (*Figure, error) {
	if len(history) < 2 || s.Nominal() == 0 {
		return nil, errors.New("drift needs two calibrations or more, and a setting that is not " +
			"zero")
	}
	p := gridded("date / year", "deviation from nominal / (µΩ/Ω)")
	f := &Figure{title: title, note: note, width: pageWidth, height: 9.5 * vg.Centimeter,
		panels: [][]*plot.Plot{{p}}, keyColumns: 2}
	first, last := history[0].Date, history[0].Date
	for _, c := range history {
		first, last = earlier(first, c.Date), later(last, c.Date)
	}
	last = later(last, due)
	margin := (years(last) - years(first)) / 8
	from, to := years(first)-margin, years(last)+margin
	predicted, err := addPrediction(p, d, s, from, to)
	if err != nil {
		return nil, err
	}
	measured, err := addHistory(p, history, s)
	if err != nil {
		return nil, err
	}
	f.key = append(predicted, measured)
	if limit := s.ClassLimit() / s.Nominal() * 1e6; limit > 0 && finite(limit) {
		line := &plotter.Line{LineStyle: limitStyle}
		for _, side := range []float64{-limit, limit} {
			// A limit far off would hide the rest.
			if side >= p.Y.Min-limit/2 && side <= p.Y.Max+limit/2 {
				line = &plotter.Line{XYs: plotter.XYs{{X: from, Y: side}, {X: to, Y: side}},
					LineStyle: limitStyle}
				p.Add(line)
			}
		}
		f.key = append(f.key, entry{"limits of the class", []plot.Thumbnailer{line}})
	}
	span := p.Y.Max - p.Y.Min
	p.Y.Min, p.Y.Max = p.Y.Min-0.05*span, p.Y.Max+0.05*span
	if !due.IsZero() {
		at := &plotter.Line{XYs: plotter.XYs{{X: years(due), Y: p.Y.Min},
			{X: years(due), Y: p.Y.Max}}, LineStyle: pens[2].line()}
		p.Add(at)
		f.key = append(f.key, entry{"due", []plot.Thumbnailer{at}})
	}
	p.X.Min, p.X.Max = from, to
	return f, nil
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// epoch is a date from which years are counted.
var epoch = time.Date(2018, 1, 1, 0, 0, 0, 0, time.UTC)

func years(t time.Time) float64 { return 2018 + t.Sub(epoch).Hours()/(365.25*24) }

func date(year float64) time.Time {
	return epoch.Add(time.Duration((year - 2018) * 365.25 * 24 * float64(time.Hour)))
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
	// The class is of the increment over zero unless the box is stated by its total.
	over := 0.0
	if zero := box.Zero(); s.Nominal() != s.Value() {
		over = zero.Value()
	}
	return ((b.Estimate-over)/s.Nominal() - 1) * 1e6, b.Expanded.U / s.Nominal() * 1e6, nil
}

const predictions = 80 // points of the line

func addPrediction(p *plot.Plot, d *calibrate.Drift, s decade.Setting, from,
	to float64) ([]entry, error) {
	var middle, lower, upper plotter.XYs
	for i := range predictions + 1 {
		year := from + (to-from)*float64(i)/predictions
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
	band := &plotter.Polygon{XYs: []plotter.XYs{append(lower, upper...)}, Color: pale(skyBlue, 0.4),
		LineStyle: draw.LineStyle{Color: blue, Width: vg.Points(0.5)}}
	line := &plotter.Line{XYs: middle, LineStyle: pens[0].line()}
	p.Add(band, line)
	return []entry{
		{"line through the calibrations", []plot.Thumbnailer{line}},
		{"prediction band, coverage 95 %", []plot.Thumbnailer{band}},
	}, nil
}

func addHistory(p *plot.Plot, history []*decade.Calibration, s decade.Setting) (entry, error) {
	bars := &plotter.YErrorBars{LineStyle: draw.LineStyle{Color: black, Width: vg.Points(1)},
		CapWidth: 5}
	for _, c := range history {
		y, u, err := deviation(s, c)
		if err != nil {
			return entry{}, err
		}
		bars.XYs = append(bars.XYs, plotter.XY{X: years(c.Date), Y: y})
		bars.YErrors = append(bars.YErrors, struct{ Low, High float64 }{u, u})
	}
	points := &plotter.Scatter{XYs: bars.XYs, GlyphStyle: pen{vermilion, nil,
		draw.CircleGlyph{}}.glyph()}
	p.Add(bars, points)
	return entry{"calibrations, expanded uncertainty 95 %", []plot.Thumbnailer{points}}, nil
}
