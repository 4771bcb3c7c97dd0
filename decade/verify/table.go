// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// This file is the head of a table of readings, and the number of its cells. Each message here
// is for one way in which programs spoil a table on the way from the bench:
//
//	"setting;value"        the whole line in one pair of quotes: one column
//	setting value          blanks between the columns: one column
//	setting,value,,,       empty columns, as wide as the sheet was once: dropped
//	Readings of May        a title above the head
//	settting, value        a slip: near spellings are proposed
//	value (kÎ©)            UTF-8 read as Windows-1252
//	1-0-0,100,02           a decimal comma between commas: a cell too many

// The columns of a table of readings, by what they hold.
const (
	colSetting          = "setting"
	colNominal          = "nominal"
	colValue            = "value"
	colUnit             = "unit"
	colRange            = "range"
	colTemperature      = "temperature"
	colMeterTemperature = "meter temperature"
	colTime             = "time"
	colDialling         = "dialling"
	colSession          = "session"
	colStage            = "stage"
	colPolarity         = "polarity"
	colApproach         = "approach"
	colStandard         = "standard"
	colStandardValue    = "standard value"
	colStandardU        = "standard u"
	colStandardK        = "standard k"
	colTurned           = "turned"
	colRemarks          = "remarks"
	colUnnamed          = "" // a column without a head, which must be empty
)

// otherHeads are names that people give to columns. A name that could mean two columns, such as
// "resistance" (nominal or value?), is not among them.
var otherHeads = map[string]string{
	"reading": colValue, "remark": colRemarks, "note": colRemarks, "notes": colRemarks,
	"comment": colRemarks, "comments": colRemarks,
}

// knownColumns are those that a message lists.
var knownColumns = []string{
	colSetting, colNominal, colValue, colUnit, colRange, colTemperature, colMeterTemperature,
	colTime, colDialling, colSession, colStage, colPolarity, colApproach, colTurned,
	colStandard, colStandardValue, colStandardU, colStandardK, colRemarks,
}

// columnsWithUnit may carry a unit in their head: "value (kΩ)", "temperature [°C]". The coverage
// factor standard k has none.
var columnsWithUnit = []string{colValue, colNominal, colTemperature, colMeterTemperature,
	colStandardValue, colStandardU}

// column is one column of the table: kind is one of the constants above, unit what the head
// states in parentheses or brackets ("" where nothing), head the text as it was written, for
// messages, and index the place of its cell in a row, from 0.
type column struct {
	kind, unit, head string
	index            int
}

// table is the head of a file of readings. Columns stand in the order of the file, and
// columns[i].index is i; any number of them may be of kind value, at most one of any other.
type table struct {
	separator rune
	columns   []column
	decimal   byte // mark of the file: '.' or ','; 0: no number shows one certainly
	markLine  int  // first line that does
}

// newTable reads the head of a table: what separates cells, and what each column holds. It
// refuses a head without a setting or nominal, with both, or without a value: of such a table no
// line could be read. ReadReadings needs no other column.
func newTable(header string) (*table, error) {
	t := &table{separator: separator(header)}
	row, err := cells(header, t.separator)
	if err != nil {
		return nil, err
	}
	// Spreadsheets write empty cells as far as any row of the sheet goes.
	for len(row) > 0 && row[len(row)-1] == "" {
		row = row[:len(row)-1]
	}
	// Before the columns one by one: of a title above the table the first word would be
	// "unknown", which misses the point.
	if !slices.ContainsFunc(row, isHead) {
		return nil, noHead(row)
	}
	for i, head := range row {
		c, err := newColumn(head)
		if err != nil {
			return nil, err
		}
		c.index = i
		// Values side by side are repeats; of two columns temperature nobody can say which
		// holds.
		if c.kind != colValue && c.kind != colUnnamed && slices.ContainsFunc(t.columns,
			func(d column) bool { return d.kind == c.kind }) {
			return nil, unit.Errorf(ErrContradiction, "two columns %q; expected one", c.kind)
		}
		t.columns = append(t.columns, c)
	}
	has := func(kind string) bool {
		return slices.ContainsFunc(t.columns, func(c column) bool { return c.kind == kind })
	}
	switch {
	case !has(colSetting) && !has(colNominal):
		return nil, unit.Errorf(ErrUnknown, "columns %s, none of them setting or nominal; "+
			"expected one that says how the dials stood", wording.List(row))
	case has(colSetting) && has(colNominal):
		return nil, unit.Errorf(ErrContradiction, "columns setting and nominal; expected one of "+
			"the two")
	case !has(colValue):
		return nil, unit.Errorf(ErrUnknown, "columns %s, none of them value; expected at least "+
			"one with what the meter showed", wording.List(row))
	}
	return t, nil
}

// isHead reports whether a cell names a column.
func isHead(cell string) bool {
	_, _, known := parseHead(cell)
	return known && cell != ""
}

// noHead says what a first line is that names no column. The three cases are told apart by what
// the line would be, were it cut otherwise; row is the line as it was cut.
func noHead(row []string) error {
	joined := strings.Join(row, " ")
	if len(row) == 1 && strings.ContainsAny(row[0], ";,\t") {
		return unit.Errorf(ErrSyntax, "the first line is one cell, %.60q; expected each column "+
			"in a cell of its own, without quotes around the line", row[0])
	}
	// Every word a head, or a title such as "value of my box" would count as columns.
	if heads := strings.Fields(joined); len(row) == 1 && len(heads) > 1 &&
		!slices.ContainsFunc(heads, func(s string) bool { return !isHead(s) }) {
		return unit.Errorf(ErrSyntax, "the first line, %.60q, has blanks between the columns; "+
			"expected commas, semicolons or tabs", row[0])
	}
	return unit.Errorf(ErrUnknown, "%.60q in the first line, which names no column; expected "+
		"one of %s"+headHint+": put # before titles above the table",
		joined, wording.List(knownColumns))
}

