// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package unit_test

import (
	"errors"
	"fmt"

	"example.com/ohmwright/uncertainty/unit"
)

// Every file and flag of this module takes these spellings.
func ExampleParse() {
	for _, text := range []string{"10.1 kΩ", "10.1 kOhm", "10100 R", "10,1 kΩ"} {
		ohms, err := unit.Parse(text, unit.Ohm)
		fmt.Println(ohms, err)
	}
	// Output:
	// 10100 <nil>
	// 10100 <nil>
	// 10100 <nil>
	// 0 unit.Parse: "10,1 kΩ": a decimal comma; expected a decimal point: "10.1 kΩ"
}

func ExampleFormat() {
	fmt.Println(unit.Format(0.02, unit.Ohm))
	fmt.Println(unit.Format(8e-6, unit.PerKelvin))
	fmt.Println(unit.Format(17.241e-9, unit.OhmMetre))
	// Output:
	// 20 mΩ
	// 8 ppm/K
	// 17.241 nΩ·m
}

func ExampleParseNumber() {
	fmt.Println(unit.ParseNumber("1e-3"))
	_, err := unit.ParseNumber("0,1")
	fmt.Println(err)
	// Output:
	// 0.001 <nil>
	// unit.ParseNumber: "0,1": a decimal comma; expected a decimal point: "0.1"
}

func ExampleSplit() {
	number, symbol, err := unit.Split("-0.5 ppm/K²")
	fmt.Printf("%q %q %v\n", number, symbol, err)
	// Output: "-0.5" "ppm/K²" <nil>
}

// The decimal point moves in the text, so that nothing is rounded twice.
func ExampleConvert() {
	milliohm, _ := unit.ParseUnit("mΩ")
	fmt.Println(unit.Convert("12.1", milliohm, unit.Ohm.Unit()))
	hour, _ := unit.ParseUnit("h")
	fmt.Println(unit.Convert("0.1", hour, unit.Second.Unit()))
	// Output:
	// 0.0121 <nil>
	// 360 <nil>
}

func ExampleParseUnit() {
	u, err := unit.ParseUnit("kg·m²/s³/A²")
	fmt.Println(u.Coherent(), u.Factor(), err)
	_, err = unit.ParseUnit("cΩ")
	fmt.Println(err)
	// Output:
	// Ω 1 <nil>
	// unit.ParseUnit: unknown unit "cΩ"; prefix c goes with m, g and Pa alone
}

func ExampleUnit() {
	a, _ := unit.ParseUnit("V/A")
	b, _ := unit.ParseUnit("Ω")
	fmt.Println(a.Equal(b))
	// Output: true
}

func ExampleUnit_IsZero() {
	u, err := unit.ParseUnit("fathom")
	fmt.Println(u.IsZero(), errors.Is(err, unit.ErrUnit))
	// Output: true true
}

func ExampleUnit_Factor() {
	u, _ := unit.ParseUnit("g/cm³")
	fmt.Println(u.Factor(), "kg/m³")
	// Output: 1000 kg/m³
}

func ExampleUnit_SameKind() {
	kilohm, _ := unit.ParseUnit("kΩ")
	volt, _ := unit.ParseUnit("V")
	fmt.Println(kilohm.SameKind(unit.Ohm.Unit()), volt.SameKind(unit.Ohm.Unit()))
	// Output: true false
}

// Figures in ohms and kilohms do not add as they stand.
func ExampleUnit_Equal() {
	kilohm, _ := unit.ParseUnit("kΩ")
	fmt.Println(kilohm.Equal(unit.Ohm.Unit()))
	// Output: false
}

func ExampleUnit_Mul() {
	fmt.Println(unit.Volt.Unit().Mul(unit.Ampere.Unit()).Coherent())
	// Output: W
}

func ExampleUnit_Div() {
	fmt.Println(unit.Volt.Unit().Div(unit.Ampere.Unit()).Coherent())
	// Output: Ω
}

func ExampleUnit_Pow() {
	square := unit.Volt.Unit().Pow(2).Div(unit.Ohm.Unit())
	fmt.Println(square.Coherent())
	// Output: W
}

func ExampleUnit_Coherent() {
	u, _ := unit.ParseUnit("mV/µA")
	fmt.Println(u.Factor(), u.Coherent())
	// Output: 1000 Ω
}

func ExampleDimension() {
	rho, err := unit.Parse("1.7241 µΩ·cm", unit.OhmMetre)
	fmt.Println(rho, err)
	// Output: 1.7241e-08 <nil>
}

func ExampleDimension_Unit() {
	u, _ := unit.ParseUnit("g/cm³")
	fmt.Println(u.SameKind(unit.KilogramPerCubicMetre.Unit()))
	// Output: true
}

func ExampleDimension_Expected() {
	fmt.Println(unit.PerKelvin.Expected())
	// Output: ppm/K, %/K, ppb/K or 1/K (also per °C)
}

// What a person with a file reads: the operation is of no use to them.
func ExampleWithoutOp() {
	_, err := unit.Parse("10", unit.Ohm)
	err = &unit.Error{Op: "bench.Standard", Name: "value", Err: err}
	fmt.Println(err)
	fmt.Println(unit.WithoutOp(err))
	// Output:
	// bench.Standard: value: unit.Parse: "10": no unit; expected Ω, ohm or R with a prefix of f p n µ m k M G T or none
	// value: "10": no unit; expected Ω, ohm or R with a prefix of f p n µ m k M G T or none
}

func ExampleCause() {
	_, err := unit.Parse("10", unit.Ohm)
	fmt.Println("reference resistor:", unit.Cause(err))
	// Output: reference resistor: "10": no unit; expected Ω, ohm or R with a prefix of f p n µ m k M G T or none
}

// Messages count what they speak of.
func ExampleCounted() {
	for n := range 3 {
		fmt.Println(unit.Counted(n, "setting conforms", "settings conform"))
	}
	// Output:
	// 0 settings conform
	// 1 setting conforms
	// 2 settings conform
}

// No interval covers everything: a probability below 1 is never printed as 100 %.
func ExamplePercent() {
	for _, p := range []float64{0.95, 0.9545, 0.999999, 1} {
		fmt.Println(unit.Percent(p), "%")
	}
	// Output:
	// 95 %
	// 95.45 %
	// 99.9999 %
	// 100 %
}
