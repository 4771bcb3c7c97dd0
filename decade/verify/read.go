// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/unit"
)

// This file makes readings of the lines of a table, in three passes: all lines are cut and the
// decimal mark of the file is found (readTable); each line becomes an entry (table.entry), and
// entries of one dialling are joined (grouper); at last the temperatures of each reading are
// averaged. The first pass keeps all lines, since the number that shows the decimal mark may be
// in the last: up to 64 MiB, see lines.
//
// A dialling is what readings are counted by, and few tables state it. Without a number in the
// column dialling, neighbouring lines of one setting are repeats, and a setting that comes again
// was dialled again:
//
//	0-0-0  0.012   dialling 1 of 0-0-0
//	0-0-0  0.013   the same: a second value of it
//	1-0-0  100.02  dialling 1 of 1-0-0
//	0-0-0  0.015   dialling 2 of 0-0-0: the dial was away in between
//
// The difference matters: repeats show the noise of the meter, diallings the variation of the
// contacts, and one taken for the other makes one of the two uncertainties wrong.

// ReadReadings reads a table of readings of the box b, as instruments, people and
// spreadsheets write it: UTF-8 text, or UTF-16 as spreadsheets export it, a first line that
// names the columns, cells separated by commas, semicolons or tabs, numbers with a decimal
// point or a decimal comma (one of the two in a file). Blank lines, lines without a cell that
// says anything and lines that begin with # are ignored. The columns, in any order:
//
//	setting            the dial positions, as Box.ParseSetting reads them: 4-6-3-9; or
//	nominal            the nominal value in ohms or with a unit: 4639, 4.639 kΩ
//	value              what the meter showed: ohms, or the unit of the cell, of the
//	                   column unit, or of the head: value (kΩ). Several (value 1,
//	                   value 2, …) are repeats. What meters show above range, such as OL,
//	                   OVLD or ----, or the number 9.9E37 that instruments send, is above
//	                   range. A line without any value is one that was not read: it is
//	                   ignored
//	unit               of the value: Ω, kΩ, MΩ, mΩ, also ohm, kohm, …; default Ω
//	range              name of the meter range; default: the smallest that can show it
//	temperature        of the box, in °C; default: not recorded
//	meter temperature  at the meter, in °C; default: not recorded
//	time               2006-01-02, 2006-01-02 15:04, 2.1.2006 15:04 (day first) or RFC 3339;
//	                   default: not recorded
//	dialling           1, 2, … : which dialling of this setting; default: rows of one
//	                   setting that follow each other are repeats of one dialling, and a
//	                   setting that comes again later was dialled again
//	session            one setting-up of the meter; default: one for the whole file
//	stage              as found or as left; default: as found
//	polarity           + or -, of the test current; default: +
//	approach           up or down, direction of the last turn; default: not recorded
//	standard           name of a resistor of known value that was read in the place of
//	                   the box; then setting or nominal is empty
//	standard value     of that resistor, in ohms or with a unit
//	standard u         its expanded uncertainty, in ohms or with a unit; default: none
//	standard k         coverage factor of U; default 2
//	turned             dials turned since the reading before, numbers from 1: 2 or 1 3;
//	                   default: all
//	remarks            text, kept with the reading
//
// Digits may stand in groups of three where the number itself shows it: 1 000.5, 1'000.5,
// 1.000,5. A number such as 1.000 is read with a decimal point if another number of the file
// certainly has one, or if it is then near the nominal value of its setting; otherwise it is an
// error.
//
// Values that differ are data. The first thing that cannot be understood, an unknown column or
// unit, or metadata that contradict each other is an error that names the line. Where a
// spreadsheet has changed a cell (a setting into a date, a number with a decimal comma into two
// cells), the error says what helps. [WriteReadings] writes such a table;
// examples/formats/README.md describes it in full.
func ReadReadings(r io.Reader, b *decade.Box) ([]Reading, error) {
	if r == nil || b == nil {
		return nil, &Error{Op: "verify.ReadReadings",
			Err: unit.Errorf(ErrEmpty, "nil reader or box; expected both")}
	}
	plain, err := plainText(r)
	if err != nil {
		return nil, &Error{Op: "verify.ReadReadings", Err: err}
	}
	t, rows, err := readTable(&lines{r: plain})
	if err != nil {
		return nil, err
	}
	return t.readings(rows, b)
}

