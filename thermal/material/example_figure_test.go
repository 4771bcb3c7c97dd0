// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty"
)

// The figure that is followed, its source, and why it is followed.
func ExampleFigure() {
	platinum, err := material.Find("platinum")
	if err != nil {
		log.Fatal(err)
	}
	f := platinum.EMF
	fmt.Printf("%.1f µV/K, %s (%s): %s\n", f.Value*1e6, f.Document, f.Known, f.Reason)
	// Output: -5.9 µV/K, Handbook of Modern Sensors, Table A.11, p. 567 (seen): seen; the other value, -7 µV/K, is from memory
}

// Which figures of a metal still lack a document that was read.
func ExampleKnown() {
	for m := range material.All() {
		if m.EMF.Known == material.KnownMemory {
			fmt.Println(m.Name)
		}
	}
	// Output:
	// silver
	// nickel
	// lead
	// copper-manganese-tin
	// gold-chromium
	// nickel-chromium 80/20
	// nickel-chromium 60/15
}

func ExampleSource() {
	manganin, err := material.Find("manganin")
	if err != nil {
		log.Fatal(err)
	}
	s := manganin.Law.Range.Source
	fmt.Println(s.Known + ": " + material.Known(s.Reason))
	// Output: memory: 60 °C is advised for standards; the local coefficient printed for 100 °C, −42 ppm/K, is far from the parabola's −75
}

// An EMF of 0 is one that is stated; the density of brass solder is not.
func ExampleFigure_Stated() {
	copper, _ := material.Find("pure copper")
	solder, err := material.Find("solder")
	fmt.Println(copper.EMF.Value, copper.EMF.Stated(), solder.Density.Stated(), err)
	// Output: 0 true false <nil>
}

func ExampleFigure_HalfWidth() {
	lead, err := material.Find("lead")
	if err != nil {
		log.Fatal(err)
	}
	f := lead.ReferenceResistivity
	fmt.Printf("%.2f to %.2f: %.2f ± %.2f µΩ·m\n", f.Low*1e6, f.High*1e6, f.Value*1e6, f.HalfWidth()*1e6)
	// Output: 0.21 to 0.22: 0.22 ± 0.01 µΩ·m
}

func ExampleFigure_Input() {
	manganin, err := material.Find("manganin")
	if err != nil {
		log.Fatal(err)
	}
	rho := manganin.ReferenceResistivity.Input("spool 3 resistivity", "Ω·m")
	b, err := uncertainty.Evaluate(rho.Scale(1e6))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f µΩ·m, u = %.3f µΩ·m\n", b.Estimate, b.StandardUncertainty) // ±10 % over √3
	// Output: 0.43 µΩ·m, u = 0.025 µΩ·m
}

// The alloys published as 0 at 25 °C, and how far from it a spool may be: the candidates
// for a resistance that keeps still.
func ExampleLaw() {
	for m := range material.All() {
		if !m.Law.Stated() {
			continue
		}
		slope, err := m.Law.Exact().Slope(25)
		if err != nil {
			log.Fatal(err)
		}
		if slope == 0 && m.Law.Alpha.HalfWidth() > 0 {
			fmt.Printf("%s: ±%.0f ppm/K\n", m.Name, m.Law.Alpha.HalfWidth()*1e6)
		}
	}
	// Output:
	// manganin: ±15 ppm/K
	// manganin 84/12/4: ±15 ppm/K
	// constantan, stabilised: ±20 ppm/K
	// copper-manganese-tin: ±10 ppm/K
	// nickel-chromium-aluminium-copper: ±20 ppm/K
}

// A law never answers beyond the range that it was published for.
func ExampleLaw_Exact() {
	manganin, err := material.Find("manganin")
	if err != nil {
		log.Fatal(err)
	}
	law := manganin.Law.Exact()
	warm, err := law.Ratio(45)
	fmt.Printf("%.0f ppm %v\n", (warm-1)*1e6, err)
	_, err = law.Ratio(100)
	fmt.Println(err)
	// Output:
	// -200 ppm <nil>
	// thermal.Law.Ratio: temperature: 100; expected 0 to 60 °C, where the law holds
}

func ExampleLaw_Uncertain() {
	manganin, err := material.Find("manganin")
	if err != nil {
		log.Fatal(err)
	}
	spool := manganin.Law.Uncertain("spool 3") // once for a spool
	room := uncertainty.Input("room", uncertainty.Rectangular(23, 2))
	b, err := uncertainty.Evaluate(spool.RatioOf(room))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f ppm, u = %.0f ppm\n", (b.Estimate-1)*1e6, b.StandardUncertainty*1e6)
	// Output: -2 ppm, u = 17 ppm
}

func ExampleLaw_Stated() {
	bronze, err := material.Find("phosphor bronze")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(bronze.Law.Stated(), material.LawOf(thermal.NewLaw(20, 0, 0)).Stated())
	// Output: false true
}

func ExampleLawOf() {
	l := material.LawOf(thermal.NewLaw(23, 8e-6, 0).Within(18, 28))
	fmt.Println(l.Exact(), l.Range.Low, l.Range.High)
	// Output: 1 +8e-06 (t−23) 18 28
}

func ExampleRange() {
	for _, name := range []string{"copper", "nichrome", "Fe-Cr-Al"} {
		m, err := material.Find(name)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%s: %g to %g °C\n", m.Name, m.Law.Range.Low, m.Law.Range.High)
	}
	// Output:
	// copper: -50 to 200 °C
	// nickel-chromium 80/20: 0 to 300 °C
	// iron-chromium-aluminium 25/5: 0 to 200 °C
}
