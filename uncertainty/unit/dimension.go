// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit

import "sync"

// Dimension is a kind of quantity; its values in Go are in the unit named here.
type Dimension uint8

// The kinds of quantity that files and tables of this module state.
const (
	Ohm                   Dimension = iota // Ω
	Fraction                               // 1; text in %, ‰, ppm or ppb
	Celsius                                // °C
	Kelvin                                 // K, temperature difference
	PerKelvin                              // 1/K; text in ppm/K, %/K or 1/K
	PerKelvinSquared                       // 1/K²
	Watt                                   // W
	Volt                                   // V
	Ampere                                 // A
	Henry                                  // H
	Farad                                  // F
	KelvinPerWatt                          // K/W, thermal resistance
	Metre                                  // m
	SquareMetre                            // m²; text in mm²
	Kilogram                               // kg; text in g
	Second                                 // s
	Hertz                                  // Hz
	Joule                                  // J
	JoulePerKelvin                         // J/K, heat capacity
	Siemens                                // S
	OhmMetre                               // Ω·m, resistivity
	OhmPerMetre                            // Ω/m
	KilogramPerCubicMetre                  // kg/m³; text in g/cm³
	VoltPerKelvin                          // V/K; text in µV/K
	Radian                                 // rad
)

// dimensions says how each kind is written. What is prefixed takes the prefix that suits
// the value.
var dimensions = [...]struct {
	name     string // of the quantity
	expected string // the units that text may carry
	unit     string // that Format writes, without prefix
	exponent int    // of ten: that unit in coherent units
	prefixed bool
}{
	Ohm:      {"resistance", "Ω, ohm or R" + prefixesInWords, "Ω", 0, true},
	Fraction: {"fraction", "%, ‰, ppm or ppb", "%", -2, false},
	Celsius:  {"temperature", "°C or degC", celsius, 0, false},
	Kelvin: {"temperature difference", "K" + prefixesInWords + ", or °C", "K", 0,
		true},
	PerKelvin: {"temperature coefficient", "ppm/K, %/K, ppb/K or 1/K (also per °C)",
		"ppm/K", -6, false},
	PerKelvinSquared: {"quadratic temperature coefficient",
		"ppm/K², ppb/K² or 1/K² (also K^2, °C²)", "ppm/K²", -6, false},
	Watt:          {"power", "W" + prefixesInWords, "W", 0, true},
	Volt:          {"voltage", "V" + prefixesInWords, "V", 0, true},
	Ampere:        {"current", "A" + prefixesInWords, "A", 0, true},
	Henry:         {"inductance", "H" + prefixesInWords, "H", 0, true},
	Farad:         {"capacitance", "F" + prefixesInWords, "F", 0, true},
	KelvinPerWatt: {"thermal resistance", "K/W or K/mW (also °C/W)", "K/W", 0, false},
	Metre:         {"length", "m, mm, µm, cm, in, ft or mil", "m", 0, true},
	SquareMetre:   {"area", "mm², cm², m² or in²", "mm²", -6, false},
	Kilogram:      {"mass", "g, kg or mg", "g", -3, true},
	Second:        {"time", "s" + prefixesInWords + ", min, h, d or a", "s", 0, true},
	Hertz:         {"frequency", "Hz" + prefixesInWords, "Hz", 0, true},
	Joule:         {"energy", "J" + prefixesInWords + ", W·s or kW·h", "J", 0, true},
	JoulePerKelvin: {"heat capacity", "J/K with a prefix, as mJ/K (also J/°C)", "J/K", 0,
		true},
	Siemens:               {"conductance", "S" + prefixesInWords, "S", 0, true},
	OhmMetre:              {"resistivity", "Ω·m, nΩ·m, µΩ·cm or Ω·mm²/m", "Ω·m", 0, true},
	OhmPerMetre:           {"resistance of a length", "Ω/m, mΩ/m, Ω/km or Ω/ft", "Ω/m", 0, true},
	KilogramPerCubicMetre: {"density", "g/cm³ or kg/m³", "g/cm³", 3, false},
	VoltPerKelvin: {"thermal EMF of a kelvin", "µV/K, mV/K or V/K (also per °C)", "µV/K",
		-6, false},
	Radian: {"angle", "rad" + prefixesInWords + ", or °", "rad", 0, true},
}

// prefixesInWords is the rest of a message about units that take prefixes.
const prefixesInWords = " with a prefix of f p n µ m k M G T or none"

// ofDimension holds the coherent unit of each dimension.
var ofDimension = sync.OnceValue(func() (list [len(dimensions)]Unit) {
	// Text and unit come from one table: a slip in it is found by the tests.
	for d, text := range dimensions {
		u, err := parseUnit(text.unit)
		if err != nil || u.times != 1 || u.over != 1 || u.exponent != text.exponent {
			continue // the tests hold that there is none
		}
		// The coherent unit itself has no power of ten.
		u.exponent, u.celsius = 0, false
		list[d] = u
	}
	return list
})

// known reports whether d is one of the constants.
func (d Dimension) known() bool { return int(d) < len(dimensions) }

// Expected returns the units that text of this dimension may carry, for an error message.
func (d Dimension) Expected() string {
	if !d.known() {
		return "a known dimension"
	}
	return dimensions[d].expected
}

// Unit returns the coherent unit of the dimension, in which its values in Go are stated; the zero
// Unit for an unknown dimension.
func (d Dimension) Unit() Unit {
	if !d.known() {
		return Unit{}
	}
	return ofDimension()[d]
}

// accepts returns why text in the unit u is not a quantity of the dimension, nil if it is.
func (d Dimension) accepts(u Unit, symbol string) error {
	// Each case says why a unit of the same powers is still another kind.
	switch {
	// rad is a number, but no fraction; and "1" is no unit to write behind a number.
	case u.powers != d.Unit().powers, u.angle != (d == Radian), symbol == "1":
	// 300 K is not 27 °C by a factor.
	case d == Celsius && !u.celsius:
		return Errorf(ErrUnitMismatch, "unit %q; expected %s (temperatures are not converted)",
			symbol, d.Expected())
	default:
		return nil
	}
	return Errorf(ErrUnitMismatch, "unit %q is not one of %s; expected %s", symbol,
		dimensions[d].name, d.Expected())
}