// readings joins the rows of a table. A file of no rows and one of rows without values are told
// apart: the second is a plan that nobody has filled in.
func (t *table) readings(rows []tableRow, b *decade.Box) ([]Reading, error) {
	g := grouper{place: make(map[key]int), diallings: make(map[dialled]int)}
	for _, row := range rows {
		if err := g.addLine(t, row.cells, row.line, b); err != nil {
			return nil, &Error{Op: "verify.ReadReadings", Name: lineName(row.line), Err: err}
		}
	}
	switch {
	case len(rows) == 0:
		return nil, &Error{Op: "verify.ReadReadings",
			Err: unit.Errorf(ErrEmpty, "no line of readings below the column names; expected "+
				"at least one")}
	case len(g.readings) == 0:
		return nil, &Error{Op: "verify.ReadReadings",
			Err: unit.Errorf(ErrEmpty, "no value in any of %d lines, as in a sheet that is not "+
				"filled in; expected what the meter showed, or OL", len(rows))}
	}
	g.averageTemperatures()
	return g.readings, nil
}

// tableRow is a line of the table behind its head that says something: its cells, one for each
// column, and its number in the file, from 1, blank lines and comments counted.
type tableRow struct {
	cells []string
	line  int
}

// readTable reads all lines: which mark is the decimal one may be seen in the last alone.
func readTable(in *lines) (*table, []tableRow, error) {
	header, err := in.next()
	if errors.Is(err, io.EOF) {
		return nil, nil, &Error{Op: "verify.ReadReadings",
			Err: unit.Errorf(ErrEmpty, "empty file; expected a line that names the columns")}
	}
	if err != nil {
		return nil, nil, err
	}
	t, err := newTable(header)
	if err != nil {
		return nil, nil, &Error{Op: "verify.ReadReadings", Name: lineName(in.n), Err: err}
	}
	var rows []tableRow
	for {
		line, err := in.next()
		if errors.Is(err, io.EOF) {
			return t, rows, nil
		}
		if err != nil {
			return nil, nil, err
		}
		cells, err := t.split(line)
		if err != nil {
			return nil, nil, &Error{Op: "verify.ReadReadings", Name: lineName(in.n), Err: err}
		}
		// ";;;" is how a spreadsheet writes an empty row.
		if !slices.ContainsFunc(cells, func(s string) bool { return s != "" }) {
			continue
		}
		// Before any number is read: the mark of the file decides what 1.000 means.
		t.noteMark(cells, in.n)
		rows = append(rows, tableRow{cells, in.n})
	}
}

// entry is one line of the table before it is joined to others: reading has what a line states
// of a dialling, setting and values stand beside it, as they are needed to find the reading it
// belongs to.
type entry struct {
	setting  decade.Setting
	values   []float64
	doubts   []doubt
	overload bool
	reversed bool
	// dialling reads the number of a dialling; 0 where none is stated.
	dialling int // 0: not stated
	reading  Reading
}

// doubt is a value whose mark nothing in the file decides, read as if it were a decimal one: of
// "1.000" kΩ, ohms is 1000. head names its column in a message.
type doubt struct {
	numeral *numeral
	ohms    float64
	head    string
}

// key is what rows of one reading have in common. Temperature, time, polarity, approach and
// dials turned are not in it: they belong to a dialling. Of lines that contradict each other in
// them, polarities are kept apart, temperatures averaged, and of times the first holds; approach
// and dials turned are refused.
type key struct {
	setting  decade.Setting
	known    string // name of a known resistor, in place of a setting
	dialling int
	// stage reads the stage.
	stage   Stage
	session string
	rangeOf string
}

// dialled is a setting in a stage, or a known resistor: what diallings are counted for. Exactly
// one of setting and known is set.
type dialled struct {
	setting decade.Setting
	known   string
	stage   Stage
}

// grouper joins the lines that belong to one dialling. Sums has an element for each reading,
// place the index of the reading with a key; last is the key of the line before, zero where that
// line had no value or there was none.
type grouper struct {
	readings  []Reading
	sums      []temperatures
	place     map[key]int
	diallings map[dialled]int // highest number so far
	last      key
}

// temperatures are those of the lines of a reading, in °C, in the order of the file; lines that
// state none are not in them.
type temperatures struct{ box, meter []float64 }

// addLine reads line n of the file into the reading that it belongs to, or into a new one.
func (g *grouper) addLine(t *table, cells []string, n int, b *decade.Box) error {
	e, read, err := t.entry(cells, b)
	if err != nil {
		return err
	}
	if !read {
		// If the setting before it comes again, the dials were elsewhere in between.
		g.last = key{}
		return nil
	}
	known := ""
	if e.reading.Known != nil {
		known = e.reading.Known.Name
	}
	of := dialled{e.setting, known, e.reading.Stage}
	k := key{e.setting, known, e.dialling, e.reading.Stage, e.reading.Session, e.reading.Range}
	if e.dialling == 0 {
		k.dialling = g.diallings[of]
		// Lines of one setting without another between them were read without a dial being
		// turned.
		again := k.setting == g.last.setting && k.known == g.last.known &&
			k.stage == g.last.stage && k.session == g.last.session
		if !again {
			k.dialling++
		}
	}
	g.diallings[of] = max(g.diallings[of], k.dialling)
	between := k != g.last
	g.last = k
	i, ok := g.place[k]
	if ok && between {
		if err := e.checkReturn(&g.readings[i]); err != nil {
			return err
		}
	}
	if ok && e.copies(&g.readings[i], between) {
		g.readings[i].copied = n
	}
	// The first line of a reading gives it all that it states; what later lines state beside it
	// is compared in join.
	if !ok {
		i = len(g.readings)
		g.place[k] = i
		e.reading.Setting, e.reading.Dialling, e.reading.Line = e.setting, k.dialling, n
		g.readings = append(g.readings, e.reading)
		g.sums = append(g.sums, temperatures{})
	}
	return g.addToReading(i, e)
}

// copies reports whether a line looks like a copy of another one of its reading r: the values of r
// end with its own, and other settings were read between them, after which it is no repeat, or its
// values differ among themselves, so that a display which stands still does not explain it.
func (e *entry) copies(r *Reading, between bool) bool {
	list := r.Values
	if e.reversed {
		list = r.Reversed
	}
	n := len(e.values)
	if n == 0 || len(list) < n || !slices.Equal(list[len(list)-n:], e.values) {
		return false
	}
	return between || slices.Min(e.values) < slices.Max(e.values)
}

// checkReturn compares a line with the reading r that it states to be of, where lines of other
// settings stand between the two. A dialling ends when a dial is turned, so that another time says
// that it is a new one: as repeats of the first, the lines would hide what contacts vary.
func (e *entry) checkReturn(r *Reading) error {
	if is := e.reading.Time; is.IsZero() || r.Time.IsZero() || is.Equal(r.Time) {
		return nil
	}
	return unit.Errorf(ErrContradiction, "dialling %d of line %d again, at another time and after "+
		"other settings; expected the number of a dialling of its own, or another stage or session",
		r.Dialling, r.Line)
}

// addToReading adds a line to its reading; what both state of the dialling must agree. Of the
// first line of a reading, from which it was made, all of this holds by itself.
func (g *grouper) addToReading(i int, e entry) error {
	r := &g.readings[i]
	// Both have a name, which is in the key; value and U could still differ.
	if r.Known != nil && *r.Known != *e.reading.Known {
		return unit.Errorf(ErrContradiction, "%s is %v Ω with U = %v Ω, but line %d has %v Ω "+
			"with U = %v Ω; expected one value for a name", r.Known.Name,
			e.reading.Known.Value, e.reading.Known.U, r.Line, r.Known.Value, r.Known.U)
	}
	if e.reading.Approach != r.Approach {
		return unit.Errorf(ErrContradiction, "approach %q, but line %d of the same dialling has "+
			"%q; expected one", e.reading.Approach, r.Line, r.Approach)
	}
	if !slices.Equal(e.reading.Turned, r.Turned) {
		return unit.Errorf(ErrContradiction, "other dials turned than in line %d of the same "+
			"dialling; expected the same", r.Line)
	}
	// A remark that is written beside both polarities, or repeated in every line by a
	// spreadsheet that fills down, is kept once. The separators around it keep "off" apart from
	// "off by one".
	if m := e.reading.Remarks; m != "" && !strings.Contains("; "+r.Remarks+"; ",
		"; "+m+"; ") {
		r.Remarks = strings.TrimPrefix(r.Remarks+"; "+m, "; ")
	}
	// A display that shows OL beside a value was switched to another range, or the setting was.
	r.Overload = r.Overload || e.overload
	if r.Overload && (len(e.values)+len(r.Values)+len(r.Reversed) > 0) {
		return unit.Errorf(ErrContradiction, "above range and a value in one dialling (line "+
			"%d); expected one of the two, or different diallings", r.Line)
	}
	if e.reversed {
		r.Reversed = append(r.Reversed, e.values...)
	} else {
		r.Values = append(r.Values, e.values...)
	}
	if t := e.reading.Temperature; t != nil {
		g.sums[i].box = append(g.sums[i].box, *t)
	}
	if t := e.reading.MeterTemperature; t != nil {
		g.sums[i].meter = append(g.sums[i].meter, *t)
	}
	return nil
}

