// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.com/ohmwright/decade"
)

// limitOfMagnitude is the relative error up to which the magnitude counts as the resistance.
const limitOfMagnitude = 0.001

// Impedance shows how far the magnitude of the impedance is from the resistance of up to
// five settings: low settings are inductive, high ones capacitive, and in between a box is
// at its best. A box that states no inductance or capacitance has no such picture.
func Impedance(settings []decade.Setting, title, note string) (*Figure, error) {
	if len(settings) == 0 || len(settings) > len(pens) {
		return nil, fmt.Errorf("%d settings; expected 1 to %d", len(settings), len(pens))
	}
	f := &Figure{title: title, note: note, width: pageWidth, height: 10.5 * vg.Centimeter,
		keyColumns: 3}
	p := gridded("frequency / kHz", "relative error of the magnitude / %")
	p.X.Tick.Marker, p.Y.Tick.Marker = decadeTicks, decadeTicks
	from, to, err := frequencies(settings)
	if err != nil {
		return nil, err
	}
	dotted := draw.LineStyle{Color: black, Width: vg.Points(1), Dashes: []vg.Length{1, 3}}
	p.Add(&plotter.Line{LineStyle: dotted,
		XYs: plotter.XYs{logPoint(math.Pow(10, from), limitOfMagnitude),
			logPoint(math.Pow(10, to), limitOfMagnitude)}})
	for i, s := range settings {
		words, err := character(s)
		if err != nil {
			return nil, err
		}
		samples, err := addImpedance(p, pens[i], s, from, to)
		if err != nil {
			return nil, err
		}
		f.key = append(f.key, entry{words, samples})
	}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = from-3, to-3, -4, 2
	f.panels = [][]*plot.Plot{{p}}
	return f, nil
}

// frequencies returns the decimal logarithms of the ends of the axis, whole numbers: two
// powers of ten about those at which the settings reach the limit.
func frequencies(settings []decade.Setting) (from, to float64, err error) {
	from, to = math.Inf(1), math.Inf(-1)
	for _, s := range settings {
		hertz, err := s.UpperFrequency(limitOfMagnitude)
		if errors.Is(err, decade.ErrNotStated) {
			return 0, 0, err
		}
		if err != nil || !finite(hertz) || hertz <= 0 {
			continue // never reached
		}
		from, to = min(from, math.Log10(hertz)), max(to, math.Log10(hertz))
	}
	if from > to {
		return 0, 0, errors.New("no inductance or capacitance is stated that shows")
	}
	return math.Floor(from) - 1, math.Ceil(to) + 1, nil
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

func addImpedance(p *plot.Plot, n pen, s decade.Setting, from,
	to float64) ([]plot.Thumbnailer, error) {
	var points plotter.XYs
	for e := from; e <= to; e += 0.02 {
		hertz := math.Pow(10, e)
		y, err := magnitudeError(s, hertz)
		if err != nil {
			return nil, err
		}
		points = append(points, logPoint(hertz, y))
	}
	line := &plotter.Line{XYs: points, LineStyle: n.line()}
	mark := &plotter.Scatter{GlyphStyle: n.glyph()}
	if upper, err := s.UpperFrequency(limitOfMagnitude); err == nil && finite(upper) {
		mark.XYs = plotter.XYs{logPoint(upper, limitOfMagnitude)}
	}
	mark.Radius = vg.Points(3.5)
	p.Add(line)
	if len(mark.XYs) > 0 {
		p.Add(mark)
	}
	return []plot.Thumbnailer{line, mark}, nil
}
