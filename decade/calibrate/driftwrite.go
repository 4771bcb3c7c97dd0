// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

// Change and rate of a line share the records, and so one evaluation serves both. The CSV has
// what is fitted with twelve digits, which a file can be compared by on any processor; reports
// are rounded by their uncertainties and need no such care.

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/grid"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
)

// WriteText writes the change of every element from the first calibration to the last
// and its rate, with expanded uncertainties (95 %). A star marks a change larger than
// its uncertainty.
func (d *Drift) WriteText(w io.Writer) error {
	return d.write(w, "calibrate.Drift.WriteText", (*grid.Table).Text)
}

// WriteMarkdown writes the same in Markdown.
func (d *Drift) WriteMarkdown(w io.Writer) error {
	return d.write(w, "calibrate.Drift.WriteMarkdown", (*grid.Table).Markdown)
}

// write assembles the table for a screen or in Markdown. Changes are in mΩ, since they may be of
// a residual, rates in ppm of nominal per year, since that is how resistors are compared.
func (d *Drift) write(w io.Writer, op string, table func(*grid.Table, io.Writer)) error {
	rows, err := d.rows(op)
	if err != nil {
		return err
	}
	var s strings.Builder
	fmt.Fprintf(&s, "Drift of %q from %s to %s, %s; U with 95 %%\n\n", d.Box.Name(),
		dateOf(d.Calibrations[0]), dateOf(d.last()),
		wording.Plural(len(d.Calibrations), "calibration"))
	g := &grid.Table{Head: []string{
		"Element", "Nominal/Ω", "Change/mΩ", "U/mΩ", "Change/ppm", "Rate/(ppm/year)",
		"U/(ppm/year)",
	}}
	for i := range rows {
		g.Add(rows[i].cells()...)
	}
	table(g, &s)
	s.WriteString("\n* larger than its uncertainty, as about one in twenty is by chance\n")
	// Printed without the name of the function, as a sentence of a report.
	for _, err := range d.Warnings {
		if e, ok := errors.AsType[*Error](err); ok {
			s.WriteString(wording.Wrap("", wording.Upper(e.Err.Error())))
		}
	}
	_, err = io.WriteString(w, s.String())
	return err
}

// dateOf is the day of a calibration as a report prints it (ISO 8601).
func dateOf(c *decade.Calibration) string { return c.Date.Format(time.DateOnly) }

// WriteCSV writes a line for the residual and each element, in ohms and ohms per year, what
// was fitted with twelve digits: the last ones of least squares depend on the processor.
// examples/formats/README.md lists the columns.
func (d *Drift) WriteCSV(w io.Writer) error {
	rows, err := d.rows("calibrate.Drift.WriteCSV")
	if err != nil {
		return err
	}
	out := [][]string{{
		"element", "nominal", "change", "expanded uncertainty of change", "rate",
		"expanded uncertainty of rate",
	}}
	for _, r := range rows {
		out = append(out, []string{
			r.Name, wording.Number(r.Nominal), twelveDigits(r.change.Estimate),
			twelveDigits(r.change.Expanded.U), twelveDigits(r.rate.Estimate),
			twelveDigits(r.rate.Expanded.U),
		})
	}
	return csv.NewWriter(w).WriteAll(out)
}

// twelveDigits writes twelve digits, which every processor agrees on: kernels of gonum sum in
// another order on amd64 than elsewhere, which changes a float64 in its last digits of sixteen.
func twelveDigits(v float64) string { return wording.Number(wording.Rounded(v, 12)) }

// A driftRow is a line with the budgets of change and rate.
type driftRow struct {
	*DriftLine
	change, rate *uncertainty.Budget
}

// rows evaluates change and rate of every line together, since they share the records.
func (d *Drift) rows(op string) ([]driftRow, error) {
	if err := d.checkDate(op, d.lastDate()); err != nil {
		return nil, err
	}
	out := make([]driftRow, len(d.Lines))
	for i := range d.Lines {
		l := &d.Lines[i]
		m, err := uncertainty.EvaluateAll(l.Change, l.Rate)
		if err != nil {
			return nil, &Error{Op: op, Name: l.Name, Err: err}
		}
		out[i] = driftRow{l, m.Budgets[0], m.Budgets[1]}
	}
	return out, nil
}

// cells are the texts of a line, in the order of the head that write gives the table.
func (r *driftRow) cells() []string {
	value, u := wording.SignedPair(1e3*r.change.Estimate, 1e3*r.change.Expanded.U)
	if math.Abs(r.change.Estimate) > r.change.Expanded.U {
		value += "*"
	}
	// The residual has no size to relate to.
	ppm, rate, rateU := "", "", ""
	if n := r.Nominal; n > 0 && r.Name != decade.ResidualName {
		ppm, _ = wording.SignedPair(1e6*r.change.Estimate/n, 1e6*r.change.Expanded.U/n)
		rate, rateU = wording.SignedPair(1e6*r.rate.Estimate/n, 1e6*r.rate.Expanded.U/n)
	}
	return []string{r.Name, wording.Number(r.Nominal), value, u, ppm, rate, rateU}
}
