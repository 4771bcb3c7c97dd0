// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"strconv"
	"strings"
)

// Rounding acts on decimal text: the shortest decimal number that reads back as
// the float64 stands for the value. So 100.145, which binary cannot hold, is the
// tie that it looks like, and ties go to the even digit: 100.14, as the example of
// JCGM 100:2008, 4.4.3, prints it.

const (
	// maxDigits is the largest number of significant digits of an uncertainty. A
	// float64 has no more.
	maxDigits = 17
	// Numbers in [1e-4, 1e21) are printed plainly, others with an exponent.
	plainFrom  = -4
	plainBelow = 21
)

// FormatConcise returns an estimate with its standard uncertainty in parentheses,
// "10000.1780(83)": u rounded to the given number of significant digits, x to the same decimal
// place (JCGM 100:2008, 7.2.2 and 7.2.6). One or two digits are usual; fewer than 1 count as 1,
// more than 17 as 17. Both are rounded to nearest, exact decimal ties to the even digit; an
// uncertainty that rounds up to a further digit keeps the number of digits asked for (9.96 is 10,
// not 10.0).
//
// The digits in parentheses are those of the last digits of the estimate. An
// uncertainty that reaches past the decimal point is written with the point,
// "127.7(1.2)". Where its last significant digit stands left of the units, and for
// numbers below 1e-4 or from 1e21, the whole takes an exponent: "1.2346(23)e6".
//
// No argument is refused: u = 0 gives x alone with all its digits, and NaN, an
// infinity or a negative u are printed as they are, without rounding.
func FormatConcise(x, u float64, digits int) string {
	switch {
	// What cannot be rounded is shown, and shown to be wrong.
	case math.IsNaN(x) || math.IsInf(x, 0) || math.IsNaN(u) || math.IsInf(u, 0) || u < 0:
		return shortestText(x) + "(" + shortestText(u) + ")"
	case u == 0:
		return shortestText(x)
	}
	place := lastPlace(u, digits)
	// u decides where both end.
	dx, du := decimalOf(x).round(place), decimalOf(u).round(place)
	// The number with the larger first digit decides the form, so that both parts use it.
	lead := max(dx.lead(), du.lead())
	// Plain where the last digit is a decimal or a unit.
	if place <= 0 && lead >= plainFrom && lead < plainBelow {
		return dx.text(place) + "(" + lastDigits(du.text(place)) + ")"
	}
	// Shifted so that the first digit stands before the point.
	return dx.shift(-lead).text(place-lead) + "(" + lastDigits(du.shift(-lead).text(place-lead)) +
		")e" + strconv.Itoa(lead)
}

// FormatPlusMinus returns an estimate with its expanded uncertainty in the form "10000.178 ±
// 0.017", rounded as in [FormatConcise] (JCGM 100:2008, 7.2.4 and 7.2.6). The caller states the
// unit and the coverage factor or probability beside it. Where the last significant digit of U
// stands left of the units, zeros fill the places: "1234600 ± 2300". Numbers below 1e-4 or from
// 1e21 are written with one common exponent: "1.20e-9 ± 0.03e-9".
//
// U = 0, NaN, an infinity or a negative U are printed as they are, without rounding.
func FormatPlusMinus(x, U float64, digits int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) || !(U > 0) || math.IsInf(U, 0) {
		return shortestText(x) + " ± " + shortestText(U)
	}
	place := lastPlace(U, digits)
	dx, du := decimalOf(x).round(place), decimalOf(U).round(place)
	lead := max(dx.lead(), du.lead())
	// Zeros fill the places above the last digit here, since ± has no parentheses to count them.
	if lead >= plainFrom && lead < plainBelow {
		return dx.text(place) + " ± " + du.text(place)
	}
	exponent := "e" + strconv.Itoa(lead)
	return dx.shift(-lead).text(place-lead) + exponent + " ± " + du.shift(-lead).text(place-lead) +
		exponent
}

// lastPlace returns the decimal place (the power of ten) of the last digit of u
// rounded to the given number of significant digits: -3 for 0.0123 and two digits,
// 0 for 9.96 and two digits. Zero, NaN and the infinities have no leading digit and
// give 1 - digits, as for a u of the order of one.
func lastPlace(u float64, digits int) int {
	digits = min(max(digits, 1), maxDigits)
	if u == 0 || math.IsNaN(u) || math.IsInf(u, 0) {
		return 1 - digits
	}
	// Rounded first: 9.96 becomes 10, and its last digit moves up by a place.
	d := decimalOf(u)
	return d.round(d.lead()-digits+1).lead() - digits + 1
}