// averageTemperatures averages the temperatures.
func (g *grouper) averageTemperatures() {
	average := func(t []float64) *float64 {
		if len(t) == 0 {
			return nil
		}
		return new(mean(t).nearest())
	}
	for i := range g.readings {
		g.readings[i].Temperature = average(g.sums[i].box)
		g.readings[i].MeterTemperature = average(g.sums[i].meter)
	}
}

// entry reads a line; read is false where it has no value. Cells are read in the order of the
// columns, each by what its column holds. A line without a value is checked all the same: a
// wrong setting in a plan is better refused before the bench than after it.
func (t *table) entry(row []string, b *decade.Box) (e entry, read bool, err error) {
	for i, cell := range row {
		if err := t.checkCell(t.columns[i], cell); err != nil {
			return e, false, err
		}
	}
	read = slices.ContainsFunc(t.columns,
		func(c column) bool { return c.kind == colValue && row[c.index] != "" })
	if !read && t.firstCell(row, colSetting, colNominal, colStandard) == "" {
		return e, false, nil // a remark, or what was noted for later
	}
	// What other cells are read by comes first: the unit of the row, and whether it is of a
	// known resistor.
	symbol := t.firstCell(row, colUnit)
	if t.firstCell(row, colStandard) != "" {
		e.reading.Known = &Known{}
	}
	for i, cell := range row {
		c := t.columns[i]
		if err := t.readStandard(e.reading.Known, c, cell); err != nil {
			return e, false, unit.Errorf(err, "column %q: %v", c.head, unit.WithoutOp(err))
		}
		if err := t.readCell(&e, c, cell, symbol, b); err != nil {
			return e, false, unit.Errorf(err, "column %q: %v", c.head, unit.WithoutOp(err))
		}
	}
	if e.reading.Known != nil && read {
		if err := e.reading.Known.checkKnown(); err != nil {
			return e, false, err
		}
	}
	return e, read, e.decideDoubts()
}

// checkCell refuses what no cell of a column can mean: what a spreadsheet shows for an error
// ("#N/A"), text under no head, and the half of a number behind a decimal comma that was taken
// for the end of a cell ("100,02" in a file of commas leaves 02 in the next column).
func (t *table) checkCell(c column, cell string) error {
	err := checkCell(cell)
	switch {
	case err != nil:
	case c.kind == colUnnamed && cell != "":
		return unit.Errorf(ErrUnknown, "%.60q in a column without a name; expected a column "+
			"name, such as remarks", cell)
	case c.kind == colValue && t.separator == ',' && leadingZero(cell):
		err = unit.Errorf(ErrSyntax, "%q, as after a decimal comma that was taken for the end "+
			"of a cell; expected a decimal point, or semicolons between the cells", cell)
	}
	if err != nil {
		return unit.Errorf(err, "column %q: %v", c.head, unit.WithoutOp(err))
	}
	return nil
}

