// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"fmt"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"example.com/ohmwright/uncertainty"
)

// Repeated are simulations of one measurand with several seeds, plain and with a twin.
type Repeated struct {
	Trials      int
	Plain, Twin []uncertainty.Output // two or more
}

// Trials shows by how much the upper end of the symmetric interval scatters over seeds,
// against the number of trials, beside what the runs say of it.
func Trials(points []Repeated, title, note string) (*Figure, error) {
	if len(points) < 2 {
		return nil, fmt.Errorf("%d numbers of trials; expected 2 or more", len(points))
	}
	f := &Figure{title: title, note: note, width: pageWidth, height: 10.5 * vg.Centimeter,
		keyColumns: 2}
	p := gridded("number of trials / 1000", "scatter of the upper end, part of u / %")
	p.X.Tick.Marker, p.Y.Tick.Marker = decadeTicks, decadeTicks
	low, high := math.Inf(1), math.Inf(-1)
	for i, c := range []struct {
		words string
		of    func(r Repeated) []uncertainty.Output
	}{
		{"trials alone", func(r Repeated) []uncertainty.Output { return r.Plain }},
		{"with the twin", func(r Repeated) []uncertainty.Output { return r.Twin }},
	} {
		var seen, said plotter.XYs
		for _, r := range points {
			a, b, err := scatterOf(c.of(r))
			if err != nil {
				return nil, err
			}
			x := math.Log10(float64(r.Trials) / 1000)
			seen, said = append(seen, plotter.XY{X: x, Y: math.Log10(100 * a)}), append(said,
				plotter.XY{X: x, Y: math.Log10(100 * b)})
			low, high = min(low, seen[len(seen)-1].Y, said[len(said)-1].Y), max(high,
				seen[len(seen)-1].Y, said[len(said)-1].Y)
		}
		n := pens[i]
		line := &plotter.Line{XYs: said, LineStyle: n.line()}
		marks := &plotter.Scatter{XYs: seen, GlyphStyle: n.glyph()}
		p.Add(line, marks)
		f.key = append(f.key, entry{c.words, []plot.Thumbnailer{line, marks}})
	}
	first, last := float64(points[0].Trials), float64(points[len(points)-1].Trials)
	p.X.Min, p.X.Max = math.Log10(first/1000)-0.1, math.Log10(last/1000)+0.1
	p.Y.Min, p.Y.Max = math.Floor(low), math.Ceil(high)
	f.panels = [][]*plot.Plot{{p}}
	return f, nil
}

// scatterOf returns the standard deviation of the upper ends, and what the runs say it is,
// in parts of the standard uncertainty.
func scatterOf(outputs []uncertainty.Output) (seen, said float64, err error) {
	n := float64(len(outputs))
	var sum, square, error2, u float64
	for _, o := range outputs {
		d := o.Symmetric.Upper - outputs[0].Symmetric.Upper
		sum, square = sum+d, square+d*d
		error2 += o.Sampling.Upper * o.Sampling.Upper / n
		u += o.StandardUncertainty / n
	}
	seen, said = math.Sqrt((square-sum*sum/n)/(n-1))/u, math.Sqrt(error2)/u
	if !(seen > 0 && said > 0) {
		return 0, 0, fmt.Errorf("scatter %v of %d runs, said %v; expected numbers above 0", seen,
			len(outputs), said)
	}
	return seen, said, nil
}
