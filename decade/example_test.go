// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// newBench is the box of the examples: five dials, classes that widen downwards, 20 mΩ
// with all dials at zero.
func newBench() *decade.Box {
	box, err := decade.New(decade.Spec{
		Name: "bench box", Residual: 0.02, ResidualTolerance: 0.005,
		Decades: []decade.Decade{
			{Step: 1000, Tolerance: 0.001}, {Step: 100, Tolerance: 0.001}, {Step: 10, Tolerance: 0.001},
			{Step: 1, Tolerance: 0.005}, {Step: 0.1, Tolerance: 0.05},
		},
	})
	if err != nil {
		log.Fatal(err)
	}
	return box
}

// A box, a setting, and what is known about its resistance: the worst case, and the
// statistical combination as a budget.
func Example() {
	box := newBench()
	s, err := box.SettingFor(1234.5)
	if err != nil {
		log.Fatal(err)
	}
	limits := s.Limits()
	fmt.Printf("%v is %v Ω nominal, at the terminals %.3f Ω to %.3f Ω\n", s, s.Nominal(), limits.Lower, limits.Upper)

	budget, err := uncertainty.Evaluate(s.Resistance())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f Ω, standard uncertainty %.3f Ω\n", budget.Estimate, budget.StandardUncertainty)
	// Output:
	// 1-2-3-4-5 is 1234.5 Ω nominal, at the terminals 1233.240 Ω to 1235.800 Ω
	// 1234.52 Ω, standard uncertainty 0.589 Ω
}

func ExampleNew() {
	// Two ranges on one switch with a common zero.
	box, err := decade.New(decade.Spec{Name: "school box", Decades: []decade.Decade{
		{Step: 1000, Positions: 9, Tolerance: 0.001, Switch: "A"},
		{Step: 100, Positions: 9, Tolerance: 0.001, Switch: "A"},
		{Step: 10, Tolerance: 0.001},
	}})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(box.NumSettings(), "settings")
	_, err = box.At(1, 1, 0)
	fmt.Println(err)
	// Output:
	// 209 settings
	// decade.Box.At: dial ×100 Ω: position 1 while ×1 kΩ is at 1, both on switch "A"; expected at most one of them off zero
}

func ExampleNew_refused() {
	_, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1000, Tolerance: 5}}})
	fmt.Println(err)
	fmt.Println(errors.Is(err, decade.ErrDomain))
	// Output:
	// decade.New: decades[0]: tolerance: 5, that is 500 %; expected a fraction below 1 (0.0005 for 0.05 %)
	// true
}

func ExampleReadBox() {
	box, err := decade.ReadBox(strings.NewReader(`{
		"name": "bench box", "residual": "20 mΩ", "residualTolerance": "5 mΩ",
		"decades": [
			{"step": "1 kΩ", "tolerance": "0.05 %"},
			{"step": "100 Ω", "tolerance": "0.05 %", "code": "1-2-2-5"}
		]
	}`))
	if err != nil {
		log.Fatal(err)
	}
	for _, d := range box.Decades() {
		fmt.Println(d.Name, "0 to", d.Positions, "with", d.NumElements(), "elements")
	}
	// Output:
	// ×1 kΩ 0 to 10 with 10 elements
	// ×100 Ω 0 to 10 with 4 elements
}

func ExampleBox_MarshalJSON() {
	box, err := decade.New(decade.Spec{Name: "two dials", Decades: []decade.Decade{
		{Step: 10, Tolerance: 0.001}, {Step: 0.1, Tolerance: 0.05},
	}})
	if err != nil {
		log.Fatal(err)
	}
	text, err := json.MarshalIndent(box, "", "  ")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(string(text))
	// Output:
	// {
	//   "name": "two dials",
	//   "decades": [
	//     {
	//       "name": "×10 Ω",
	//       "step": "10 Ω",
	//       "positions": 10,
	//       "tolerance": "0.1 %"
	//     },
	//     {
	//       "name": "×0.1 Ω",
	//       "step": "0.1 Ω",
	//       "positions": 10,
	//       "tolerance": "5 %"
	//     }
	//   ]
	// }
}

func ExampleBox_ParseSetting() {
	box := newBench()
	s, err := box.ParseSetting("1-0-3-10-5")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(s.Nominal(), s.Positions())
	_, err = box.ParseSetting("1-0-3-11-5")
	fmt.Println(err)
	// Output:
	// 1040.5 [1 0 3 10 5]
	// decade.Box.ParseSetting: dial ×1 Ω: position 11; expected 0 to 10
}

