// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit

import (
	"errors"
	"strings"
	"testing"
)

// Every prefix and every spelling of a unit has its power of ten (SI brochure, table of
// the prefixes; ppm and ppb are parts in 10⁶ and 10⁹, common practice).
func TestPowersOfTen(t *testing.T) {
	for prefix, want := range map[string]float64{"p": 1e-12, "n": 1e-9, "µ": 1e-6, "m": 1e-3,
		"k": 1e3, "M": 1e6, "G": 1e9, "T": 1e12} {
		if got, err := Parse("1 "+prefix+"F", Farad); err != nil || got != want {
			t.Errorf("1 %sF = %v, %v; want %v F", prefix, got, err, want)
		}
	}
	for unit, want := range map[string]float64{"ppm/": 1e-6, "%/": 1e-2, "ppb/": 1e-9, "1/": 1} {
		for _, kelvin := range []string{"K", "°C"} {
			if got, err := Parse("1 "+unit+kelvin, PerKelvin); err != nil || got != want {
				t.Errorf("1 %s%s = %v, %v; want %v per kelvin", unit, kelvin, got, err, want)
			}
		}
		if unit == "%/" {
			continue
		}
		for _, squared := range []string{"K²", "K^2", "°C²"} {
			if got, err := Parse("1 "+unit+squared, PerKelvinSquared); err != nil || got != want {
				t.Errorf("1 %s%s = %v, %v; want %v per kelvin squared", unit, squared, got, err, want)
			}
		}
	}
	if got, err := Parse("1 ‰/K", PerKelvin); err != nil || got != 1e-3 {
		t.Errorf("1 ‰/K = %v, %v; want 0.001 per kelvin", got, err)
	}
}

// The first text that is too long, and the last that is not.
func TestLongestText(t *testing.T) {
	zeros := strings.Repeat("0", longest-len("1 Ω"))
	if got, err := Parse(zeros+"1 Ω", Ohm); err != nil || got != 1 {
		t.Errorf("%d bytes: %v, %v; want 1", longest, got, err)
	}
	if got, err := Parse("0"+zeros+"1 Ω", Ohm); !errors.Is(err, ErrSyntax) {
		t.Errorf("%d bytes: %v, %v; want ErrSyntax", longest+1, got, err)
	}
	if got, err := ParseNumber("1e+00003"); err != nil || got != 1000 {
		t.Errorf("exponent of six characters: %v, %v; want 1000", got, err)
	}
	if got, err := ParseNumber("1e+000003"); err != nil || got != 1000 {
		t.Errorf("exponent of seven characters: %v, %v; want 1000", got, err)
	}
	if got, err := ParseNumber("1e+0000003"); !errors.Is(err, ErrSyntax) {
		t.Errorf("exponent of eight characters: %v, %v; want ErrSyntax", got, err)
	}
	if got, err := ParseNumber("12345678901e3"); err != nil || got != 12345678901e3 {
		t.Errorf("eleven digits and an exponent: %v, %v; want 1.2345678901e13", got, err)
	}
}

func TestLetterEBesideTheNumber(t *testing.T) {
	for text, want := range map[string]error{
		"e5 Ω":  ErrSyntax, // begins with a letter
		"1e Ω":  ErrUnit,   // no digits follow, so that e belongs to the unit
		"1ee5Ω": ErrUnit,
		"e5":    ErrSyntax,
	} {
		if got, err := Parse(text, Ohm); !errors.Is(err, want) {
			t.Errorf("Parse(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"1e0 Ω", "1e00 Ω", "1e-0 Ω"} {
		if got, err := Parse(text, Ohm); err != nil || got != 1 {
			t.Errorf("Parse(%q) = %v, %v; want 1", text, got, err)
		}
	}
	if got, err := ParseNumber("e5"); !errors.Is(err, ErrSyntax) {
		t.Errorf(`ParseNumber("e5") = %v, %v; want ErrSyntax`, got, err)
	}
}

// The prefix goes by the digits that are written, and plain digits go from 10⁻⁷ to
// below 10²¹.
func TestFormatAtTheEdges(t *testing.T) {
	for _, c := range []struct {
		v    float64
		d    Dimension
		want string
	}{
		{999.96e3, Ohm, "999.96 kΩ"},
		{1e6, Ohm, "1 MΩ"},
		{99.96e-6, Volt, "99.96 µV"},
		{1e-7, PerKelvin, "0.1 ppm/K"},
		{1e-13, PerKelvin, "0.0000001 ppm/K"},
		{9e-14, PerKelvin, "9e-8 ppm/K"},
		{9e14, PerKelvin, "900000000000000000000 ppm/K"},
		{1e15, PerKelvin, "1e21 ppm/K"},
	} {
		if got := Format(c.v, c.d); got != c.want {
			t.Errorf("Format(%v) = %q; want %q", c.v, got, c.want)
		}
	}
	last := Radian
	if got := (last + 1).Expected(); got != "a known dimension" {
		t.Errorf("the dimension after the last expects %q; want none", got)
	}
	if got := Format(1.5, last+1); got != "1.5" {
		t.Errorf("Format in the dimension after the last: %q; want 1.5", got)
	}
}
