// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// verdictPens tell the verdicts apart.
var verdictPens = map[conformity.Verdict]pen{
	conformity.VerdictConforms:       pens[0],
	conformity.VerdictDoesNotConform: pens[1],
	conformity.VerdictUndecided:      pens[4],
}

var limitStyle = draw.LineStyle{Color: black, Width: vg.Points(1), Dashes: []vg.Length{4, 2}}

// deviations shows every position of every dial against its class, a panel for a dial.
func deviations() (*figure, error) {
	report, err := checked()
	if err != nil {
		return nil, err
	}
	f := &figure{
		title: "Deviations of a used decade box from nominal, against its class",
		note:  "Invented data. Bars: expanded uncertainty, 95 %. At an edge: off the scale, with values.",
		width: pageWidth, height: 12.5 * vg.Centimeter, keyColumns: 4,
	}
	const columns = 3
	for dial, d := range report.Box.Decades() {
		if dial%columns == 0 {
			f.panels = append(f.panels, nil)
		}
		last := len(f.panels) - 1
		f.panels[last] = append(f.panels[last], dialPanel(report, dial, d))
	}
	for _, v := range []conformity.Verdict{conformity.VerdictConforms, conformity.VerdictUndecided, conformity.VerdictDoesNotConform} {
		f.key = append(f.key, entry{v.String(), []plot.Thumbnailer{&plotter.Scatter{GlyphStyle: verdictPens[v].glyph()}}})
	}
	f.key = append(f.key, entry{"limits of the class", []plot.Thumbnailer{&plotter.Line{LineStyle: limitStyle}}})
	return f, nil
}

func dialPanel(report *verify.Report, dial int, d decade.Decade) *plot.Plot {
	xUnit, yUnit := inOhms(d.Step), inOhms(d.Step*1e-4)
	p := gridded("nominal resistance / "+xUnit.symbol, "deviation / "+yUnit.symbol)
	p.Title.Text = d.Name + " dial"
	var lower, upper plotter.XYs
	var rows []verify.Row
	for _, row := range report.Rows {
		if row.Overload || !alone(row.Setting, dial) {
			continue
		}
		rows = append(rows, row)
		if row.Reading.Dialling == 1 {
			x := row.Nominal / xUnit.ohms
			lower = append(lower, plotter.XY{X: x, Y: row.Limits.Lower / yUnit.ohms})
			upper = append(upper, plotter.XY{X: x, Y: row.Limits.Upper / yUnit.ohms})
		}
	}
	reach := scaleOf(rows) / yUnit.ohms
	p.Add(&plotter.Line{XYs: lower, LineStyle: limitStyle}, &plotter.Line{XYs: upper, LineStyle: limitStyle})
	addReadings(p, rows, reach, xUnit, yUnit)
	p.Y.Min, p.Y.Max = -reach, reach
	p.X.Min, p.X.Max = 0, d.Step*float64(d.Positions+1)/xUnit.ohms
	return p
}

// alone reports whether a dial is off zero and no other one is.
func alone(s decade.Setting, dial int) bool {
	rest, err := s.With(dial, 0)
	return err == nil && rest.AllZero() && !s.AllZero()
}

// scaleOf is the half-width in ohms that a panel shows: everything, unless a few points
// would make the limits unreadable.
func scaleOf(rows []verify.Row) float64 {
	limit, all := 0.0, 0.0
	for _, row := range rows {
		limit = max(limit, row.Limits.Upper)
		all = max(all, math.Abs(row.Deviation.Estimate())+row.Expanded.U)
	}
	if all > 3*limit {
		return 1.6 * limit
	}
	return 1.15 * max(limit, all)
}

func addReadings(p *plot.Plot, rows []verify.Row, reach float64, xUnit, yUnit unit) {
	off := map[plotter.XY][]string{} // what lies beyond the edge, by the arrowhead that stands for it
	for _, row := range rows {
		n := verdictPens[row.Verdict]
		x, y := row.Nominal/xUnit.ohms, row.Deviation.Estimate()/yUnit.ohms
		if math.Abs(y) > reach {
			words := strings.Replace(fmt.Sprintf("%+.0f", y), "-", "−", 1)
			y = math.Copysign(0.94*reach, y)
			at := plotter.XY{X: x, Y: y}
			off[at] = append(off[at], words)
		} else {
			u := row.Expanded.U / yUnit.ohms
			bar := draw.LineStyle{Color: n.colour, Width: vg.Points(1)}
			p.Add(&plotter.YErrorBars{XYs: plotter.XYs{{X: x, Y: y}}, YErrors: plotter.YErrors{{Low: u, High: u}}, LineStyle: bar, CapWidth: 4})
		}
		p.Add(&plotter.Scatter{XYs: plotter.XYs{{X: x, Y: y}}, GlyphStyle: n.glyph()})
	}
	// In order, so that the same data give the same file.
	byX := func(a, b plotter.XY) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) }
	for _, at := range slices.SortedFunc(maps.Keys(off), byX) {
		label(p, at.X, at.Y, strings.Join(off[at], ", "), draw.XRight)
	}
}
