// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"cmp"
	"errors"
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

// Deviations shows every position of every dial that was read alone against its class, a
// panel for a dial. A report in which no dial was read alone has no such picture.
func Deviations(report *verify.Report, title, note string) (*Figure, error) {
	f := &Figure{title: title, note: note, width: pageWidth, keyColumns: 4}
	const columns = 3
	shown := 0
	for dial, d := range report.Box.Decades() {
		p := dialPanel(report, dial, d)
		if p == nil {
			continue
		}
		if shown%columns == 0 {
			f.panels = append(f.panels, nil)
		}
		last := len(f.panels) - 1
		f.panels[last] = append(f.panels[last], p)
		shown++
	}
	if shown == 0 {
		return nil, errors.New("no dial was read with the others at zero")
	}
	f.height = (2.5 + 5*vg.Length(len(f.panels))) * vg.Centimeter
	for _, v := range []conformity.Verdict{conformity.VerdictConforms, conformity.VerdictUndecided,
		conformity.VerdictDoesNotConform} {
		f.key = append(f.key,
			entry{v.String(),
				[]plot.Thumbnailer{&plotter.Scatter{GlyphStyle: verdictPens[v].glyph()}}})
	}
	f.key = append(f.key,
		entry{"limits of the class", []plot.Thumbnailer{&plotter.Line{LineStyle: limitStyle}}})
	return f, nil
}

// dialPanel is nil for a dial that was not read alone.
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
		if row.Reading.Dialling <= 1 && finite(row.Limits.Lower, row.Limits.Upper) {
			x := row.Nominal / xUnit.ohms
			lower = append(lower, plotter.XY{X: x, Y: row.Limits.Lower / yUnit.ohms})
			upper = append(upper, plotter.XY{X: x, Y: row.Limits.Upper / yUnit.ohms})
		}
	}
	if len(rows) == 0 {
		return nil
	}
	byX := func(a, b plotter.XY) int { return cmp.Compare(a.X, b.X) } // readings come in any order
	slices.SortStableFunc(lower, byX)
	slices.SortStableFunc(upper, byX)
	reach := scaleOf(rows) / yUnit.ohms
	p.Add(&plotter.Line{XYs: lower, LineStyle: limitStyle},
		&plotter.Line{XYs: upper, LineStyle: limitStyle})
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
		if finite(row.Limits.Lower, row.Limits.Upper) {
			limit = max(limit, math.Abs(row.Limits.Lower), math.Abs(row.Limits.Upper))
		}
		all = max(all, math.Abs(row.Deviation.Estimate())+row.Expanded.U)
	}
	if limit > 0 && all > 3*limit {
		return 1.6 * limit
	}
	if limit == 0 && all == 0 {
		return 1e-6 // nothing stated, nothing off: any scale shows it
	}
	return 1.15 * max(limit, all)
}

func addReadings(p *plot.Plot, rows []verify.Row, reach float64, xUnit, yUnit unit) {
	// What lies beyond the edge, by the arrowhead that stands for it.
	off := map[plotter.XY][]string{}
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
			p.Add(&plotter.YErrorBars{XYs: plotter.XYs{{X: x, Y: y}},
				YErrors: plotter.YErrors{{Low: u, High: u}}, LineStyle: bar, CapWidth: 4})
		}
		p.Add(&plotter.Scatter{XYs: plotter.XYs{{X: x, Y: y}}, GlyphStyle: n.glyph()})
	}
	// In order, so that the same data give the same file.
	byX := func(a, b plotter.XY) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) }
	for _, at := range slices.SortedFunc(maps.Keys(off), byX) {
		label(p, at.X, at.Y, strings.Join(off[at], ", "), draw.XRight)
	}
}
