// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// 10 µV in the leads of a resistor that is read at 1 mA; with the current
// reversed, the error turns its sign.
func ExampleEMFError() {
	forward, err := thermal.EMFError(10e-6, 1e-3)
	if err != nil {
		log.Fatal(err)
	}
	reversed, err := thermal.EMFError(10e-6, -1e-3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%+.0f mΩ, %+.0f mΩ\n", forward*1e3, reversed*1e3)
	// Output: +10 mΩ, -10 mΩ
}

// Leads left to themselves for a while: some EMF within ±3 µV, at a test current
// of 10 mA.
func ExampleEMFErrorOf() {
	emf := uncertainty.Input("EMF", uncertainty.Rectangular(0, 3e-6))
	b, err := uncertainty.Evaluate(thermal.EMFErrorOf(emf, uncertainty.Exact(10e-3)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("u = %.2f mΩ\n", b.StandardUncertainty*1e3) // 0.3 mΩ/√3
	// Output: u = 0.17 mΩ
}

// Three readings, +, −, +, of which the third tells a drift from an EMF that
// stays.
func ExampleCurrentReversal() {
	r, emf, err := thermal.CurrentReversal(0.001, 0.100021, -0.099983, 0.100025)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω, EMF %.1f µV\n", r, emf*1e6)
	// Output: 100.003 Ω, EMF 20.0 µV
}

// 10 Ω at 0.1 A, +1.0000032 V and −0.9999968 V. The EMF is in both readings and
// drops out of the resistance; the noise stays.
func ExampleCurrentReversalOf() {
	emf := uncertainty.Input("EMF", uncertainty.Rectangular(3.2e-6, 3e-6))
	plus := emf.Add(uncertainty.Input("noise +", uncertainty.Normal(1, 0.2e-6)))
	minus := emf.Add(uncertainty.Input("noise −", uncertainty.Normal(-1, 0.2e-6)))
	b, err := uncertainty.Evaluate(thermal.CurrentReversalOf(uncertainty.Exact(0.1), plus, minus))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.6f Ω, u = %.1f µΩ\n", b.Estimate, b.StandardUncertainty*1e6) // 0.2 µV/√2 over 0.1 A
	// Output: 10.000000 Ω, u = 1.4 µΩ
}

// A meter that can switch its current off but not around: 8 µV without current,
// 100.008 mV with 1 mA.
func ExampleOffsetCompensated() {
	r, err := thermal.OffsetCompensated(
		thermal.VoltageAtCurrent{Voltage: 8e-6, Current: 0},
		thermal.VoltageAtCurrent{Voltage: 100.008e-3, Current: 1e-3},
	)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω\n", r)
	// Output: 100.000 Ω
}

// The gain of the voltmeter stays in the result, its zero does not.
func ExampleOffsetCompensatedOf() {
	zero := uncertainty.Input("zero", uncertainty.Rectangular(0, 5e-6))
	gain := uncertainty.Input("gain", uncertainty.Normal(1, 20e-6))
	off := gain.Scale(8e-6).Add(zero)
	on := gain.Scale(100.008e-3).Add(zero)
	b, err := uncertainty.Evaluate(thermal.OffsetCompensatedOf(
		thermal.VoltageAtCurrentOf{Voltage: off, Current: uncertainty.Exact(0)},
		thermal.VoltageAtCurrentOf{Voltage: on, Current: uncertainty.Exact(1e-3)},
	))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω, u = %.3f Ω\n", b.Estimate, b.StandardUncertainty)
	// Output: 100.000 Ω, u = 0.002 Ω
}