// headHint stands behind lists of columns.
const headHint = " (value may be numbered and carry a unit: value 2 (kΩ))"

// parseHead takes the head of a column apart; known reports whether there is such a column:
//
//	Value 2 (kΩ)        value, kΩ
//	meter_temperature   meter temperature
//	Standard-U [mΩ]     standard u, mΩ
//	notes               remarks
//	resistance          resistance, not known
func parseHead(head string) (name, symbol string, known bool) {
	name = head
	// From the first opening bracket on, so that "value (mean) (Ω)" is no unit but an error.
	for _, brackets := range []string{"()", "[]"} {
		if open := strings.IndexByte(name, brackets[0]); open >= 0 &&
			name[len(name)-1] == brackets[1] {
			symbol = strings.TrimSpace(name[open+1 : len(name)-1])
			name = name[:open]
		}
	}
	// Databases and scripts write standard_value where people write standard value.
	name = strings.NewReplacer("_", " ", "-", " ").Replace(strings.ToLower(name))
	name = strings.Join(strings.Fields(name), " ")
	// "value 1", "value 2": repeats.
	name = strings.TrimRight(name, "0123456789 ")
	name = cmp.Or(otherHeads[name], name)
	return name, symbol, slices.Contains(knownColumns, name)
}

// newColumn reads the head of one column, and refuses a unit in it that cells of the column
// could not have: a wrong one is better refused once, here, than in each line.
func newColumn(head string) (column, error) {
	c := column{head: head}
	name, symbol, known := parseHead(head)
	switch {
	case head == "":
		c.kind = colUnnamed
		return c, nil
	case known:
	case file.Near(name, knownColumns...) != "":
		return c, unit.Errorf(ErrUnknown, "column %.60q; did you mean %q?", head,
			file.Near(name, knownColumns...))
	default:
		return c, unit.Errorf(ErrUnknown, "column %.60q; expected one of %s"+headHint, head,
			wording.List(knownColumns))
	}
	c.kind, c.unit = name, symbol
	if c.unit == "" {
		return c, nil
	}
	kind := unit.Ohm
	if name == colTemperature || name == colMeterTemperature {
		kind = unit.Celsius
	}
	// Of a number with the unit, since that is how each cell will be read. Kelvins are refused
	// with the others: temperatures are not converted.
	_, err := unit.Parse("0 "+c.unit, kind)
	switch {
	case !slices.Contains(columnsWithUnit, name):
		return c, unit.Errorf(ErrSyntax, "column %.60q with a unit; expected one without", head)
	// "C" is coulombs where units are read, and degrees in the head of a temperature.
	case kind == unit.Celsius && err != nil && c.unit != "C":
		err = unitError(c.unit, unit.Errorf(ErrUnknown,
			"unit %q of a temperature; expected °C", c.unit))
		return c, unit.Errorf(err, "column %.60q: %v", head, err)
	case kind == unit.Ohm && err != nil:
		err = unitError(c.unit, unit.Errorf(unit.Cause(err), "unit %q; expected Ω, kΩ, MΩ or "+
			"another of resistance", c.unit))
		return c, unit.Errorf(err, "column %.60q: %v", head, err)
	}
	return c, nil
}

// lineName names a line in a message, as editors count them.
func lineName(n int) string { return fmt.Sprintf("line %d", n) }

// split cuts a line into the cells of the table, as many as there are columns. Empty cells
// behind the last column are what a sheet writes that is wider elsewhere; anything else too much
// or too little is an error that guesses the cause, since a cell that is missing in the middle
// would shift all behind it into wrong columns.
func (t *table) split(line string) ([]string, error) {
	row, err := cells(line, t.separator)
	if err != nil {
		return nil, err
	}
	for len(row) > len(t.columns) && row[len(row)-1] == "" {
		row = row[:len(row)-1]
	}
	switch extra := row[min(len(row), len(t.columns)):]; {
	case len(row) == len(t.columns):
		return row, nil
	// Some spreadsheets quote a line that they found in one cell: "1-0-0;100,02".
	case len(row) == 1 && strings.ContainsAny(row[0], ";,\t"):
		return nil, unit.Errorf(ErrSyntax, "all cells in one, %.60q; expected %d cells "+
			"separated by %q, without quotes around the line", row[0], len(t.columns), t.separator)
	case len(row) < len(t.columns):
		return nil, unit.Errorf(ErrSyntax, "%d cells; expected %d, as the first line has: is "+
			"one missing, or are two joined?", len(row), len(t.columns))
	// Extra cells with words are a remark; extra digits are the rest of a number that a decimal
	// comma cut in two.
	case strings.Trim(strings.Join(extra, ""), "0123456789eE+-.,") != "":
		return nil, unit.Errorf(ErrSyntax, "%d cells, the last of them %.60q; expected %d, as "+
			"the first line has: give the column a name, such as remarks",
			len(row), extra[len(extra)-1], len(t.columns))
	}
	return nil, unit.Errorf(ErrSyntax, "%d cells; expected %d, as the first line has (a decimal "+
		"comma needs semicolons between the cells)", len(row), len(t.columns))
}
