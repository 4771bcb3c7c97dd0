// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/unit"
)

// Readings are written so that ReadReadings gives back the same: every number in the shortest
// form that is read as itself (strconv, precision −1), and a number for each dialling, which a
// reader would else count by neighbourhood. What could not come back is refused rather than
// written (checkWritable); a test writes readings of all kinds and compares.
//
// Two lines of a reading with both polarities, on a range that was chosen by name:
//
//	setting,dialling,range,temperature (°C),polarity,value 1 (Ω),value 2 (Ω)
//	1-0-0,1,1 kΩ,23.1,,100.021,100.022
//	1-0-0,1,1 kΩ,23.1,-,100.019,

// overloadMark is what stands in place of a value above range: of overloadMarks the one that
// most displays show.
const overloadMark = "OL"

// WriteReadings writes readings of one box as the table that [ReadReadings] reads, in ohms and
// in full precision: a line for each polarity of a dialling, its repeats side by side. A column
// that no reading needs is left out.
//
// A dialling of number 0 is written with the number that follows those of its setting and
// stage so far. It refuses a reading without a setting or of another box than the first,
// without values, with values and an overload, with more than 1000 repeats, with a number
// that is not finite or a text that a cell would not give back, and two readings of one
// dialling, range and session, which would be read as one.
func WriteReadings(w io.Writer, readings []Reading) error {
	const op = "verify.WriteReadings"
	return inOp(op, writeReadings(csv.NewWriter(w), readings,
		func(_ []string, cells []string) []string { return cells }))
}

// WriteReadings writes readings for the spreadsheet, as [WriteReadings] does for programs and
// with the same errors: with a byte-order mark, semicolons and decimal commas where the sheet
// has them, and the settings of two or three dials with blanks. Repeats has no meaning here:
// every value is written.
func (s Sheet) WriteReadings(w io.Writer, readings []Reading) error {
	out := csv.NewWriter(&markedWriter{w: w})
	if s.DecimalComma {
		out.Comma = ';'
	}
	const op = "verify.Sheet.WriteReadings"
	certain := false // a number that was written shows its decimal mark
	return inOp(op, writeReadings(out, readings, func(head, cells []string) []string {
		if n := strings.Count(cells[0], "-"); n == 1 || n == 2 {
			cells[0] = strings.ReplaceAll(cells[0], "-", " ") // no date
		}
		for i, column := range head {
			// What has a unit in its head is a number, and so is a coverage factor.
			if s.DecimalComma && (strings.HasSuffix(column, ")") || column == colStandardK) {
				cells[i] = commaCell(cells[i], &certain)
			}
		}
		return cells
	}))
}

// commaCell writes a number with a decimal comma. Three digits behind it may be a group of
// thousands, unless another number of the file shows its mark: 12.345 becomes 12,3450 where no
// number before it does, and one such number decides for the whole file.
func commaCell(number string, certain *bool) string {
	out := strings.Replace(number, ".", ",", 1)
	if out == number { // without a mark it shows none
		return out
	}
	if !*certain && grouped(strings.TrimPrefix(out, "-"), ",") {
		out += "0"
	}
	*certain = true
	return out
}

