// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"slices"
	"strconv"

	"example.com/ohmwright/uncertainty/unit"
)

// The sensitivities of a record are a table, a row for each quantity and a column for each source:
// 71 quantities of a box calibrated with 40 readings, each with a dozen sources, are 34 000
// figures. Most columns are equal: whatever enters by one reading, noise, resolution, linearity,
// has one and the same effect on every element. So each column is written once, and a source names
// its column:
//
//	{"name": "noise 1", "column": 1}            a source
//	{"name": "step 1", "column": 1}             another
//	{"name": "Rs", "column": 2}                 the standard
//	{"name": "R1", "columns": [1, 2], "c": [0.25, 1]}
//	{"name": "R2", "columns": [2], "c": [1]}    a quantity
//
// R1 has ∂R1/∂x = 0.25 for both sources of the reading and 1 for the standard; R2 does not depend
// on the reading at all. Nothing is rounded: equal means equal in every bit.

// columnTable is the table of the sensitivities of a record, equal columns once.
type columnTable struct {
	of []int       // by source: its column, from 1; 0: no quantity depends on it
	c  [][]float64 // by quantity and column − 1; NaN: does not depend on it
}

// newColumnTable numbers the columns by their first source. Only what is equal in every bit is
// one column, so that nothing is rounded. The cost is a backward pass for each quantity, and one
// look at each figure of the table.
func newColumnTable(m *model, quantities []Quantity) *columnTable {
	table := make([][]float64, len(quantities)) // by quantity and source
	for i, q := range quantities {
		// One pass a quantity.
		c, reached := m.backward(q.n)
		table[i] = slices.Clone(c)
		for k := range table[i] {
			if !reached[k] {
				// NaN stands for "does not depend", since 0 is a sensitivity like others.
				table[i][k] = math.NaN()
			}
		}
	}
	out := &columnTable{of: make([]int, len(m.inputs)), c: make([][]float64, len(quantities))}
	// The bits of a column are its key.
	known := make(map[string]int)
	var key []byte
	for k := range m.inputs {
		key = key[:0]
		for i := range table {
			// Base 36 and a space: shorter than decimal digits, and unambiguous.
			key = append(strconv.AppendUint(key, math.Float64bits(table[i][k]), 36), ' ')
		}
		if known[string(key)] == 0 {
			known[string(key)] = len(known) + 1
			for i := range table {
				out.c[i] = append(out.c[i], table[i][k])
			}
		}
		out.of[k] = known[string(key)]
	}
	return out
}

// row lists the columns on which a quantity depends, from 1 and rising, and its sensitivities, in
// the unit of the quantity over that of the source. A sensitivity of 0 is listed: the source then
// is a row of the budget, as when the quantity was evaluated.
func (t *columnTable) row(quantity int) (columns []int, c []float64) {
	for k, v := range t.c[quantity] {
		if !math.IsNaN(v) {
			columns, c = append(columns, k+1), append(c, v)
		}
	}
	return columns, c
}

// fewColumns is up to how many columns a row lists each of them.
const fewColumns = 8

// shorten takes the run of columns from 1 on out of the list, where it is long: ColumnsTo 55 and
// Columns 88 and 89 stand for 1, 2, …, 55, 88, 89.
func (row *jsonQuantity) shorten() {
	n := 0
	for n < len(row.Columns) && row.Columns[n] == n+1 {
		n++
	}
	if n > fewColumns {
		row.ColumnsTo, row.Columns = n, row.Columns[n:]
	}
}

// listedColumns are the columns of a row, one for each figure in c.
func (row *jsonQuantity) listedColumns() ([]int, error) {
	// Before anything of that length is made: the number is of somebody's file.
	if row.ColumnsTo < 0 || row.ColumnsTo > len(row.C) {
		return nil, unit.Errorf(ErrSyntax, "columns to %d and %s in c; expected as many or more",
			row.ColumnsTo, unit.Counted(len(row.C), "figure", "figures"))
	}
	out := make([]int, 0, row.ColumnsTo+len(row.Columns))
	for k := range row.ColumnsTo {
		out = append(out, k+1)
	}
	return append(out, row.Columns...), nil
}

// A sensitivity is the partial derivative of a quantity with respect to a source that was
// read.
type sensitivity struct {
	source string // ID
	c      float64
}

// listed are the sources with their columns, in the order of the file: those of their own, then the
// members of groups. IDs and columns have one length; column 0 is none.
func (j *jsonRecord) listed() (ids []string, columns []int, err error) {
	for _, s := range j.Sources {
		ids, columns = append(ids, s.id(j.ID)), append(columns, s.Column)
	}
	for _, g := range j.Groups {
		of := g.Columns
		// Files from before the columns list a sensitivity for each source instead.
		if of == nil {
			of = make([]int, len(g.Names))
		}
		if len(of) != len(g.Names) {
			return nil, nil, &Error{Op: "uncertainty.Record", Name: g.ID,
				Err: unit.Errorf(ErrSyntax, "%s for %s; expected one for each",
					unit.Counted(len(of), "column", "columns"),
					unit.Counted(len(g.Names), "name", "names"))}
		}
		for i, name := range g.Names {
			ids, columns = append(ids, g.ID+"/"+name), append(columns, of[i])
		}
	}
	return ids, columns, nil
}

// sensitivities are those of a row, in the order of the sources. A row that names a column twice,
// or one that no source has, was changed by hand or cut off: it is refused, since what is left of
// it would be another result.
func (row *jsonQuantity) sensitivities(ids []string, columns []int) ([]sensitivity, error) {
	listed, err := row.listedColumns()
	if err != nil {
		return nil, err
	}
	if len(listed) != len(row.C) {
		return nil, unit.Errorf(ErrSyntax, "%s and %s in c; expected as many",
			unit.Counted(len(listed), "column", "columns"),
			unit.Counted(len(row.C), "figure", "figures"))
	}
	var out []sensitivity
	// By column: the figure, and whether a source has it.
	c, used := make(map[int]float64, len(row.C)), make(map[int]bool, len(row.C))
	for i, column := range listed {
		// 0 marks a source without a column, so that no row can ask for it.
		if _, twice := c[column]; twice || column < 1 {
			return nil, unit.Errorf(ErrSyntax,
				"column %d twice, or less than 1; expected each column once", column)
		}
		c[column] = row.C[i]
	}
	for i, id := range ids {
		if v, ok := c[columns[i]]; ok {
			out = append(out, sensitivity{id, v})
			used[columns[i]] = true
		}
	}
	// A column that no source has: the file was changed by hand.
	for column := range c {
		if !used[column] {
			return nil, unit.Errorf(ErrUnknown,
				"no source of column %d in the record; expected one of those listed", column)
		}
	}
	// The older form names sources, which are found in the list.
	for _, s := range row.Sensitivities {
		if slices.ContainsFunc(out, func(o sensitivity) bool { return o.source == s.Source }) {
			return nil, unit.Errorf(ErrSyntax, "two sensitivities to %q; expected one", s.Source)
		}
		if !slices.Contains(ids, s.Source) {
			return nil, unit.Errorf(ErrUnknown,
				"no source of ID %q in the record; expected one of those listed", s.Source)
		}
		out = append(out, sensitivity{s.Source, s.C})
	}
	return out, nil
}
