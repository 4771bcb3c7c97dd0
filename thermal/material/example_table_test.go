// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material_test

import (
	"errors"
	"fmt"
	"log"
	"strings"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty"
)

import ()

func ExampleFind() {
	m, err := material.Find("Nichrome")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s (%s): %.2f µΩ·m\n", m.Name, m.Composition, m.ReferenceResistivity.Value*1e6)
	_, err = material.Find("mangannin")
	fmt.Println(err)
	// Output:
	// nickel-chromium 80/20 (Ni 80 Cr 20): 1.09 µΩ·m
	// material.Find: name: unknown material "mangannin"; did you mean "manganin"?
}

// What there is of high resistivity, 1 µΩ·m and above.
func ExampleAll() {
	for m := range material.All() {
		if m.ReferenceResistivity.Value >= 1e-6 {
			fmt.Printf("%s: %.2f µΩ·m\n", m.Name, m.ReferenceResistivity.Value*1e6)
		}
	}
	// Output:
	// nickel-chromium 80/20: 1.09 µΩ·m
	// nickel-chromium 60/15: 1.11 µΩ·m
	// nickel-chromium-aluminium-copper: 1.33 µΩ·m
	// iron-chromium-aluminium 25/5: 1.42 µΩ·m
	// iron-chromium-aluminium 23/5: 1.35 µΩ·m
	// iron-chromium-aluminium 20/5: 1.37 µΩ·m
}

// The materials to build a low-EMF circuit of: at most 1 µV/K against copper in either
// direction, by a source that was read.
func ExampleMaterial() {
	const limit = 1e-6
	for m := range material.All() {
		e, err := m.ThermalEMF()
		if err == nil && m.EMF.Known == material.KnownSeen && e.Low >= -limit && e.High <= limit {
			fmt.Printf("%s: %+.1f to %+.1f µV/K\n", m.Name, e.Low*1e6, e.High*1e6)
		}
	}
	// Output:
	// copper: -0.3 to +0.3 µV/K
	// gold: +0.1 to +0.1 µV/K
	// manganin: -1.0 to +1.0 µV/K
	// manganin 84/12/4: -1.0 to +1.0 µV/K
	// cadmium-tin solder: -0.2 to +0.2 µV/K
}

// A material of your own, by the certificate of a spool.
func ExampleNew() {
	m := material.New("spool 3", 0.478e-6, 20, thermal.NewLaw(20, 4e-6, -0.5e-6))
	rho, err := m.Resistivity(25)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.6f µΩ·m\n", rho*1e6) // 1 + 20 ppm − 12.5 ppm
	// Output: 0.478004 µΩ·m
}

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
	var s material.Source = manganin.Law.Range.Source
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

// Tin-lead solder or cadmium-tin solder at a joint that is warmer by 2 K. Cadmium is
// poisonous: such solder is for old instruments that have it.
func ExampleMaterial_ThermalEMF() {
	for _, name := range []string{"tin-lead solder", "cadmium-tin solder"} {
		m, err := material.Find(name)
		if err != nil {
			log.Fatal(err)
		}
		e, err := m.ThermalEMF()
		if err != nil {
			log.Fatal(err)
		}
		v, err := e.Largest(2)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%s: up to %.1f µV\n", name, v*1e6)
	}
	// Output:
	// tin-lead solder: up to 10.0 µV
	// cadmium-tin solder: up to 0.4 µV
}

// How far sources differ about the EMF of manganin against copper.
func ExamplePublished_ThermalEMF() {
	for p := range material.PublishedValues("manganin") {
		if e, ok := p.ThermalEMF(); ok {
			fmt.Printf("%+.0f to %+.0f µV/K: %s (%s)\n", e.Low*1e6, e.High*1e6, p.Source, p.Known)
		}
	}
	// Output:
	// -1 to +1 µV/K: Great Soviet Encyclopedia, 3rd ed. (seen)
	// -2 to -1 µV/K: general handbook knowledge, no document seen (memory)
	// -3 to +3 µV/K: ASTM B267, wire for use in wire-wound resistors (memory)
}

