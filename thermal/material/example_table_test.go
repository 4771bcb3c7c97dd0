// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material_test

import (
	"errors"
	"fmt"
	"log"
	"math"
	"strings"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/thermal/material"
)

// How much a metre of manganin wire of 0.2 mm has, and how far it changes from 25 °C to 40 °C.
func Example() {
	m, err := material.Find("manganin")
	if err != nil {
		log.Fatal(err)
	}
	rho, err := m.Resistivity(25)
	if err != nil {
		log.Fatal(err)
	}
	change, err := m.Law.Exact().Change(25, 40)
	if err != nil {
		log.Fatal(err)
	}
	area := math.Pi * 0.2e-3 * 0.2e-3 / 4
	fmt.Printf("%.2f Ω, %+.0f ppm\n", rho/area, 1e6*change)
	// Output:
	// 13.69 Ω, -112 ppm
}

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
	// Output: true material.Table.Find: name: unknown material "spool 3"; expected a name of the table, such as manganin or nickel-chromium 80/20; trade names are not in it
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