// writeReadings writes the table; shown makes of the cells of a line what stands in it, by the
// heads of their columns, and may write over them. All is checked before the first line is
// written, so that an error leaves no half of a table behind, unless it is the writer's.
func writeReadings(
	out *csv.Writer, readings []Reading, shown func(head, cells []string) []string,
) error {
	most, has, err := surveyReadings(readings)
	if err != nil {
		return err
	}
	readings, err = numberDiallings(readings)
	if err != nil {
		return err
	}
	head := readingsHead(most, has)
	if err := out.Write(head); err != nil {
		return err
	}
	for i := range readings {
		for _, line := range readings[i].lines(most, has) {
			if err := out.Write(shown(head, line)); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}

// optionalColumns are written where at least one reading has something for them, in this order:
// what was set up, what was noted at the dialling, what replaced the box.
var optionalColumns = []string{colRange, colTemperature, colMeterTemperature, colTime, colSession,
	colStage, colPolarity, colApproach, colTurned, colStandard, colStandardValue, colStandardU,
	colStandardK, colRemarks}

// surveyReadings checks the readings, and finds the number of values side by side, 1 at least,
// and the columns that are needed. Errors name readings by their place in the list, from 1:
// there are no lines yet.
func surveyReadings(readings []Reading) (most int, has map[string]bool, err error) {
	if len(readings) == 0 {
		return 0, nil, &Error{Op: "verify.WriteReadings",
			Err: unit.Errorf(ErrEmpty, "no readings; expected at least one")}
	}
	has = make(map[string]bool)
	var box *decade.Box
	for i := range readings {
		r := &readings[i]
		if err := r.checkWritable(); err != nil {
			return 0, nil, &Error{Op: "verify.WriteReadings", Name: fmt.Sprintf("reading %d", i+1),
				Err: err}
		}
		if box == nil {
			box = r.Setting.Box()
		}
		if r.Known == nil && r.Setting.Box() != box {
			return 0, nil, &Error{Op: "verify.WriteReadings", Name: fmt.Sprintf("reading %d", i+1),
				Err: unit.Errorf(ErrContradiction,
					"setting %v of another box; expected one box in a table", r.Setting)}
		}
		most = max(most, len(r.Values), len(r.Reversed))
		for _, column := range optionalColumns {
			// As of the reversed polarity, whose cell says something where that of the other is
			// empty.
			has[column] = has[column] || r.cell(column, true) != ""
		}
		has[colPolarity] = has[colPolarity] || len(r.Reversed) > 0
	}
	return max(1, most), has, nil
}

// numberDiallings returns the readings with the numbers of their diallings, in a copy. It counts
// as an evaluation does, by setting and stage, so that a table and a report name the same
// dialling #2.
func numberDiallings(readings []Reading) ([]Reading, error) {
	out := slices.Clone(readings)
	highest := make(map[dialled]int)
	seen := make(map[key]bool)
	for i := range out {
		r := &out[i]
		of := dialled{r.Setting, r.subjectName(), r.Stage}
		if r.Dialling == 0 {
			r.Dialling = highest[of] + 1
		}
		highest[of] = max(highest[of], r.Dialling)
		// Two lines of one key are repeats of one dialling to a reader.
		k := key{r.Setting, r.subjectName(), r.Dialling, r.Stage, r.Session, r.Range}
		if seen[k] {
			return nil, &Error{Op: "verify.WriteReadings", Name: fmt.Sprintf("reading %d", i+1),
				Value: float64(r.Dialling),
				Err: unit.Errorf(ErrContradiction,
					"dialling %d of setting %v twice in one range and session; expected "+
						"different diallings", r.Dialling, r.Setting)}
		}
		seen[k] = true
	}
	return out, nil
}

// checkWritable refuses what the table could not give back: a reading of nothing, without
// values, with numbers or texts that a cell changes.
func (r *Reading) checkWritable() error {
	if err := r.checkSubject(); err != nil {
		return err
	}
	n := len(r.Values) + len(r.Reversed)
	// What there is at all comes first, or a reading of nothing would be blamed for its stage.
	switch {
	case n == 0 && !r.Overload:
		return unit.Errorf(ErrEmpty, "no value; expected what the meter showed, or an overload")
	case n > 0 && r.Overload:
		return unit.Errorf(ErrContradiction,
			"above range and %d values; expected one of the two", n)
	case max(len(r.Values), len(r.Reversed)) > mostRepeats:
		return unit.Errorf(ErrTooLong, "%d values; expected at most %d", n, mostRepeats)
	}
	// Numbers before texts: a value that is wrong matters more than a remark that is.
	if err := r.checkFinite(); err != nil {
		return err
	}
	if err := r.checkTexts(); err != nil {
		return err
	}
	switch {
	case r.Dialling < 0 || r.Dialling > mostDiallings:
		return unit.Errorf(ErrDomain, "dialling %d; expected 1 to %d, or 0 to have it counted",
			r.Dialling, mostDiallings)
	case !stages.Has(r.Stage):
		return unit.Errorf(ErrUnknown, "stage %d; expected as found or as left", r.Stage)
	case r.Approach != "" && r.Approach != "up" && r.Approach != "down":
		return unit.Errorf(ErrUnknown, "approach %q; expected up or down", r.Approach)
	}
	return nil
}

// checkTexts refuses what a cell would give back as another text, or not at all.
func (r *Reading) checkTexts() error {
	for _, text := range []string{r.Range, r.Session, r.Approach, r.subjectName(), r.Remarks} {
		// A cell is trimmed when it is read, and a line ends at its line break.
		if strings.TrimSpace(text) != text || strings.ContainsAny(text, "\r\n") ||
			!utf8.ValidString(text) {
			return unit.Errorf(ErrSyntax, "text %q; expected one line without blanks around it",
				text)
		}
		// U+FFFD stands for a letter that was lost, and no reader of a table lets it pass.
		if strings.ContainsRune(text, utf8.RuneError) {
			return unit.Errorf(ErrSyntax, "text %q with a letter that was lost; expected UTF-8",
				text)
		}
		if err := checkCell(text); err != nil {
			return err
		}
	}
	return nil
}

// checkSubject refuses a reading of nothing, or of two things: either a setting or a known
// resistor.
func (r *Reading) checkSubject() error {
	switch {
	case r.Known != nil && r.Setting.IsValid():
		return unit.Errorf(ErrContradiction, "setting %v and a known resistor; expected one of "+
			"the two", r.Setting)
	case r.Known != nil:
		return r.Known.checkKnown()
	case !r.Setting.IsValid():
		return unit.Errorf(ErrEmpty, "no setting; expected one of a box")
	}
	return nil
}

// checkFinite refuses values and temperatures that no table holds: NaN, ±Inf, and the two
// numbers that stand for "no value" in what instruments send.
func (r *Reading) checkFinite() error {
	for _, list := range [][]float64{r.Values, r.Reversed} {
		for _, v := range list {
			if !finite(v) {
				return unit.Errorf(ErrNotFinite,
					"value %v; expected a finite number, or an overload", v)
			}
			// A table gives these back as an overload, or not at all (SCPI-1999 volume 1, 7.2.1.4
			// and 7.2.1.5, from memory).
			if a := math.Abs(v); a == 9.9e37 || a == 9.91e37 {
				return unit.Errorf(ErrDomain, "value %v, which instruments send where there is no "+
					"result; expected a value, or an overload", v)
			}
		}
	}
	for _, t := range []*float64{r.Temperature, r.MeterTemperature} {
		if t != nil && !finite(*t) {
			return unit.Errorf(ErrNotFinite, "temperature %v; expected a finite number", *t)
		}
	}
	return nil
}

// readingsHead names the columns that are needed, with their units: setting, dialling, the
// optional ones, and the values last, as a spreadsheet is widened at its end.
func readingsHead(most int, has map[string]bool) []string {
	head := []string{colSetting, colDialling}
	for _, column := range optionalColumns {
		switch {
		case !has[column]:
		case column == colStandardValue, column == colStandardU:
			head = append(head, column+" (Ω)")
		case column == colTemperature, column == colMeterTemperature:
			head = append(head, column+" (°C)")
		default:
			head = append(head, column)
		}
	}
	for i := range most {
		head = append(head, fmt.Sprintf("%s %d (Ω)", colValue, i+1))
	}
	return head
}

// lines are those of one dialling: one for each polarity that has values, the current in its
// usual direction first; one for an overload. Each has as many cells as the head.
func (r *Reading) lines(most int, has map[string]bool) [][]string {
	var out [][]string
	line := func(values []float64, reversed bool) {
		setting := ""
		if r.Known == nil {
			setting = r.Setting.String()
		}
		cells := []string{setting, strconv.Itoa(r.Dialling)}
		for _, column := range optionalColumns {
			if has[column] {
				cells = append(cells, r.cell(column, reversed))
			}
		}
		shown := make([]string, most)
		for i, v := range values {
			shown[i] = strconv.FormatFloat(v, 'g', -1, 64)
		}
		// In the first of the cells for values, all of which are empty.
		if r.Overload {
			shown[0] = overloadMark
		}
		out = append(out, append(cells, shown...))
	}
	if len(r.Values) > 0 || r.Overload {
		line(r.Values, false)
	}
	if len(r.Reversed) > 0 {
		line(r.Reversed, true)
	}
	return out
}

// cell is the text of an optional column; empty: nothing to say. The defaults of ReadReadings
// are left out: as found, the usual polarity. It is a list of columns.
func (r *Reading) cell(column string, reversed bool) string {
	switch column {
	case colRange:
		return r.Range
	case colTemperature:
		return degreesCell(r.Temperature)
	case colMeterTemperature:
		return degreesCell(r.MeterTemperature)
	case colTime:
		if r.Time.IsZero() {
			return ""
		}
		return r.Time.Format(time.RFC3339Nano)
	case colSession:
		return r.Session
	case colStage:
		if r.Stage == StageAsLeft {
			return r.Stage.String()
		}
	// Of a reading without a reversed polarity both are the default.
	case colPolarity:
		if reversed && len(r.Reversed) > 0 {
			return "-"
		}
	case colApproach:
		return r.Approach
	case colTurned:
		return turnedCell(r.Turned)
	case colRemarks:
		return r.Remarks
	}
	return r.standardCell(column)
}

// degreesCell writes a temperature in °C, in full precision; nothing where none was recorded.
func degreesCell(t *float64) string {
	if t == nil {
		return ""
	}
	return strconv.FormatFloat(*t, 'g', -1, 64)
}

// turnedCell writes dials, which programs count from 0 and people from 1: "1 3".
func turnedCell(dials []int) string {
	out := make([]string, len(dials))
	for i, d := range dials {
		out[i] = strconv.Itoa(d + 1)
	}
	return strings.Join(out, " ")
}

// standardCell is the text of a column on a known resistor. U and k are left out where they are
// 0, which stands for "none" and for 2.
func (r *Reading) standardCell(column string) string {
	number := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	switch k := r.Known; {
	// A reading of the box, in a table in which others are of standards.
	case k == nil:
	case column == colStandard:
		return k.Name
	case column == colStandardValue:
		return number(k.Value)
	case column == colStandardU && k.U > 0:
		return number(k.U)
	case column == colStandardK && k.K > 0:
		return number(k.K)
	}
	return ""
}
