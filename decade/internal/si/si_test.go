// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package si

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
		{"", Ohm, ErrNumber},
		{"Ω", Ohm, ErrNumber},
		{"ten Ω", Ohm, ErrNumber},
		{"1,5 Ω", Ohm, ErrUnit},
		{"0x10 Ω", Ohm, ErrUnit},
		{"1_0 Ω", Ohm, ErrUnit},
		{"NaN Ω", Ohm, ErrNumber},
		{"Inf Ω", Ohm, ErrNumber},
		{". Ω", Ohm, ErrNumber},
		{"1.2.3 Ω", Ohm, ErrNumber},
		{"--1 Ω", Ohm, ErrNumber},
		{"1e99999999 Ω", Ohm, ErrNumber},
		{"1e400 Ω", Ohm, ErrRange},
		{"1e-400 Ω", Ohm, ErrRange},
		{"10", Ohm, ErrUnit},
		{"10 V", Ohm, ErrUnit},
		{"10 KΩ", Ohm, ErrUnit},
		{"10 kkΩ", Ohm, ErrUnit},
		{"0.0005", Fraction, ErrUnit},
		{"5 k%", Fraction, ErrUnit},
		{strings.Repeat("1", 1000) + " Ω", Ohm, ErrNumber},
		{"1 Ω", Dimension(99), ErrUnit},
	} {
		if got, err := Parse(c.text, c.d); !errors.Is(err, c.err) {
			t.Errorf("Parse(%.20q) = %v, %v; want %v", c.text, got, err, c.err)
		}
	}
	_, err := Parse("10 kOhm", Ohm)
	if err == nil || !strings.Contains(err.Error(), `"kOhm"`) || !strings.Contains(err.Error(), "Ω, ohm or R") {
		t.Errorf("error %v does not name the unit and the known ones", err)
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
	} {
		if got := Format(c.v, c.d); got != c.want {
			t.Errorf("Format(%v) = %q; want %q", c.v, got, c.want)
		}
	}
}

// FuzzSI checks that what Parse reads, Format writes and Parse reads again, and that
// the value is the one nearest to the text by exact rational arithmetic.
func FuzzSI(f *testing.F) {
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
	number, unit := split(strings.TrimSpace(text))
	r, ok := new(big.Rat).SetString(strings.ReplaceAll(number, "\u2212", "-"))
	power, known := d.power(unit)
	if !ok || !known {
		return 0, false
	}
	ten := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(power, -power))), nil))
	if power < 0 {
		r.Quo(r, ten)
	} else {
		r.Mul(r, ten)
	}
	v, _ := r.Float64()
	return v, true
}
