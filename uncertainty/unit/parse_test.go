// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit

import (
	"errors"
	"math"
	"math/big"
	"strings"
	"testing"
)

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text string
		d    Dimension
		want float64
	}{
		{"10 kΩ", Ohm, 10e3},
		{"10.1 kΩ", Ohm, 10100},
		{"20 mΩ", Ohm, 0.02},
		{"20mΩ", Ohm, 0.02},
		{" 4.7 \u2126 ", Ohm, 4.7},
		{"4.7 ohm", Ohm, 4.7},
		{"4.7kohm", Ohm, 4700},
		{"100 R", Ohm, 100},
		{"1 MΩ", Ohm, 1e6},
		{"5 µΩ", Ohm, 5e-6},
		{"5 \u03bcΩ", Ohm, 5e-6},
		{"5 uΩ", Ohm, 5e-6},
		{"1e3 Ω", Ohm, 1000},
		{"1E-3 Ω", Ohm, 0.001},
		{"-0.5 Ω", Ohm, -0.5},
		{"\u22120.5 Ω", Ohm, -0.5},
		{"+.5 Ω", Ohm, 0.5},
		{"5. Ω", Ohm, 5},
		{"0.05 %", Fraction, 0.0005},
		{"20 ppm", Fraction, 20e-6},
		{"1.1 ppb", Fraction, 1.1e-9},
		{"2 ‰", Fraction, 0.002},
		{"20 °C", Celsius, 20},
		{"20 degC", Celsius, 20},
		{"0.5 K", Kelvin, 0.5},
		{"5 mK", Kelvin, 0.005},
		{"8 ppm/K", PerKelvin, 8e-6},
		{"0.393 %/K", PerKelvin, 0.00393},
		{"60 K/W", KelvinPerWatt, 60},
		{"0.2 K/mW", KelvinPerWatt, 200},
		{"-0.5 ppm/K²", PerKelvinSquared, -0.5e-6},
		{"-0.5 ppm/K^2", PerKelvinSquared, -0.5e-6},
		{"0.5 W", Watt, 0.5},
		{"500 V", Volt, 500},
		{"22 mA", Ampere, 0.022},
		{"0.3 µH", Henry, 0.3e-6},
		{"8 pF", Farad, 8e-12},
		// One list for all: what one reader knew, every reader knows.
		{"10 R", Ohm, 10},
		{"4.7 kOhm", Ohm, 4700},
		{"4.7 kohms", Ohm, 4700},
		{"1 V/A", Ohm, 1},
		{"10.1 mV/mA", Ohm, 10.1},
		{"20 \u2103", Celsius, 20},
		{"0.5 °C", Kelvin, 0.5},
		{"5 µΩ/Ω", Fraction, 5e-6},
		{"1.7241 µΩ·cm", OhmMetre, 1.7241e-8},
		{"17.241 nΩ·m", OhmMetre, 17.241e-9},
		{"0.017241 Ω·mm²/m", OhmMetre, 0.017241e-6},
		{"0.017241 ohm mm^2/m", OhmMetre, 0.017241e-6},
		{"8.933 g/cm³", KilogramPerCubicMetre, 8933},
		{"8933 kg/m³", KilogramPerCubicMetre, 8933},
		{"-43.1 µV/K", VoltPerKelvin, -43.1e-6},
		{"-43.1 uV/°C", VoltPerKelvin, -43.1e-6},
		{"17 ppm K⁻¹", PerKelvin, 17e-6},
		{"0.1 mm", Metre, 0.0001},
		{"1 in", Metre, 0.0254},
		{"3 ft", Metre, 0.9144},
		{"10 mil", Metre, 0.000254},
		{"2.5 mm²", SquareMetre, 2.5e-6},
		{"50 Hz", Hertz, 50},
		{"1.5 min", Second, 90},
		{"0.1 h", Second, 360},
		{"1 d", Second, 86400},
		{"1 kW·h", Joule, 3.6e6},
		{"5 mJ/K", JoulePerKelvin, 0.005},
		{"6 Ω/km", OhmPerMetre, 0.006},
		{"180 °", Radian, 3.141592653589793},
	} {
		got, err := Parse(c.text, c.d)
		if err != nil || got != c.want {
			t.Errorf("Parse(%q) = %v, %v; want %v", c.text, got, err, c.want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text string
		d    Dimension
		err  error
	}{
		{"", Ohm, ErrSyntax},
		{"Ω", Ohm, ErrSyntax},
		{"ten Ω", Ohm, ErrSyntax},
		{"1,5 Ω", Ohm, ErrSyntax},
		{"0x10 Ω", Ohm, ErrUnit},
		{"1_0 Ω", Ohm, ErrUnit},
		{"NaN Ω", Ohm, ErrSyntax},
		{"Inf Ω", Ohm, ErrSyntax},
		{". Ω", Ohm, ErrSyntax},
		{"1.2.3 Ω", Ohm, ErrSyntax},
		{"--1 Ω", Ohm, ErrSyntax},
		{"1e99999999 Ω", Ohm, ErrSyntax},
		{"1e400 Ω", Ohm, ErrRange},
		{"1e-400 Ω", Ohm, ErrRange},
		{"10", Ohm, ErrUnit},
		{"10 V", Ohm, ErrUnitMismatch},
		{"10 KΩ", Ohm, ErrUnit},
		{"10 kkΩ", Ohm, ErrUnit},
		{"0.0005", Fraction, ErrUnit},
		{"5 k%", Fraction, ErrUnit},
		{strings.Repeat("1", 1000) + " Ω", Ohm, ErrSyntax},
		{"1 Ω", Dimension(99), ErrUnit},
		{"1 000 Ω", Ohm, ErrSyntax},
		{"1,000.5 Ω", Ohm, ErrSyntax},
		{"0,1 Ω", Ohm, ErrSyntax},
		{"1 1·Ω", Ohm, ErrSyntax},
		{"10 cΩ", Ohm, ErrUnit},
		{"10 dV", Volt, ErrUnit},
		{"10 kmin", Second, ErrUnit},
		{"296 K", Celsius, ErrUnitMismatch},
		{"20 m°C", Celsius, ErrUnit},
		{"5 °", Fraction, ErrUnitMismatch},
		{"5 rad", Fraction, ErrUnitMismatch},
		{"0.05 1", Fraction, ErrSyntax},
		{"1e308 MΩ", Ohm, ErrRange},
		{"1e308 h", Second, ErrRange},
		{"1 ppm", PerKelvin, ErrUnitMismatch},
	} {
		if got, err := Parse(c.text, c.d); !errors.Is(err, c.err) {
			t.Errorf("Parse(%.20q) = %v, %v; want %v", c.text, got, err, c.err)
		}
	}
}

// A message says what was given, what is wrong with it and what is expected.
func TestMessages(t *testing.T) {
	for _, c := range []struct {
		text string
		d    Dimension
		want string
	}{
		{"10 kOhmm", Ohm, `unit.Parse: "10 kOhmm": unknown unit "kOhmm"; expected Ω, ohm or R with a prefix`},
		{"10", Ohm, `unit.Parse: "10": no unit; expected Ω`},
		{"0,1 Ω", Ohm, `unit.Parse: "0,1 Ω": a decimal comma; expected a decimal point: "0.1 Ω"`},
		{"1,000.5 Ω", Ohm, "expected its digits without commas"},
		{"1 000 Ω", Ohm, "a blank within the number"},
		{"10 cΩ", Ohm, `unknown unit "cΩ"; prefix c goes with m, g and Pa alone`},
		{"10 KΩ", Ohm, `unknown unit "KΩ"; the prefix of a thousand is k`},
		{"10 mmin", Second, "min takes no prefix"},
		{"10k", Ohm, `unknown unit "k"; expected "10 kΩ"`},
		{"10 K", Ohm, `expected "10 kΩ"`},
		{"4R7", Ohm, `unknown unit "R7"; expected "4.7 Ω"`},
		{"1k5", Ohm, `expected "1.5 kΩ"`},
		{"4.7k5", Ohm, `expected Ω, ohm or R with a prefix`},
		{"10 V", Ohm, `"10 V": unit "V" is not one of resistance; expected Ω, ohm or R`},
		{"296 K", Celsius, "temperatures are not converted"},
	} {
		if _, err := Parse(c.text, c.d); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("Parse(%q): error %v; want it with %q", c.text, err, c.want)
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		v    float64
		d    Dimension
		want string
	}{
		{10e3, Ohm, "10 kΩ"},
		{1000, Ohm, "1 kΩ"},
		{math.Nextafter(1000, 0), Ohm, "999.9999999999999 Ω"},
		{100, Ohm, "100 Ω"},
		{0.1, Ohm, "0.1 Ω"},
		{math.Nextafter(0.1, 0), Ohm, "99.99999999999999 mΩ"},
		{0.02, Ohm, "20 mΩ"},
		{0.001, Ohm, "1 mΩ"},
		{-0.002, Ohm, "-2 mΩ"},
		{0, Ohm, "0 Ω"},
		{5e-15, Ohm, "0.005 pΩ"},
		{1e15, Ohm, "1000 TΩ"},
		{1e40, Ohm, "1e28 TΩ"},
		{0.0005, Fraction, "0.05 %"},
		{0.0001, Fraction, "0.01 %"},
		{20e-6, Fraction, "20 ppm"},
		{8e-6, PerKelvin, "8 ppm/K"},
		{60, KelvinPerWatt, "60 K/W"},
		{-0.5e-6, PerKelvinSquared, "-0.5 ppm/K²"},
		{20, Celsius, "20 °C"},
		{8e-12, Farad, "8 pF"},
		{math.NaN(), Ohm, "NaN Ω"},
		{math.Inf(1), Ohm, "+Inf Ω"},
		{1.5, Dimension(99), "1.5"},
		{17.241e-9, OhmMetre, "17.241 nΩ·m"},
		{8933, KilogramPerCubicMetre, "8.933 g/cm³"},
		{-43.1e-6, VoltPerKelvin, "-43.1 µV/K"},
		{2.5e-6, SquareMetre, "2.5 mm²"},
		{0.0001, Metre, "100 µm"},
		{0.005, Kilogram, "5 g"},
		{50, Kilogram, "50 kg"},
	} {
		if got := Format(c.v, c.d); got != c.want {
			t.Errorf("Format(%v) = %q; want %q", c.v, got, c.want)
		}
	}
}

// FuzzParse checks that what Parse reads, Format writes and Parse reads again, and that
// the value is the one nearest to the text by exact rational arithmetic.
func FuzzParse(f *testing.F) {
	f.Add("10.1 kΩ", byte(Ohm))                  // scaling that binary multiplication rounds
	f.Add("0.05 %", byte(Fraction))              // per cent
	f.Add("-0.5 ppm/K²", byte(PerKelvinSquared)) // sign, compound unit
	f.Add("1e-300 pΩ", byte(Ohm))                // near the smallest
	f.Add("9.99999999999999999 MΩ", byte(Ohm))   // more digits than float64 holds
	f.Fuzz(func(t *testing.T, text string, b byte) {
		d := Dimension(b)
		v, err := Parse(text, d)
		if err != nil {
			return
		}
		if want, ok := slow(text, d); ok && want != v {
			t.Errorf("Parse(%q) = %v; by rational arithmetic %v", text, v, want)
		}
		again, err := Parse(Format(v, d), d)
		if err != nil || again != v {
			t.Errorf("%q is %v, written %q, read again %v, %v", text, v, Format(v, d), again, err)
		}
	})
}

// slow multiplies the number by its unit as rational numbers.
func slow(text string, d Dimension) (float64, bool) {
	number, symbol := cut(strings.TrimSpace(text))
	r, ok := new(big.Rat).SetString(strings.ReplaceAll(number, "\u2212", "-"))
	u, err := parseUnit(symbol)
	if !ok || err != nil {
		return 0, false
	}
	for range max(u.exponent, -u.exponent) {
		if u.exponent < 0 {
			r.Quo(r, big.NewRat(10, 1))
		} else {
			r.Mul(r, big.NewRat(10, 1))
		}
	}
	r.Mul(r, new(big.Rat).SetFloat64(u.times))
	r.Quo(r, new(big.Rat).SetFloat64(u.over))
	v, _ := r.Float64()
	return v, true
}
