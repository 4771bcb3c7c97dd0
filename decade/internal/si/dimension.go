// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package si

import "strings"

// Dimension is a kind of quantity; its values are in the unit named here.
type Dimension uint8

// The kinds of quantity that files and tables of this module state.
const (
	Ohm              Dimension = iota // Ω
	Fraction                          // 1; text in %, ‰, ppm or ppb
	Celsius                           // °C
	Kelvin                            // K, temperature difference
	PerKelvin                         // 1/K; text in ppm/K, %/K or 1/K
	PerKelvinSquared                  // 1/K²
	Watt                              // W
	Volt                              // V
	Ampere                            // A
	Henry                             // H
	Farad                             // F
	KelvinPerWatt                     // K/W, thermal resistance
)

// unit is one spelling of a unit with its power of ten. Prefixed units take the
// prefixes of the SI in front.
type unit struct {
	text     string
	exponent int
	prefixed bool
}

// dimensions lists the spellings of each dimension; the first is the coherent unit
// where the dimension takes prefixes.
var dimensions = [...]struct {
	expected string
	units    []unit
}{
	Ohm:      {"Ω, ohm or R with a prefix", []unit{{"Ω", 0, true}, {"\u2126", 0, true}, {"ohm", 0, true}, {"ohms", 0, true}, {"R", 0, true}}},
	Fraction: {"%, ‰, ppm or ppb", []unit{{"%", -2, false}, {"‰", -3, false}, {"ppm", -6, false}, {"ppb", -9, false}}},
	Celsius:  {"°C or degC", []unit{{"°C", 0, false}, {"℃", 0, false}, {"degC", 0, false}}},
	Kelvin:   {"K with a prefix, or °C", []unit{{"K", 0, true}, {"°C", 0, false}, {"℃", 0, false}, {"degC", 0, false}}},
	PerKelvin: {"ppm/K, %/K, ppb/K or 1/K (also per °C)", []unit{
		{"ppm/K", -6, false}, {"%/K", -2, false}, {"‰/K", -3, false}, {"ppb/K", -9, false}, {"1/K", 0, false},
		{"ppm/°C", -6, false}, {"%/°C", -2, false}, {"ppb/°C", -9, false}, {"1/°C", 0, false}}},
	PerKelvinSquared: {"ppm/K², ppb/K² or 1/K² (also K^2, °C²)", []unit{
		{"ppm/K²", -6, false}, {"ppb/K²", -9, false}, {"1/K²", 0, false}, {"ppm/K^2", -6, false}, {"ppb/K^2", -9, false},
		{"1/K^2", 0, false}, {"ppm/°C²", -6, false}, {"ppb/°C²", -9, false}, {"1/°C²", 0, false}}},
	Watt:          {"W with a prefix", []unit{{"W", 0, true}}},
	Volt:          {"V with a prefix", []unit{{"V", 0, true}}},
	Ampere:        {"A with a prefix", []unit{{"A", 0, true}}},
	Henry:         {"H with a prefix", []unit{{"H", 0, true}}},
	Farad:         {"F with a prefix", []unit{{"F", 0, true}}},
	KelvinPerWatt: {"K/W or K/mW (also °C/W)", []unit{{"K/W", 0, false}, {"K/mW", 3, false}, {"°C/W", 0, false}, {"°C/mW", 3, false}}},
}

type prefix struct {
	text     string
	exponent int
}

// prefixes are in the order in which Format looks for one.
var prefixes = [...]prefix{
	{"T", 12}, {"G", 9}, {"M", 6}, {"k", 3}, {"", 0}, {"m", -3}, {"µ", -6}, {"n", -9}, {"p", -12},
	{"\u03bc", -6}, {"u", -6}, // Greek letter and ASCII stand-in: read, never written
}

// written is the number of prefixes that Format uses.
const written = 9

func (d Dimension) known() bool { return int(d) < len(dimensions) }

// Expected names the units that text of this dimension may carry.
func (d Dimension) Expected() string {
	if !d.known() {
		return "a known dimension"
	}
	return strings.Replace(dimensions[d].expected, "with a prefix", "with a prefix of p n µ m k M G T or none", 1)
}

// power returns the power of ten of a unit.
func (d Dimension) power(text string) (exponent int, ok bool) {
	for _, u := range dimensions[d].units {
		if text == u.text {
			return u.exponent, true
		}
	}
	for _, u := range dimensions[d].units {
		if !u.prefixed {
			continue
		}
		rest, has := strings.CutSuffix(text, u.text)
		if !has {
			continue
		}
		for _, p := range prefixes {
			if rest == p.text {
				return u.exponent + p.exponent, true
			}
		}
	}
	return 0, false
}