// What else is printed about the resistivity of manganin.
func ExamplePublishedValues() {
	for p := range material.PublishedValues("manganin") {
		if p.Known == "seen" && p.Resistivity != "" {
			fmt.Println(p.Resistivity, "at", p.ResistivityAt, "°C:", p.Source)
		}
	}
	// Output:
	// 4.6678e-7 at 0 °C: Encyclopaedia Britannica, 11th ed., vol. 6 (1910), Conduction, Electric
	// 4.821e-7 at 20 °C: Lessons in Electric Circuits vol. 1, chapter 12 (open text)
	// 4.820e-7 at 20 °C: OpenStax University Physics vol. 2, Resistivity and Resistance
	// 4.4e-7 at 20 °C: OpenStax College Physics, section 20.3
	// 4.7e-7 at 20 °C: Great Soviet Encyclopedia, 3rd ed.
	// 4.35e-7 at 20 °C: course table of an Austrian technical school
	// 4.4e-7 at 20 °C: CRC Handbook of Chemistry and Physics, older edition, wire table of manganin
}

// One line for one source, digits as printed; what it does not say is empty. Apart are
// the lines about another brass.
func ExamplePublished() {
	for p := range material.PublishedValues("brass 70/30") {
		if p.Resistivity == "" || p.Apart != "" {
			continue
		}
		fmt.Printf("%s Ω·m, density %q (%s)\n", p.Resistivity, p.Density, p.Known)
	}
	// Output:
	// 6.08e-8 Ω·m, density "" (seen)
	// 6.158e-8 Ω·m, density "" (seen)
	// 6.16e-8 Ω·m, density "8530" (seen)
}

// The zero Table is the one of this package.
func ExampleTable() {
	var t material.Table
	m, err := t.Find("Cu")
	fmt.Println(m.Name, err)
	// Output: copper <nil>
}

func ExampleTable_Find() {
	_, err := material.Table{}.Find("spool 3")
	fmt.Println(errors.Is(err, material.ErrUnknown), err)
	// Output: true material.Table.Find: name: unknown material "spool 3"; expected a name of the table
}

// What has no resistivity in the table: solders and the like, here for their EMF.
func ExampleTable_All() {
	for m := range (material.Table{}).All() {
		if !m.ReferenceResistivity.Stated() {
			fmt.Println(m.Name)
		}
	}
	// Output:
	// copper-manganese-aluminium
	// beryllium copper
	// tin-lead solder
	// cadmium-tin solder
	// copper oxide
	// iron-nickel-cobalt sealing alloy
	// silicon
}

// A property that nobody published is asked for by name.
func ExampleError() {
	bronze, _ := material.Find("phosphor bronze")
	_, err := bronze.Resistivity(30)
	if e, ok := errors.AsType[*material.Error](err); ok {
		fmt.Println(e.Op, e.Name, e.Value, errors.Is(err, material.ErrNotStated))
	}
	fmt.Println(err)
	// Output:
	// material.Material.Resistivity phosphor bronze <nil> true
	// material.Material.Resistivity: phosphor bronze: temperature law not stated; expected one
}

// A spool with a certificate, from a file, beside the table of the package.
func ExampleRead() {
	text := `{"materials": [{
	  "name": "spool 3",
	  "resistivity": {"value": "0.434 µΩ·m", "low": "0.430 µΩ·m", "high": "0.438 µΩ·m", "source": "certificate 2291"},
	  "referenceTemperature": "20 °C",
	  "law": {"reference": "25 °C", "alpha": "2 ppm/K", "beta": "-0.55 ppm/K²", "range": {"low": "10 °C", "high": "50 °C"}}
	}]}`
	own, err := material.Read(strings.NewReader(text))
	if err != nil {
		log.Fatal(err)
	}
	for _, name := range []string{"spool 3", "constantan"} {
		m, err := own.Find(name)
		if err != nil {
			log.Fatal(err)
		}
		f := m.ReferenceResistivity
		fmt.Printf("%s: %.3f ± %.3f µΩ·m\n", m.Name, f.Value*1e6, f.HalfWidth()*1e6)
	}
	// Output:
	// spool 3: 0.434 ± 0.004 µΩ·m
	// constantan: 0.490 ± 0.049 µΩ·m
}
