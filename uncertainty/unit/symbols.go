// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit

import (
	"math"
	"strings"
	"sync"
)

// The SI base quantities, in the order in which Unit holds their powers.
const (
	length = iota
	mass
	duration
	current
	temperature
	amount
	luminous

	numBase
)

// powers are the exponents of metre, kilogram, second, ampere, kelvin, mole and candela.
type powers [numBase]float32

// prefixing says which prefixes a symbol takes.
type prefixing uint8

const (
	bare   prefixing = iota // none
	scaled                  // the powers of a thousand
	all                     // those of ten and a hundred too
)

// symbol is one unit without prefix: times·10^exponent coherent units.
type symbol struct {
	spellings string    // separated by blanks; the first is written
	powers    powers    // of the base units
	times     float64   // what is no power of ten: 60 of a minute
	exponent  int       // of ten
	takes     prefixing // which prefixes it goes with
}

// The definitions are those of the SI brochure, 9th edition, tables 2, 4 and 8; inch,
// foot and mil are 25.4 mm, 304.8 mm and 25.4 µm exactly, the year is of 365.25 days.
var symbols = [...]symbol{
	{"m", powers{length: 1}, 1, 0, all},
	{"g", powers{mass: 1}, 1, -3, all},
	{"s", powers{duration: 1}, 1, 0, scaled},
	{"A", powers{current: 1}, 1, 0, scaled},
	{"K", powers{temperature: 1}, 1, 0, scaled},
	{"mol", powers{amount: 1}, 1, 0, scaled},
	{"cd", powers{luminous: 1}, 1, 0, scaled},
	{"Hz", powers{duration: -1}, 1, 0, scaled},
	{"N", powers{length: 1, mass: 1, duration: -2}, 1, 0, scaled},
	{"Pa", powers{length: -1, mass: 1, duration: -2}, 1, 0, all},
	{"J", powers{length: 2, mass: 1, duration: -2}, 1, 0, scaled},
	{"W", powers{length: 2, mass: 1, duration: -3}, 1, 0, scaled},
	{"C", powers{duration: 1, current: 1}, 1, 0, scaled},
	{"V", powers{length: 2, mass: 1, duration: -3, current: -1}, 1, 0, scaled},
	{"F", powers{length: -2, mass: -1, duration: 4, current: 2}, 1, 0, scaled},
	{"Ω ohm Ohm ohms R", powers{length: 2, mass: 1, duration: -3, current: -2}, 1, 0, scaled},
	{"S", powers{length: -2, mass: -1, duration: 3, current: 2}, 1, 0, scaled},
	{"Wb", powers{length: 2, mass: 1, duration: -2, current: -1}, 1, 0, scaled},
	{"T", powers{mass: 1, duration: -2, current: -1}, 1, 0, scaled},
	{"H", powers{length: 2, mass: 1, duration: -2, current: -2}, 1, 0, scaled},
	{"rad", powers{}, 1, 0, scaled},
	{"sr", powers{}, 1, 0, bare},
	{"°", powers{}, math.Pi / 180, 0, bare},
	{"1", powers{}, 1, 0, bare},
	{"%", powers{}, 1, -2, bare},
	{"‰", powers{}, 1, -3, bare},
	{"ppm", powers{}, 1, -6, bare},
	{"ppb", powers{}, 1, -9, bare},
	{celsius + " degC", powers{temperature: 1}, 1, 0, bare},
	{"min", powers{duration: 1}, 60, 0, bare},
	{"h", powers{duration: 1}, 3600, 0, bare},
	{"d", powers{duration: 1}, 86400, 0, bare},
	{"a yr", powers{duration: 1}, 31557600, 0, bare},
	{"in", powers{length: 1}, 254, -4, bare},
	{"ft", powers{length: 1}, 3048, -4, bare},
	{"mil", powers{length: 1}, 254, -7, bare},
	// The circular mil is the area of a circle of that diameter.
	{"cmil", powers{length: 2}, math.Pi / 4 * 254 * 254, -14, bare},
}

// celsius is the symbol of the degree Celsius in two characters.
const celsius = "°C"

// prefix is one of the SI, by power of ten.
type prefix struct {
	text     string    // as written before the symbol
	exponent int       // of ten
	takes    prefixing // the symbols that it goes with
}

// prefixes begin with those that Format writes, in the order in which it looks for one
// (SI brochure, 9th edition, table 7).
var prefixes = [...]prefix{
	{"T", 12, scaled}, {"G", 9, scaled}, {"M", 6, scaled}, {"k", 3, scaled}, {"", 0, bare},
	{"m", -3, scaled}, {"µ", -6, scaled}, {"n", -9, scaled}, {"p", -12, scaled},
	{"f", -15, scaled}, {"u", -6, scaled}, {"h", 2, all}, {"d", -1, all}, {"c", -2, all},
}

// written is the number of prefixes that Format uses.
const written = 9

// Two code points are one letter: the signs for micro and ohm and the Greek letters, the
// sign for degrees Celsius and its two characters.
var oneLetter = strings.NewReplacer("\u03bc", "µ", "\u2126", "\u03a9", "℃", celsius)

// known lists every symbol with its prefixes.
var known = sync.OnceValue(func() map[string]Unit {
	list := make(map[string]Unit)
	for _, s := range symbols {
		for text := range strings.FieldsSeq(s.spellings) {
			for _, p := range prefixes {
				// Each prefix goes with the symbols that take at least so much.
				if p.takes > s.takes {
					continue
				}
				// Symbols without prefixes keep the list free of double meanings: min is no
				// milli-inch.
				list[p.text+text] = Unit{
					powers: s.powers, times: s.times, over: 1, exponent: s.exponent + p.exponent,
					angle: text == "rad" || text == "sr" || text == "°",
				}
			}
		}
	}
	return list
})

// unknown says what is wrong with a symbol that is not in the list.
func unknown(text string) string {
	for _, s := range symbols {
		for spelling := range strings.FieldsSeq(s.spellings) {
			rest, has := strings.CutSuffix(text, spelling)
			switch {
			// The text does not end in this symbol, or is it.
			case !has || rest == "":
			case rest == "K" && s.takes != bare:
				return "; the prefix of a thousand is k"
			case (rest == "c" || rest == "d" || rest == "h") && s.takes != all:
				return "; prefix " + rest + " goes with m, g and Pa alone"
			case s.takes == bare && isPrefix(rest):
				return "; " + spelling + " takes no prefix"
			}
		}
	}
	return ""
}

// isPrefix reports whether text is a prefix.
func isPrefix(text string) bool {
	for _, p := range prefixes {
		if text == p.text {
			return true
		}
	}
	return false
}
