// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

// Deviations of a dial are sums of its elements, and the elements share the errors of the meter:
// position 9 of a ladder has nine elements with the same gain error of 10 ppm, which makes 10 ppm
// of the sum, not 10/√9 ppm. So each position is a quantity of its own that is evaluated as a
// whole. That costs one evaluation a position; the sums of a hundred positions share no work.

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/grid"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// A DeviationTable lists what a calibrated box measures at every position of every dial,
// the others at zero, in the form of a certificate: the residual on a line of its own,
// then a table for each dial. Deviations are measured minus nominal.
//
// Where the box is stated without its residual, values are those above the zero setting;
// else they are at the terminals. Switching variation is not in them. Any number of
// goroutines may read one at once.
type DeviationTable struct {
	Box         *decade.Box
	Calibration *decade.Calibration
	Coverage    float64 // probability of the expanded uncertainties
	Residual    DeviationRow
	Dials       []DialDeviations
}

// DialDeviations is the table of one dial. Any number of goroutines may read one at once.
type DialDeviations struct {
	Name string
	Rows []DeviationRow // positions 1, 2, …
}

// A DeviationRow is one position of a dial. Any number of goroutines may read one at once.
type DeviationRow struct {
	Setting   decade.Setting
	Position  int                  // of the dial; 0 of the residual
	Nominal   float64              // Ω
	Value     float64              // Ω
	Deviation float64              // Ω, measured minus nominal
	Budget    *uncertainty.Budget  // of Deviation
	Expanded  uncertainty.Expanded // of Deviation, for the coverage of the table
	Limit     float64              // Ω, ±, by the class or the tolerance of the residual; 0: none
}

// Deviations makes the table of a box with a calibration (see [decade.Box.With]) for a
// coverage probability, 0 for 95 %.
func Deviations(b *decade.Box, coverage float64) (*DeviationTable, error) {
	const op = "calibrate.Deviations"
	c := b.Calibration()
	if c == nil {
		return nil, &Error{Op: op,
			Err: unit.Errorf(ErrEmpty, "the box has no calibration; expected one from Box.With")}
	}
	if coverage == 0 {
		coverage = 0.95
	}
	spec := b.Spec()
	t := &DeviationTable{Box: b, Calibration: c, Coverage: coverage}
	residual := c.Values.Quantity(decade.ResidualName)
	var err error
	if t.Residual, err = t.row(residual, spec.Residual); err != nil {
		return nil, err
	}
	t.Residual.Setting, t.Residual.Limit = b.Zero(), spec.ResidualTolerance
	for d, dec := range spec.Decades {
		dial := DialDeviations{Name: dec.Name}
		for p := 1; p <= dec.Positions; p++ {
			if !dec.HasPosition(p) {
				continue
			}
			s, err := b.Zero().With(d, p)
			if err != nil {
				return nil, err
			}
			var sum []uncertainty.Quantity
			if spec.ResidualIncluded {
				// One budget of the sum and not a sum of uncertainties: elements share the
				// errors of the meter (GUM 5.2.2).
				sum = append(sum, residual)
			}
			for d, e := range s.Elements() {
				sum = append(sum, c.Values.Quantity(b.ElementName(d, e)))
			}
			row, err := t.row(uncertainty.Sum(sum...), s.Nominal())
			if err != nil {
				return nil, err
			}
			row.Setting, row.Position, row.Limit = s, p, s.ClassLimit()
			dial.Rows = append(dial.Rows, row)
		}
		t.Dials = append(t.Dials, dial)
	}
	return t, nil
}

// row evaluates the deviation of one value from its nominal value, both in Ω. Setting, position
// and limit are for the caller to fill in.
func (t *DeviationTable) row(q uncertainty.Quantity, nominal float64) (DeviationRow, error) {
	b, err := uncertainty.Evaluate(q.Sub(uncertainty.Exact(nominal)))
	if err != nil {
		return DeviationRow{}, &Error{Op: "calibrate.Deviations", Name: q.Name(), Err: err}
	}
	e, err := b.ExpandedAt(t.Coverage)
	if err != nil {
		return DeviationRow{}, &Error{Op: "calibrate.Deviations", Name: "coverage",
			Value: t.Coverage, Err: err}
	}
	return DeviationRow{Nominal: nominal, Value: q.Estimate(), Deviation: b.Estimate, Budget: b,
		Expanded: e}, nil
}

