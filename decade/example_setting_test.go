// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"log"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// A setting is a small value: compare it, keep it as a key, change it into another one.
func ExampleSetting() {
	box := newBench()
	s, err := box.At(0, 2, 0, 0, 0)
	if err != nil {
		log.Fatal(err)
	}
	t, err := box.Zero().With(1, 2)
	if err != nil {
		log.Fatal(err)
	}
	read := map[decade.Setting]float64{s: 200.013}
	fmt.Println(s, "is", t, "-", s == t, "- it read", read[t], "Ω")
	// Output:
	// 0-2-0-0-0 is 0-2-0-0-0 - true - it read 200.013 Ω
}

func ExampleSetting_AllZero() {
	box := newBench()
	s, _ := box.SettingFor(0.1)
	fmt.Println(box.Zero().AllZero(), s.AllZero(), decade.Setting{}.AllZero())
	// Output:
	// true false false
}

func ExampleSetting_AppendText() {
	s, _ := newBench().SettingFor(470)
	line, err := s.AppendText([]byte("dials at "))
	fmt.Println(string(line), err)
	// Output:
	// dials at 0-4-7-0-0 <nil>
}

func ExampleSetting_Box() {
	s, _ := newBench().SettingFor(470)
	fmt.Println(s.Box().Name(), "-", decade.Setting{}.Box() == nil)
	// Output:
	// bench box - true
}

// One step more on the ×1 dial: the thousands are in both settings and drop out of the
// uncertainty, 0.5 % of 1 Ω as a rectangle is left.
func ExampleSetting_ChangeTo() {
	box := newBench()
	from, _ := box.At(1, 2, 3, 4, 5)
	to, _ := box.At(1, 2, 3, 5, 5)
	change, err := uncertainty.Evaluate(from.ChangeTo(to))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%+.3f Ω, standard uncertainty %.4f Ω\n", change.Estimate, change.StandardUncertainty)
	// Output:
	// +1.000 Ω, standard uncertainty 0.0029 Ω
}

// Open textbook-companion collection for electrical measurements, limiting error of a
// decade box at 4639 Ω: four dials of 0.1 %.
func ExampleSetting_ClassLimit() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{
		{Step: 1000, Tolerance: 0.001}, {Step: 100, Tolerance: 0.001}, {Step: 10, Tolerance: 0.001}, {Step: 1, Tolerance: 0.001},
	}})
	if err != nil {
		log.Fatal(err)
	}
	s, _ := box.SettingFor(4639)
	fmt.Printf("%v Ω ± %.3f Ω\n", s.Nominal(), s.ClassLimit())
	// Output:
	// 4639 Ω ± 4.639 Ω
}

// A contact is closed in every switch, at zero too: of ladders always five here.
// A dial of a code closes more or fewer contacts; a tapped one closes one.
func ExampleSetting_DialContacts() {
	box := newBench()
	s, _ := box.SettingFor(1)
	fmt.Println(s.DialContacts(0), s.DialContacts(9))
	// Output:
	// 1 0
}

func ExampleSetting_Contacts() {
	box := newBench()
	s, _ := box.SettingFor(1)
	fmt.Println(s.Contacts(), "contacts at", s, "and", box.Zero().Contacts(), "at zero")
	// Output:
	// 5 contacts at 0-0-0-1-0 and 5 at zero
}

// Which resistors the current goes through.
func ExampleSetting_Elements() {
	s, _ := newBench().SettingFor(210)
	for dial, element := range s.Elements() {
		fmt.Println(s.Box().ElementName(dial, element))
	}
	// Output:
	// ×100 Ω element 1
	// ×100 Ω element 2
	// ×10 Ω element 1
}

// The zero Setting says that there is none.
func ExampleSetting_IsValid() {
	var s decade.Setting
	fmt.Println(s, s.IsValid(), "-", newBench().Zero(), newBench().Zero().IsValid())
	// Output:
	// no setting false - 0-0-0-0-0 true
}

func ExampleSetting_MarshalText() {
	s, _ := newBench().SettingFor(1234.5)
	text, err := json.Marshal(map[string]any{"setting": s, "ohms": s.Nominal()})
	fmt.Println(string(text), err)
	// Output:
	// {"ohms":1234.5,"setting":"1-2-3-4-5"} <nil>
}

// Text does not say which box is meant: begin with a setting of it.
func ExampleSetting_UnmarshalText() {
	record := struct{ Setting decade.Setting }{newBench().Zero()}
	err := json.Unmarshal([]byte(`{"Setting": "0-0-3-3-0"}`), &record)
	fmt.Println(record.Setting.Nominal(), "Ω", err)
	// Output:
	// 33 Ω <nil>
}

// A setting prints as its positions with %v, and as its nominal value with %f, %g and %e.
func ExampleSetting_Format() {
	s, _ := newBench().SettingFor(470)
	fmt.Printf("%v is %.1f Ω\n", s, s)
	// Output:
	// 0-4-7-0-0 is 470.0 Ω
}

