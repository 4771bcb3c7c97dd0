// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/wire"
)

func ExampleFindMaterial() {
	_, err := wire.FindMaterial("mangannin")
	fmt.Println(err)
	m, _ := wire.FindMaterial("manganin")
	fmt.Println(m.Composition, m.ReferenceResistivity)
	// Output:
	// wire.FindMaterial: name: "mangannin"; expected a name of the table; did you mean "manganin"? Materials lists all
	// Cu 86 Mn 12 Ni 2 4.3e-07
}

// A material of your own, by the certificate of a spool of 0.25 mm.
func ExampleMaterial() {
	m := wire.Material{
		Name: "spool 3", ReferenceResistivity: 0.478e-6, ReferenceTemperature: 20,
		Law: thermal.NewLaw(20, 4e-6, -0.5e-6),
	}
	g, err := wire.ParseGauge("0.25 mm")
	if err != nil {
		log.Fatal(err)
	}
	r, err := wire.Conductor{Material: m, Gauge: g}.PerMetre(20)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω/m\n", r)
	// Output: 9.738 Ω/m
}

// IEC 60028: 1.7241 µΩ·cm at 20 °C, and what becomes of it.
func ExampleMaterial_Resistivity() {
	copper, err := wire.FindMaterial("copper")
	if err != nil {
		log.Fatal(err)
	}
	for _, t := range []float64{20, 25, 50, 75} {
		rho, err := copper.Resistivity(t)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%g °C: %.4f µΩ·cm\n", t, rho*1e8)
	}
	// Output:
	// 20 °C: 1.7241 µΩ·cm
	// 25 °C: 1.7580 µΩ·cm
	// 50 °C: 1.9274 µΩ·cm
	// 75 °C: 2.0968 µΩ·cm
}

// NBS Handbook 100, section 1 (from memory): 0.00681 µΩ·cm per kelvin, a little more
// than the resistance of a wire suggests, since the sample has grown.
func ExampleMaterial_VolumeResistivity() {
	copper, _ := wire.FindMaterial("copper")
	at20, _ := copper.VolumeResistivity(20)
	at21, err := copper.VolumeResistivity(21)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.5f µΩ·cm\n", (at21-at20)*1e8)
	// Output: 0.00681 µΩ·cm
}

// NBS Handbook 100, section 1: 0.15328 Ω·g/m², and 0.000597 of it per kelvin (from
// memory).
func ExampleMaterial_MassResistivity() {
	copper, _ := wire.FindMaterial("copper")
	at20, _ := copper.MassResistivity(20)
	at21, err := copper.MassResistivity(21)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.5f Ω·g/m², %.6f per kelvin\n", at20*1e3, (at21-at20)*1e3)
	// Output: 0.15328 Ω·g/m², 0.000597 per kelvin
}

// Three coefficients of one copper wire, all of them right.
func ExampleMaterial_Coefficients() {
	copper, _ := wire.FindMaterial("copper")
	c, err := copper.Coefficients(20)
	fmt.Printf("resistance %.5f, resistivity %.5f, mass resistivity %.5f per kelvin, %v\n",
		c.Resistance, c.VolumeResistivity, c.MassResistivity, err)
	// Output: resistance 0.00393, resistivity 0.00395, mass resistivity 0.00390 per kelvin, <nil>
}

// Which coefficient a table of aluminium prints depends on what was held fixed:
// the ends of the wire, the cube of metal or the kilogram.
func ExampleCoefficients() {
	aluminium, err := wire.FindMaterial("aluminium")
	if err != nil {
		log.Fatal(err)
	}
	c, err := aluminium.Coefficients(20)
	if err != nil {
		log.Fatal(err)
	}
	// The expansion is 23e-6 /K: once added, twice subtracted.
	fmt.Printf("%.6f, %.6f, %.6f\n", c.Resistance, c.VolumeResistivity, c.MassResistivity)
	// Output: 0.004030, 0.004053, 0.003984
}

// What there is of high resistivity, 1 µΩ·m and above.
func ExampleMaterials() {
	for m := range wire.Materials() {
		if m.ReferenceResistivity >= 1e-6 {
			fmt.Printf("%s: %.2f µΩ·m\n", m.Name, m.ReferenceResistivity*1e6)
		}
	}
	// Output:
	// nickel-chromium 80/20: 1.09 µΩ·m
	// nickel-chromium 60/15: 1.11 µΩ·m
	// nickel-chromium-aluminium-copper: 1.33 µΩ·m
	// iron-chromium-aluminium 25/5: 1.42 µΩ·m
	// iron-chromium-aluminium 23/5: 1.35 µΩ·m
}

// What else is printed about the resistivity of manganin.
func ExamplePublishedValues() {
	for p := range wire.PublishedValues("manganin") {
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

// One line for one source, digits as printed; what it does not say is empty.
func ExamplePublished() {
	for p := range wire.PublishedValues("brass 70/30") {
		fmt.Printf("%s Ω·m, density %q (%s)\n", p.Resistivity, p.Density, p.Known)
	}
	// Output:
	// 6.08e-8 Ω·m, density "" (seen)
	// 6.158e-8 Ω·m, density "" (seen)
	// 6.16e-8 Ω·m, density "8530" (seen)
}
