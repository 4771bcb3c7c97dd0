// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/wire"
)

// 0.5 mm in the three grades of enamel.
func ExampleCovering() {
	g, err := wire.ParseGauge("0.5 mm")
	if err != nil {
		log.Fatal(err)
	}
	for _, c := range []wire.Covering{wire.CoveringGrade1, wire.CoveringGrade2, wire.CoveringGrade3} {
		d, err := c.Diameter(g)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: %.3f mm to %.3f mm\n", c, d.Least*1e3, d.Greatest*1e3)
	}
	// Output:
	// enamel grade 1: 0.524 mm to 0.544 mm
	// enamel grade 2: 0.545 mm to 0.566 mm
	// enamel grade 3: 0.567 mm to 0.587 mm
}

// The wire of an old standard: 36 B&S, double silk.
func ExampleCovering_Diameter() {
	g, err := wire.ParseGauge("36 B&S")
	if err != nil {
		log.Fatal(err)
	}
	d, err := wire.CoveringDoubleSilk.Diameter(g)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mil\n", d.Middle()/25.4e-6)
	// Output: 9.2 mil
}

func ExampleParseCovering() {
	c, err := wire.ParseCovering("enamel grade 2")
	fmt.Println(c == wire.CoveringGrade2, err)
	_, err = wire.ParseCovering("varnish")
	fmt.Println(err)
	// Output:
	// true <nil>
	// wire.ParseCovering: covering: "varnish"; expected one of bare, enamel grade 1, enamel grade 2, enamel grade 3, single film, heavy film, single silk, double silk, single cotton, double cotton
}

// A size between those of the table says so.
func ExampleCovered() {
	g, err := wire.ParseGauge("30 SWG")
	if err != nil {
		log.Fatal(err)
	}
	d, err := wire.CoveringGrade1.Diameter(g)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f mm to %.3f mm, interpolated: %t\n", d.Least*1e3, d.Greatest*1e3, d.Interpolated)
	// Output: 0.334 mm to 0.349 mm, interpolated: false
}

func ExampleCovered_Middle() {
	fmt.Printf("%.4f mm\n", wire.Covered{Least: 0.117e-3, Greatest: 0.125e-3}.Middle()*1e3)
	// Output: 0.1210 mm
}

// A bobbin 10 mm wide and 4 mm deep, filled with 0.1 mm in grade 2.
func ExampleWindow() {
	f, err := wire.Window{Width: 10e-3, Height: 4e-3}.Fill(0.1e-3, 0.121e-3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f turns in %.0f layers, %.0f %% of it metal\n", f.Turns, f.Layers, f.Metal*100)
	// Output: 2706 turns in 33 layers, 53 % of it metal
}

func ExampleWindow_Fill() {
	_, err := wire.Window{Width: 10e-3, Height: 4e-3}.Fill(5e-3, 5.2e-3)
	fmt.Println(err)
	// Output: wire.Window.Fill: covered: 0.0052; expected a wire that goes into the window
}

// What a thicker covering costs: metal in the window.
func ExampleFill() {
	w := wire.Window{Width: 10e-3, Height: 4e-3}
	for _, covered := range []float64{0.117e-3, 0.125e-3, 0.205e-3} {
		f, err := w.Fill(0.1e-3, covered)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.3f mm: %.0f %%\n", covered*1e3, f.Metal*100)
	}
	// Output:
	// 0.117 mm: 57 %
	// 0.125 mm: 50 %
	// 0.205 mm: 18 %
}

// How much resistance of manganin goes into a cubic centimetre.
func ExampleResistancePerVolume() {
	for _, mm := range []float64{0.05, 0.1, 0.2} {
		r, err := wire.ResistancePerVolume(0.43e-6, mm*1e-3, mm*1.2e-3)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%g mm: %.0f Ω\n", mm, r*1e-6)
	}
	// Output:
	// 0.05 mm: 60833 Ω
	// 0.1 mm: 3802 Ω
	// 0.2 mm: 238 Ω
}

// The lead of a meter: flexible, 1 mm², tinned, at most.
func ExampleCableSection() {
	c := wire.CableSection{Section: 1e-6, Class: wire.ClassFlexible, Metal: wire.MetalTinnedCopper}
	r, err := c.MaxResistance()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mΩ a metre\n", r*1e3)
	// Output: 20.0 mΩ a metre
}

func ExampleCableSection_MaxResistance() {
	_, err := wire.CableSection{Section: 2e-6, Class: wire.ClassSolid}.MaxResistance()
	fmt.Println(err)
	// Output: wire.CableSection.MaxResistance: Section: "2 mm²"; expected a section of class 1, copper; CableSections lists them
}

func ExampleCableSections() {
	n := 0
	for a := range wire.CableSections(wire.ClassFlexible, wire.MetalCopper) {
		if a < 5e-6 {
			fmt.Printf("%g ", a*1e6)
		}
		n++
	}
	fmt.Println("…", n, "in all")
	// Output: 0.5 0.75 1 1.5 2.5 4 … 19 in all
}

func ExampleConductorClass() {
	fmt.Println(wire.ClassSolid, wire.ClassStranded, wire.ClassFlexible, wire.ClassVeryFlexible)
	// Output: 1 2 5 6
}

func ExampleConductorMetal() {
	fmt.Println(wire.MetalCopper, "-", wire.MetalTinnedCopper, "-", wire.MetalAluminium)
	// Output: copper - tinned copper - aluminium
}

var cord = wire.Stranded{
	Wire:    wire.Conductor{Material: own(1.7241e-8), Gauge: mustGauge("0.2 mm")},
	Strands: 32, Lay: 0.02, Tin: 1e-6,
}

func mustGauge(text string) wire.Gauge {
	g, err := wire.ParseGauge(text)
	if err != nil {
		log.Fatal(err)
	}
	return g
}

// 32 × 0.2 mm, tinned and laid up: inside the limit of 1 mm², class 5.
func ExampleStranded() {
	r, err := cord.PerMetre(20)
	if err != nil {
		log.Fatal(err)
	}
	limit, err := wire.CableSection{Section: 1e-6, Class: wire.ClassFlexible,
		Metal: wire.MetalTinnedCopper}.MaxResistance()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f mΩ/m, limit %.1f mΩ/m\n", r*1e3, limit*1e3)
	// Output: 17.79 mΩ/m, limit 20.0 mΩ/m
}

func ExampleStranded_PerMetre() {
	plain := cord
	plain.Tin = 0
	a, err := cord.PerMetre(20)
	if err != nil {
		log.Fatal(err)
	}
	b, err := plain.PerMetre(20)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("1 µm of tin: %+.1f %%\n", (a/b-1)*100)
	// Output: 1 µm of tin: +1.7 %
}

func ExampleStranded_Area() {
	a, err := cord.Area()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f mm²\n", a*1e6)
	// Output: 1.005 mm²
}

func ExampleStranded_Diameter() {
	seven := wire.Stranded{Wire: cord.Wire, Strands: 7}
	d, err := seven.Diameter()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mm\n", d*1e3)
	// Output: 0.6 mm
}

// The wire that 2 A melt, by the old rule. No working current.
func ExampleFusingDiameter() {
	d, err := wire.FusingDiameter(wire.FusingCopper, 2)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f inch, %.3f mm\n", d/0.0254, d*1e3)
	// Output: 0.0034 inch, 0.085 mm
}
