// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"slices"
	"strings"

	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty/unit"
)

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
)

var knownColumns = []string{
	colSetting, colNominal, colValue, colUnit, colRange, colTemperature, colMeterTemperature, colTime, colDialling,
	colSession, colStage, colPolarity, colApproach, colTurned, colStandard, colStandardValue, colStandardU, colStandardK,
}

// columnsWithUnit may carry a unit in their head.
var columnsWithUnit = []string{colValue, colNominal, colTemperature, colMeterTemperature, colStandardValue, colStandardU}

// column is one column of the table; unit is what its head states in parentheses.
type column struct {
	kind, unit, head string
}

// table is the head of a file of readings.
type table struct {
	separator rune
	columns   []column
	decimal   byte // mark used so far: 0, '.' or ','
	markLine  int
}

func newTable(header string) (*table, error) {
	t := &table{separator: separator(header)}
	row, err := cells(header, t.separator)
	if err != nil {
		return nil, err
	}
	for len(row) > 0 && row[len(row)-1] == "" {
		row = row[:len(row)-1]
	}
	for _, head := range row {
		c, err := newColumn(head)
		if err != nil {
			return nil, err
		}
		if c.kind != colValue && slices.ContainsFunc(t.columns, func(d column) bool { return d.kind == c.kind }) {
			return nil, unit.Errorf(ErrContradiction, "two columns %q; expected one", c.kind)
		}
		t.columns = append(t.columns, c)
	}
	has := func(kind string) bool {
		return slices.ContainsFunc(t.columns, func(c column) bool { return c.kind == kind })
	}
	switch {
	case !has(colSetting) && !has(colNominal):
		return nil, unit.Errorf(ErrUnknown, "columns %s, none of them setting or nominal; expected one that says how the dials stood", wording.List(row))
	case has(colSetting) && has(colNominal):
		return nil, unit.Errorf(ErrContradiction, "columns setting and nominal; expected one of the two")
	case !has(colValue):
		return nil, unit.Errorf(ErrUnknown, "columns %s, none of them value; expected at least one with what the meter showed", wording.List(row))
	}
	return t, nil
}

func newColumn(head string) (column, error) {
	c := column{head: head}
	name := head
	for _, brackets := range []string{"()", "[]"} {
		if open := strings.IndexByte(name, brackets[0]); open >= 0 && name[len(name)-1] == brackets[1] {
			c.unit = strings.TrimSpace(name[open+1 : len(name)-1])
			name = name[:open]
		}
	}
	name = strings.NewReplacer("_", " ", "-", " ").Replace(strings.ToLower(name))
	name = strings.Join(strings.Fields(name), " ")
	// "value 1", "value 2": repeats.
	name = strings.TrimRight(name, "0123456789 ")
	if name == "reading" {
		name = colValue
	}
	if !slices.Contains(knownColumns, name) {
		return c, unit.Errorf(ErrUnknown, "column %q; expected one of %s (value may be numbered and carry a unit: value 2 (kΩ))", head, wording.List(knownColumns))
	}
	c.kind = name
	if c.unit != "" && !slices.Contains(columnsWithUnit, name) {
		return c, unit.Errorf(ErrSyntax, "column %q with a unit; expected one without", head)
	}
	return c, nil
}

func lineName(n int) string { return fmt.Sprintf("line %d", n) }

// split cuts a line into the cells of the table.
func (t *table) split(line string) ([]string, error) {
	row, err := cells(line, t.separator)
	if err != nil {
		return nil, err
	}
	for len(row) > len(t.columns) && row[len(row)-1] == "" {
		row = row[:len(row)-1]
	}
	if len(row) != len(t.columns) {
		return nil, unit.Errorf(ErrSyntax, "%d cells; expected %d, as the first line has (a decimal comma needs semicolons between the cells)", len(row), len(t.columns))
	}
	return row, nil
}

// number turns a decimal comma into a point. The mark must be one in the whole file:
// in a file with decimal commas, 1.234 could be a thousand and more.
func (t *table) number(text string, line int) (string, error) {
	point, comma := strings.Count(text, "."), strings.Count(text, ",")
	if point+comma > 1 {
		return "", unit.Errorf(ErrSyntax, "number %q with %d marks; expected one decimal point or comma and no separators of thousands", text, point+comma)
	}
	mark := byte(0)
	if point == 1 {
		mark = '.'
	}
	if comma == 1 {
		mark = ','
	}
	if mark != 0 && t.decimal != 0 && mark != t.decimal {
		return "", unit.Errorf(ErrContradiction, "number %q with a decimal %q, but line %d has a decimal %q; expected one of the two in a file", text, mark, t.markLine, t.decimal)
	}
	if mark != 0 && t.decimal == 0 {
		t.decimal, t.markLine = mark, line
	}
	return strings.ReplaceAll(text, ",", "."), nil
}
