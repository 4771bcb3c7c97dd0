// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/wire/winding"
)

// 100 Ω of manganin, wound two per cent high and not yet baked.
func ExampleTrimWork() {
	w := winding.TrimWork{Reading: 102, Target: 100, PerMetre: 28, Ageing: 0.01, Within: 1e-4, Power: 0.5}
	steps, err := w.Steps()
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range steps {
		fmt.Printf("%v, %.3f Ω to %.3f Ω: %s\n", s.Operation, s.From, s.Aim, s.Text)
	}
	// Output:
	// coarse, 102.000 Ω to 101.030 Ω: take off 34.6 mm of wire
	// anneal, 101.030 Ω to 100.525 Ω: bake, cool, measure: it may fall by up to 1 %; if it is then more than 0.5 % high, take off wire again
	// fine, 100.525 Ω to 99.999 Ω: put 19.1 kΩ across it; 18.78 kΩ to 19.52 kΩ would do; it must take 2.6 mW at 7.07 V
}

// Baked and measured, the resistor wants one pad.
func ExampleTrimWork_Steps() {
	steps, err := winding.TrimWork{Reading: 1003.1, Target: 1000, PerMetre: 54, Within: 5e-5, Series: winding.E24}.Steps()
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range steps {
		fmt.Println(s.Text)
	}
	// Output: put 330 kΩ across it, the nearest of E24, and be +60 ppm off, or make up 318.4 kΩ to 328.9 kΩ
}

func ExampleTrimStep() {
	steps, err := winding.TrimWork{Reading: 10.02, Target: 10, PerMetre: 2.7, Within: 2e-4, Power: 0.5}.Steps()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f Ω with %.1f mW\n", steps[0].Pad.Added, steps[0].PadPower*1e3)
	// Output: 4990 Ω with 1.0 mW
}

func ExampleTrimOperation() {
	fmt.Println(winding.TrimCoarse, winding.TrimAnneal, winding.TrimFine)
	// Output: coarse anneal fine
}

// A pad of a third of a per cent bears a third of a per cent of the power.
func ExampleTrim_Power() {
	t, err := winding.Padded(1003, 330e3)
	if err != nil {
		log.Fatal(err)
	}
	part, pad, err := t.Power(0.5)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mW and %.2f mW\n", part*1e3, pad*1e3)
	// Output: 498.5 mW and 1.52 mW
}

// What a film resistor of 100 ppm/K does as a pad, from 20 °C to 30 °C.
func ExampleTrim_Drift() {
	t, err := winding.Padded(1003, 330e3)
	if err != nil {
		log.Fatal(err)
	}
	manganin := thermal.NewLaw(25, 0, -0.5e-6)
	alone, err := t.Drift(manganin, manganin, 20, 30)
	if err != nil {
		log.Fatal(err)
	}
	padded, err := t.Drift(manganin, thermal.NewLaw(20, 100e-6, 0), 20, 30)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%+.2f ppm, with the pad %+.2f ppm\n", alone*1e6, padded*1e6)
	// Output: +0.00 ppm, with the pad +3.03 ppm
}

// A copper coil and a manganin coil.
func ExampleAgreementTemperature() {
	copper := winding.Sample{Ohms: 100, Law: thermal.NewLaw(20, 0.00393, 0)}
	manganin := winding.Sample{Ohms: 101, Law: thermal.NewLaw(25, 0, -0.5e-6)}
	t, err := winding.AgreementTemperature(copper, manganin)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f °C\n", t)
	// Output: 22.54 °C
}

func ExampleSample() {
	s := winding.Sample{Ohms: 100, Law: thermal.NewLaw(20, 0.00393, 0)}
	r, err := s.Law.Ratio(30)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f Ω\n", s.Ohms*r)
	// Output: 103.93 Ω
}
