// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"math"
	"slices"
	"strings"
)

// unit is what the numbers at an axis are multiples of.
type unit struct {
	symbol string
	ohms   float64
}

// inOhms is the unit in which a resistance is written.
func inOhms(r float64) unit {
	switch {
	case r >= 1e6:
		return unit{"MΩ", 1e6}
	case r >= 1000:
		return unit{"kΩ", 1000}
	case r >= 0.1:
		return unit{"Ω", 1}
	}
	return unit{"mΩ", 1e-3}
}

// prefixable are symbols that take a prefix.
var prefixable = []string{"Ω", "V", "A", "W", "Hz", "s", "F", "H", "m", "J", "C"}

var prefixes = []struct {
	symbol string
	factor float64
}{{"G", 1e9}, {"M", 1e6}, {"k", 1e3}, {"", 1}, {"m", 1e-3}, {"µ", 1e-6}, {"n", 1e-9}, {"p", 1e-12}}

// scaled returns the symbol with the prefix that suits numbers of a magnitude, and the
// factor of it; symbols that take none keep their form.
func scaled(symbol string, magnitude float64) (string, float64) {
	if !slices.Contains(prefixable, symbol) || magnitude == 0 {
		return symbol, 1
	}
	for _, p := range prefixes {
		if magnitude >= 0.999*p.factor {
			return p.symbol + symbol, p.factor
		}
	}
	return symbol, 1
}

// over writes an axis label as "quantity / unit"; a unit with a blank or a fraction gets
// parentheses. A quantity without unit is a number.
func over(quantity, symbol string) string {
	switch {
	case symbol == "" || symbol == "1":
		return quantity
	case strings.ContainsAny(symbol, " /·"):
		return quantity + " / (" + symbol + ")"
	}
	return quantity + " / " + symbol
}

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