// decideDoubts decides the values whose mark may be one of thousands: it is a decimal mark if
// the value then is near that of the setting, which a thousand times it is not. "1.000" at 1 Ω
// is 1 Ω, at 1 kΩ it stays in doubt: a short between taps reads 1 Ω there as well. The unit is
// in it: "1.000" in kΩ at 1 kΩ is 1 kΩ. At the zero setting nothing is near, and "1.000" is
// refused.
func (e *entry) decideDoubts() error {
	expected := e.setting.Nominal()
	if e.reading.Known != nil {
		expected = e.reading.Known.Value
	}
	for _, d := range e.doubts {
		// Within a factor of two the value fits its setting, and a thousand times it does not.
		if v := max(d.ohms, -d.ohms); !(v >= expected/2 && v <= 2*expected) {
			err := d.numeral.ambiguous()
			return unit.Errorf(err, "column %q: %v", d.head, err)
		}
	}
	return nil
}

// firstCell is the first cell of these kinds that says something, in the order of the columns;
// "" where none does.
func (t *table) firstCell(row []string, kinds ...string) string {
	for _, c := range t.columns {
		if slices.Contains(kinds, c.kind) && row[c.index] != "" {
			return row[c.index]
		}
	}
	return ""
}

// readSetting reads the setting, or the nominal value that stands for one: of several settings
// with one nominal value (0-10 and 1-0) the one that Box.SettingFor takes, highest dials first.
func (t *table) readSetting(e *entry, c column, cell string, b *decade.Box) (err error) {
	switch {
	case e.reading.Known != nil && cell != "":
		return unit.Errorf(ErrContradiction, "setting %q and a known resistor in one line; "+
			"expected one of the two", cell)
	case e.reading.Known != nil:
		return nil
	case c.kind == colSetting:
		e.setting, err = parseSetting(cell, b)
		return err
	// A spreadsheet exports merged cells as one with the text and others without.
	case cell == "":
		return unit.Errorf(ErrEmpty, "no nominal value beside a value; expected one in every "+
			"line (merged cells keep it only in the first)")
	}
	ohms, err := t.certainResistance(cell, c.unit)
	if err == nil {
		e.setting, err = b.SettingFor(ohms)
	}
	return err
}

// readValue reads what the meter showed: a value, an overload, or nothing.
func (t *table) readValue(e *entry, c column, cell, symbol string) error {
	if cell == "" {
		return nil
	}
	if overload(cell) {
		e.overload = true
		return nil
	}
	if number, _ := cutNumeral(cell); sentNotANumber.MatchString(number) {
		return unit.Errorf(ErrSyntax, "%q, which instruments send where there is no result; "+
			"expected a value, OL or nothing", cell)
	}
	v, doubtful, err := t.resistance(cell, c.unit, symbol)
	// Decided when the setting of the line is known, whichever column comes first.
	if doubtful != nil {
		e.doubts = append(e.doubts, doubt{doubtful, v, c.head})
	}
	e.values = append(e.values, v)
	return err
}

// readCell reads one cell of a line by the kind of its column; what is read of a standard is in
// readStandard, and the unit was read before. Empty cells leave what there is: the zero of each
// field means "not stated". It is a list of columns, one line each, and no more.
func (t *table) readCell(e *entry, c column, cell, symbol string, b *decade.Box) (err error) {
	r := &e.reading
	switch c.kind {
	case colSetting, colNominal:
		return t.readSetting(e, c, cell, b)
	case colValue:
		return t.readValue(e, c, cell, symbol)
	case colRange:
		r.Range = cell
	case colTemperature:
		r.Temperature, err = t.celsius(cell, c.unit)
	case colMeterTemperature:
		r.MeterTemperature, err = t.celsius(cell, c.unit)
	case colTime:
		r.Time, err = parseTime(cell)
	case colDialling:
		e.dialling, err = parseDialling(cell)
	case colSession:
		r.Session = cell
	case colStage:
		r.Stage, err = parseStage(cell)
	case colPolarity:
		e.reversed, err = parsePolarity(cell)
	case colApproach:
		r.Approach, err = parseApproach(cell)
	case colTurned:
		r.Turned, err = parseTurned(cell, b)
	case colRemarks:
		r.Remarks = cell
	}
	return err
}

