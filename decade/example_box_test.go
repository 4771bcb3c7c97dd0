// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"log"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// A used box with six dials, described by what its plate says.
func ExampleBox() {
	box, err := decade.New(decade.Spec{Name: "used box", Serial: "204", Residual: 0.03, Decades: []decade.Decade{
		{Step: 10e3, Tolerance: 0.0005}, {Step: 1e3, Tolerance: 0.0005}, {Step: 100, Tolerance: 0.0005},
		{Step: 10, Tolerance: 0.001}, {Step: 1, Tolerance: 0.005}, {Step: 0.1, Tolerance: 0.03},
	}})
	if err != nil {
		log.Fatal(err)
	}
	largest, err := box.Max()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s, serial %s: %d settings up to %.1f Ω\n", box.Name(), box.Serial(),
		box.NumSettings(), largest.Nominal())
	// Output:
	// used box, serial 204: 1771561 settings up to 111111.0 Ω
}

// What a plate states as per cent of the value and so many ohms, for the box as a whole.
func ExampleSpec() {
	box, err := decade.New(decade.Spec{
		Name: "two-term box", Residual: 0.02, ResidualTolerance: 0.005,
		Tolerance: 0.0005, Floor: 0.02, // ±(0.05 % + 20 mΩ) of the whole box
		Decades: []decade.Decade{{Step: 1000}, {Step: 100}, {Step: 10}},
	})
	if err != nil {
		log.Fatal(err)
	}
	s, _ := box.SettingFor(1230)
	fmt.Printf("1230 Ω ± %.3f Ω\n", s.ClassLimit())
	// Output:
	// 1230 Ω ± 0.635 Ω
}

// Errors are of one type, which names what was refused; the cause can be asked for.
func ExampleError() {
	_, err := newBench().At(1, 2, 3, 4, 12)
	if e, ok := errors.AsType[*decade.Error](err); ok {
		fmt.Println("refused by", e.Op, "for", e.Name, "- given", e.Value)
	}
	fmt.Println("no such position:", errors.Is(err, decade.ErrPosition))
	// Output:
	// refused by decade.Box.At for dial ×0.1 Ω - given 12
	// no such position: true
}

func ExampleBox_At() {
	box := newBench()
	s, err := box.At(1, 2, 3, 4, 5)
	fmt.Println(s.Nominal(), "Ω,", err)
	_, err = box.At(1, 2, 3)
	fmt.Println(err)
	// Output:
	// 1234.5 Ω, <nil>
	// decade.Box.At: positions: 3 positions; expected 5, one for each dial
}

// What the class of each dial comes to at its lowest step.
func ExampleBox_Decades() {
	for _, d := range newBench().Decades() {
		fmt.Printf("%-7s %g %% of one step: %g mΩ\n", d.Name, 100*d.Tolerance, 1e3*d.Tolerance*d.Step)
	}
	// Output:
	// ×1 kΩ   0.1 % of one step: 1000 mΩ
	// ×100 Ω  0.1 % of one step: 100 mΩ
	// ×10 Ω   0.1 % of one step: 10 mΩ
	// ×1 Ω    0.5 % of one step: 5 mΩ
	// ×0.1 Ω  5 % of one step: 5 mΩ
}

// The name under which a calibration keeps the third resistor of the ×100 dial.
func ExampleBox_ElementName() {
	fmt.Println(newBench().ElementName(1, 3))
	fmt.Println(decade.ResidualName)
	// Output:
	// ×100 Ω element 3
	// residual
}

// Without a law nothing can be said of a warm box.
func ExampleBox_HasTemperatureLaw() {
	manganin := thermal.NewLaw(20, 8e-6, -0.5e-6)
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 100, Law: manganin}, {Step: 10}}})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("manganin box:", box.HasTemperatureLaw(), "- bench box:", newBench().HasTemperatureLaw())
	// Output:
	// manganin box: true - bench box: false
}

// The temperature at which the values hold is that of the laws, unless it is stated.
func ExampleBox_ReferenceTemperature() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 100, Law: thermal.NewLaw(23, 15e-6, 0)}}})
	if err != nil {
		log.Fatal(err)
	}
	t, ok := box.ReferenceTemperature()
	fmt.Println(t, "°C", ok)
	_, ok = newBench().ReferenceTemperature()
	fmt.Println("bench box:", ok)
	// Output:
	// 23 °C true
	// bench box: false
}

