// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"iter"
	"math"
	"strconv"

	"example.com/ohmwright/uncertainty/elementary"
)

// Series is a series of preferred values of IEC 60063, named for its number of
// values in a decade.
type Series int

// The preferred series. E24 and the coarser ones are usual for parts of 5 % and
// of 1 %, E96 and E192 for those of 1 % and better (common practice).
const (
	E3   Series = 3
	E6   Series = 6
	E12  Series = 12
	E24  Series = 24
	E48  Series = 48
	E96  Series = 96
	E192 Series = 192
)

// e24 are the values of E24 times 10. They are historical, no rounding of
// 10^(n/24): 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7 and 8.2 differ from it (IEC
// 60063, from memory; common practice).
var e24 = [...]int{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62,
	68, 75, 82, 91}

// String returns "E24" and the like.
func (s Series) String() string { return "E" + strconv.Itoa(int(s)) }

// valid reports whether IEC 60063 has the series.
func (s Series) valid() bool {
	switch s {
	case E3, E6, E12, E24, E48, E96, E192:
		return true
	}
	return false
}

// Values returns the preferred values from 1 up to below 10, in rising order.
// An unknown series has none.
func (s Series) Values() iter.Seq[float64] {
	return func(yield func(float64) bool) {
		for i := 0; s.valid() && i < int(s); i++ {
			if !yield(s.value(i, 0)) {
				return
			}
		}
	}
}

// value returns the preferred value i of the decade 10^decade.
func (s Series) value(i, decade int) float64 {
	// Decimal text, so that 4.7 kΩ is the float64 nearest to 4700.
	digits, scale := s.digits(i)
	v, _ := strconv.ParseFloat(strconv.Itoa(digits)+"e"+strconv.Itoa(decade-scale), 64)
	return v // the float64 nearest to the decimal value
}

// digits returns the significant digits of value i, and how many follow the
// first.
func (s Series) digits(i int) (digits, scale int) {
	// E12 is every second value of E24, and so on.
	if s <= E24 {
		return e24[i*(24/int(s))], 1
	}
	if s == E192 && i == 185 {
		return 920, 2 // IEC 60063 has 9.20 where 10^(185/192) rounds to 9.19
	}
	// Three digits of 10^(i/n) from E48 on.
	return int(math.Round(100 * elementary.Pow(10, float64(i)/float64(s)))), 2
}

// Around returns the preferred values next below and next above v, both v if
// it is one. v has to lie between 1e-9 and 1e15.
func (s Series) Around(v float64) (below, above float64, err error) {
	const op = "winding.Series.Around"
	if !s.valid() {
		return 0, 0, domain(op, arg{"series", float64(s), ""},
			"expected E3, E6, E12, E24, E48, E96 or E192")
	}
	if err := positive(op, arg{"value", v, "Ω"}); err != nil {
		return 0, 0, err
	}
	if v < 1e-9 || v > 1e15 {
		return 0, 0, domain(op, arg{"value", v, ""}, "expected 1e-9 to 1e15")
	}
	// The logarithm may be off at a power of ten: the decades beside it are searched too.
	decade := elementary.DecimalExponent(v)
	for d := decade - 1; d <= decade+1; d++ {
		for i := range int(s) {
			above = s.value(i, d)
			if above == v {
				return v, v, nil
			}
			if above > v {
				return below, above, nil
			}
			below = above
		}
	}
	return below, s.value(0, decade+2), nil
}
