// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	gonum "gonum.org/v1/gonum/unit"

	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/uncertainty/unit"
)

// The prefixes of the SI, and the powers of ten that they stand for.
func TestPublishedPrefixes(t *testing.T) {
	for _, c := range []struct{ name, symbol, printed string }{
		{"centi", "c", "1e-2"}, {"deci", "d", "1e-1"}, {"hecto", "h", "1e2"}, {"milli", "m", "1e-3"}, {"micro", "µ", "1e-6"},
		{"nano", "n", "1e-9"}, {"pico", "p", "1e-12"}, {"femto", "f", "1e-15"}, {"kilo", "k", "1e3"}, {"mega", "M", "1e6"},
		{"giga", "G", "1e9"}, {"tera", "T", "1e12"},
	} {
		u, err := unit.ParseUnit(c.symbol + "Pa")
		if err != nil {
			t.Error(err)
		}
		uncertaintytest.Published{
			Name: c.name, Source: "SI brochure, 9th edition (2019)", Place: "table 7", Printed: c.printed,
			Provenance: uncertaintytest.FromMemory,
		}.Run(t, u.Factor())
	}
}

// Units outside the SI, in coherent units.
func TestPublishedFactors(t *testing.T) {
	for _, c := range []struct{ symbol, place, printed string }{
		{"min", "table 8", "60"}, {"h", "table 8", "3600"}, {"d", "table 8", "86400"}, {"°", "table 8 (π/180)", "0.0174532925"},
		{"Ω·mm²/m", "table 4 and 7", "1e-6"}, {"g/cm³", "table 4 and 7", "1000"}, {"kW·h", "table 4 and 8", "3.6e6"},
	} {
		u, err := unit.ParseUnit(c.symbol)
		if err != nil {
			t.Error(err)
		}
		uncertaintytest.Published{
			Name: c.symbol, Source: "SI brochure, 9th edition (2019)", Place: c.place, Printed: c.printed,
			Provenance: uncertaintytest.FromMemory,
		}.Run(t, u.Factor())
	}
}

// A general-purpose library of units has the same dimensions and sizes (gonum/unit).
func TestUnitsAgainstGonum(t *testing.T) {
	for symbol, theirs := range map[string]gonum.Uniter{
		"s": gonum.Time(1), "m": gonum.Length(1), "g": gonum.Mass(1e-3), "A": gonum.Current(1), "K": gonum.Temperature(1),
		"mol": gonum.Mole(1), "cd": gonum.LuminousIntensity(1), "Hz": gonum.Frequency(1), "N": gonum.Force(1), "Pa": gonum.Pressure(1),
		"J": gonum.Energy(1), "W": gonum.Power(1), "C": gonum.Charge(1), "V": gonum.Voltage(1), "F": gonum.Capacitance(1),
		"Ω": gonum.Resistance(1), "S": gonum.Conductance(1), "Wb": gonum.MagneticFlux(1), "T": gonum.MagneticFluxDensity(1),
		"H": gonum.Inductance(1), "m²": gonum.Area(1), "m³": gonum.Volume(1),
	} {
		ours, err := unit.ParseUnit(symbol)
		if err != nil {
			t.Error(err)
			continue
		}
		if v := theirs.Unit().Value(); ours.Factor() != v {
			t.Errorf("%s is %v; want %v", symbol, ours.Factor(), v)
		}
		product, _ := unit.ParseUnit("1")
		for base, name := range map[gonum.Dimension]string{
			gonum.CurrentDim: "A", gonum.LengthDim: "m", gonum.LuminousIntensityDim: "cd", gonum.MassDim: "kg", gonum.MoleDim: "mol",
			gonum.TemperatureDim: "K", gonum.TimeDim: "s",
		} {
			b, _ := unit.ParseUnit(name)
			product = product.Mul(b.Pow(float64(theirs.Unit().Dimensions()[base])))
		}
		if !ours.SameKind(product) {
			t.Errorf("%s is not of the dimensions %v", symbol, theirs.Unit().Dimensions())
		}
	}
}

func TestParseUnitRefuses(t *testing.T) {
	for _, text := range []string{
		"", " ", "fathom", "H2", "m23", "mm2^2", "s2", "Ω ", " Ω", "m^x", "(V", "V)", "V//A", "/V", "m^99", "m^", "1·V", "V·1", "1 000", "cΩ", "hΩ", "m%", "((((((((((V))))))))))",
		strings.Repeat("m·", 60) + "m", "(Tm^9)^9^9", "(Tm^9)^-999",
	} {
		if u, err := unit.ParseUnit(text); !errors.Is(err, unit.ErrUnit) || !u.IsZero() {
			t.Errorf("%q is %v, error %v; want ErrUnit", text, u, err)
		}
	}
}

