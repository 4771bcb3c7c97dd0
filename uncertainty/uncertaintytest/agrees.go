// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertaintytest

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// ErrPrinted is the cause of an error about a printed number that cannot be read.
var ErrPrinted = errors.New("not a printed decimal number")

// maxExponent bounds the decimal exponents that are read. It lies beyond the
// range of float64, and keeps the exact arithmetic small.
const maxExponent = 400

// Agrees reports whether got rounds to the printed number:
//
//	|got - printed| <= unit/2, unit = one unit of the last printed digit
//
// Equality counts as agreement, so both neighbours of a tie agree. Printed is
// a decimal number with an optional sign, point and exponent: "12.71", "-0.50",
// "80e-6". A minus sign may be "-" or "−" (U+2212). Every printed digit counts,
// trailing zeros too: "2.00" asks for more than "2", and "1200" for four digits
// ("1.2e3" asks for two).
//
// NaN and the infinities agree with nothing. Text of another form is an error
// that wraps [ErrPrinted].
func Agrees(got float64, printed string) (bool, error) {
	want, unit, err := parsePrinted(printed)
	if err != nil {
		return false, err
	}
	if math.IsNaN(got) || math.IsInf(got, 0) {
		return false, nil
	}
	// Doubled, so that half a unit needs no division.
	diff := new(big.Rat).SetFloat64(got)
	diff.Sub(diff, want).Abs(diff)
	diff.Add(diff, diff)
	return diff.Cmp(unit) <= 0, nil
}

// parsePrinted returns the number and the unit of its last printed digit.
func parsePrinted(printed string) (value, unit *big.Rat, err error) {
	// Some sources print the sign that typography wants.
	text := strings.Replace(printed, "−", "-", 1)
	if rest, ok := strings.CutPrefix(text, "+"); ok && !strings.HasPrefix(rest, "-") {
		text = rest
	}
	mantissa, exponent, hasExponent := cutExponent(text)
	// A sign before a sign is no number.
	whole, fraction, _ := strings.Cut(strings.TrimPrefix(mantissa, "-"), ".")
	if whole+fraction == "" || !isDigits(whole+fraction) {
		return nil, nil, notPrinted(printed)
	}
	// A number with a thousand zeros would cost a thousand digits.
	e := 0
	if hasExponent {
		e, err = strconv.Atoi(strings.Replace(exponent, "−", "-", 1))
		if err != nil || e < -maxExponent || e > maxExponent {
			return nil, nil, notPrinted(printed)
		}
	}
	digits, _ := new(big.Int).SetString(whole+fraction, 10)
	if strings.HasPrefix(mantissa, "-") {
		digits.Neg(digits)
	}
	// The last digit stands so many places behind the point.
	unit = powerOfTen(e - len(fraction))
	return new(big.Rat).Mul(new(big.Rat).SetInt(digits), unit), unit, nil
}

// cutExponent cuts at the e.
func cutExponent(text string) (mantissa, exponent string, ok bool) {
	if i := strings.IndexAny(text, "eE"); i >= 0 {
		return text[:i], text[i+1:], true
	}
	return text, "", false
}

// isDigits reports whether s has digits alone.
func isDigits(s string) bool {
	return strings.Trim(s, "0123456789") == ""
}

// powerOfTen is exact for negative exponents too.
func powerOfTen(e int) *big.Rat {
	p := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(e, -e))), nil)
	if e < 0 {
		return new(big.Rat).SetFrac(big.NewInt(1), p)
	}
	return new(big.Rat).SetInt(p)
}

// notPrinted is the refusal of a text that is no number.
func notPrinted(printed string) error {
	return fmt.Errorf("uncertaintytest.Agrees: printed: %q: %w; expected digits such as 12.71, "+
		"-0.50 or 80e-6", printed, ErrPrinted)
}
