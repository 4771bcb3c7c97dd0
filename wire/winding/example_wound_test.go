// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/wire/winding"
)

// 10 Ω from 1.88 m of wire, 0.32 mm bare, on a rod of 10 mm: as a coil, folded, and
// reversed after each turn.
func ExampleWinding() {
	for _, c := range []winding.Construction{winding.PlainWinding, winding.BifilarWinding,
		winding.ReversedTurnsWinding} {
		w, err := winding.Winding{
			Construction: c, Former: winding.Cylinder(0.010, 0.040),
			Wire: winding.Wire{Bare: 0.32e-3, Covered: 0.36e-3}, Ohms: 10,
		}.WithWire(1.88)
		if err != nil {
			log.Fatal(err)
		}
		r, err := w.Residuals()
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: %.1f turns, %.2f µH, %.1f pF\n", c, r.Turns, r.L*1e6, r.C*1e12)
	}
	// Output:
	// plain: 57.8 turns, 13.63 µH, 0.1 pF
	// bifilar: 28.9 turns, 0.24 µH, 61.2 pF
	// reversed turns: 57.8 turns, 0.25 µH, 0.2 pF
}

// The time constant changes its sign where the capacitance of the pair takes over.
func ExampleWinding_Residuals() {
	w := winding.Winding{
		Construction: winding.BifilarWinding, Former: winding.Cylinder(0.020, 0.040),
		Wire: winding.Wire{Bare: 0.2e-3, Covered: 0.235e-3}, Turns: 50, Medium: 3,
	}
	for _, w.Ohms = range []float64{10, 100, 1000} { // of other alloys
		r, err := w.Residuals()
		if err != nil {
			log.Fatal(err)
		}
		tau, err := r.TimeConstant()
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%4g Ω: %+.1f ns\n", w.Ohms, tau*1e9)
	}
	// Output:
	// 10 Ω: +83.3 ns
	//  100 Ω: -19.3 ns
	// 1000 Ω: -278.0 ns
}

func ExampleWinding_WithWire() {
	w, err := winding.Winding{
		Construction: winding.BifilarWinding, Former: winding.Card(0.030, 0.001, 0.050),
		Wire: winding.Wire{Bare: 0.2e-3, Covered: 0.235e-3}, Ohms: 100,
	}.WithWire(7.3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f turns of the pair\n", w.Turns)
	// Output: 58.2 turns of the pair
}

// A woven strip of 40 runs, each 50 mm long.
func ExampleConstruction() {
	r, err := winding.Winding{
		Construction: winding.WovenWinding, Former: winding.Card(0.050, 0.001, 0.080),
		Wire: winding.Wire{Bare: 0.2e-3, Covered: 0.235e-3}, Turns: 40, Pitch: 1e-3, Ohms: 30,
	}.Residuals()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%v: %.2f m, %.2f µH\n", winding.WovenWinding, r.WireLength, r.L*1e6)
	// Output: woven: 2.00 m, 0.87 µH
}

var pair100 = winding.Winding{
	Construction: winding.BifilarWinding, Former: winding.Cylinder(0.020, 0.040),
	Wire:  winding.Wire{Bare: 0.2e-3, Covered: 0.235e-3, Resistivity: 0.43e-6},
	Turns: 55, Ohms: 100, Medium: 3,
}

func ExampleResiduals() {
	r, err := pair100.Residuals()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("L = %.2f µH ± %.0f %%, C = %.0f pF ± %.0f %%\n", r.L*1e6, r.InductanceWithin*100,
		r.C*1e12, r.CapacitanceWithin*100)
	// Output: L = 0.94 µH ± 2 %, C = 307 pF ± 10 %
}

func ExampleResiduals_TimeConstantLimits() {
	r, err := pair100.Residuals()
	if err != nil {
		log.Fatal(err)
	}
	tau, err := r.TimeConstantLimits()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f ns to %.1f ns\n", tau.Lower*1e9, tau.Upper*1e9)
	// Output: -24.5 ns to -18.0 ns
}

func ExampleResiduals_Impedance() {
	r, err := pair100.Residuals()
	if err != nil {
		log.Fatal(err)
	}
	for _, f := range []float64{1e4, 1e5, 1e6} {
		z, err := r.Impedance(f)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%7.0f Hz: |Z| %+.1f ppm, phase %+.2f mrad\n", f, z.Magnitude*1e6, z.Phase*1e3)
	}
	// Output:
	// 10000 Hz: |Z| -1.3 ppm, phase -1.34 mrad
	//  100000 Hz: |Z| -126.9 ppm, phase -13.37 mrad
	// 1000000 Hz: |Z| -12538.0 ppm, phase -132.67 mrad
}

func ExampleResiduals_FrequencyForMagnitude() {
	r, err := pair100.Residuals()
	if err != nil {
		log.Fatal(err)
	}
	f, err := r.FrequencyForMagnitude(0.001)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("0.1 %% up to %.1f MHz\n", f/1e6)
	// Output: 0.1 % up to 0.3 MHz
}

// The phase of a bifilar pair, as a line and with its capacitance lumped.
func ExampleResiduals_FrequencyForPhase() {
	r, err := pair100.Residuals()
	if err != nil {
		log.Fatal(err)
	}
	line, err := r.FrequencyForPhase(0.3)
	if err != nil {
		log.Fatal(err)
	}
	lumped, err := r.Equivalent.FrequencyForPhase(0.3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("0.3 rad at %.2f MHz, lumped %.2f MHz\n", line/1e6, lumped/1e6)
	// Output: 0.3 rad at 2.34 MHz, lumped 2.26 MHz
}

// Bulletin of the Bureau of Standards 8 (1912), the circles of the worked examples,
// from memory: 248.787 cm, that is nanohenries.
func ExampleCircles() {
	c := winding.Circles{Radius1: 0.25, Radius2: 0.20, Distance: 0.10}
	fmt.Println(c.Radius1-c.Radius2 < c.Distance)
	// Output: true
}

func ExampleCircles_MutualInductance() {
	m, err := winding.Circles{Radius1: 0.25, Radius2: 0.20, Distance: 0.10}.MutualInductance()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f nH\n", m*1e9)
	// Output: 248.787 nH
}

func ExampleFilaments() {
	near, err := winding.Filaments{Length1: 0.1, Length2: 0.1, Distance: 1e-3}.MutualInductance()
	if err != nil {
		log.Fatal(err)
	}
	far, err := winding.Filaments{Length1: 0.1, Length2: 0.1, Distance: 10e-3}.MutualInductance()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f nH, %.1f nH\n", near*1e9, far*1e9)
	// Output: 86.2 nH, 41.9 nH
}

func ExampleFilaments_MutualInductance() {
	m, err := winding.Filaments{Length1: 1, Length2: 0.5, Distance: 0.02}.MutualInductance()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f nH\n", m*1e9)
	// Output: 386.7 nH
}
