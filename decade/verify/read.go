// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"bufio"
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

// ReadReadings reads a table of readings of the box b, as instruments and people write it:
// UTF-8 text with or without a byte-order mark, a first line that names the columns,
// cells separated by commas, semicolons or tabs, numbers with a decimal point or a
// decimal comma (one of the two in a file). Blank lines and lines that begin with # are
// passed over. The columns, in any order:
//
//	setting            the dial positions, as Setting.String writes them: 4-6-3-9; or
//	nominal            the nominal value in ohms or with a unit: 4639, 4.639 kΩ
//	value              what the meter showed: ohms, or the unit of the cell, of the
//	                   column unit, or of the head: value (kΩ). Several (value 1,
//	                   value 2, …) are repeats. OL, or the number 9.9E37 that
//	                   instruments send for it, means above range
//	unit               of the value: Ω, kΩ, MΩ, mΩ, also ohm, kohm, …; default Ω
//	range              name of the meter range; default: the smallest that can show it
//	temperature        of the box, in °C; default: not recorded
//	meter temperature  at the meter, in °C; default: not recorded
//	time               2006-01-02, 2006-01-02 15:04 or RFC 3339; default: not recorded
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
//	turned             dials turned since the reading before, numbers from 1: 2 or 1 3; default: all
//
// Values that differ are data. Anything that cannot be understood, an unknown column or
// unit, and metadata that contradict each other are one error that names the line.
// [WriteReadings] writes such a table; examples/formats/README.md describes it in full.
func ReadReadings(r io.Reader, b *decade.Box) ([]Reading, error) {
	if r == nil || b == nil {
		return nil, &Error{Op: "verify.ReadReadings",
			Err: unit.Errorf(ErrEmpty, "nil reader or box; expected both")}
	}
	in := &lines{r: bufio.NewReaderSize(r, 64<<10)}
	header, err := in.next()
	if errors.Is(err, io.EOF) {
		return nil, &Error{Op: "verify.ReadReadings",
			Err: unit.Errorf(ErrEmpty, "empty file; expected a line that names the columns")}
	}
	if err != nil {
		return nil, err
	}
	t, err := newTable(header)
	if err != nil {
		return nil, &Error{Op: "verify.ReadReadings", Name: lineName(in.n), Err: err}
	}
	g := grouper{place: make(map[key]int), diallings: make(map[dialled]int)}
	for {
		line, err := in.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		if err := g.add(t, line, in.n, b); err != nil {
			return nil, &Error{Op: "verify.ReadReadings", Name: lineName(in.n), Err: err}
		}
	}
	if len(g.readings) == 0 {
		return nil, &Error{Op: "verify.ReadReadings",
			Err: unit.Errorf(ErrEmpty, "no line of readings after the columns; expected at least one")}
	}
	g.finish()
	return g.readings, nil
}

// entry is one line of the table.
type entry struct {
	setting  decade.Setting
	values   []float64
	overload bool
	reversed bool
	dialling int // 0: not stated
	reading  Reading
}

// key is what rows of one reading have in common; dialled, what is counted.
type key struct {
	setting  decade.Setting
	known    string // name of a known resistor, in place of a setting
	dialling int
	stage    Stage
	session  string
	rangeOf  string
}

type dialled struct {
	setting decade.Setting
	known   string
	stage   Stage
}

// grouper joins the lines that belong to one dialling.
type grouper struct {
	readings  []Reading
	sums      []temperatures
	place     map[key]int
	diallings map[dialled]int // highest number so far
	last      key
}

// temperatures are averaged over the lines of a reading.
type temperatures struct{ box, meter []float64 }

func (g *grouper) add(t *table, line string, n int, b *decade.Box) error {
	e, err := t.entry(line, n, b)
	if err != nil {
		return err
	}
	known := ""
	if e.reading.Known != nil {
		known = e.reading.Known.Name
	}
	of := dialled{e.setting, known, e.reading.Stage}
	k := key{e.setting, known, e.dialling, e.reading.Stage, e.reading.Session, e.reading.Range}
	if e.dialling == 0 {
		k.dialling = g.diallings[of]
		again := k.setting == g.last.setting && k.known == g.last.known && k.stage == g.last.stage && k.session == g.last.session
		if !again {
			k.dialling++
		}
	}
	g.diallings[of] = max(g.diallings[of], k.dialling)
	g.last = k
	i, ok := g.place[k]
	if !ok {
		i = len(g.readings)
		g.place[k] = i
		e.reading.Setting, e.reading.Dialling, e.reading.Line = e.setting, k.dialling, n
		g.readings = append(g.readings, e.reading)
		g.sums = append(g.sums, temperatures{})
	}
	return g.join(i, e)
}