// readStandard reads what a line says of a known resistor; k is nil where the line names none,
// and then its columns must be empty. Whether the four make sense together is asked once the
// line is read ([Known]).
func (t *table) readStandard(k *Known, c column, cell string) (err error) {
	switch c.kind {
	case colStandard, colStandardValue, colStandardU, colStandardK:
	default:
		return nil
	}
	if k == nil {
		if cell != "" {
			return unit.Errorf(ErrContradiction, "%q without a name in the column standard; "+
				"expected the name of the known resistor", cell)
		}
		return nil
	}
	switch c.kind {
	case colStandard:
		k.Name = cell
	case colStandardValue:
		k.Value, err = t.certainResistance(cell, c.unit)
	case colStandardU:
		if cell != "" {
			k.U, err = t.certainResistance(cell, c.unit)
		}
	case colStandardK:
		if cell == "" {
			return nil
		}
		var text string
		if text, _, err = t.number(cell); err == nil {
			if k.K, err = strconv.ParseFloat(text, 64); err != nil {
				err = unit.Errorf(ErrSyntax, "%q; expected a number", cell)
			}
		}
	}
	return err
}

// certainResistance is resistance for a number whose mark must be certain: a nominal value or that
// of a standard, which nothing else in the line could confirm.
func (t *table) certainResistance(cell, head string) (float64, error) {
	v, doubtful, err := t.resistance(cell, head, "")
	if err == nil && doubtful != nil {
		err = doubtful.ambiguous()
	}
	return v, err
}

// resistance reads a number with the unit of its cell, of its row or of its head, wherever one
// stands, and returns ohms. Two units must not contradict each other, or one of them was
// forgotten when the meter changed its range:
//
//	head value (kΩ), cell 4.7        4700 Ω
//	head value, unit kΩ, cell 4.7    4700 Ω
//	head value (Ω), cell 4.7 kΩ      4700 Ω
//	head value (kΩ), cell 4.7 Ω      error
//
// The third is no contradiction: the sheet of a plan has Ω in its heads, where a display says
// kΩ, so that plain Ω in a head is what a cell without a unit has. Doubtful is the number where
// its mark is not certain; ohms then takes it for decimal.
func (t *table) resistance(cell, head, row string) (ohms float64, doubtful *numeral, err error) {
	text, own := cutNumeral(cell)
	// A dash, too, is how people say that there is nothing; ---- is a display above its range.
	if !strings.ContainsAny(text, "0123456789") {
		return 0, nil, unit.Errorf(ErrSyntax, "%q; expected a number, or an empty cell where "+
			"there is none", cell)
	}
	text, doubtful, err = t.number(text)
	if err != nil {
		return 0, nil, err
	}
	symbol := ""
	if own != "" && sameUnit(head, "Ω") {
		head = ""
	}
	for _, u := range []string{head, row, own} {
		if u != "" && symbol != "" && u != symbol && !sameUnit(u, symbol) {
			return 0, nil, unit.Errorf(ErrContradiction, "units %s and %s for one value; "+
				"expected one", symbol, u)
		}
		symbol = cmp.Or(symbol, u)
	}
	// Nobody states a unit: ohms, as in every other place of the package.
	symbol = cmp.Or(symbol, "Ω")
	v, err := unit.Parse(text+" "+symbol, unit.Ohm)
	// The unit by itself is not understood: then it, and not the number, is what to put right.
	if _, mistaken := unit.Parse("0 "+symbol, unit.Ohm); mistaken != nil {
		return 0, nil, unitError(symbol, unit.Cause(err))
	}
	return v, doubtful, unit.Cause(err)
}

// sameUnit reports whether two spellings are one unit: kΩ and kOhm. What cannot be read is no
// unit, equal to what else cannot be; it is refused when the number is read with it.
func sameUnit(a, b string) bool {
	x, _ := unit.ParseUnit(a)
	y, _ := unit.ParseUnit(b)
	return x.Equal(y)
}

// celsius reads a temperature in °C; nil for an empty cell. The unit may stand in the head, in
// the cell ("23.1 °C"), or in neither. A mark in doubt is decimal here: no box is at 23,125 °C
// with 23125 meant.
func (t *table) celsius(cell, symbol string) (*float64, error) {
	if cell == "" {
		return nil, nil
	}
	text, own := cutNumeral(cell)
	for _, u := range []string{symbol, own} {
		if _, err := unit.Parse("0 "+u, unit.Celsius); err != nil && u != "" && u != "C" {
			return nil, unitError(u, unit.Errorf(ErrUnknown, "unit %q of a temperature; "+
				"expected °C", u))
		}
	}
	text, _, err := t.number(text)
	if err != nil {
		return nil, err
	}
	v, err := strconv.ParseFloat(text, 64)
	// Whether a box can be so warm is asked of the reading, and whether a room can be, of the
	// report.
	if err != nil || !finite(v) {
		return nil, unit.Errorf(ErrSyntax, "%q; expected a number of degrees Celsius", cell)
	}
	return &v, nil
}

