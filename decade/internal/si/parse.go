// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package si

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// The causes of a refusal, for errors.Is.
var (
	ErrNumber = errors.New("not a number")
	ErrUnit   = errors.New("unknown unit")
	ErrRange  = errors.New("outside the range of float64")
)

// cause is an error text of which errors.Is finds the sentinel.
type cause struct {
	sentinel error
	text     string
}

func (c *cause) Error() string { return c.text }
func (c *cause) Unwrap() error { return c.sentinel }

func because(sentinel error, format string, args ...any) error {
	return &cause{sentinel, fmt.Sprintf(format, args...)}
}

// longest is the number of bytes of a quantity text that are looked at.
const longest = 200

// Parse reads a number with a unit of the dimension, such as "10.1 kΩ" or "0.05 %",
// and returns the float64 nearest to the value in the coherent unit. Blanks around the
// text and before the unit may be left out. The unit may not: a number of files that
// means the coherent unit is a JSON number, not text.
//
// Text that is no decimal number, an unknown or missing unit, and a value outside the
// range of float64 are errors that quote the text ([ErrNumber], [ErrUnit], [ErrRange]).
func Parse(text string, d Dimension) (float64, error) {
	if !d.known() {
		return 0, because(ErrUnit, "dimension %d; expected a known one", d)
	}
	if len(text) > longest {
		return 0, because(ErrNumber, "text of %d bytes beginning %.20q; expected a number with a unit", len(text), text)
	}
	number, unit := split(strings.TrimSpace(text))
	mantissa, exponent, ok := decimal(number)
	if !ok {
		return 0, because(ErrNumber, "%q; expected a decimal number such as 0.05 or 1e-3 with a unit: %s", text, d.Expected())
	}
	power, ok := d.power(unit)
	if !ok {
		what := fmt.Sprintf("unknown unit %q", unit)
		if unit == "" {
			what = "no unit"
		}
		return 0, because(ErrUnit, "%q: %s; expected %s", text, what, d.Expected())
	}
	return assemble(text, mantissa, exponent+power)
}

// ParseNumber reads a decimal number without a unit, in the grammar of Parse.
func ParseNumber(text string) (float64, error) {
	mantissa, exponent, ok := decimal(text)
	if !ok || len(text) > longest {
		return 0, because(ErrNumber, "%.40q; expected a decimal number such as 0.05 or 1e-3", text)
	}
	return assemble(text, mantissa, exponent)
}

// assemble rounds mantissa·10^exponent once.
func assemble(text, mantissa string, exponent int) (float64, error) {
	v, err := strconv.ParseFloat(mantissa+"e"+strconv.Itoa(exponent), 64)
	switch {
	case err != nil:
		return 0, because(ErrRange, "%q: too large; expected at most 1.79e308 in the unit without prefix", text)
	case v == 0 && strings.Trim(mantissa, "+-0.") != "":
		return 0, because(ErrRange, "%q: too small; expected 0 or at least 5e-324 in the unit without prefix", text)
	case v == 0:
		return 0, nil // without the sign of a zero
	}
	return v, nil
}

// split cuts a text behind its number: at the first character that cannot belong to
// it. An e belongs to it when digits follow.
func split(text string) (number, unit string) {
	end := len(text)
	for i, r := range text {
		if strings.ContainsRune("0123456789.+-\u2212", r) {
			continue
		}
		if (r == 'e' || r == 'E') && i > 0 && exponentFollows(text[i+1:]) {
			continue
		}
		end = i
		break
	}
	return text[:end], strings.TrimSpace(text[end:])
}

func exponentFollows(s string) bool {
	s = strings.TrimPrefix(strings.TrimLeft(s, "+-"), "\u2212")
	return s != "" && s[0] >= '0' && s[0] <= '9'
}

// decimal takes a number apart: [sign] digits [. digits] [e [sign] digits]. The minus
// sign may be U+2212.
func decimal(text string) (mantissa string, exponent int, ok bool) {
	text = strings.ReplaceAll(text, "\u2212", "-")
	mantissa = text
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

func unsigned(s string) string {
	if s != "" && (s[0] == '+' || s[0] == '-') {
		return s[1:]
	}
	return s
}

func digits(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }
