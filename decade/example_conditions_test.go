// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"fmt"
	"log"
	"math/cmplx"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// newWarming is one dial of 1 kΩ steps of which everything about heat is stated.
func newWarming() *decade.Box {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{
		{Step: 1000, Law: thermal.NewLaw(23, 15e-6, 0), ThermalResistance: 60},
	}})
	if err != nil {
		log.Fatal(err)
	}
	return box
}

// What is left zero means reference conditions: 5 K more, and then 10 mA too.
func ExampleConditions() {
	s, _ := newWarming().At(1)
	warm, current := uncertainty.Exact(28), uncertainty.Exact(0.01)
	for _, c := range []decade.Conditions{{}, {Temperature: warm}, {Temperature: warm, Current: current}} {
		budget, err := uncertainty.Evaluate(s.ResistanceAt(c))
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.3f Ω\n", budget.Estimate)
	}
	// Output:
	// 1000.000 Ω
	// 1000.075 Ω
	// 1000.165 Ω
}

// Common practice, R·α·Rth·P worked by hand: 1 kΩ of 15 ppm/K and 60 K/W with 0.1 W.
func ExampleSetting_SelfHeating() {
	s, _ := newWarming().At(1)
	change, err := s.SelfHeating(0.01)
	fmt.Printf("%+.3f Ω %v\n", change, err)
	// Output:
	// +0.090 Ω <nil>
}

// Manganin with its parabola, worked by hand: 8·3.5 − 0.5·3.5² = 21.875 ppm.
func ExampleSetting_TemperatureChange() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1000, Law: thermal.NewLaw(23, 8e-6, -0.5e-6)}}})
	if err != nil {
		log.Fatal(err)
	}
	s, _ := box.At(1)
	change, err := s.TemperatureChange(26.5)
	fmt.Printf("%+.3f ppm %v\n", 1e6*change/s.Nominal(), err)
	// Output:
	// +21.875 ppm <nil>
}

// Common practice, −R/(R + leak): 10 GΩ of insulation across 1 MΩ and across 10 MΩ.
func ExampleSetting_Leakage() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1e6}}})
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range []int{1, 10} {
		s, _ := box.At(p)
		change, err := s.Leakage(10e9)
		fmt.Printf("%v MΩ: %.4g ppm %v\n", p, 1e6*change/s.Nominal(), err)
	}
	// Output:
	// 1 MΩ: -99.99 ppm <nil>
	// 10 MΩ: -999 ppm <nil>
}

// The insulation test of a box at 3 MΩ reads "more than 1 TΩ": −R²/(2·bound), with a
// standard uncertainty of R²/(√12·bound).
func ExampleSetting_LeakageOf() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1e6}}})
	if err != nil {
		log.Fatal(err)
	}
	s, _ := box.At(3)
	leak := uncertainty.Input("leakage conductance", decade.LeakAbove(1e12))
	change, err := uncertainty.Evaluate(s.LeakageOf(leak))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f Ω, standard uncertainty %.1f Ω\n", change.Estimate, change.StandardUncertainty)
	// Output:
	// -4.5 Ω, standard uncertainty 2.6 Ω
}

// More than 10 GΩ is any conductance from 0 to 100 pS, and 50 pS in the mean.
func ExampleLeakAbove() {
	leak, err := uncertainty.Evaluate(uncertainty.Input("leakage conductance", decade.LeakAbove(10e9)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f pS, standard uncertainty %.0f pS\n", 1e12*leak.Estimate, 1e12*leak.StandardUncertainty)
	// Output:
	// 50 pS, standard uncertainty 29 pS
}

// Common practice, worked by hand: 100 Ω with 0.3 µH and 8 pF at 100 kHz has a phase of
// ω·(L/R − R·C).
func ExampleSetting_Impedance() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 100, Inductance: 0.3e-6, Capacitance: 8e-12}}})
	if err != nil {
		log.Fatal(err)
	}
	s, _ := box.At(1)
	z, err := s.Impedance(100e3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("phase %.3f mrad, magnitude %+.1f ppm\n", 1e3*cmplx.Phase(z), 1e6*(cmplx.Abs(z)/100-1))
	// Output:
	// phase 1.382 mrad, magnitude +2.6 ppm
}

// Rev. Sci. Instrum. 95 (2023), new method for the time constant of resistors, abstract:
// 0.02 pF across 10 kΩ is 0.2 ns.
func ExampleSetting_TimeConstant() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 10e3, Capacitance: 0.02e-12}}})
	if err != nil {
		log.Fatal(err)
	}
	s, _ := box.At(1)
	tau, err := s.TimeConstant()
	fmt.Printf("%.1f ns %v\n", 1e9*tau, err)
	// Output:
	// -0.2 ns <nil>
}

// A time constant of 2.2 ns makes a phase of 1 mrad at 1 mrad/(2π·2.2 ns).
func ExampleSetting_UpperPhaseFrequency() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 100, Inductance: 0.3e-6, Capacitance: 8e-12}}})
	if err != nil {
		log.Fatal(err)
	}
	s, _ := box.At(1)
	f, err := s.UpperPhaseFrequency(0.001)
	fmt.Printf("%.1f kHz %v\n", f/1e3, err)
	// Output:
	// 72.3 kHz <nil>
}
