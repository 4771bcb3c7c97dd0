// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"strings"
	"unicode/utf8"

	"example.com/ohmwright/uncertainty/unit"
)

// This file reads the numbers of a table: what people, instruments and spreadsheets of any
// country write for one. Three marks are in doubt. A comma may be decimal ("23,5") or of
// thousands ("1,000"), a point may be either as well ("1.000,5"), and blanks and ticks may part
// groups ("1 000", "1'000") or a number from its unit ("5 kΩ").
//
// The number alone settles most of it:
//
//	1234         no mark
//	1,5          one mark, not before three digits: decimal
//	0,125        nobody groups behind a lone zero: decimal
//	1.234e3      nobody groups a mantissa: decimal
//	1 000,125    the blank parts the thousands, so that the comma is decimal
//	1.000,5      two different marks: the last is decimal
//	1.000.000    one mark twice: thousands
//	1.000        one or a thousand: doubtful
//
// A doubtful number is settled by the rest of the file, since a program writes one decimal mark
// throughout ([table.noteMark], in a pass before any cell is read); where no number of the file
// shows its mark, by the nominal value of its setting ([entry.decideDoubts]); where that does
// not fit either, by nobody: an error that shows both spellings. A guess would be wrong by 1000,
// and the plausibility check, which looks for just that, would blame the unit.

// A numeral is a number as a spreadsheet or a meter writes it, taken apart: with a decimal
// point or comma, digits in groups of three ("1 000.02", "1'000.02", "1.000,02"), and a minus
// sign of any kind.
type numeral struct {
	// Of "-1.000,5e3": sign -, whole 1000, fraction 5, exponent e3, mark ','. Whole and fraction
	// of a number are digits alone once it is parsed; sign is empty, - or +, whatever the dash was.
	text                            string // as it was given
	sign, whole, fraction, exponent string
	mark                            byte // the decimal mark, '.' or ','; 0: the number shows none
	// doubtful is a mark with three digits behind it, which the number alone does not tell
	// from a separator of thousands: 1.000. Whole and fraction take it for a decimal mark.
	doubtful byte
}

const (
	// Blank, no-break space, figure space, thin space, narrow no-break space: the last is what
	// spreadsheets of some countries put between thousands.
	groupBlanks = " \u00a0\u2007\u2009\u202f" // between groups of three digits
	// Straight and typographic apostrophe.
	groupTicks = "'\u2019"
	// Hyphen, minus, en dash, figure dash: word processors turn a typed hyphen into the third.
	// The hyphen is first, and parseNumeral replaces the others by it.
	minusSigns = "-\u2212\u2013\u2012"
)

// cutNumeral cuts a cell behind its number: "4.639 kΩ" into 4.639 and kΩ, "23,5" into 23,5 and
// nothing, "OL" into nothing and OL. It takes all that may belong to a number, right or wrong:
// "1.2.3 Ω" is cut behind the 3, so that [parseNumeral] can say what is wrong with the whole.
func cutNumeral(cell string) (number, rest string) {
	before := rune(0)
	for i, r := range cell {
		// A byte that is no UTF-8 is ranged over as U+FFFD, which is longer than the byte itself.
		next, _ := utf8.DecodeRuneInString(cell[min(len(cell), i+utf8.RuneLen(r)):])
		if !continuesNumber(before, r, next) {
			return cell[:i], strings.TrimSpace(cell[i:])
		}
		before = r
	}
	return cell, ""
}

// continuesNumber reports whether r belongs to a number, by the character before it, 0 at the
// beginning of the cell, and the one behind it, U+FFFD at the end.
func continuesNumber(before, r, next rune) bool {
	switch {
	case isDigit(r), r == '.', r == ',', r == '+':
		return true
	case isMinus(r):
		// In front, in an exponent, or behind another: "--5" is one wrong number, and not a minus
		// with the unit -5. Behind a digit it begins a word: "100-ohm".
		return before == 0 || before == 'e' || before == 'E' || before == '-'
	case strings.ContainsRune(groupBlanks+groupTicks, r):
		// Between two digits alone: "1 000 Ω" is one number, the blank of "5 kΩ" ends it.
		return isDigit(before) && isDigit(next)
	case r == 'e', r == 'E':
		// "1e3" and "1E+03", which instruments send; the e of "5 each" begins a word.
		return before != 0 && (isDigit(next) || next == '+' || isMinus(next))
	}
	return false
}

// isMinus reports whether a character is a hyphen, or what programs make of one.
func isMinus(r rune) bool { return strings.ContainsRune(minusSigns, r) }

