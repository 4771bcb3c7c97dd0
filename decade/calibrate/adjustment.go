// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

// A change is left − found of one setting, and what both readings share drops out of it before
// it is evaluated: with a gain error of 50 ppm in both, a change of 10 mΩ in 1 kΩ has a share of
// 0.5 µΩ of it and not one of 50 mΩ. Readings of two sessions of one meter share what the law of
// the meter gives to its certificate, not what it gives to a session.

import (
	"cmp"
	"encoding/csv"
	"io"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/document"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/unit"
)

// An Adjustment compares a box as found with the same box as left: what was read before
// anything was touched, and after cleaning, adjustment or repair. Both records are kept;
// the first dialling of each setting counts in each. Any number of goroutines may read one at
// once.
type Adjustment struct {
	Report *verify.Report
	Rows   []AdjustmentRow // settings in the order of the readings
}

// An AdjustmentRow is one setting of an adjustment. Any number of goroutines may read one at
// once.
type AdjustmentRow struct {
	Setting     decade.Setting
	Found, Left *verify.Row // nil: not read in that stage

	// Change is as left − as found in Ω; what the two readings share (meter gain and zero
	// of one session) cancels. Nil where a value is missing.
	Change *uncertainty.Budget
}

// Changed reports whether the change exceeds its expanded uncertainty (95 %).
func (r AdjustmentRow) Changed() bool {
	// Shown where 0 lies outside the interval that is expected to hold the change (GUM 6.2.1).
	return r.Change != nil && (r.Change.Expanded.Lower > 0 || r.Change.Expanded.Upper < 0)
}

// NewAdjustment compares the stages of a report. It returns an error where one of the two stages
// has no readings.
func NewAdjustment(r *verify.Report) (*Adjustment, error) {
	const op = "calibrate.NewAdjustment"
	if r == nil {
		return nil, noReport(op)
	}
	a := &Adjustment{Report: r}
	rowOf := make(map[decade.Setting]int) // index in a.Rows
	seen := make(map[verify.Stage]int)    // number of readings
	for i := range r.Rows {
		row := &r.Rows[i]
		seen[row.Reading.Stage]++
		k, ok := rowOf[row.Setting]
		if !ok {
			k = len(a.Rows)
			rowOf[row.Setting] = k
			a.Rows = append(a.Rows, AdjustmentRow{Setting: row.Setting})
		}
		// Of several diallings the first counts: later ones have wiped the contact.
		of := &a.Rows[k].Found
		if row.Reading.Stage == verify.StageAsLeft {
			of = &a.Rows[k].Left
		}
		if *of == nil || row.Reading.Dialling < (*of).Reading.Dialling {
			*of = row
		}
	}
	for _, s := range []verify.Stage{verify.StageAsFound, verify.StageAsLeft} {
		if seen[s] == 0 {
			return nil, &Error{Op: op, Name: s.String(),
				Err: unit.Errorf(ErrEmpty, "no reading %s; expected readings of both stages", s)}
		}
	}
	for i := range a.Rows {
		row := &a.Rows[i]
		if row.Found == nil || row.Left == nil || row.Found.Overload || row.Left.Overload {
			continue
		}
		// The two readings share the errors of the meter, which cancel here (GUM 5.2.2,
		// F.1.2.3).
		b, err := uncertainty.Evaluate(row.Left.Deviation.Sub(row.Found.Deviation))
		if err != nil {
			return nil, &Error{Op: op, Name: row.Setting.String(), Err: err}
		}
		row.Change = b
	}
	return a, nil
}

// Summary says in sentences how the box came and how it left.
func (a *Adjustment) Summary() []string {
	a = cmp.Or(a, &Adjustment{})
	r := a.Report
	// ISO/IEC 17025:2017, 7.8.4.1 d (from memory): results before and after adjustment or repair.
	out := []string{
		"As found: " + r.Summary(verify.StageAsFound).String() + ".",
		"As left: " + r.Summary(verify.StageAsLeft).String() + ".",
	}
	changed := 0
	for i := range a.Rows {
		if a.Rows[i].Changed() {
			changed++
		}
	}
	out = append(out, wording.Plural(changed, "setting")+" changed by more than the uncertainty "+
		"of the change (95 %).")
	// ISO/IEC 17025:2017, 6.4.9 (from memory): whoever used it has to look at earlier work.
	if r.Summary(verify.StageAsFound).DoNotConform > 0 {
		out = append(out, "The box was out of its class as found: earlier work with it may be "+
			"affected.")
	}
	return out
}

