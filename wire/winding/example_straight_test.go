// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/winding"
)

// A resistor on leads of 0.5 mm, 5 cm of them in all: never less than some
// nanohenries for each centimetre.
func ExampleStraightInductance() {
	l, err := winding.StraightInductance(0.050, 0.5e-3, winding.LowFrequency)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f nH\n", l*1e9)
	// Output: 52.4 nH
}

// The same when the leads are cut to 50 ± 5 mm.
func ExampleStraightInductanceOf() {
	length := uncertainty.Input("length", uncertainty.Rectangular(0.050, 0.005))
	l := winding.StraightInductanceOf(length, uncertainty.Exact(0.5e-3), uncertainty.Exact(winding.LowFrequency))
	b, err := uncertainty.Evaluate(l.Scale(1e9))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f nH, u = %.1f nH\n", b.Estimate, b.StandardUncertainty)
	// Output: 52.4 nH, u = 3.6 nH
}

// Principles of Power System, chapter 9: two conductors of 1 cm radius 3 m apart,
// steel of µr = 100, have 122.8e-7 H/m.
func ExamplePairInductancePerMetre() {
	perMetre, err := winding.PairInductancePerMetre(3, 2*0.01, 100*winding.LowFrequency)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1fe-7 H/m\n", perMetre*1e7)
	// Output: 122.8e-7 H/m
}

// A close pair of 0.32 mm wires in enamel of 0.02 mm. At high frequency the current
// crowds to the near sides and leaves less than half of the inductance.
func ExampleClosePairInductancePerMetre() {
	crowded, err := winding.ClosePairInductancePerMetre(0.36e-3, 0.32e-3)
	if err != nil {
		log.Fatal(err)
	}
	even, err := winding.PairInductancePerMetre(0.36e-3, 0.32e-3, winding.LowFrequency)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f µH/m, at low frequency %.3f µH/m\n", crowded*1e6, even*1e6)
	// Output: 0.198 µH/m, at low frequency 0.424 µH/m
}

// A metre of two-wire lead: 1 mm wires, 2 mm between their middles.
func ExamplePair_Inductance() {
	l, err := winding.Pair{Length: 1, Spacing: 2e-3, Diameter: 1e-3, Internal: winding.LowFrequency}.Inductance()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f µH\n", l*1e6)
	// Output: 0.6539 µH
}

// Half a metre of a bifilar pair whose spacing enamel and tension leave open by
// 0.02 mm.
func ExamplePairOf_Inductance() {
	spacing := uncertainty.Input("spacing", uncertainty.Rectangular(0.30e-3, 0.02e-3))
	l := winding.PairOf{Length: uncertainty.Exact(0.5), Spacing: spacing,
		Diameter: uncertainty.Exact(0.24e-3),
		Internal: uncertainty.Exact(winding.LowFrequency)}.Inductance()
	b, err := uncertainty.Evaluate(l.Scale(1e9))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f nH, u = %.0f nH\n", b.Estimate, b.StandardUncertainty)
	// Output: 233 nH, u = 8 nH
}

// The handbook form, for comparison with a printed table: 0.03 % low for a metre of
// such a lead.
func ExamplePair_HandbookInductance() {
	short, err := winding.Pair{Length: 1, Spacing: 2e-3, Diameter: 1e-3,
		Internal: winding.LowFrequency}.HandbookInductance()
	if err != nil {
		log.Fatal(err)
	}
	full, err := winding.Pair{Length: 1, Spacing: 2e-3, Diameter: 1e-3, Internal: winding.LowFrequency}.Inductance()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f µH, %+.2f %%\n", short*1e6, (short/full-1)*100)
	// Output: 0.6537 µH, -0.03 %
}

// The same lead in air, and a rubber cord of it: capacitance goes with the
// permittivity.
func ExamplePair_Capacitance() {
	for _, permittivity := range []float64{1, 3} {
		c, err := winding.Pair{Length: 1, Spacing: 2e-3, Diameter: 1e-3}.Capacitance(permittivity)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("εr = %g: %.1f pF\n", permittivity, c*1e12)
	}
	// Output:
	// εr = 1: 21.1 pF
	// εr = 3: 63.4 pF
}

// Enamel and air share the space about a bifilar pair: εr lies between 1 and 4, and
// so the capacitance is hardly known before it is measured.
func ExamplePairOf_Capacitance() {
	permittivity := uncertainty.Input("εr", uncertainty.Between(1, 4))
	c := winding.PairOf{Length: uncertainty.Exact(0.94), Spacing: uncertainty.Exact(0.36e-3),
		Diameter: uncertainty.Exact(0.32e-3)}.Capacitance(permittivity)
	b, err := uncertainty.Evaluate(c.Scale(1e12))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f pF, u = %.0f pF\n", b.Estimate, b.StandardUncertainty)
	// Output: 132 pF, u = 46 pF
}
