// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wording

import (
	"fmt"
	"strconv"
	"strings"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Number prints a number in full, without an exponent: the shortest digits that read back as it.
func Number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Rounded keeps n significant digits, as the decimal that is printed: 3 times 0.1
// would be 0.30000000000000004. NaN and infinities stay what they are.
func Rounded(v float64, n int) float64 {
	if v == 0 || !numbers.IsFinite(v) {
		return v
	}
	var buffer [32]byte // more than the 24 characters of any float64
	out, err := strconv.ParseFloat(string(strconv.AppendFloat(buffer[:0], v, 'e', n-1, 64)), 64)
	if err != nil { // not of digits that AppendFloat wrote
		return v
	}
	return out
}

// Ohms prints a resistance for a sentence, with three digits and a prefix: "1.23 kΩ".
func Ohms(v float64) string { return unit.Format(Rounded(v, 3), unit.Ohm) }

// Percent prints a fraction in per cent.
func Percent(fraction float64) string { return fmt.Sprintf("%.3g %%", 100*fraction) }

// SignedPair prints an estimate with its sign, and U with two digits (GUM 7.2.6: at most two). The
// estimate ends with the digit that U ends with: "+0.12" and "0.35".
func SignedPair(x, U float64) (estimate, uncertaintyText string) {
	estimate, uncertaintyText, _ = strings.Cut(uncertainty.FormatPlusMinus(x, U, 2), " ± ")
	// What is zero in the digits that are worth printing has no sign, on whichever side it lies.
	if estimate = strings.TrimPrefix(estimate, "-"); strings.Trim(estimate, "0.") == "" {
		return estimate, uncertaintyText
	}
	// By x and not by its text, whose sign has been taken off.
	if x < 0 {
		return "-" + estimate, uncertaintyText
	}
	return "+" + estimate, uncertaintyText
}

// Limits prints limits of a deviation, "±0.5" or "-0.2 to 0.5"; nothing where there are none.
func Limits(l uncertainty.Interval) string {
	switch {
	case l.Width() == 0:
		return ""
	case l.Lower == -l.Upper:
		return "±" + Number(l.Upper)
	}
	return Number(l.Lower) + " to " + Number(l.Upper)
}

// Probability prints a probability in words that promise no more than simulations have
// shown: "more than 99 %", "94 %", "less than 1 %".
func Probability(p float64) string {
	switch {
	case p > 0.99:
		return "more than 99 %"
	case p < 0.01:
		return "less than 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}
