// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"fmt"
	"log"
	"math"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/wire"
)

// A kilohm of 0.1 mm wire, of two alloys.
func ExampleConductor() {
	thin, err := wire.Metric(0.1e-3)
	if err != nil {
		log.Fatal(err)
	}
	for _, name := range []string{"manganin", "nickel-chromium 80/20"} {
		m, err := material.Find(name)
		if err != nil {
			log.Fatal(err)
		}
		length, err := wire.Conductor{Material: m, Gauge: thin}.Length(1000, 20)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%s: %.1f m\n", name, length)
	}
	// Output:
	// manganin: 18.3 m
	// nickel-chromium 80/20: 7.2 m
}

// 100 Ω of constantan, and where to cut: 2 % longer, for the joints and for
// trimming down (common practice).
func ExampleConductor_Length() {
	constantan, _ := material.Find("constantan")
	g, _ := wire.ParseGauge("0.2 mm")
	l, err := wire.Conductor{Material: constantan, Gauge: g}.Length(100, 20)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f m, cut %.2f m\n", l, 1.02*l)
	// Output: 6.41 m, cut 6.54 m
}

// Traditional wire tables print 0.9989, 6.385 and 25.67 Ω for 1000 ft of copper
// at 20 °C.
func ExampleConductor_PerMetre() {
	copper, _ := material.Find("copper")
	for _, n := range []int{10, 18, 24} {
		g, _ := wire.AWG(n)
		r, err := wire.Conductor{Material: copper, Gauge: g}.PerMetre(20)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: %.4g Ω\n", g, r*304.8)
	}
	// Output:
	// 10 AWG: 0.9989 Ω
	// 18 AWG: 6.385 Ω
	// 24 AWG: 25.67 Ω
}

// OpenStax University Physics vol. 2, Resistivity and Resistance, gold wire: 25 m of
// 0.1 mm at 150 °C have 112 Ω. The resistivity and the coefficient are the book's.
func ExampleConductor_Resistance() {
	gold := material.New("gold", 2.44e-8, 20, thermal.NewLaw(20, 0.0034, 0))
	thin, err := wire.Metric(0.1e-3)
	if err != nil {
		log.Fatal(err)
	}
	r, err := wire.Conductor{Material: gold, Gauge: thin}.Resistance(25, 150)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f Ω\n", r)
	// Output: 112 Ω
}

// What is left on a spool, by the kitchen scales: the mass of 100 m of 0.5 mm
// copper, without the enamel and the spool.
func ExampleConductor_Mass() {
	copper, _ := material.Find("copper")
	g, _ := wire.ParseGauge("0.5 mm")
	kg, err := wire.Conductor{Material: copper, Gauge: g}.Mass(100)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f g\n", kg*1e3)
	// Output: 175 g
}

func ExampleBar_Resistance() {
	copper, _ := material.Find("copper")
	r, err := wire.Bar{Length: 0.025, Width: 0.010, Thickness: 0.0008}.Resistance(copper, 23)
	fmt.Printf("%.0f µΩ %v\n", r*1e6, err)
	// Output: 55 µΩ <nil>
}

// Go and return leads of a two-wire measurement.
func ExampleLeadResistance() {
	copper, _ := material.Find("copper")
	g, _ := wire.ParseGauge("18 AWG")
	r, err := wire.LeadResistance(wire.Conductor{Material: copper, Gauge: g}, 1.2, 23)
	fmt.Printf("%.1f mΩ %v\n", r*1e3, err)
	// Output: 50.9 mΩ <nil>
}

// Lessons in Electric Circuits vol. 1, chapter 12: 2300 ft of copper, 10.09 Ω·cmil/ft,
// may have 0.2 Ω. 116035 circular mils are needed, more than 1/0 AWG has, so 2/0 it is.
func ExampleSectionFor() {
	copper := material.New("copper of 1900", 10.09*material.OhmCircularMilPerFoot, 20, thermal.Law{})
	area, err := wire.SectionFor(copper, 0.2, 2300*0.3048, 20)
	if err != nil {
		log.Fatal(err)
	}
	const circularMil = math.Pi / 4 * 25.4e-6 * 25.4e-6
	fmt.Printf("%.0f cmil, %.1f mm²\n", area/circularMil, area*1e6)
	// Output: 116035 cmil, 58.8 mm²
}

// Preece's table of fusing currents: copper of 0.0021, 0.0098 and 0.0457 inch melts at
// 1, 10 and 100 A. These are no working currents; fuses and wiring go by local codes.
func ExampleFusingCurrent() {
	for _, inch := range []float64{0.0021, 0.0098, 0.0457} {
		i, err := wire.FusingCurrent(wire.FusingCopper, inch*0.0254)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.4f inch: melts near %.0f A\n", inch, i)
	}
	// Output:
	// 0.0021 inch: melts near 1 A
	// 0.0098 inch: melts near 10 A
	// 0.0457 inch: melts near 100 A
}

// A shunt link of copper: 20 mm of it, 10 mm wide and 1 mm thick, is about 34 µΩ.
func ExampleBar() {
	copper, err := material.Find("copper")
	if err != nil {
		log.Fatal(err)
	}
	link := wire.Bar{Length: 0.020, Width: 0.010, Thickness: 0.001}
	r, err := link.Resistance(copper, 20)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f µΩ\n", r*1e6)
	// Output: 34.5 µΩ
}
