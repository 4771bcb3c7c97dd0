// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit

import (
	"math"
	"strconv"
	"strings"
)

// Format writes v, in the coherent unit of the dimension, with the shortest digits that
// [Parse] reads back as v: "10 kΩ", "20 mΩ", "0.05 %", "8 ppm/K". A prefix keeps the
// number from 1 up to below 1000; 0.1 up to 1000 stay in the unit itself, as dials are
// marked. Fractions below 0.01 % are in ppm. Values that are not finite are written as
// Go writes them.
func Format(v float64, d Dimension) string {
	if !d.known() {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	// The unit decides how far the decimal point moves.
	unit, power := d.choose(v)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return strconv.FormatFloat(v, 'g', -1, 64) + " " + unit
	}
	return shift(v, -power) + " " + unit
}

// choose returns the unit in which v is written and its power of ten.
func (d Dimension) choose(v float64) (unit string, power int) {
	v = math.Abs(v)
	of := dimensions[d]
	// 0.01 % is 100 ppm: below it people write ppm.
	if d == Fraction && v < 1e-4 && v != 0 {
		return "ppm", -6
	}
	// 0 has no size by which a prefix could be chosen.
	if !of.prefixed || v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return of.unit, of.exponent
	}
	// By the first digit, after the shortest rounding: 999.96 stays what Parse reads.
	magnitude := leading(v) - of.exponent
	if magnitude >= -1 && magnitude <= 2 { // 0.1 up to below 1000
		return of.unit, of.exponent
	}
	// From the largest prefix down to the first that fits.
	for _, p := range prefixes[:written] {
		if magnitude >= p.exponent {
			return p.text + of.unit, of.exponent + p.exponent
		}
	}
	smallest := prefixes[written-1]
	return smallest.text + of.unit, of.exponent + smallest.exponent
}

// leading is the power of ten of the first of the shortest digits of v > 0.
// From the text, since a logarithm may round across a power of ten.
func leading(v float64) int {
	_, e, _ := strings.Cut(strconv.FormatFloat(v, 'e', -1, 64), "e")
	n, _ := strconv.Atoi(e)
	return n
}

// shift writes v·10^power by moving the decimal point of the shortest digits.
func shift(v float64, power int) string {
	if v == 0 {
		return "0"
	}
	text := strconv.FormatFloat(math.Abs(v), 'e', -1, 64)
	mantissa, e, _ := strings.Cut(text, "e")
	exponent, _ := strconv.Atoi(e)
	exponent += power
	all := strings.Replace(mantissa, ".", "", 1)
	switch {
	// Beyond these exponents zeros would hide the size.
	case exponent < -7 || exponent > 20:
		text = mantissa + "e" + strconv.Itoa(exponent)
	case exponent < 0:
		text = "0." + strings.Repeat("0", -exponent-1) + all
	case len(all) <= exponent+1:
		text = all + strings.Repeat("0", exponent+1-len(all))
	default:
		text = all[:exponent+1] + "." + all[exponent+1:]
	}
	if v < 0 {
		return "-" + text
	}
	return text
}