// isDigit reports whether a character is one of 0 to 9.
func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// parseNumeral takes a number apart that cutNumeral has cut. It decides by the number alone, and
// leaves open what that does not tell (see numeral.doubtful). It refuses marks and blanks in
// wrong places alone: what else is no number, such as "" or "--5", is left to unit.Parse.
func parseNumeral(text string) (numeral, error) {
	n := numeral{text: text}
	rest := text
	for _, r := range minusSigns {
		rest = strings.ReplaceAll(rest, string(r), "-")
	}
	// The exponent goes first: its sign is no sign of the number, and marks count in the
	// mantissa.
	if i := strings.IndexAny(rest, "eE"); i >= 0 {
		rest, n.exponent = rest[:i], "e"+rest[i+1:]
	}
	if rest != "" && (rest[0] == '-' || rest[0] == '+') {
		n.sign, rest = rest[:1], rest[1:]
	}
	points, commas := strings.Count(rest, "."), strings.Count(rest, ",")
	switch {
	case points+commas == 0:
		n.whole = rest
	// "1.5", "1,5", "1.000".
	case points+commas == 1:
		n.mark = '.'
		if commas == 1 {
			n.mark = ','
		}
		n.whole, n.fraction, _ = strings.Cut(rest, string(n.mark))
		// 1.000 is a thousand or one; an exponent settles it, since nobody groups a mantissa.
		if n.exponent == "" && grouped(rest, string(n.mark)) {
			n.mark, n.doubtful = 0, n.mark
		}
	// "1.000,5", "1,000,000", and what is no number, such as "1.2.3".
	default:
		var ok bool
		if rest, ok = n.separated(rest, points, commas); !ok {
			return n, unit.Errorf(ErrSyntax, "number %q with %d marks; expected one decimal "+
				"point or comma, and thousands separators only before groups of three digits",
				text, points+commas)
		}
		n.whole = rest
	}
	return n, n.ungroup()
}

// separated takes the thousands of a number with two marks or more apart, of which the last is
// the decimal mark if it is another than the first. It returns the digits before the decimal
// mark and sets fraction and mark:
//
//	1.000,5      whole 1000, fraction 5, mark ','
//	1,000,000    whole 1000000, no fraction, mark '.'
//
// The second shows no decimal mark itself, but that commas are separators here, so that the mark
// of the file is the point. ok is false for groups that are not of three digits ("1.00,5") and
// for a mark behind the decimal one ("1,000.5.2").
func (n *numeral) separated(rest string, points, commas int) (whole string, ok bool) {
	thousands, decimal := ".", byte(',')
	// The mark that comes first separates thousands; another one behind it is the decimal mark.
	if strings.IndexByte(rest, ',') >= 0 &&
		(points == 0 || strings.IndexByte(rest, ',') < strings.IndexByte(rest, '.')) {
		thousands, decimal = ",", '.'
	}
	// Both kinds: at the first of the other kind the fraction begins.
	if points > 0 && commas > 0 {
		at := strings.IndexByte(rest, decimal)
		rest, n.fraction = rest[:at], rest[at+1:]
	}
	n.mark = decimal
	if !grouped(rest, thousands) || strings.ContainsAny(n.fraction, ".,") {
		return "", false
	}
	return strings.ReplaceAll(rest, thousands, ""), true
}

// grouped reports whether digits stand in groups of three, the first of one to three and without
// a leading zero: 1.000 and 12.345.678, neither 0.125, 1.50 nor 1000.000. Without a separator it
// is true of one group of up to three digits.
func grouped(digits, separator string) bool {
	parts := strings.Split(digits, separator)
	for i, part := range parts {
		if strings.Trim(part, "0123456789") != "" || i > 0 && len(part) != 3 {
			return false
		}
	}
	// A leading zero is how people show that a mark is decimal: 0.125.
	first := parts[0]
	return len(first) >= 1 && len(first) <= 3 && first[0] != '0'
}