// timeLayouts are the forms of a date; those with points between the numbers have the day first,
// as they have wherever they are in use. With strokes both orders are in use (3/4/2026 is in
// March or in April), so that there is none with strokes. A form without a zone is taken in UTC.
var timeLayouts = []string{
	time.RFC3339, "2006-01-02T15:04:05", "2006-01-02T15:04",
	"2006-01-02 15:04:05", "2006-01-02 15:04", "2006-01-02",
	"2.1.2006 15:04:05", "2.1.2006 15:04", "2.1.2006",
}

// parseTime reads a date, with or without the time.
func parseTime(cell string) (time.Time, error) {
	if cell == "" {
		return time.Time{}, nil
	}
	for _, layout := range timeLayouts {
		if t, err := time.Parse(layout, cell); err == nil {
			return t, nil
		}
	}
	if strings.Count(cell, "/") == 2 {
		return time.Time{}, unit.Errorf(ErrSyntax, "time %q, in which day and month may stand "+
			"either way; expected a form such as 2026-03-17 or 17.3.2026", cell)
	}
	return time.Time{}, unit.Errorf(ErrSyntax, "time %q; expected a form such as 2026-03-17, "+
		"2026-03-17 09:04, 17.3.2026 09:04 (day first) or RFC 3339", cell)
}

// mostDiallings bounds the number of a dialling: about as many as a file can have lines, and so
// far below what an int of 32 bits holds that counting on from it does not overflow.
const mostDiallings = 1_000_000

// parseDialling reads the number of a dialling, from 1; 0, "not stated", for an empty cell.
func parseDialling(cell string) (int, error) {
	if cell == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(cell)
	if err != nil || n < 1 || n > mostDiallings {
		return 0, unit.Errorf(ErrDomain, "dialling %q; expected a whole number from 1", cell)
	}
	return n, nil
}

// parseStage reads as found or as left, also As-Found and found. An empty cell is as found: what
// nobody calls adjusted was not.
func parseStage(cell string) (Stage, error) {
	switch strings.ToLower(strings.ReplaceAll(cell, "-", " ")) {
	case "", "as found", "found":
		return StageAsFound, nil
	case "as left", "left":
		return StageAsLeft, nil
	}
	return 0, unit.Errorf(ErrUnknown, "stage %q; expected as found or as left", cell)
}

// parsePolarity reads the sign of the test current; the minus may be any dash, which word
// processors make of a hyphen. An empty cell is positive.
func parsePolarity(cell string) (reversed bool, err error) {
	switch strings.ToLower(cell) {
	case "", "+", "normal":
		return false, nil
	case "-", "−", "–", "reversed":
		return true, nil
	}
	return false, unit.Errorf(ErrUnknown, "polarity %q; expected + or -", cell)
}

// parseApproach reads the direction of the last turn; "" where it was not noted.
func parseApproach(cell string) (string, error) {
	switch s := strings.ToLower(cell); s {
	case "", "up", "down":
		return s, nil
	}
	return "", unit.Errorf(ErrUnknown, "approach %q; expected up or down", cell)
}

// parseTurned reads the numbers of dials, counted from 1 on the table and from 0 in the result,
// in the order of the cell. Nil means all dials: for an empty cell and for "all".
func parseTurned(cell string, b *decade.Box) ([]int, error) {
	if cell == "" || strings.EqualFold(cell, "all") {
		return nil, nil
	}
	var out []int
	for text := range strings.FieldsSeq(cell) {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > b.NumDecades() || slices.Contains(out, n-1) {
			return nil, unit.Errorf(ErrDomain, "turned %q; expected numbers of dials from 1 to "+
				"%d, each once, with blanks between them, or all", cell, b.NumDecades())
		}
		out = append(out, n-1)
	}
	return out, nil
}
