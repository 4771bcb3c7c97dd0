// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"fmt"
	"math"
	"math/cmplx"

	"example.com/ohmwright/decade"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// impedance shows how far the magnitude of the impedance is from the resistance: low
// settings are inductive, high ones capacitive, and in between the box is at its best.
func impedance() (*figure, error) {
	box, err := strayBox()
	if err != nil {
		return nil, err
	}
	f := &figure{
		title: "Impedance error of a decade box against frequency",
		note:  "Invented stray reactances, to one digit. Dotted: 0.1 %, with the frequency at which each setting reaches it.",
		width: pageWidth, height: 10.5 * vg.Centimeter, keyColumns: 3,
	}
	p := gridded("frequency / kHz", "relative error of the magnitude / %")
	p.X.Tick.Marker, p.Y.Tick.Marker = decadeTicks, decadeTicks
	dotted := draw.LineStyle{Color: black, Width: vg.Points(1), Dashes: []vg.Length{1, 3}}
	p.Add(&plotter.Line{XYs: plotter.XYs{logPoint(1e3, limit), logPoint(1e7, limit)}, LineStyle: dotted})
	for i, ohms := range []float64{1, 10, 100, 10e3, 100e3} {
		s, err := box.SettingFor(ohms)
		if err != nil {
			return nil, err
		}
		words, err := character(s)
		if err != nil {
			return nil, err
		}
		samples, err := addImpedance(p, pens[i], s)
		if err != nil {
			return nil, err
		}
		f.key = append(f.key, entry{words, samples})
	}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 4, -4, 2
	f.panels = [][]*plot.Plot{{p}}
	return f, nil
}

const limit = 0.001

func strayBox() (*decade.Box, error) {
	spec := decade.Spec{Name: "bench box", Residual: 0.012, Capacitance: 20e-12}
	for _, step := range []float64{10e3, 1e3, 100, 10, 1} {
		spec.Decades = append(spec.Decades, decade.Decade{
			Step: step, Inductance: step * 2e-9, Capacitance: 5e-12,
			DialInductance: 30e-9, DialCapacitance: 10e-12,
		})
	}
	for i := range spec.Decades {
		// A short wire has its inductance whatever its resistance.
		spec.Decades[i].Inductance += 20e-9
	}
	return decade.New(spec)
}

// character names a setting and what it is at low frequencies.
func character(s decade.Setting) (string, error) {
	tau, err := s.TimeConstant()
	u := inOhms(s.Nominal())
	kind := "inductive"
	if tau < 0 {
		kind = "capacitive"
	}
	return fmt.Sprintf("%g %s, %s", s.Nominal()/u.ohms, u.symbol, kind), err
}

// logPoint is a frequency in hertz and a relative error as logarithms of kilohertz and
// per cent; an error of 0 is far below the picture.
func logPoint(hertz, relative float64) plotter.XY {
	return plotter.XY{X: math.Log10(hertz / 1e3), Y: math.Log10(max(100*relative, 1e-12))}
}

// magnitudeError is | |Z|/R − 1 |.
func magnitudeError(s decade.Setting, hertz float64) (float64, error) {
	z, err := s.Impedance(hertz)
	return math.Abs(cmplx.Abs(z)/s.Value() - 1), err
}

func addImpedance(p *plot.Plot, n pen, s decade.Setting) ([]plot.Thumbnailer, error) {
	var points plotter.XYs
	for e := 3.0; e <= 7; e += 0.02 {
		hertz := math.Pow(10, e)
		y, err := magnitudeError(s, hertz)
		if err != nil {
			return nil, err
		}
		points = append(points, logPoint(hertz, y))
	}
	line := &plotter.Line{XYs: points, LineStyle: n.line()}
	upper, err := s.UpperFrequency(limit)
	if err != nil {
		return nil, err
	}
	mark := &plotter.Scatter{XYs: plotter.XYs{logPoint(upper, limit)}, GlyphStyle: n.glyph()}
	mark.Radius = vg.Points(3.5)
	p.Add(line, mark)
	return []plot.Thumbnailer{line, mark}, nil
}
