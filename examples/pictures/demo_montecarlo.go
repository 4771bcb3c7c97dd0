// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"context"
	"fmt"

	"example.com/ohmwright/uncertainty"
	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// monteCarlo shows a case in which the law of propagation does not stand: a current
// from a voltage and a resistance that is known badly.
func monteCarlo() (*figure, error) {
	b, o, err := simulated()
	if err != nil {
		return nil, err
	}
	p := gridded("current / mA", "probability density / (1/mA)")
	bins, top := histogram(o.Histogram)
	curve := plotter.NewFunction(func(x float64) float64 {
		return 1e-3 * distuv.Normal{Mu: b.Estimate, Sigma: b.StandardUncertainty}.Prob(1e-3*x)
	})
	curve.LineStyle, curve.Samples = pens[1].line(), 400
	p.Add(bins, curve)
	addInterval(p, pens[1], top, b.Expanded.Interval, 1.12, "y ± U")
	addInterval(p, pens[3], top, o.Symmetric, 1.26, "probabilistically symmetric")
	addInterval(p, pens[2], top, o.Shortest, 1.40, "shortest")
	p.X.Min, p.X.Max = 40, 160
	p.Y.Min, p.Y.Max = 0, 1.52*top

	return &figure{
		title: "Current of 10 V through a resistor between 70 Ω and 130 Ω",
		note:  fmt.Sprintf("Invented data. Intervals of %g %% coverage: y ± U by JCGM 100, the others by JCGM 101, a million trials.", 100*o.Coverage),
		width: pageWidth, height: 10.5 * vg.Centimeter, panels: [][]*plot.Plot{{p}}, keyColumns: 2,
		key: []entry{
			{"output distribution, Monte Carlo", []plot.Thumbnailer{bins}},
			{"normal curve of the law of propagation", []plot.Thumbnailer{curve}},
		},
	}, nil
}

func simulated() (*uncertainty.Budget, *uncertainty.Output, error) {
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(10, 0.2)}.Input()
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Between(70, 130)}.Input()
	i := v.Div(r).Named("I")
	b, err := uncertainty.Evaluate(i)
	if err != nil {
		return nil, nil, err
	}
	s, err := uncertainty.MonteCarlo{Seed: 1, Bins: 120}.Run(context.Background(), i)
	if err != nil {
		return nil, nil, err
	}
	return b, &s.Outputs[0], nil
}

// histogram is the outline of the bins in 1/mA over mA, and its highest density.
func histogram(h uncertainty.Histogram) (outline *plotter.Polygon, top float64) {
	points := plotter.XYs{{X: 1e3 * h.Lower}}
	for bin, density := range h.Bins() {
		y := 1e-3 * density
		points = append(points, plotter.XY{X: 1e3 * bin.Lower, Y: y}, plotter.XY{X: 1e3 * bin.Upper, Y: y})
		top = max(top, y)
	}
	points = append(points, plotter.XY{X: points[len(points)-1].X})
	return &plotter.Polygon{
		XYs: []plotter.XYs{points}, Color: pale(skyBlue, 0.6),
		LineStyle: draw.LineStyle{Color: blue, Width: vg.Points(0.8)},
	}, top
}

// addInterval draws an interval as a bar at a height in terms of top, with its ends below
// it from the axis to top, and says what it is.
func addInterval(p *plot.Plot, n pen, top float64, i uncertainty.Interval, height float64, words string) {
	low, high, y := 1e3*i.Lower, 1e3*i.Upper, height*top
	ends := n.line()
	ends.Width = vg.Points(0.9)
	for _, x := range []float64{low, high} {
		p.Add(&plotter.Line{XYs: plotter.XYs{{X: x, Y: 0}, {X: x, Y: 1.04 * top}}, LineStyle: ends})
	}
	solid := draw.LineStyle{Color: n.colour, Width: vg.Points(1.6)}
	p.Add(&plotter.Line{XYs: plotter.XYs{{X: low, Y: y}, {X: high, Y: y}}, LineStyle: solid},
		&plotter.Scatter{XYs: plotter.XYs{{X: low, Y: y}, {X: high, Y: y}}, GlyphStyle: n.glyph()})
	label(p, (low+high)/2, y+0.015*top, fmt.Sprintf("%s: %.1f mA to %.1f mA", words, low, high), draw.XCenter)
}