// head says what the table is, a line each: which box and record, the residual, which convention
// the values follow, and what U means. A table without these cannot be used by anybody else.
func (t *DeviationTable) head() []string {
	if t.Calibration == nil {
		return []string{"Box: none"}
	}
	name := t.Box.Name()
	if s := t.Box.Serial(); s != "" {
		name += ", serial " + s
	}
	out := []string{"Box: " + name, "Record: " + t.Calibration.Values.ID}
	if d := t.Calibration.Date; !d.IsZero() {
		out = append(out, "Date: "+d.Format(time.DateOnly))
	}
	convention := "Values are above the zero setting: the residual is not in them."
	if t.Box.Spec().ResidualIncluded {
		convention = "Values are at the terminals: the residual is in them."
	}
	// In mΩ, whatever the unit of the dials: a residual is some of them.
	r := t.Residual
	return append(out,
		"Residual, all dials at zero: "+uncertainty.FormatPlusMinus(1e3*r.Value, 1e3*r.Expanded.U,
			2)+" mΩ",
		convention+" Deviation is measured minus nominal, at reference conditions, without "+
			"switching variation.",
		fmt.Sprintf("U has a coverage probability of %s.", wording.Percent(t.Coverage)))
}

// table is the table of a dial, in the units in which certificates print. Values and deviations
// end where their U does, at its second significant digit (GUM 7.2.6).
func (d *DialDeviations) table() *grid.Table {
	// Where every U is 1 Ω or more, milliohms would be zeros.
	symbol, scale := "mΩ", 1e3
	if !slices.ContainsFunc(d.Rows, func(r DeviationRow) bool { return r.Expanded.U < 1 }) {
		symbol, scale = "Ω", 1
	}
	g := &grid.Table{Head: []string{"Position", "Nominal/Ω", "Value/Ω", "Deviation/" + symbol,
		"U/" + symbol, "Deviation/ppm", "U/ppm", "Class/" + symbol}}
	for i := range d.Rows {
		r := &d.Rows[i]
		value, _, _ := strings.Cut(uncertainty.FormatPlusMinus(r.Value, r.Expanded.U, 2), " ± ")
		deviation, u := wording.SignedPair(scale*r.Deviation, scale*r.Expanded.U)
		ppm, uppm := wording.SignedPair(1e6*r.Deviation/r.Nominal, 1e6*r.Expanded.U/r.Nominal)
		limit := ""
		if r.Limit > 0 {
			limit = "±" + wording.Number(wording.Rounded(scale*r.Limit, 4))
		}
		g.Add(strconv.Itoa(r.Position), wording.Number(r.Nominal), value, deviation, u, ppm, uppm,
			limit)
	}
	return g
}

// WriteText writes the table for a screen.
func (t *DeviationTable) WriteText(w io.Writer) error {
	return t.write(w, "\n", "\nDial %s\n", (*grid.Table).Text)
}

// WriteMarkdown writes the table in Markdown.
func (t *DeviationTable) WriteMarkdown(w io.Writer) error {
	return t.write(w, "  \n", "\n## Dial %s\n\n", (*grid.Table).Markdown)
}

// write assembles the table: lines of its head, a title for each dial (a format with the name),
// and the rows. The whole is one string before anything is written, so that w sees no half table.
func (t *DeviationTable) write(w io.Writer, lineEnd, title string,
	rows func(*grid.Table, io.Writer)) error {
	t = cmp.Or(t, &DeviationTable{})
	var s strings.Builder
	s.WriteString(strings.Join(t.head(), lineEnd) + "\n")
	for i := range t.Dials {
		fmt.Fprintf(&s, title, t.Dials[i].Name)
		rows(t.Dials[i].table(), &s)
	}
	_, err := io.WriteString(w, s.String())
	return err
}

// WriteCSV writes a line for the residual and each position, all numbers in ohms and in
// full precision. examples/formats/README.md lists the columns.
func (t *DeviationTable) WriteCSV(w io.Writer) error {
	t = cmp.Or(t, &DeviationTable{})
	rows := [][]string{{"dial", "position", "setting", "nominal", "value", "deviation",
		"expanded uncertainty", "coverage factor", "limit"}}
	addRow := func(dial string, r *DeviationRow) {
		rows = append(rows, []string{dial, strconv.Itoa(r.Position), r.Setting.String(),
			wording.Number(r.Nominal), wording.Number(r.Value), wording.Number(r.Deviation),
			wording.Number(r.Expanded.U), wording.Number(r.Expanded.K), wording.Number(r.Limit)})
	}
	addRow(decade.ResidualName, &t.Residual)
	for i := range t.Dials {
		for k := range t.Dials[i].Rows {
			addRow(t.Dials[i].Name, &t.Dials[i].Rows[k])
		}
	}
	return csv.NewWriter(w).WriteAll(rows)
}