// What is not known stays so, and powers beyond all use are not known.
func TestUnknownUnits(t *testing.T) {
	var none unit.Unit
	ohm, _ := unit.ParseUnit("Ω")
	kilohm, _ := unit.ParseUnit("kΩ")
	for name, u := range map[string]unit.Unit{
		"product": none.Mul(ohm), "quotient": ohm.Div(none), "power": none.Pow(2), "huge": ohm.Pow(1e6), "NaN": ohm.Pow(math.NaN()),
		"large factor": kilohm.Pow(99).Pow(90), "dimension": unit.Dimension(99).Unit(),
	} {
		if !u.IsZero() || u.Factor() != 0 || u.Coherent() != "" || u.Equal(u) || u.SameKind(u) {
			t.Errorf("%s: %v; want the zero Unit", name, u)
		}
	}
	if root := kilohm.Pow(0.5); math.Abs(root.Factor()-math.Sqrt(1000)) > 1e-12 || !root.Pow(2).Equal(kilohm) {
		t.Errorf("root of kΩ is %v", root)
	}
	if root := kilohm.Pow(-0.5); math.Abs(root.Factor()-1/math.Sqrt(1000)) > 1e-15 {
		t.Errorf("root of 1/kΩ is %v", root)
	}
}

// Each dimension reads what it writes, whatever the size.
func TestEachDimension(t *testing.T) {
	for d := unit.Ohm; d <= unit.Radian; d++ {
		if d.Unit().IsZero() || d.Unit().Factor() != 1 || d.Expected() == "" {
			t.Errorf("dimension %d: unit %v, expected %q", d, d.Unit(), d.Expected())
		}
		for _, v := range []float64{0, 1, -1, 0.1, 99.95e-6, 1000, 1e-20, 1e20, math.Nextafter(1000, 0), 1.0 / 3} {
			text := unit.Format(v, d)
			if got, err := unit.Parse(text, d); err != nil || got != v {
				t.Errorf("%v is written %q and read %v, %v", v, text, got, err)
			}
		}
	}
}

func TestConvertRefuses(t *testing.T) {
	ohm, _ := unit.ParseUnit("Ω")
	minute, _ := unit.ParseUnit("min")
	year, _ := unit.ParseUnit("a")
	for _, c := range []struct {
		number   string
		from, to unit.Unit
		err      error
	}{
		{"1", ohm, minute, unit.ErrUnitMismatch},
		{"1", ohm, unit.Unit{}, unit.ErrUnitMismatch},
		{"1,5", ohm, ohm, unit.ErrSyntax},
		{"", ohm, ohm, unit.ErrSyntax},
		{"1e308", year, minute, unit.ErrRange},
		{"5e-324", minute, year, unit.ErrRange},
	} {
		if v, err := unit.Convert(c.number, c.from, c.to); !errors.Is(err, c.err) {
			t.Errorf("Convert(%q) = %v, %v; want %v", c.number, v, err, c.err)
		}
	}
	if v, err := unit.Convert("1e-400", minute, minute.Pow(1)); !errors.Is(err, unit.ErrRange) {
		t.Errorf("%v, %v; want ErrRange", v, err)
	}
}

// FuzzParseUnit checks that a unit that is read is the same as itself, and its inverse
// inverts it.
func FuzzParseUnit(f *testing.F) {
	f.Add("kg·m²/s³/A²") // products and powers
	f.Add("V/(A·(s))")   // parentheses
	f.Add("m^-")         // an exponent without digits
	f.Add("1 Ω")         // a blank within a number
	f.Fuzz(func(t *testing.T, text string) {
		u, err := unit.ParseUnit(text)
		if err != nil {
			return
		}
		number, _ := unit.ParseUnit("1")
		if !u.Equal(u) || !u.Div(u).Equal(number) || !(u.Factor() > 0) {
			t.Errorf("%q is %v", text, u)
		}
		if v, err := unit.Convert("12.5", u, u); err != nil || v != 12.5 {
			t.Errorf("12.5 %s is %v of the same, %v", text, v, err)
		}
	})
}

// Squares and cubes of lengths are often typed without a raised digit.
func TestPlainPowersOfLengths(t *testing.T) {
	for plain, raised := range map[string]string{"mm2": "mm²", "cm3": "cm³", "Ω·mm2/m": "Ω·mm²/m",
		"g/cm3": "g/cm³", "W/(m2·K)": "W/(m²·K)"} {
		u, err := unit.ParseUnit(plain)
		want, _ := unit.ParseUnit(raised)
		if err != nil || u != want {
			t.Errorf("%s: %v, %v; want %s", plain, u, err, raised)
		}
	}
	ohm, _ := unit.ParseUnit("mΩ")
	volt, _ := unit.ParseUnit("V")
	if _, err := unit.Convert("1", ohm, volt); err == nil ||
		!strings.Contains(err.Error(), "from a unit of the kind of Ω to a unit of the kind of V") {
		t.Errorf("mΩ to V: %v", err)
	}
}

// The circular mil of wire tables: 1 Ω·cmil/ft is 1.66243e-9 Ω·m (Lessons in Electric Circuits,
// vol. 1, seen).
func TestPublishedCircularMil(t *testing.T) {
	u, err := unit.ParseUnit("Ω·cmil/ft")
	if err != nil || math.Abs(u.Factor()-1.66243e-9) > 0.5e-14 {
		t.Errorf("Ω·cmil/ft = %v Ω·m, %v", u.Factor(), err)
	}
	if v, err := unit.Parse("290 Ω·cmil/ft", unit.OhmMetre); err != nil ||
		math.Abs(v-290*u.Factor()) > 1e-15*v {
		t.Errorf("290 Ω·cmil/ft = %v, %v", v, err)
	}
}
