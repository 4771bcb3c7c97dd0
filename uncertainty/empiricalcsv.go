// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// This file writes and reads distributions as columns of numbers: the form that a spreadsheet, a
// plot or another simulation has. The names of the columns say which of the three forms it is, so
// that no option can contradict the file:
//
//	value    probability,value    lower,upper,count
//	9.98     0.1,9.97             9.96,9.98,12
//	10.01    0.9,10.03            9.98,10.04,88
//
// A comma separates and a point is the decimal sign. A file in which both are commas is refused at
// its first line of numbers, since that has more fields than names.

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// The columns of the three forms of a file, in the order in which empiricalOf takes them. Their
// numbers, 1, 2 and 3, tell the forms apart.
var (
	columnsOfDraws     = []string{"value"}
	columnsOfTable     = []string{"probability", "value"}
	columnsOfHistogram = []string{"lower", "upper", "count"}
)

// WriteCSV writes the distribution for [ReadEmpirical], in full precision: draws as one
// column "value", others as "probability" and "value". A histogram comes back as a table, which is
// the same polygon. A nil distribution writes the names of the columns alone.
func (e *Empirical) WriteCSV(w io.Writer) error {
	rows := [][]string{columnsOfTable}
	if e != nil && e.form == byDraws {
		rows[0] = columnsOfDraws
	}
	for value, probability := range e.Points() {
		row := []string{format(probability), format(value)}
		// Rows are built with both columns; draws keep the last one.
		rows = append(rows, row[2-len(rows[0]):])
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// ReadEmpirical reads a distribution from a CSV file with a line of column names: "value",
// one draw a line in any order (see [NewEmpirical]); "lower", "upper" and "count" of the bins
// of a histogram, from below, which may leave gaps; or "probability" and "value" (see
// [NewEmpiricalTable]). Columns may stand in any order, and values are in the unit of the
// quantity. Lines that are empty or begin with "#" are passed over. Anything else is refused
// with its line and column. examples/formats/README.md describes the file.
func ReadEmpirical(r io.Reader) (*Empirical, error) {
	const op = "ReadEmpirical"
	refuse := func(err error) (*Empirical, error) {
		return nil,
			&Error{Op: "uncertainty." + op, Err: err}
	}
	if r == nil {
		return refuse(unit.Errorf(ErrNotStated, "no file; expected one"))
	}
	// One byte more than allowed shows that a file is too large; without it, a file that is cut off
	// there would be read as a shorter one.
	text := bufio.NewReader(io.LimitReader(r, largestEmpirical+1))
	if mark, _ := text.Peek(3); string(mark) == "\ufeff" {
		_, _ = text.Discard(3) // spreadsheets put it there
	}
	lines := csv.NewReader(text)
	lines.Comment, lines.TrimLeadingSpace, lines.ReuseRecord = '#', true, true
	head, err := lines.Read()
	if err != nil {
		return refuse(unit.Errorf(ErrSyntax, "%s; expected a line of column names", lineError(err)))
	}
	names := slices.Clone(head)
	for i, name := range names {
		names[i] = strings.TrimSpace(name)
	}
	order, err := columnOrder(names)
	if err != nil {
		return refuse(err)
	}
	columns := make([][]float64, len(names)) // by the order of the form
	for {
		row, err := lines.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return refuse(unit.Errorf(ErrSyntax, "%s; expected %s", lineError(err),
				unit.Counted(len(names), "number", "numbers")))
		}
		// A limit on what is read, not on what is claimed: there is no length in a stream.
		if lines.InputOffset() > largestEmpirical {
			return refuse(unit.Errorf(ErrSyntax, "more than %d bytes; expected less",
				largestEmpirical))
		}
		for i, text := range row {
			v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
			if err == nil {
				err = number(names[i], v)
			}
			if err != nil {
				// The field knows its line also where quoted fields span several.
				line, _ := lines.FieldPos(i)
				return refuse(unit.Errorf(ErrSyntax,
					"line %d, column %q: %q; expected a number with a decimal point", line,
					names[i], text))
			}
			// In the order of the form, whatever that of the file. All rows have as many fields as
			// the first, or csv has refused them.
			columns[order[i]] = append(columns[order[i]], v)
		}
	}
	return empiricalOf(op, columns)
}

// largestEmpirical is the size of the largest file, in bytes: ten million draws of up to 25
// characters, the most that Output.Empirical makes. A reader of somebody else's file should not
// take all memory before it complains.
const largestEmpirical = 256 << 20

// lineError is what csv says, with its place; an end before the first line is an empty file. What
// a reader under the csv returns, such as a broken connection, stays as it is.
func lineError(err error) string {
	switch e, ok := errors.AsType[*csv.ParseError](err); {
	case errors.Is(err, io.EOF):
		return "an empty file"
	case ok:
		return fmt.Sprintf("line %d: %v", e.Line, e.Err)
	}
	return err.Error()
}

// columnOrder returns, for each column of the file, its place in the form that has exactly these
// columns: "value,probability" gives 1, 0. Where there is no such form a name that is in none of
// them is the likelier mistake, and is reported before the combination.
func columnOrder(names []string) ([]int, error) {
	forms := [][]string{columnsOfDraws, columnsOfTable, columnsOfHistogram}
	for _, form := range forms {
		order := make([]int, len(names))
		for i, name := range names {
			order[i] = slices.Index(form, name)
		}
		// As many columns, each known (Index is −1 else) and none twice.
		if sorted := slices.Sorted(slices.Values(order)); len(names) == len(form) &&
			sorted[0] == 0 && len(slices.Compact(sorted)) == len(form) {
			return order, nil
		}
	}
	known := slices.Concat(columnsOfTable, columnsOfHistogram)
	for _, name := range names {
		if !slices.Contains(known, name) {
			return nil, unit.Errorf(ErrSyntax, "%v", file.Unknown("column", name, known...))
		}
	}
	return nil, unit.Errorf(ErrSyntax,
		"columns %s; expected value, or probability and value, or lower, upper and count",
		strings.Join(names, ", "))
}

// empiricalOf makes the distribution of columns of one length, which csv has checked; their number
// decides the form. The constructors refuse numbers that make none, and their operation is
// replaced by op, which the caller called. Bins go to histogramOf, since a file may leave gaps and
// NewEmpiricalHistogram may not.
func empiricalOf(op string, columns [][]float64) (e *Empirical, err error) {
	switch len(columns) {
	case 1:
		e, err = NewEmpirical(columns[0])
	case 2:
		e, err = NewEmpiricalTable(columns[0], columns[1])
	default:
		bins := make([]bin, len(columns[0]))
		for i := range bins {
			bins[i] = bin{columns[0][i], columns[1][i], columns[2][i]}
		}
		return histogramOf(op, bins)
	}
	if err != nil {
		return nil, refused("uncertainty."+op, "", unit.Errorf(err, "%v", unit.Cause(err)))
	}
	return e, nil
}