// ungroup takes the blanks and ticks between groups of three digits out, of the whole part,
// where the first group may be shorter ("1 000"), and of the fraction, where the last may be
// ("0.123 45"; ISO 80000-1, from memory, groups both from the decimal mark).
func (n *numeral) ungroup() error {
	for _, r := range groupBlanks + groupTicks {
		s := string(r)
		if strings.Contains(n.whole, s) {
			if !grouped(n.whole, s) {
				return unit.Errorf(ErrSyntax, "%q: a blank or apostrophe within the number; "+
					"expected one only between groups of three digits", n.text)
			}
			n.whole = strings.ReplaceAll(n.whole, s, "")
		}
		// Behind the mark the groups are counted from the left, and only the last may be short.
		if strings.Contains(n.fraction, s) {
			parts := strings.Split(n.fraction, s)
			for i, part := range parts {
				if len(part) > 3 || len(part) < 3 && i < len(parts)-1 {
					return unit.Errorf(ErrSyntax, "%q: a blank or apostrophe within the number; "+
						"expected one only between groups of three digits", n.text)
				}
			}
			n.fraction = strings.ReplaceAll(n.fraction, s, "")
		}
	}
	return nil
}

// asDecimal is the number as unit.Parse and strconv read it: decimal point, no separators, a
// doubtful mark taken for a decimal one. "-1.000,5e3" is -1000.5e3.
func (n *numeral) asDecimal() string {
	s := n.sign + n.whole
	if n.mark != 0 || n.doubtful != 0 {
		s += "." + n.fraction
	}
	return s + n.exponent
}

// asThousands is what the number would be if its doubtful mark separated thousands.
func (n *numeral) asThousands() string { return n.sign + n.whole + n.fraction }

// noteMark remembers the first number of a row that shows the decimal mark of the file
// certainly, in the columns that hold measured or stated numbers. Dialling, turned and session
// hold whole numbers and names ("2.1" may be a session), and say nothing of marks. Numbers that
// show another mark later are no matter here: they are refused when they are read, with this
// line named.
func (t *table) noteMark(row []string, line int) {
	for i, cell := range row {
		c := t.columns[i]
		switch c.kind {
		case colValue, colNominal, colTemperature, colMeterTemperature, colStandardValue,
			colStandardU, colStandardK:
		default:
			continue
		}
		if cell == "" || overload(cell) {
			continue
		}
		text, _ := cutNumeral(cell)
		n, err := parseNumeral(text)
		if err != nil {
			continue // told when the cell is read
		}
		// A number without a mark leaves 0: 1234 says nothing.
		mark := n.mark
		switch {
		case n.doubtful == 0:
		case c.kind == colTemperature || c.kind == colMeterTemperature:
			mark = n.doubtful // no box is at a thousand degrees
		case n.doubtful == '.' && t.separator == ',':
			mark = '.' // cells between commas come from where a point is the decimal mark
		}
		if mark != 0 && t.decimal == 0 {
			t.decimal, t.markLine = mark, line
		}
	}
}

// number returns the number of a cell with a decimal point. The mark must be one in the whole
// file: in a file with decimal commas, 1.234 could be a thousand and more. Doubt is the number
// whose mark nothing in the file decides; plain then takes it for decimal.
//
// Cells in a file whose line 3 has 100,02:
//
//	1,002     1.002
//	1.002,5   1002.5: the point is a separator, and the comma the mark of the file
//	100.02    error: a second decimal mark
//	1.002     error: 1.002 or 1002?
func (t *table) number(text string) (plain string, doubt *numeral, err error) {
	// The order of the cases matters: the last two ask only about a mark in doubt.
	n, err := parseNumeral(text)
	switch {
	case err != nil:
		return "", nil, err
	// t.decimal is set here: noteMark has seen this number, or one before it.
	case n.mark != 0 && n.mark != t.decimal:
		return "", nil, unit.Errorf(ErrContradiction, "number %q with a decimal %q, but line %d "+
			"has a decimal %q; expected one of the two in a file",
			text, n.mark, t.markLine, t.decimal)
	case n.doubtful != 0 && t.decimal == 0:
		return n.asDecimal(), &n, nil
	case n.doubtful != 0 && n.doubtful != t.decimal:
		return "", nil, unit.Errorf(ErrContradiction, "number %q in a file with a decimal %q "+
			"(line %d): %s or %s?; expected one without thousands separators",
			text, t.decimal, t.markLine, n.asDecimal(), n.asThousands())
	}
	return n.asDecimal(), nil, nil
}

// ambiguous is the error about a number whose mark nothing decides. It shows both ways out: a
// further zero, which makes 1.000 the decimal 1.0000, and no mark at all, 1000.
func (n *numeral) ambiguous() error {
	return unit.Errorf(ErrContradiction, "number %q may be %s or %s, and no other number of the "+
		"file decides; expected one of the two without a separator of thousands: %s0 or %s",
		n.text, n.asDecimal(), n.asThousands(), n.asDecimal(), n.asThousands())
}