func ExampleBox_SettingFor() {
	box := newBench()
	s, err := box.SettingFor(0.3)
	fmt.Println(s, err)
	_, err = box.SettingFor(114.57)
	fmt.Println(err)
	// Output:
	// 0-0-0-0-3 <nil>
	// decade.Box.SettingFor: ohms: 114.57 Ω; expected the nominal value of a setting, such as 114.5 Ω (0-1-1-4-5) or 114.6 Ω (0-1-1-4-6)
}

// Dials that reach 10 spell a value in several ways.
func ExampleBox_SettingsFor() {
	for s, err := range newBench().SettingsFor(context.Background(), 1000) {
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%-12v ± %.3f Ω\n", s, s.ClassLimit())
	}
	// Output:
	// 1-0-0-0-0    ± 1.000 Ω
	// 0-10-0-0-0   ± 1.000 Ω
	// 0-9-10-0-0   ± 1.000 Ω
	// 0-9-9-10-0   ± 1.040 Ω
	// 0-9-9-9-10   ± 1.085 Ω
}

// A platinum thermometer of 100 Ω has 114.575 Ω at 37.5 °C.
func ExampleBox_Nearest() {
	s, err := newBench().Nearest(114.575)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(s, s.Nominal())
	// Output:
	// 0-1-1-4-6 114.6
}

func ExampleBox_Settings() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 10, Positions: 2}, {Step: 1, Positions: 2}}})
	if err != nil {
		log.Fatal(err)
	}
	for s := range box.Settings() {
		fmt.Print(s, " ")
	}
	fmt.Println()
	// Output:
	// 0-0 0-1 0-2 1-0 1-1 1-2 2-0 2-1 2-2
}

func ExampleSetting_With() {
	box := newBench()
	s, err := box.Zero().With(2, 7)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(s, s.Nominal(), s.AllZero(), box.Zero().AllZero())
	// Output:
	// 0-0-7-0-0 70 false true
}

// Limits of a box that is stated including, or excluding, its residual.
func ExampleSetting_Limits() {
	for _, included := range []bool{false, true} {
		box, err := decade.New(decade.Spec{
			Residual: 0.02, ResidualTolerance: 0.005, ResidualIncluded: included,
			Decades: []decade.Decade{{Step: 10, Tolerance: 0.001}},
		})
		if err != nil {
			log.Fatal(err)
		}
		s, err := box.At(5)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println("included:", included, s.Nominal(), s.Limits(), "at zero", box.Zero().Limits())
	}
	// Output:
	// included: false 50 [49.965, 50.075] at zero [0.015, 0.025]
	// included: true 50 [49.95, 50.05] at zero [0.015, 0.025]
}

// The two-number class 0.05/4e-6 of a box that ends at 99 999.9 Ω: 54 mΩ at 100 Ω.
func ExampleTwoNumberClass() {
	tolerance, floor, err := decade.TwoNumberClass(0.05, 4e-6, 99999.9)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f Ω\n", tolerance*100+floor)
	// Output:
	// 0.0540 Ω
}

// What a warm room does to a box of manganin, with the coefficient known to ±2 ppm/K.
func ExampleSetting_TemperatureChangeOf() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{
		{Step: 1000, Law: thermal.NewLaw(20, 8e-6, -0.5e-6), AlphaTolerance: 2e-6},
	}})
	if err != nil {
		log.Fatal(err)
	}
	s, err := box.At(10)
	if err != nil {
		log.Fatal(err)
	}
	t := uncertainty.Input("box temperature", uncertainty.Rectangular(26, 0.5))
	budget, err := uncertainty.Evaluate(s.TemperatureChangeOf(t))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%+.3f Ω, standard uncertainty %.3f Ω\n", budget.Estimate, budget.StandardUncertainty)
	// Output:
	// +0.300 Ω, standard uncertainty 0.070 Ω
}

// A dial with four resistors: which are in circuit, and how many contacts are closed.
func ExampleCode1225() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1, Code: decade.Code1225()}}})
	if err != nil {
		log.Fatal(err)
	}
	d := box.Decades()[0]
	for p := range d.Positions + 1 {
		s, err := box.At(p)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(p, d.InCircuit(p), s.Contacts())
	}
	// Output:
	// 0 [] 4
	// 1 [1] 3
	// 2 [2] 3
	// 3 [1 2] 2
	// 4 [2 3] 2
	// 5 [4] 3
	// 6 [1 4] 2
	// 7 [2 4] 2
	// 8 [1 2 4] 1
	// 9 [2 3 4] 1
	// 10 [1 2 3 4] 0
}