// roundDecimal returns x rounded to a multiple of 10^place as plain decimal text
// with -place decimals; for place > 0 zeros fill the integer. A negative number that
// rounds to zero has no sign.
func roundDecimal(x float64, place int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return shortestText(x)
	}
	return decimalOf(x).round(place).text(place)
}

// shortestText gives all digits of x, in the plain form where the rounded forms
// have it.
func shortestText(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return format(x)
	}
	// Zero has no digits, and no place to begin with.
	d := decimalOf(x)
	if d.digits == "" {
		return "0"
	}
	// The place after the last digit that is not 0.
	last := d.point - len(d.digits)
	if lead := d.lead(); lead < plainFrom || lead >= plainBelow {
		return d.shift(-lead).text(last-lead) + "e" + strconv.Itoa(lead)
	}
	return d.text(min(last, 0))
}

// lastDigits takes the zeros before the first significant digit off a number below
// one: 0.0083 becomes 83; 1.2 stays.
func lastDigits(text string) string {
	rest, ok := strings.CutPrefix(text, "0.")
	if !ok {
		return text
	}
	return strings.TrimLeft(rest, "0")
}

// decimal is the number ±0.DIGITS × 10^point. The digits have no zero at the front;
// zero has none at all.
type decimal struct {
	negative bool
	digits   string
	point    int
}

// decimalOf returns the shortest decimal number that reads back as the finite x.
func decimalOf(x float64) decimal {
	// The shortest text that reads back is what a person would take for the value.
	mantissa, exponent, _ := strings.Cut(strconv.FormatFloat(math.Abs(x), 'e', -1, 64), "e")
	digits := strings.TrimRight(strings.Replace(mantissa, ".", "", 1), "0")
	if digits == "" {
		return decimal{}
	}
	e, _ := strconv.Atoi(exponent) // the text of FormatFloat has an integer there
	return decimal{math.Signbit(x), digits, e + 1}
}

// lead is the place of the first digit; for zero it lies below every float64.
func (d decimal) lead() int {
	if d.digits == "" {
		return -400 // below the smallest float64, 5e-324
	}
	return d.point - 1
}

// shift multiplies by 10^n.
// Only the point moves: no digit is lost, as in a product with a power of ten.
func (d decimal) shift(n int) decimal {
	if d.digits != "" {
		d.point += n
	}
	return d
}

// round returns the multiple of 10^place nearest to d, of two the one with an even
// last digit.
func (d decimal) round(place int) decimal {
	keep := d.point - place // number of digits that stay
	switch {
	// No digit lies beyond the place.
	case keep >= len(d.digits):
		return d
	// Less than half of a unit of the place.
	case keep < 0:
		return decimal{}
	}
	kept, rest := d.digits[:keep], d.digits[keep:]
	odd := keep > 0 && (kept[keep-1]-'0')%2 == 1
	// As text: "5" with anything behind it is more than half.
	if rest > "5" || rest == "5" && odd {
		return d.up(kept, place)
	}
	// Trailing zeros are no digits of a decimal.
	kept = strings.TrimRight(kept, "0")
	if kept == "" {
		return decimal{}
	}
	return decimal{d.negative, kept, d.point}
}

// up returns the kept digits plus one unit of the last of them.
func (d decimal) up(kept string, place int) decimal {
	front := strings.TrimRight(kept, "9")
	if front == "" { // all nines, or no digits: the next power of ten
		return decimal{d.negative, "1", place + len(kept) + 1}
	}
	last := len(front) - 1
	return decimal{d.negative, front[:last] + string(front[last]+1), d.point}
}

// text writes the digits down to the given place, which d is a multiple of.
func (d decimal) text(place int) string {
	decimals := max(0, -place)
	all := strings.Repeat("0", max(0, 1-d.point)) + d.digits // at least one digit before the point
	point := max(d.point, 1)
	if d.digits == "" {
		all, point = "0", 1
	}
	// Digits that do not exist are zeros.
	all += strings.Repeat("0", max(0, point+decimals-len(all)))
	sign := ""
	if d.negative {
		sign = "-"
	}
	if decimals == 0 {
		return sign + all[:point]
	}
	return sign + all[:point] + "." + all[point:]
}