// The largest setting, worst case at the terminals.
func ExampleBox_Max() {
	s, err := newBench().Max()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%v: %.0f Ω, at most %.3f Ω\n", s, s.Nominal(), s.Limits().Upper)
	// Output:
	// 10-10-10-10-10: 11111 Ω, at most 11122.225 Ω
}

func ExampleBox_Name() {
	fmt.Printf("%q\n", newBench().Name())
	// Output:
	// "bench box"
}

// The serial number tells two boxes of one description apart.
func ExampleBox_Serial() {
	for _, serial := range []string{"17", "18"} {
		box, err := decade.New(decade.Spec{Name: "bench box", Serial: serial, Decades: []decade.Decade{{Step: 10}}})
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(box.Name(), "no.", box.Serial())
	}
	// Output:
	// bench box no. 17
	// bench box no. 18
}

func ExampleBox_NumDecades() {
	box := newBench()
	for dial := range box.NumDecades() {
		s, _ := box.Zero().With(dial, 1)
		fmt.Print(s, " ")
	}
	fmt.Println()
	// Output:
	// 1-0-0-0-0 0-1-0-0-0 0-0-1-0-0 0-0-0-1-0 0-0-0-0-1
}

// A calibration of every element and the residual has so many values.
func ExampleBox_NumElements() {
	fmt.Println(newBench().NumElements()+1, "values")
	// Output:
	// 51 values
}

// Eleven positions on each of five dials.
func ExampleBox_NumSettings() {
	fmt.Println(newBench().NumSettings())
	// Output:
	// 161051
}

// Make a variant of a box: the same, stated with its residual included.
func ExampleBox_Spec() {
	spec := newBench().Spec()
	spec.Name, spec.ResidualIncluded = "variant", true
	box, err := decade.New(spec)
	if err != nil {
		log.Fatal(err)
	}
	s, _ := box.At(0, 0, 0, 0, 1)
	fmt.Println(box.Name(), "has", s.Value(), "Ω at the terminals at", s)
	// Output:
	// variant has 0.1 Ω at the terminals at 0-0-0-0-1
}

// A description is a part of a larger file like any other value.
func ExampleSpec_UnmarshalJSON() {
	var bench struct{ Box decade.Spec }
	err := json.Unmarshal([]byte(
		`{"Box": {"name": "tens", "decades": [{"step": "10 Ω", "tolerance": "0.1 %"}]}}`), &bench)
	fmt.Println(bench.Box.Name, bench.Box.Decades[0].Step, "Ω", bench.Box.Decades[0].Tolerance, err)
	// Output:
	// tens 10 Ω 0.001 <nil>
}

// All dials at zero: the residual is left.
func ExampleBox_Zero() {
	zero := newBench().Zero()
	fmt.Printf("%v: %v Ω nominal, %v Ω at the terminals\n", zero, zero.Nominal(), zero.Value())
	// Output:
	// 0-0-0-0-0: 0 Ω nominal, 0.02 Ω at the terminals
}

// Dials wound from one spool of wire change with temperature together: their ratio does not.
func ExampleDecade_spool() {
	dial := decade.Decade{Tolerance: 1e-3, AlphaTolerance: 10e-6, Spool: "wire 12"}
	big, small := dial, dial
	big.Step, small.Step = 1000, 100
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{big, small}, ReferenceTemperature: new(20.0)})
	if err != nil {
		log.Fatal(err)
	}
	x, _ := box.At(1, 0)
	y, _ := box.At(0, 10)
	warm := uncertainty.Exact(25)
	b, err := uncertainty.Evaluate(x.TemperatureChangeOf(warm).Sub(y.TemperatureChangeOf(warm)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("change of 1 kΩ less that of 10 × 100 Ω, 5 K warmer: 0 ± %.3g Ω\n", b.Expanded.U)
	// Output:
	// change of 1 kΩ less that of 10 × 100 Ω, 5 K warmer: 0 ± 0 Ω
}
