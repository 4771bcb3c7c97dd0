// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"io"
	"slices"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/unit"
)

// A box that nobody has described has no steps, so that readings cannot be compared with nominal
// values; they can be read and identified. For that the settings need a box to belong to: one of
// as many dials as the cells have positions, with steps that mean nothing. The table is read
// twice, once for the shape of the box, once for the readings.

// unknownStep is the step of dials of which nothing is known, in Ω: no value of a resistor is
// near it, so that no number of a file seems to fit its setting (see [entry.decideDoubts], which
// would settle "1.000" by a nominal value that does not exist). A step of 0 would be refused by
// decade.New.
const unknownStep = 1e-9

// ReadUnidentified is [ReadReadings] for a box that nobody has described: the settings belong
// to a box made for the purpose, with as many dials as the settings have, positions from 0 to
// the highest that occurs, and steps of no meaning. It needs the column setting. Package
// calibrate identifies the box from such readings.
func ReadUnidentified(r io.Reader) ([]Reading, error) {
	const op = "verify.ReadUnidentified"
	if r == nil {
		return nil, &Error{Op: op, Err: unit.Errorf(ErrEmpty, "nil reader; expected one of a "+
			"table of readings")}
	}
	plain, err := plainText(r)
	if err != nil {
		return nil, &Error{Op: op, Err: err}
	}
	t, rows, err := readTable(&lines{r: plain})
	if err != nil {
		return nil, inOp(op, err)
	}
	box, err := t.unidentified(rows)
	if err != nil {
		return nil, err
	}
	readings, err := t.readings(rows, box)
	return readings, inOp(op, err)
}

// unidentified makes the box that the settings of a table need: dial i, from the left of the
// cell, has positions 0 to the highest that occurs in any line, and one position at least, which
// a box must have. What is odd in a cell (a date, another number of dials) is refused here, in
// the words of [ReadReadings].
func (t *table) unidentified(rows []tableRow) (*decade.Box, error) {
	const op = "verify.ReadUnidentified"
	// Of each dial, by its place in the cell; nil before the first setting.
	var highest []int
	first := 0 // line that has the first setting
	for _, row := range rows {
		cell := t.firstCell(row.cells, colSetting)
		if cell == "" {
			continue // told when the line is read
		}
		positions, err := decade.ParsePositions(cell)
		// A date reads as positions of a kind; what a spreadsheet did to it is the better
		// message.
		if dates.MatchString(cell) {
			err = dateError(cell, "4 6 3")
		}
		if err != nil {
			return nil, &Error{Op: op, Name: lineName(row.line), Err: unit.Cause(err)}
		}
		if highest == nil {
			highest, first = make([]int, len(positions)), row.line
		}
		// A dial that is left out in a line (4-6 beside 4-6-3) could be any of them.
		if len(positions) != len(highest) {
			return nil, &Error{Op: op, Name: lineName(row.line), Value: cell,
				Err: unit.Errorf(ErrContradiction, "setting %q of %d dials, but line %d has one "+
					"of %d; expected as many in all lines",
					cell, len(positions), first, len(highest))}
		}
		for i, p := range positions {
			highest[i] = max(highest[i], p)
		}
	}
	// With all dials at zero there is no element in any reading, and nothing to identify.
	if highest == nil || slices.Max(highest) == 0 {
		return nil, &Error{Op: op,
			Err: unit.Errorf(ErrEmpty, "no setting with a dial off zero; expected the positions "+
				"of the dials in a column setting")}
	}
	spec := decade.Spec{Name: "unidentified"}
	for i, p := range highest {
		spec.Decades = append(spec.Decades, decade.Decade{
			Name: fmt.Sprintf("dial %d", i+1), Step: unknownStep, Positions: max(1, p),
		})
	}
	return decade.New(spec)
}
