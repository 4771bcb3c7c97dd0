// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/unit"
)

// What programs that people keep tables with do to cells, and how it is named.

// overloadMarks are what the displays of meters show above range, without blanks and sign,
// and what people write for it. A 1 with dashes is the leading digit of a display that shows
// nothing else; that of a lone 1 would be 1 Ω. Common practice.
var overloadMarks = map[string]bool{
	"OL": true, "O.L": true, "O.L.": true, "OL.": true, ".OL": true,
	"0L": true, "0.L": true, "0.L.": true, "0L.": true, ".0L": true,
	"OVLD": true, "OVL": true, "OFL": true, "OVER": true, "OVERLOAD": true, "OVERRANGE": true,
	"OPEN": true, "∞": true, "----": true, "-----": true, "------": true,
	"1---": true, "1----": true, "1.---": true, "1-.--": true, "1--.-": true,
}

// overload reports whether a cell says that the reading is above range, with or without a
// unit. Instruments send the number 9.9E37 for it, in any unit (SCPI-1999 volume 1, 7.2.1.4,
// from memory).
func overload(cell string) bool {
	s := strings.ToUpper(strings.Join(strings.Fields(cell), ""))
	s = strings.NewReplacer("–", "-", "−", "-").Replace(s)
	// A marked cell may still have the unit of its column behind it.
	for _, symbol := range []string{"OHMS", "OHM", "Ω", "\u2126"} { // "OL MΩ"
		if before, ok := strings.CutSuffix(s, symbol); ok {
			s = strings.TrimRight(before, "KM")
			break
		}
	}
	if overloadMarks[s] || overloadMarks[strings.TrimLeft(s, "+-")] {
		return true
	}
	number, _ := cutNumeral(cell)
	return sentOverload.MatchString(number)
}

var (
	sentOverload   = regexp.MustCompile(`^[+-]?9[.,]90*[eE]\+?37$`)
	sentNotANumber = regexp.MustCompile(`^[+-]?9[.,]910*[eE]\+?37$`)
)

// spreadsheetErrors are what a spreadsheet shows in a cell in the place of a value.
var spreadsheetErrors = regexp.MustCompile(
	`(?i)^#(N/A|NV|REF!|VALUE!|WERT!|VALEUR!|BEZUG!|DIV/0!|NAME\?|NUM!|ZAHL!|NULL!|#+)$`)

// checkCell refuses what no cell of a table can mean, whatever its column.
func checkCell(cell string) error {
	switch {
	case spreadsheetErrors.MatchString(cell):
		return unit.Errorf(ErrSyntax, "%q, which a spreadsheet shows for an error or a column "+
			"too narrow; expected the value", cell)
	case strings.HasPrefix(cell, "“"), strings.HasPrefix(cell, "”"), strings.HasPrefix(cell, "„"):
		return unit.Errorf(ErrSyntax, "typographic quotes around %.60q; expected straight ones "+
			"(\") or none", cell)
	}
	return nil
}

// garbled are the letters of units as they look when UTF-8 is read as another encoding:
// Windows-1252, Mac Roman, or the code pages 437 and 850.
var garbled = strings.NewReplacer(
	"Î©", "Ω", "Œ©", "Ω", "╬⌐", "Ω", "╬®", "Ω", "â„¦", "Ω", "‚Ñ¶", "Ω",
	"Âµ", "µ", "¬µ", "µ", "┬╡", "µ", "┬Á", "µ", "Î¼", "µ", "Œº", "µ",
	"Â°", "°", "¬∞", "°", "┬░", "°",
)

// unitError says of a unit that is not understood what may have become of it on its way; err, if
// nothing is known. It keeps the cause of err.
func unitError(symbol string, err error) error {
	if err == nil {
		return nil
	}
	const cure = "save the file as CSV UTF-8, or write ohm"
	cause := unit.Cause(err)
	switch meant := garbled.Replace(symbol); {
	case meant != symbol:
		return unit.Errorf(cause, "unit %.20q is %s read in another encoding; expected %s: %s",
			symbol, meant, meant, cure)
	case strings.ContainsAny(symbol, "?\ufffd"):
		return unit.Errorf(cause, "unit %.20q has lost a letter on its way; expected Ω, kΩ, MΩ "+
			"or °C: %s", symbol, cure)
	case slices.Contains([]string{"W", "mW", "kW", "MW", "GW"}, symbol):
		// Ω typed in a symbol font is stored as the letter W.
		prefix := strings.TrimSuffix(symbol, "W")
		return unit.Errorf(cause, "unit %q, which may be an Ω without its font; expected %sΩ or "+
			"%sohm", symbol, prefix, prefix)
	}
	return err
}

// dates are what spreadsheets make of settings such as 1-2 and 4-6-3: numbers with points or
// strokes, a year of four digits, the name of a month.
var dates = regexp.MustCompile(`(?i)^(\d{4}[-./]\d{1,2}[-./]\d{1,2}( .*)?` +
	`|\d{1,2}[-./]\d{1,2}[-./](19|20)\d\d( .*)?` +
	`|\d{1,2}[./]\d{1,2}[./]\d{2}|\d{1,2}/\d{1,2}|\d{1,2}\.\d{1,2}\.` +
	`|\d{1,2}\.?[- ]?[a-zäéû]{3,9}\.?([- ]?\d{2,4})?|[a-zäéû]{3,9}\.?[- ]?\d{1,4})$`)

// parseSetting reads the cell of a setting; where a spreadsheet may have changed it, the error
// says so and what helps.
func parseSetting(cell string, b *decade.Box) (decade.Setting, error) {
	s, err := b.ParseSetting(cell)
	if err == nil {
		return s, nil
	}
	n, zero := b.NumDecades(), b.Zero()
	switch {
	case cell == "":
		return s, unit.Errorf(ErrEmpty, "no setting beside a value; expected one in every line, "+
			"such as %v (merged cells keep it only in the first)", zero)
	case dates.MatchString(cell):
		return s, dateError(cell, spaced(zero))
	// One number where positions are due: a date is a day number once its format is lost.
	case n > 1 && strings.Trim(cell, "0123456789.,") == "":
		return s, unit.Errorf(ErrSyntax, "setting %.40q is one number, which is also how a "+
			"spreadsheet stores a date; expected the positions of %d dials, such as %v, or the "+
			"column name nominal for values in Ω", cell, n, zero)
	}
	return s, err
}

// dateError is about a setting that a spreadsheet has made a date of.
func dateError(cell, example string) error {
	return unit.Errorf(ErrSyntax, "setting %.40q is a date, which spreadsheets make of some "+
		"settings; expected positions such as %s: make the column text before typing, or write "+
		"blanks between the positions", cell, example)
}

// spaced is a setting with blanks between the positions.
func spaced(s decade.Setting) string { return strings.ReplaceAll(s.String(), "-", " ") }

// leadingZero reports whether digits begin with a zero that no number has: what stands behind
// the decimal comma of a number that was split into two cells.
func leadingZero(cell string) bool {
	if len(cell) < 2 || cell[0] != '0' {
		return false
	}
	_, err := strconv.Atoi(cell)
	return err == nil
}
