// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/decade"
)

// newRated is the bench box with half a watt for every element.
func newRated() *decade.Box {
	spec := newBench().Spec()
	for i := range spec.Decades {
		spec.Decades[i].ElementPower = 0.5
	}
	box, err := decade.New(spec)
	if err != nil {
		log.Fatal(err)
	}
	return box
}

// Common practice, worked by hand: at 1234.5 Ω the 1 kΩ element limits the current to
// √(P/r) = 22.36 mA, so that the box bears I·R. Where that is above about 50 V, terminals
// are a danger to life.
func ExampleSetting_MaxVoltage() {
	s, _ := newRated().SettingFor(1234.5)
	v, limiting, err := s.MaxVoltage()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f V, limited by %s\n", v, limiting)
	// Output:
	// 27.6 V, limited by ×1 kΩ element 1
}

// Ten equal elements share the power evenly; at 1234.5 Ω (common practice, worked by hand)
// the 1 kΩ element takes most of it.
func ExampleSetting_MaxPower() {
	for _, ohms := range []float64{1000, 1234.5, 10000} {
		s, _ := newRated().SettingFor(ohms)
		p, _, err := s.MaxPower()
		fmt.Printf("%v Ω: %.3f W %v\n", ohms, p, err)
	}
	// Output:
	// 1000 Ω: 0.500 W <nil>
	// 1234.5 Ω: 0.617 W <nil>
	// 10000 Ω: 5.000 W <nil>
}

// 10 V behind 50 Ω, into a box at 100 Ω.
func ExampleSetting_Under() {
	s, _ := newRated().SettingFor(100)
	load, err := s.Under(decade.Supply{Voltage: 10, Series: 50})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mA, %.2f V, %.0f %% of the rating of %s\n", 1e3*load.Current, load.Voltage,
		100*load.Use, load.Limiting)
	// Output:
	// 66.7 mA, 6.67 V, 89 % of the rating of ×100 Ω element 1
}

// All dials at zero: what is in series limits the current, and no element takes part.
func ExampleLoad() {
	load, err := newRated().Zero().Under(decade.Supply{Voltage: 1.5, Series: 0.48})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f Ω: %.1f A, use %v\n", load.Resistance, load.Current, load.Use)
	// Output:
	// 0.02 Ω: 3.0 A, use 0
}

// Without the 50 Ω in series the element of 100 Ω takes 1 W, twice its rating.
func ExampleLoad_Overload() {
	s, _ := newRated().SettingFor(100)
	load, err := s.Under(decade.Supply{Voltage: 10})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f times the rating: %v\n", load.Use, load.Overload())
	// Output:
	// 2.00 times the rating: true
}

// Which resistor in series with 12 V protects a 10 Ω element of 0.5 W? It gets warm itself:
// 47 Ω takes 2 W here, and 3 W with all dials at zero.
func ExampleSupply() {
	s, _ := newRated().SettingFor(10)
	for _, series := range []float64{10, 33, 47} {
		load, err := s.Under(decade.Supply{Voltage: 12, Series: series})
		fmt.Printf("%v Ω: %.2f W in the box, overload %v %v\n", series, load.Power, load.Overload(), err)
	}
	// Output:
	// 10 Ω: 3.60 W in the box, overload true <nil>
	// 33 Ω: 0.78 W in the box, overload true <nil>
	// 47 Ω: 0.44 W in the box, overload false <nil>
}

// Turning the tens from 2 to 1 with switches that break before they make: between two
// positions the circuit is open, and an inductive load would kick.
func ExampleMoment() {
	box := newRated()
	from, _ := box.SettingFor(20)
	to, _ := box.SettingFor(10)
	p, err := from.Turn(to, decade.Supply{Voltage: 1, Series: 9.98}, decade.SwitchingBreakBeforeMake)
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range p.Moments {
		fmt.Printf("%v: %.2f Ω, %.1f mA, open %v\n", m.Setting, m.Resistance, 1e3*m.Current, m.Open())
	}
	// Output:
	// 0-0-2-0-0: 20.02 Ω, 33.3 mA, open false
	// 0-0-2-0-0: +Inf Ω, 0.0 mA, open true
	// 0-0-1-0-0: 10.02 Ω, 50.0 mA, open false
}

// The dial that is between two positions at the second moment is the third one.
func ExampleMoment_Between() {
	box := newRated()
	from, _ := box.SettingFor(10)
	to, _ := box.SettingFor(20)
	p, err := from.Turn(to, decade.Supply{}, decade.SwitchingMakeBeforeBreak)
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range p.Moments {
		fmt.Print(m.Between(), " ", m.Dial, "  ")
	}
	fmt.Println()
	// Output:
	// false -1  true 2  false -1
}

// A current source finds no path while a dial opens; a shorting switch keeps one.
func ExampleMoment_Open() {
	box := newRated()
	from, _ := box.SettingFor(10)
	to, _ := box.SettingFor(20)
	for _, how := range []decade.Switching{decade.SwitchingMakeBeforeBreak, decade.SwitchingBreakBeforeMake} {
		p, err := from.Turn(to, decade.Supply{}, how)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: %v\n", how, p.Moments[1].Open())
	}
	// Output:
	// make before break: false
	// break before make: true
}

// From 100 Ω to 99 Ω with the hundreds first: on the way only the residual is left.
func ExamplePassage() {
	box := newRated()
	from, _ := box.SettingFor(100)
	to, _ := box.SettingFor(99)
	p, err := from.Turn(to, decade.Supply{Voltage: 1.5, Series: 0.48}, decade.SwitchingMakeBeforeBreak)
	if err != nil {
		log.Fatal(err)
	}
	highest := p.Moments[p.Highest]
	fmt.Printf("up to %.1f A, at %.2f Ω\n", highest.Current, highest.Resistance)
	// Output:
	// up to 3.0 A, at 0.02 Ω
}

// From 1 kΩ to 900 Ω at 10 V: the first 100 Ω alone takes 1 W. Turn the source down
// before a dial is moved.
func ExamplePassage_Overloaded() {
	box := newRated()
	from, _ := box.SettingFor(1000)
	to, _ := box.SettingFor(900)
	p, err := from.Turn(to, decade.Supply{Voltage: 10}, decade.SwitchingMakeBeforeBreak)
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range p.Overloaded() {
		fmt.Printf("%v between positions %v: %.2f times the rating\n", m.Setting, m.Between(), m.Use)
	}
	// Output:
	// 0-1-0-0-0 between positions false: 2.00 times the rating
	// 0-1-0-0-0 between positions true: 2.00 times the rating
}

// A dial of 1-2-2-5 from 4 to 5, that is from the twos to the five: shorting, it passes
// 0 Ω, the other way 9 Ω.
func ExampleSwitching() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1, Code: decade.Code1225()}}})
	if err != nil {
		log.Fatal(err)
	}
	from, _ := box.At(4)
	to, _ := box.At(5)
	for _, how := range []decade.Switching{decade.SwitchingMakeBeforeBreak, decade.SwitchingBreakBeforeMake} {
		p, err := from.Turn(to, decade.Supply{}, how)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: 4 Ω, %v Ω, 5 Ω\n", how, p.Moments[1].Resistance)
	}
	// Output:
	// make before break: 4 Ω, 0 Ω, 5 Ω
	// break before make: 4 Ω, 9 Ω, 5 Ω
}