// From 999.9 Ω the next value is 1 kΩ, spelled with the highest dials.
func ExampleSetting_Next() {
	s, _ := newBench().At(0, 9, 9, 9, 9)
	next, err := s.Next()
	fmt.Println(next, next.Nominal(), "Ω", err)
	largest, _ := newBench().Max()
	_, err = largest.Next()
	fmt.Println(errors.Is(err, decade.ErrNoSetting))
	// Output:
	// 1-0-0-0-0 1000 Ω <nil>
	// true
}

// The sums of decimals come out as they are dialled, free of binary rounding.
func ExampleSetting_Nominal() {
	s, _ := newBench().At(0, 0, 0, 0, 3)
	step := 0.1
	fmt.Println(s.Nominal(), "Ω, where 3·0.1 in float64 is", 3*step)
	// Output:
	// 0.3 Ω, where 3·0.1 in float64 is 0.30000000000000004
}

// The same positions on a second box.
func ExampleSetting_On() {
	first, second := newBench(), newBench()
	s, _ := first.SettingFor(470)
	t, err := s.On(second)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(s, t, s == t, t.Box() == second)
	// Output:
	// 0-4-7-0-0 0-4-7-0-0 false true
}

// Dials are numbered from 0.
func ExampleSetting_Position() {
	s, _ := newBench().ParseSetting("1-2-3-4-5")
	fmt.Println(s.Position(0), s.Position(4), s.Position(5))
	// Output:
	// 1 5 -1
}

func ExampleSetting_Positions() {
	s, _ := newBench().SettingFor(106)
	for dial, p := range s.Positions() {
		fmt.Printf("%s at %d  ", s.Box().Decades()[dial].Name, p)
	}
	fmt.Println()
	// Output:
	// ×1 kΩ at 0  ×100 Ω at 1  ×10 Ω at 0  ×1 Ω at 6  ×0.1 Ω at 0
}

func ExampleSetting_Previous() {
	box := newBench()
	s, _ := box.SettingFor(1000)
	previous, err := s.Previous()
	fmt.Printf("%.1f Ω %v\n", previous.Nominal(), err)
	_, err = box.Zero().Previous()
	fmt.Println(err)
	// Output:
	// 999.9 Ω <nil>
	// decade.Setting.Previous: setting: 0 Ω (0-0-0-0-0) is the last on that side; expected a setting with another beyond it
}

// What is left at zero, in per cent of a setting of 10 Ω.
func ExampleBox_Residual() {
	r := newBench().Residual()
	fmt.Printf("%.0f mΩ to %.0f mΩ, up to %.2f %%\n", 1e3*r.Lower, 1e3*r.Upper, 100*r.Upper/10)
	// Output:
	// 15 mΩ to 25 mΩ, up to 0.25 %
}

// As a quantity for a calculation: two settings of one box share the errors of their
// dials. The ratio of 600 Ω to 300 Ω of one dial has no error but that of the residual.
func ExampleSetting_Resistance() {
	box := newBench()
	r6, _ := box.SettingFor(600)
	r3, _ := box.SettingFor(300)
	ratio, err := uncertainty.Evaluate(r6.Resistance().Div(r3.Resistance()))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.5f, relative uncertainty %.1f ppm\n", ratio.Estimate, 1e6*ratio.StandardUncertainty/ratio.Estimate)
	// Output:
	// 1.99993, relative uncertainty 4.8 ppm
}

// Two ranges on one switch: in the upper one there are no hundreds to add.
func ExampleSetting_Resolution() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{
		{Step: 1000, Positions: 9, Switch: "A"}, {Step: 100, Positions: 9, Switch: "A"},
	}})
	if err != nil {
		log.Fatal(err)
	}
	for _, ohms := range []float64{500, 1000, 2000} {
		s, _ := box.SettingFor(ohms)
		step, err := s.Resolution()
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(s, "resolves", step, "Ω")
	}
	// Output:
	// 0-5 resolves 100 Ω
	// 1-0 resolves 100 Ω
	// 2-0 resolves 1000 Ω
}

func ExampleSetting_String() {
	s, _ := newBench().SettingFor(1234.5)
	fmt.Println("reading at", s)
	// Output:
	// reading at 1-2-3-4-5
}

// The estimate at the terminals: in this box the residual comes on top.
func ExampleSetting_Value() {
	s, _ := newBench().SettingFor(0.1)
	fmt.Println("dialled", s.Nominal(), "Ω, at the terminals", s.Value(), "Ω")
	// Output:
	// dialled 0.1 Ω, at the terminals 0.12 Ω
}

// What can be read of a setting without a description of the box.
func ExampleParsePositions() {
	fmt.Println(decade.ParsePositions("4 – 6 – 3 – 10"))
	// Output: [4 6 3 10] <nil>
}
