// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// budget shows where the uncertainty of a resistor comes from that was measured by
// substitution: where work would pay.
func budget() (*figure, error) {
	b, err := substitution()
	if err != nil {
		return nil, err
	}
	rows := slices.Clone(b.Components)
	slices.SortStableFunc(rows, func(a, b uncertainty.Component) int { return cmp.Compare(a.Share, b.Share) })

	p := panel("share of the variance / %", "input quantity")
	bars := map[uncertainty.EvaluationType]*plotter.Polygon{
		uncertainty.EvaluationA: {Color: pale(orange, 0.9)},
		uncertainty.EvaluationB: {Color: pale(blue, 0.75)},
	}
	var names []string
	for i, c := range rows {
		share, y := 100*c.Share, float64(i)
		bar := bars[c.Type]
		bar.XYs = append(bar.XYs, plotter.XYs{{X: 0, Y: y - 0.3}, {X: share, Y: y - 0.3}, {X: share, Y: y + 0.3}, {X: 0, Y: y + 0.3}})
		names = append(names, c.Name)
		words := fmt.Sprintf("%.1f %%: %s, %.1f mΩ", share, c.Distribution, 1e3*math.Abs(c.Contribution))
		label(p, share, y, words, draw.XLeft)
	}
	f := &figure{
		title: "Shares of an uncertainty budget: a 10 kΩ resistor by substitution",
		note:  "Invented data. Result " + b.PlusMinus(2) + ", 95 %. Beside a bar: distribution and contribution |c|·u.",
		width: pageWidth, height: 8 * vg.Centimeter, panels: [][]*plot.Plot{{p}}, keyColumns: 2,
	}
	for _, t := range []uncertainty.EvaluationType{uncertainty.EvaluationA, uncertainty.EvaluationB} {
		bar := bars[t]
		bar.LineStyle = draw.LineStyle{Color: black, Width: vg.Points(0.6)}
		p.Add(bar)
		f.key = append(f.key, entry{"type " + t.String() + " evaluation", []plot.Thumbnailer{bar}})
	}
	p.NominalY(names...)
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 100, -0.6, float64(len(rows))-0.4
	return f, nil
}

// substitution is the difference to a standard: only the ratio of two readings of one
// meter counts.
func substitution() (*uncertainty.Budget, error) {
	input := func(name, unit string, d uncertainty.Distribution) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Unit: unit, Distribution: d}.Input()
	}
	standard := input("standard, certificate", "Ω", uncertainty.Certificate(10000.041, 0.008, 2))
	drift := input("standard, drift since", "Ω", uncertainty.Rectangular(0.015, 0.012))
	bath := input("standard, bath", "Ω", uncertainty.Rectangular(0, 0.0025))
	ratio := input("ratio of readings", "1", uncertainty.TypeA(1.0000112, 1.0000115, 1.0000114, 1.0000110, 1.0000114))
	leakage := input("leakage and wiring", "1", uncertainty.Triangular(1, 1e-6))
	own := input("resistor, bath", "Ω", uncertainty.Rectangular(0, 0.005))
	r := uncertainty.Sum(standard, drift, bath).Mul(ratio).Mul(leakage).Sub(own)
	return uncertainty.Evaluate(r.Named("R"))
}
