// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit

import (
	"errors"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// longest is the number of bytes of a quantity text that are looked at.
const longest = 200

// Parse reads a number with a unit of the dimension, such as "10.1 kΩ" or "0.05 %",
// and returns the float64 nearest to the value in the coherent unit. Blanks around the
// text and before the unit may be left out. The unit may not: in a file, a number that is meant
// in the coherent unit is a JSON number, not text.
//
// The package comment has the units. Temperatures are read in °C alone, their differences
// in K or °C. Text that is no decimal number ([ErrSyntax], a decimal comma among it), an
// unknown or missing unit ([ErrUnit]), the unit of another kind of quantity
// ([ErrUnitMismatch]) and a value outside the range of float64 ([ErrRange]) are errors
// that quote the text.
func Parse(text string, d Dimension) (float64, error) {
	v, err := parse(text, d)
	if err != nil {
		return 0, &Error{Op: "unit.Parse", Value: text, Err: err}
	}
	return v, nil
}

// parse is [Parse] with errors that have no operation yet.
func parse(text string, d Dimension) (float64, error) {
	if !d.known() {
		return 0, Errorf(ErrUnit, "dimension %d; expected a known one", d)
	}
	// The number first: most slips are in it.
	number, symbol, err := split(text, d.Expected())
	if err != nil {
		return 0, err
	}
	if symbol == "" {
		return 0, Errorf(ErrUnit, "%q: no unit; expected %s", text, d.Expected())
	}
	u, err := parseUnit(symbol)
	if meant := meantOhms(number, symbol); d == Ohm && meant != "" && symbol != "R" {
		return 0, Errorf(ErrUnit, "%q: unknown unit %q; expected %q", text, symbol, meant)
	}
	if err != nil {
		return 0, Errorf(ErrUnit, "%q: %v; expected %s", text, err, d.Expected())
	}
	if err := d.accepts(u, symbol); err != nil {
		return 0, Errorf(err, "%q: %v", text, err)
	}
	return convert(text, number, u, d.Unit())
}

// meantOhms is how a resistance is written that ends in a prefix, "10 k", or has a letter in
// place of the decimal point as in the code of IEC 60062, "4R7"; empty where it is neither.
func meantOhms(number, symbol string) string {
	prefix, after := symbol[:1], symbol[1:]
	if !strings.Contains("kKMGRr", prefix) || after != "" && !digits(after) {
		return ""
	}
	switch prefix {
	case "K":
		prefix = "k"
	case "R", "r":
		prefix = ""
	}
	if after != "" {
		if strings.Contains(number, ".") {
			return ""
		}
		number += "." + after
	}
	return number + " " + prefix + "Ω"
}

// ParseNumber reads a decimal number without a unit, in the grammar of Parse.
func ParseNumber(text string) (float64, error) {
	v, err := parseNumber(text)
	if err != nil {
		return 0, &Error{Op: "unit.ParseNumber", Value: text, Err: err}
	}
	return v, nil
}

// parseNumber reads a number that is the whole text.
func parseNumber(text string) (float64, error) {
	mantissa, exponent, ok := decimal(text)
	if !ok || len(text) > longest {
		// A comma explains more than "not a number".
		if err := comma(text); err != nil {
			return 0, err
		}
		return 0, Errorf(ErrSyntax, "%s; expected a decimal number such as 0.05 or 1e-3",
			Quoted(text))
	}
	return assemble(text, mantissa, exponent)
}

// Split cuts a quantity after its number and checks the number, in the grammar of [Parse]. The
// unit is not looked at; it may be missing.
func Split(text string) (number, symbol string, err error) {
	number, symbol, err = split(text, "mΩ, % or another")
	if err != nil {
		return "", "", &Error{Op: "unit.Split", Value: text, Err: err}
	}
	return number, symbol, nil
}

// split cuts and checks; units is what a message names.
func split(text, units string) (number, symbol string, err error) {
	if len(text) > longest {
		return "", "", Errorf(ErrSyntax, "text of %d bytes beginning %s; expected a number with "+
			"a unit", len(text), Quoted(text))
	}
	if err := comma(text); err != nil {
		return "", "", err
	}
	number, symbol = cut(strings.TrimSpace(text))
	switch _, _, ok := decimal(number); {
	case !ok:
		return "", "", Errorf(ErrSyntax, "%q; expected a decimal number such as 0.05 or 1e-3 "+
			"with a unit: %s", text, units)
	// "1 000 Ω" and "12 3 mΩ": a digit begins no unit, "1/K" is one.
	case symbol != "" && digits(symbol[:1]) && !strings.HasPrefix(symbol, "1/"):
		return "", "", Errorf(ErrSyntax, "%q: a blank within the number; expected its digits "+
			"without one", text)
	}
	return number, symbol, nil
}

// comma refuses a number with a comma, and shows how it is written.
func comma(text string) error {
	before, after, has := strings.Cut(text, ",")
	if !has || len(text) > longest || before == "" || !digits(before[len(before)-1:]) {
		return nil
	}
	// 1,234.5 and 1,234,567: the comma separates thousands.
	if strings.ContainsAny(after, ",.") || strings.Contains(before, ".") {
		return Errorf(ErrSyntax, "%q: a comma within the number; expected its digits without "+
			"commas, and a decimal point", text)
	}
	return Errorf(ErrSyntax, "%q: a decimal comma; expected a decimal point: %q", text,
		before+"."+after)
}

// Convert returns the number, in the grammar of [Parse] and stated in the unit from, as
// the float64 nearest to its value in the unit to: "12.1" from mΩ to Ω is 0.0121. Units of
// different kinds, or not known, are an error ([ErrUnitMismatch]). Of °C and K, only
// differences are converted.
func Convert(number string, from, to Unit) (float64, error) {
	v, err := convertChecked(number, from, to)
	if err != nil {
		return 0, &Error{Op: "unit.Convert", Value: number, Err: err}
	}
	return v, nil
}

// convertChecked is [Convert] with errors that have no operation yet.
func convertChecked(number string, from, to Unit) (float64, error) {
	if !from.SameKind(to) {
		return 0, Errorf(ErrUnitMismatch, "from %s to %s; expected two units of one kind",
			kindText(from), kindText(to))
	}
	// Out of range may come into range by the units.
	if _, err := parseNumber(number); err != nil && !errors.Is(err, ErrRange) {
		return 0, err
	}
	return convert(number, number, from, to)
}

// kindText names the kind of a unit by its coherent one.
func kindText(u Unit) string {
	switch {
	case !u.isKnown():
		return "a unit that is not known"
	case u.Coherent() == "":
		return "a unit without a symbol"
	}
	return "a unit of the kind of " + u.Coherent()
}

// convert rounds number·from/to once; text is for messages.
func convert(text, number string, from, to Unit) (float64, error) {
	// Powers of ten meet in the exponent of the text: no rounding.
	mantissa, exponent, _ := decimal(number)
	exponent += from.exponent - to.exponent
	// 12.5 min in s: times over over, rounded once, below.
	times, over := from.times*to.over, from.over*to.times
	v, err := assemble(text, mantissa, exponent)
	if err != nil || times == over || v == 0 {
		return v, err
	}
	// The range has been looked at, so that no power of ten below is large.
	r, ok := new(big.Rat).SetString(mantissa + "e" + strconv.Itoa(exponent))
	if !ok {
		return 0, Errorf(ErrSyntax, "%q; expected a decimal number", text)
	}
	// Exactly, in whole numbers, and rounded at the end.
	r.Mul(r, new(big.Rat).SetFloat64(times))
	v, _ = r.Quo(r, new(big.Rat).SetFloat64(over)).Float64()
	return inRange(text, v, false)
}

// assemble rounds mantissa·10^exponent once.
func assemble(text, mantissa string, exponent int) (float64, error) {
	v, err := strconv.ParseFloat(mantissa+"e"+strconv.Itoa(exponent), 64)
	if err != nil {
		return 0, tooLarge(text)
	}
	return inRange(text, v, strings.Trim(mantissa, "+-0.") == "")
}

// inRange refuses what float64 cannot hold; zero says that the text itself means 0.
func inRange(text string, v float64, zero bool) (float64, error) {
	switch {
	case v == 0 && !zero:
		return 0, Errorf(ErrRange, "%q: too small; expected 0 or at least 5e-324 in the unit "+
			"without prefix", text)
	case v == 0:
		return 0, nil // without the sign of a zero
	case math.IsInf(v, 0):
		return 0, tooLarge(text)
	}
	return v, nil
}

// tooLarge is the refusal of a number beyond float64.
func tooLarge(text string) error {
	return Errorf(ErrRange, "%q: too large; expected at most 1.79e308 in the unit without prefix",
		text)
}

// cut cuts a text behind its number: at the first character that cannot belong to
// it. An e belongs to it when digits follow.
func cut(text string) (number, unit string) {
	end := len(text)
	for i, r := range text {
		// In the grammar of a number, as far as it goes.
		if strings.ContainsRune("0123456789.+-\u2212", r) {
			continue
		}
		// "1e3" is a number, "1 e" and "1eV" are not.
		if (r == 'e' || r == 'E') && i > 0 && exponentFollows(text[i+1:]) {
			continue
		}
		end = i
		break
	}
	return text[:end], strings.TrimSpace(text[end:])
}

// exponentFollows reports whether an e begins an exponent.
func exponentFollows(s string) bool {
	s = strings.TrimPrefix(strings.TrimLeft(s, "+-"), "\u2212")
	return s != "" && s[0] >= '0' && s[0] <= '9'
}

// decimal takes a number apart: [sign] digits [. digits] [e [sign] digits]. The minus
// sign may be U+2212.
func decimal(text string) (mantissa string, exponent int, ok bool) {
	text = strings.ReplaceAll(text, "\u2212", "-")
	mantissa = text
	// The exponent apart: moving the point is adding to it.
	if i := strings.IndexAny(text, "eE"); i >= 0 {
		mantissa = text[:i]
		if !digits(unsigned(text[i+1:])) || len(text)-i > 8 {
			return "", 0, false
		}
		exponent, _ = strconv.Atoi(text[i+1:]) // checked: at most seven digits and sign
	}
	whole, fraction, point := strings.Cut(unsigned(mantissa), ".")
	if point && fraction == "" && whole == "" {
		return "", 0, false
	}
	if !digits(whole + fraction) {
		return "", 0, false
	}
	return mantissa, exponent, true
}

// unsigned is s without its sign.
func unsigned(s string) string {
	if s != "" && (s[0] == '+' || s[0] == '-') {
		return s[1:]
	}
	return s
}

// digits reports whether s consists of digits, at least one.
func digits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }
