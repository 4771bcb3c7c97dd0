// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// A step of a decade: its resistance cold, its law and the kelvins that a watt
// warms it by. What 0.25 W does to it in a room of 23 °C.
func ExampleElement() {
	step := thermal.Element{
		Resistance:        10e3,
		Law:               thermal.NewLaw(23, 10e-6, 0),
		ThermalResistance: 80,
	}
	p, err := step.Steady(23, thermal.Power(0.25))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f K above the room, %.1f Ω\n", p.Rise, p.Resistance) // 20 K × 10 ppm/K
	// Output: 20 K above the room, 10002.0 Ω
}

func ExampleElement_Steady() {
	step := thermal.Element{Resistance: 1000, Law: thermal.NewLaw(20, 15e-6, 0), ThermalResistance: 60}
	p, err := step.Steady(20, thermal.Current(0.010))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f K warmer, %+.0f ppm\n", p.Rise, (p.Resistance/1000-1)*1e6)

	wire := thermal.Element{Resistance: 1, Law: thermal.CopperConductor(), ThermalResistance: 100}
	_, err = wire.Steady(20, thermal.Current(2))
	fmt.Println(errors.Is(err, thermal.ErrRunaway))
	// Output:
	// 6.00 K warmer, +90 ppm
	// true
}

// All that is known of the steady state. At about 60 °C skin begins to burn.
func ExampleOperatingPoint() {
	step := thermal.Element{Resistance: 100, Law: thermal.NewLaw(20, 50e-6, 0), ThermalResistance: 100}
	p, err := step.Steady(20, thermal.Power(0.4))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%g W: %g K up to %g °C, %.1f Ω\n", p.Power, p.Rise, p.Temperature, p.Resistance)
	// Output: 0.4 W: 40 K up to 60 °C, 100.2 Ω
}

// The same half watt in 1 Ω, kept up three ways. With a coefficient above 0 a
// current warms it more than a voltage, since I²R grows and V²/R falls.
func ExampleDrive() {
	step := thermal.Element{Resistance: 1, Law: thermal.NewLaw(20, 500e-6, 0), ThermalResistance: 30}
	for _, d := range []thermal.Drive{thermal.Current(0.70711), thermal.Power(0.5), thermal.Voltage(0.70711)} {
		p, err := step.Steady(20, d)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.2f K\n", p.Rise)
	}
	// Output:
	// 15.11 K
	// 15.00 K
	// 14.89 K
}

// The usual 1 mA in a platinum sensor of 100 Ω, 20 K/W in its medium: 0.1 mW.
func ExampleCurrent() {
	sensor := thermal.Element{Resistance: 100, ThermalResistance: 20}
	p, err := sensor.Steady(23, thermal.Current(1e-3))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mW, %.0f mK\n", p.Power*1e3, p.Rise*1e3)
	// Output: 0.1 mW, 2 mK
}

// 10 V across a step of 1 kΩ whose coefficient is below 0: the power is a little
// more than V²/R of the cold resistance.
func ExampleVoltage() {
	step := thermal.Element{Resistance: 1000, Law: thermal.NewLaw(20, -80e-6, 0), ThermalResistance: 120}
	p, err := step.Steady(20, thermal.Voltage(10))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f mW, %.3f K\n", p.Power*1e3, p.Rise)
	// Output: 100.10 mW, 12.012 K
}

// How hot a step of 60 K/W gets at its rated half watt, in a cabinet of 40 °C.
// Above about 60 °C it can burn skin, insulation and its own calibration.
func ExamplePower() {
	step := thermal.Element{Resistance: 1000, ThermalResistance: 60}
	p, err := step.Steady(40, thermal.Power(0.5))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f °C\n", p.Temperature)
	// Output: 70 °C
}

// A standard of 0.02 ppm/K and 100 K/W is one of 2 ppm/W: at 50 mW it is 0.1 ppm off.
func ExampleElement_LoadCoefficient() {
	standard := thermal.Element{Resistance: 1, Law: thermal.NewLaw(20, 0.02e-6, 0), ThermalResistance: 100}
	c, err := standard.LoadCoefficient(20)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f ppm/W, %.1f ppm\n", c*1e6, c*0.05*1e6)
	// Output: 2.0 ppm/W, 0.1 ppm
}

// The test current that warms a step of 100 Ω by no more than 1 K.
func ExampleElement_CurrentForRise() {
	step := thermal.Element{Resistance: 100, Law: thermal.NewLaw(20, 15e-6, 0), ThermalResistance: 60}
	i, err := step.CurrentForRise(20, 1)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mA\n", i*1e3)
	// Output: 12.9 mA
}

// The kelvins per watt of a step are the worst known of all: here 60 ± 20, and
// with them the error by self-heating at 10 mA.
func ExampleUncertainElement() {
	step := thermal.UncertainElement{
		Resistance: uncertainty.Exact(1000),
		Law: thermal.UncertainLaw{Reference: 20,
			Alpha: uncertainty.Input("alpha", uncertainty.Normal(15e-6, 1e-6))},
		ThermalResistance: uncertainty.Input("K/W", uncertainty.Rectangular(60, 20)),
	}
	room := uncertainty.Exact(20)
	rise := step.RiseOf(room, uncertainty.Exact(0.010))
	b, err := uncertainty.Evaluate(step.Law.RatioOf(room.Add(rise)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f ppm, u = %.0f ppm\n", (b.Estimate-1)*1e6, b.StandardUncertainty*1e6)
	for _, c := range b.Components {
		fmt.Printf("%s: %.0f %%\n", c.Name, c.Share*100)
	}
	// Output:
	// 90 ppm, u = 18 ppm
	// K/W: 89 %
	// alpha: 11 %
}

func ExampleUncertainElement_RiseOf() {
	step := thermal.UncertainElement{
		Resistance:        uncertainty.Exact(1000),
		Law:               thermal.ExactLaw(thermal.NewLaw(20, 15e-6, 0)),
		ThermalResistance: uncertainty.Input("K/W", uncertainty.Rectangular(60, 20)),
	}
	room := uncertainty.Exact(20)
	rise := step.RiseOf(room, uncertainty.Exact(0.010))
	warm := step.Resistance.Mul(step.Law.RatioOf(room.Add(rise)))
	b, err := uncertainty.Evaluate(warm)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω, u = %.3f Ω\n", b.Estimate, b.StandardUncertainty)
	// Output: 1000.090 Ω, u = 0.017 Ω
}