// Sections returns summary and table as parts of a report, both details of it. Values are
// deviations from nominal; a star marks a change larger than its uncertainty.
func (a *Adjustment) Sections() []verify.Section {
	a = cmp.Or(a, &Adjustment{})
	return []verify.Section{{Title: "As found and as left", Texts: a.Summary(), Detail: true},
		a.table()}
}

// table lists the settings, those of one stage too: that a setting was not read as left is a
// finding of its own. Limits are those of the reading as left where there is one.
func (a *Adjustment) table() verify.Section {
	a = cmp.Or(a, &Adjustment{})
	g := verify.Section{Title: "Changes", Detail: true, Head: []string{
		"Setting", "Nominal/Ω", "As found/Ω", "U/Ω", "Verdict", "As left/Ω", "U/Ω", "Verdict",
		"Change/Ω", "U/Ω", "Limits/Ω",
	}}
	for i := range a.Rows {
		row := &a.Rows[i]
		cells := []string{row.Setting.String(), wording.Number(row.Setting.Nominal())}
		cells = append(cells, stageCells(row.Found)...)
		cells = append(cells, stageCells(row.Left)...)
		change, u := "", ""
		if b := row.Change; b != nil {
			change, u = wording.SignedPair(b.Estimate, b.Expanded.U)
			if row.Changed() {
				change += "*"
			}
		}
		// As left where it was read, else as found: the later one of the list stays.
		limits := ""
		for _, r := range []*verify.Row{row.Found, row.Left} {
			if r != nil {
				limits = wording.Limits(r.Limits)
			}
		}
		g.Rows = append(g.Rows, append(cells, change, u, limits))
	}
	return g
}

// stageCells are deviation, U and verdict of one stage. An open circuit has a verdict without a
// value; a reading above the range of the meter says nothing, since another range may do.
func stageCells(r *verify.Row) []string {
	switch {
	case r == nil:
		return []string{"", "", "not read"}
	case r.Open:
		return []string{"open", "", conformity.VerdictDoesNotConform.String()}
	case r.Overload:
		return []string{"above range", "", ""}
	}
	deviation, u := wording.SignedPair(r.Deviation.Estimate(), r.Expanded.U)
	verdict := "not judged"
	if r.Judged {
		verdict = r.Verdict.String()
	}
	return []string{deviation, u, verdict}
}

// WriteText writes summary and table for a screen. Values are deviations from nominal; a
// star marks a change larger than its uncertainty.
func (a *Adjustment) WriteText(w io.Writer) error {
	a = cmp.Or(a, &Adjustment{})
	return document.Text(w, a.Report.Heading(), a.Sections())
}

// WriteMarkdown writes summary and table in Markdown.
func (a *Adjustment) WriteMarkdown(w io.Writer) error {
	a = cmp.Or(a, &Adjustment{})
	return document.Markdown(w, a.Report.Heading(), a.Sections())
}

// WriteCSV writes a line for each setting, all numbers in ohms and in full precision.
// examples/formats/README.md lists the columns.
func (a *Adjustment) WriteCSV(w io.Writer) error {
	a = cmp.Or(a, &Adjustment{})
	rows := [][]string{{
		"setting", "nominal",
		"deviation as found", "expanded uncertainty as found", "verdict as found",
		"deviation as left", "expanded uncertainty as left", "verdict as left",
		"change", "expanded uncertainty of change",
	}}
	for i := range a.Rows {
		row := &a.Rows[i]
		line := []string{row.Setting.String(), wording.Number(row.Setting.Nominal())}
		for _, r := range []*verify.Row{row.Found, row.Left} {
			cells := stageCells(r)
			if r != nil && !r.Overload {
				// For other programs all digits; the cells of a report are rounded by their
				// uncertainty.
				cells[0] = wording.Number(r.Deviation.Estimate())
				cells[1] = wording.Number(r.Expanded.U)
			}
			line = append(line, cells...)
		}
		change := []string{"", ""}
		if row.Change != nil {
			change = []string{wording.Number(row.Change.Estimate),
				wording.Number(row.Change.Expanded.U)}
		}
		rows = append(rows, append(line, change...))
	}
	return csv.NewWriter(w).WriteAll(rows)
}
