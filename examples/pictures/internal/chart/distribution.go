// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.com/ohmwright/uncertainty"
)

// An axis is a quantity in a unit of its own: a number at it times the factor is the value.
type axis struct {
	name, symbol string
	factor       float64
	from         float64 // value at zero, so that close values can be told apart
}

func (a axis) of(v float64) float64 { return (v - a.from) / a.factor }

// Distribution shows the distribution of a simulated result with its coverage intervals, and
// the normal curve of the law of propagation. The quantity is the name of the axis.
func Distribution(b *uncertainty.Budget, o *uncertainty.Output, quantity, title,
	note string) (*Figure, error) {
	low := min(o.Symmetric.Lower, o.Shortest.Lower, b.Expanded.Lower)
	high := max(o.Symmetric.Upper, o.Shortest.Upper, b.Expanded.Upper)
	width := high - low
	if !(width > 0) || !finite(width) {
		return nil, errors.New("the result has no width to draw")
	}
	a := axisOf(quantity, o.Unit, low, high)
	p := gridded(over(a.name, a.symbol), over("probability density", inverse(a.symbol)))
	from, to := low-0.25*width, high+0.25*width
	bins, top := a.histogram(o, from, to)
	curve := plotter.NewFunction(func(x float64) float64 {
		return a.factor * distuv.Normal{Mu: b.Estimate - a.from,
			Sigma: b.StandardUncertainty}.Prob(a.factor*x)
	})
	curve.LineStyle, curve.Samples = pens[1].line(), 400
	p.Add(bins, curve)
	top = max(top, curve.F(a.of(b.Estimate)))
	a.addInterval(p, pens[1], top, b.Expanded.Interval, 1.12, "y ± U")
	a.addInterval(p, pens[3], top, o.Symmetric, 1.26, "probabilistically symmetric")
	a.addInterval(p, pens[2], top, o.Shortest, 1.40, "shortest")
	p.X.Min, p.X.Max = a.of(from), a.of(to)
	p.Y.Min, p.Y.Max = 0, 1.52*top
	return &Figure{
		title: title, note: note,
		width: pageWidth, height: 10.5 * vg.Centimeter, panels: [][]*plot.Plot{{p}}, keyColumns: 2,
		key: []entry{
			{"output distribution, Monte Carlo", []plot.Thumbnailer{bins}},
			{"normal curve of the law of propagation", []plot.Thumbnailer{curve}},
		},
	}, nil
}

// axisOf chooses unit and zero of the axis: numbers of a reasonable length that differ.
func axisOf(quantity, symbol string, low, high float64) axis {
	middle := (low + high) / 2
	a := axis{name: quantity}
	a.symbol, a.factor = scaled(symbol, math.Abs(middle))
	if math.Abs(middle) > 1000*(high-low) { // more than three digits would be the same
		a.from = rounded3(middle, high-low)
		a.symbol, a.factor = scaled(symbol, high-low)
		a.name = fmt.Sprintf("%s less %.12g%s", quantity, a.from, unitOf(symbol))
	}
	return a
}

func unitOf(symbol string) string {
	if symbol == "" || symbol == "1" {
		return ""
	}
	return " " + symbol
}

// rounded3 rounds a value to a unit of ten that its width leaves certain.
func rounded3(v, width float64) float64 {
	step := math.Pow(10, math.Ceil(math.Log10(width)))
	return math.Round(v/step) * step
}

func inverse(symbol string) string {
	if symbol == "" || symbol == "1" {
		return ""
	}
	return "1/" + symbol
}

// bars of a histogram that is drawn from the distribution function.
const bars = 40

// histogram is the outline of the distribution between two values, and its highest density.
// The histogram of the output spans all trials: where the tails are so long that it would
// show a few bars here, the distribution function gives those.
func (a axis) histogram(o *uncertainty.Output, from,
	to float64) (outline *plotter.Polygon, top float64) {
	var points plotter.XYs
	add := func(left, right, density float64) {
		y := a.factor * density
		points = append(points, plotter.XY{X: a.of(left), Y: y}, plotter.XY{X: a.of(right), Y: y})
		top = max(top, y)
	}
	if step := (to - from) / bars; o.Histogram.Width > step {
		for i := range bars {
			left, right := from+float64(i)*step, from+float64(i+1)*step
			add(left, right, (o.CDF(right)-o.CDF(left))/step)
		}
	} else {
		for bin, density := range o.Histogram.Bins() {
			add(bin.Lower, bin.Upper, density)
		}
	}
	first, last := points[0], points[len(points)-1]
	points = append(plotter.XYs{{X: first.X}}, append(points, plotter.XY{X: last.X})...)
	return &plotter.Polygon{
		XYs: []plotter.XYs{points}, Color: pale(skyBlue, 0.6),
		LineStyle: draw.LineStyle{Color: blue, Width: vg.Points(0.8)},
	}, top
}

// addInterval draws an interval as a bar at a height in terms of top, with its ends below
// it from the axis to top, and says what it is.
func (a axis) addInterval(p *plot.Plot, n pen, top float64, i uncertainty.Interval, height float64,
	words string) {
	low, high, y := a.of(i.Lower), a.of(i.Upper), height*top
	ends := n.line()
	ends.Width = vg.Points(0.9)
	for _, x := range []float64{low, high} {
		p.Add(&plotter.Line{XYs: plotter.XYs{{X: x, Y: 0}, {X: x, Y: 1.04 * top}}, LineStyle: ends})
	}
	solid := draw.LineStyle{Color: n.colour, Width: vg.Points(1.6)}
	p.Add(&plotter.Line{XYs: plotter.XYs{{X: low, Y: y}, {X: high, Y: y}}, LineStyle: solid},
		&plotter.Scatter{XYs: plotter.XYs{{X: low, Y: y}, {X: high, Y: y}}, GlyphStyle: n.glyph()})
	decimals := int(max(0, 2-math.Floor(math.Log10(high-low))-1))
	text := fmt.Sprintf("%s: %.*f%s to %.*f%s", words, decimals, low, unitOf(a.symbol), decimals,
		high, unitOf(a.symbol))
	label(p, (low+high)/2, y+0.015*top, text, draw.XCenter)
}