func (g *grouper) join(i int, e entry) error {
	r := &g.readings[i]
	if r.Known != nil && *r.Known != *e.reading.Known {
		return unit.Errorf(ErrContradiction, "%s is %v Ω with U = %v Ω, but line %d has %v Ω with U = %v Ω; expected one value for a name", r.Known.Name, e.reading.Known.Value, e.reading.Known.U, r.Line, r.Known.Value, r.Known.U)
	}
	if e.reading.Approach != r.Approach {
		return unit.Errorf(ErrContradiction, "approach %q, but line %d of the same dialling has %q; expected one", e.reading.Approach, r.Line, r.Approach)
	}
	if !slices.Equal(e.reading.Turned, r.Turned) {
		return unit.Errorf(ErrContradiction, "other dials turned than in line %d of the same dialling; expected the same", r.Line)
	}
	r.Overload = r.Overload || e.overload
	if r.Overload && (len(e.values)+len(r.Values)+len(r.Reversed) > 0) {
		return unit.Errorf(ErrContradiction, "above range and a value in one dialling (line %d); expected one of the two, or different diallings", r.Line)
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

// finish averages the temperatures.
func (g *grouper) finish() {
	average := func(t []float64) *float64 {
		if len(t) == 0 {
			return nil
		}
		return new(nearest(mean(t)))
	}
	for i := range g.readings {
		g.readings[i].Temperature = average(g.sums[i].box)
		g.readings[i].MeterTemperature = average(g.sums[i].meter)
	}
}

func (t *table) entry(line string, n int, b *decade.Box) (e entry, err error) {
	row, err := t.split(line)
	if err != nil {
		return e, err
	}
	symbol := ""
	if i := slices.IndexFunc(t.columns, func(c column) bool { return c.kind == colUnit }); i >= 0 {
		symbol = row[i]
	}
	shown := 0
	isKnown := slices.ContainsFunc(t.columns, func(c column) bool { return c.kind == colStandard }) && row[slices.IndexFunc(t.columns, func(c column) bool { return c.kind == colStandard })] != ""
	if isKnown {
		e.reading.Known = &Known{}
	}
	for i, cell := range row {
		c := t.columns[i]
		if err := t.standardCell(e.reading.Known, c, cell, n); err != nil {
			return e, unit.Errorf(err, "column %q: %v", c.head, err)
		}
		if c.kind == colValue && cell != "" {
			shown++
		}
		if err := t.cell(&e, c, cell, symbol, n, b); err != nil {
			return e, unit.Errorf(err, "column %q: %v", c.head, err)
		}
	}
	if e.reading.Known != nil {
		if err := e.reading.Known.check(); err != nil {
			return e, err
		}
	}
	if shown == 0 {
		return e, unit.Errorf(ErrEmpty, "no value; expected what the meter showed, or OL")
	}
	return e, nil
}

func (t *table) cell(e *entry, c column, cell, symbol string, n int, b *decade.Box) (err error) {
	r := &e.reading
	switch c.kind {
	case colSetting, colNominal:
		if r.Known != nil {
			if cell != "" {
				return unit.Errorf(ErrContradiction, "setting %q and a known resistor in one line; expected one of the two", cell)
			}
			return nil
		}
		if c.kind == colSetting {
			e.setting, err = b.ParseSetting(cell)
			return err
		}
		var ohms float64
		if ohms, err = t.resistance(cell, c.unit, "", n); err == nil {
			e.setting, err = b.SettingFor(ohms)
		}
	case colValue:
		if cell == "" {
			return nil
		}
		if overload(cell) {
			e.overload = true
			return nil
		}
		var v float64
		v, err = t.resistance(cell, c.unit, symbol, n)
		if v == scpiInfinity {
			e.overload = true
			return nil
		}
		e.values = append(e.values, v)
	case colRange:
		r.Range = cell
	case colTemperature:
		r.Temperature, err = t.celsius(cell, c.unit, n)
	case colMeterTemperature:
		r.MeterTemperature, err = t.celsius(cell, c.unit, n)
	case colTime:
		r.Time, err = moment(cell)
	case colDialling:
		e.dialling, err = dialling(cell)
	case colSession:
		r.Session = cell
	case colStage:
		r.Stage, err = stage(cell)
	case colPolarity:
		e.reversed, err = polarity(cell)
	case colApproach:
		r.Approach, err = approach(cell)
	case colTurned:
		r.Turned, err = turned(cell, b)
	}
	return err
}

// standardCell reads what a line says of a known resistor.
func (t *table) standardCell(k *Known, c column, cell string, n int) (err error) {
	switch c.kind {
	case colStandard, colStandardValue, colStandardU, colStandardK:
	default:
		return nil
	}
	if k == nil {
		if cell != "" {
			return unit.Errorf(ErrContradiction, "%q without a name in the column standard; expected the name of the known resistor", cell)
		}
		return nil
	}
	switch c.kind {
	case colStandard:
		k.Name = cell
	case colStandardValue:
		k.Value, err = t.resistance(cell, c.unit, "", n)
	case colStandardU:
		if cell != "" {
			k.U, err = t.resistance(cell, c.unit, "", n)
		}
	case colStandardK:
		if cell == "" {
			return nil
		}
		var text string
		if text, err = t.number(cell, n); err == nil {
			if k.K, err = strconv.ParseFloat(text, 64); err != nil {
				err = unit.Errorf(ErrSyntax, "%q; expected a number", cell)
			}
		}
	}
	return err
}

// scpiInfinity is what instruments send for a reading above range (SCPI-1999 volume 1,
// 7.2.1.4, from memory).
const scpiInfinity = 9.9e37

func overload(cell string) bool {
	switch strings.ToUpper(cell) {
	case "OL", "O.L", "O.L.", "OVERLOAD", "OVER RANGE", "OVERRANGE":
		return true
	}
	return false
}

// resistance reads a number with the unit of its cell, of its row or of its head, which
// must not contradict each other.
func (t *table) resistance(cell, head, row string, n int) (float64, error) {
	text, own := splitUnit(cell)
	if text == "" {
		return 0, unit.Errorf(ErrSyntax, "%q; expected a number", cell)
	}
	text, err := t.number(text, n)
	if err != nil {
		return 0, err
	}
	symbol := ""
	for _, u := range []string{head, row, own} {
		if u != "" && symbol != "" && u != symbol && !sameUnit(u, symbol) {
			return 0, unit.Errorf(ErrContradiction, "units %s and %s for one value; expected one", symbol, u)
		}
		symbol = cmp.Or(symbol, u)
	}
	symbol = cmp.Or(symbol, "Ω")
	v, err := unit.Parse(text+" "+symbol, unit.Ohm)
	return v, unit.Cause(err)
}

// sameUnit reports whether two spellings are one unit: kΩ and kOhm.
func sameUnit(a, b string) bool {
	x, _ := unit.ParseUnit(a)
	y, _ := unit.ParseUnit(b)
	return x.Equal(y)
}

// splitUnit cuts a cell behind its number.
func splitUnit(cell string) (number, symbol string) {
	end := len(cell)
	for i, r := range cell {
		if strings.ContainsRune("0123456789.,+-", r) {
			continue
		}
		if (r == 'e' || r == 'E') && i > 0 && i+1 < len(cell) && strings.ContainsRune("0123456789+-", rune(cell[i+1])) {
			continue
		}
		end = i
		break
	}
	return cell[:end], strings.TrimSpace(cell[end:])
}

func (t *table) celsius(cell, symbol string, n int) (*float64, error) {
	if cell == "" {
		return nil, nil
	}
	text, own := splitUnit(cell)
	for _, u := range []string{symbol, own} {
		if _, err := unit.Parse("0 "+u, unit.Celsius); err != nil && u != "" && u != "C" {
			return nil, unit.Errorf(ErrUnknown, "unit %q of a temperature; expected °C", u)
		}
	}
	text, err := t.number(text, n)
	if err != nil {
		return nil, err
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !finite(v) {
		return nil, unit.Errorf(ErrSyntax, "%q; expected a number of degrees Celsius", cell)
	}
	return &v, nil
}

func moment(cell string) (time.Time, error) {
	if cell == "" {
		return time.Time{}, nil
	}
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04:05", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02 15:04", "2006-01-02"} {
		if t, err := time.Parse(layout, cell); err == nil {
			return t, nil
		}
	}
	return time.Time{}, unit.Errorf(ErrSyntax, "time %q; expected 2006-01-02, 2006-01-02 15:04 or RFC 3339", cell)
}

const mostDiallings = 1_000_000

func dialling(cell string) (int, error) {
	if cell == "" {
		return 0, nil
	}
	n, err := strconv.Atoi(cell)
	if err != nil || n < 1 || n > mostDiallings {
		return 0, unit.Errorf(ErrDomain, "dialling %q; expected a whole number from 1", cell)
	}
	return n, nil
}

func stage(cell string) (Stage, error) {
	switch strings.ToLower(strings.ReplaceAll(cell, "-", " ")) {
	case "", "as found", "found":
		return StageAsFound, nil
	case "as left", "left":
		return StageAsLeft, nil
	}
	return 0, unit.Errorf(ErrUnknown, "stage %q; expected as found or as left", cell)
}

func polarity(cell string) (reversed bool, err error) {
	switch strings.ToLower(cell) {
	case "", "+", "normal":
		return false, nil
	case "-", "−", "reversed":
		return true, nil
	}
	return false, unit.Errorf(ErrUnknown, "polarity %q; expected + or -", cell)
}

func approach(cell string) (string, error) {
	switch s := strings.ToLower(cell); s {
	case "", "up", "down":
		return s, nil
	}
	return "", unit.Errorf(ErrUnknown, "approach %q; expected up or down", cell)
}

// turned reads the numbers of dials, counted from 1.
func turned(cell string, b *decade.Box) ([]int, error) {
	if cell == "" || strings.EqualFold(cell, "all") {
		return nil, nil
	}
	out := []int{}
	for text := range strings.FieldsSeq(cell) {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > b.NumDecades() || slices.Contains(out, n-1) {
			return nil, unit.Errorf(ErrDomain, "turned %q; expected numbers of dials from 1 to %d, each once, with blanks between them, or all", cell, b.NumDecades())
		}
		out = append(out, n-1)
	}
	return out, nil
}
