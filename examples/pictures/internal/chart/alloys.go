// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Alloys shows resistance against temperature: on the left the published coefficients
// that the library follows, on the right, near room temperature, what a spool may do.
func Alloys() (*Figure, error) {
	f := &Figure{
		title: "Resistance of metals and resistance alloys against temperature",
		note: "Coefficients that the library follows. Thin lines: coverage 95 % for one spool, " +
			"within the ranges published.",
		width: pageWidth, height: 10 * vg.Centimeter, keyColumns: 2,
	}
	left := gridded("temperature / °C", "relative change from 20 °C / (mΩ/Ω)")
	right := gridded("temperature / °C", "relative change from 20 °C / (µΩ/Ω)")
	names := []string{"manganin", "copper", "constantan", "nickel-chromium 80/20",
		"nickel-chromium-aluminium-copper"}
	for i, name := range names {
		a, err := material.Find(name)
		if err != nil {
			return nil, err
		}
		n := pens[i]
		if name == "manganin" || name == "nickel-chromium-aluminium-copper" {
			if err := addSpool(right, n, a); err != nil {
				return nil, err
			}
		}
		samples, err := addAlloy(left, n, a)
		if err != nil {
			return nil, err
		}
		f.key = append(f.key, entry{name, samples})
	}
	label(left, 22, 7, "copper", draw.XLeft)
	left.Title.Text, right.Title.Text = "0 °C to 100 °C", "at room temperature"
	left.X.Min, left.X.Max, left.Y.Min, left.Y.Max = 0, 100, -4, 8
	right.X.Min, right.X.Max, right.Y.Min, right.Y.Max = 15, 35, -300, 300
	f.panels = [][]*plot.Plot{{left, right}}
	return f, nil
}

// changes are the relative changes from 20 °C, in units of scale.
func changes(l thermal.Law, scale, low, high, step float64) (plotter.XYs, error) {
	l, err := l.Rebase(20)
	if err != nil {
		return nil, err
	}
	var points plotter.XYs
	for t := low; t <= high; t += step {
		ratio, err := l.Ratio(t)
		if err != nil {
			return nil, err
		}
		points = append(points, plotter.XY{X: t, Y: (ratio - 1) / scale})
	}
	return points, nil
}

func addAlloy(p *plot.Plot, n pen, a material.Material) ([]plot.Thumbnailer, error) {
	points, err := changes(a.Law.Exact(), 1e-3, 0, min(a.Law.Range.High, 100), 1)
	if err != nil {
		return nil, err
	}
	marks, err := changes(a.Law.Exact(), 1e-3, 10, min(a.Law.Range.High, 100), 20)
	if err != nil {
		return nil, err
	}
	line := &plotter.Line{XYs: points, LineStyle: n.line()}
	markers := &plotter.Scatter{XYs: marks, GlyphStyle: n.glyph()}
	p.Add(line, markers)
	return []plot.Thumbnailer{line, markers}, nil
}

// addSpool draws the law of an alloy with the band in which one spool of it lies.
func addSpool(p *plot.Plot, n pen, a material.Material) error {
	law := a.Law.Uncertain(a.Name).Rebase(20)
	var middle, lower, upper, marks plotter.XYs
	for t := 15.0; t <= 35; t += 0.5 {
		b, err := uncertainty.Evaluate(law.RatioOf(uncertainty.Exact(t)))
		if err != nil {
			return err
		}
		y, u := (b.Estimate-1)*1e6, b.Expanded.U*1e6
		middle = append(middle, plotter.XY{X: t, Y: y})
		lower = append(lower, plotter.XY{X: t, Y: y - u})
		upper = append(upper, plotter.XY{X: t, Y: y + u})
		if int(2*t)%10 == 5 {
			marks = append(marks, plotter.XY{X: t, Y: y})
		}
	}
	edge := n.line()
	edge.Width = vg.Points(0.7)
	p.Add(&plotter.Line{XYs: lower, LineStyle: edge}, &plotter.Line{XYs: upper, LineStyle: edge},
		&plotter.Line{XYs: middle, LineStyle: n.line()},
		&plotter.Scatter{XYs: marks, GlyphStyle: n.glyph()})
	return nil
}
