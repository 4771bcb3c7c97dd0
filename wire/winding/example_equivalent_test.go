// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"log"
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/winding"
)

// A resistor of 100 Ω with the 0.3 µH of its winding and the 8 pF of its terminals:
// the phase angle at 100 kHz is 2π × 100 kHz × τ.
func ExampleEquivalent() {
	r := winding.Equivalent{R: 100, L: 0.3e-6, C: 8e-12}
	tau, err := r.TimeConstant()
	if err != nil {
		log.Fatal(err)
	}
	z, err := r.Impedance(100e3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("τ = %.1f ns, phase %.3f mrad\n", tau*1e9, z.Phase*1e3)
	// Output: τ = 2.2 ns, phase 1.382 mrad
}

// Low resistances are inductive, high ones capacitive: the same 2 µH and 30 pF
// about three resistances.
func ExampleEquivalent_TimeConstant() {
	for _, ohms := range []float64{10, 258, 10e3} {
		tau, err := winding.Equivalent{R: ohms, L: 2e-6, C: 30e-12}.TimeConstant()
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%5g Ω: %+4.0f ns\n", ohms, tau*1e9)
	}
	// Output:
	//    10 Ω: +200 ns
	//   258 Ω:   +0 ns
	// 10000 Ω: -300 ns
}

// Rev. Sci. Instrum. 95 (2023), abstract: 0.02 pF of self-capacitance left open at
// 10 kΩ are 0.2 ns of time constant.
func ExampleTimeConstantOf() {
	c := uncertainty.Input("C", uncertainty.Normal(1e-12, 0.02e-12))
	tau := winding.TimeConstantOf(uncertainty.Exact(10e3), uncertainty.Exact(0), c)
	b, err := uncertainty.Evaluate(tau.Scale(1e9))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f ns, u = %.1f ns\n", b.Estimate, b.StandardUncertainty)
	// Output: -10.0 ns, u = 0.2 ns
}

// What an AC bridge sees of 100 Ω at 100 kHz: both the magnitude and the series
// resistance are up by some ppm, though direct current finds 100 Ω.
func ExampleEquivalent_Impedance() {
	z, err := winding.Equivalent{R: 100, L: 0.5e-6, C: 30e-12}.Impedance(100e3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("|Z| %+.2f ppm, series resistance %+.2f ppm\n", z.Magnitude*1e6, z.Resistance*1e6)
	// Output: |Z| +9.08 ppm, series resistance +8.29 ppm
}

// A kilohm at 100 kHz, capacitive: magnitude, phase and series resistance depart
// from the direct-current value each in its own way.
func ExampleImpedance() {
	z, err := winding.Equivalent{R: 1000, L: 2e-6, C: 30e-12}.Impedance(100e3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("Z = %.2f Ω\n", z.Z)
	fmt.Printf("%.0f ppm, %.2f mrad, Re Z %.0f ppm\n", z.Magnitude*1e6, z.Phase*1e3, z.Resistance*1e6)
	// Output:
	// Z = (999.69-17.59i) Ω
	// -153 ppm, -17.59 mrad, Re Z -308 ppm
}

func ExampleEquivalent_FrequencyForMagnitude() {
	e := winding.Equivalent{R: 100e3, C: 8e-12}
	f, err := e.FrequencyForMagnitude(0.001)
	fmt.Printf("0.1 %% at %.1f kHz %v\n", f/1e3, err)
	// Output: 0.1 % at 8.9 kHz <nil>
}

// Up to where a resistor of 2.2 ns keeps its angle within 1 mrad: 0.001/(2π τ).
func ExampleEquivalent_FrequencyForPhase() {
	f, err := winding.Equivalent{R: 100, L: 0.3e-6, C: 8e-12}.FrequencyForPhase(1e-3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f kHz\n", f/1e3)
	// Output: 72.3 kHz
}

// A small capacitor across an inductive kilohm takes its angle away, L/R².
func ExampleEquivalent_CapacitanceForZeroTimeConstant() {
	c, err := winding.Equivalent{R: 1000, L: 2e-6}.CapacitanceForZeroTimeConstant()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f pF\n", c*1e12)
	// Output: 2.00 pF
}

// More of it keeps the magnitude flat instead. How little of 0.1 mH is left at 10 kHz.
func ExampleEquivalent_CapacitanceForFlatMagnitude() {
	coil := winding.Equivalent{R: 1000, L: 100e-6}
	c, err := coil.CapacitanceForFlatMagnitude()
	if err != nil {
		log.Fatal(err)
	}
	before, _ := coil.Impedance(10e3)
	coil.C = c
	after, _ := coil.Impedance(10e3)
	fmt.Printf("%.0f pF: %.1f ppm in place of %.1f ppm\n", c*1e12, math.Abs(after.Magnitude*1e6), before.Magnitude*1e6)
	// Output: 241 pF: 0.0 ppm in place of 19.7 ppm
}

// A folded resistor: what the fold leaves of the inductance, and what it brings in capacitance.
func ExampleLine() {
	const length, spacing, wire = 0.94, 0.36e-3, 0.32e-3 // half of the wire; middle to middle; bare
	inductance, _ := winding.Pair{Length: length, Spacing: spacing, Diameter: wire,
		Internal: winding.LowFrequency}.Inductance()
	capacitance, _ := winding.Pair{Length: length, Spacing: spacing, Diameter: wire}.Capacitance(3)
	line := winding.Line{R: 10, L: inductance, C: capacitance}
	tau, err := line.TimeConstant()
	fmt.Printf("%.2f µH, %.0f pF, τ %.0f ns %v\n", inductance*1e6, capacitance*1e12, tau*1e9, err)
	// Output: 0.40 µH, 158 pF, τ 39 ns <nil>
}

// A folded kilohm: 1 µH makes +1 ns, a third of 100 pF makes −33.3 ns.
func ExampleLine_TimeConstant() {
	tau, err := winding.Line{R: 1000, L: 1e-6, C: 100e-12}.TimeConstant()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f ns\n", tau*1e9)
	// Output: -32.3 ns
}

// The three-element circuit to write on the label of a folded resistor.
func ExampleLine_Lumped() {
	e := winding.Line{R: 1000, L: 1e-6, C: 100e-12}.Lumped()
	fmt.Printf("%g Ω, %.1f µH, %.1f pF\n", e.R, e.L*1e6, e.C*1e12)
	// Output: 1000 Ω, 1.0 µH, 33.3 pF
}

// 10 kΩ folded, at 1 kHz. The effective inductance is X/ω = −6.7 mH: a capacitor.
func ExampleLine_Impedance() {
	z, err := winding.Line{R: 10e3, L: 3e-6, C: 200e-12}.Impedance(1e3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mH, resistance %.1f ppm\n", imag(z.Z)/(2*math.Pi*1e3)*1e3, z.Resistance*1e6)
	// Output: -6.7 mH, resistance -21.0 ppm
}
