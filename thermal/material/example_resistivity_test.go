// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal/material"
)

// IEC 60028: 1.7241 µΩ·cm at 20 °C, and what becomes of it.
func ExampleMaterial_Resistivity() {
	copper, err := material.Find("copper")
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
	copper, _ := material.Find("copper")
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
	copper, _ := material.Find("copper")
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
	copper, _ := material.Find("copper")
	c, err := copper.Coefficients(20)
	fmt.Printf("resistance %.5f, resistivity %.5f, mass resistivity %.5f per kelvin, %v\n",
		c.Resistance, c.VolumeResistivity, c.MassResistivity, err)
	// Output: resistance 0.00393, resistivity 0.00395, mass resistivity 0.00390 per kelvin, <nil>
}

// Which coefficient a table of aluminium prints depends on what was held fixed:
// the ends of the wire, the cube of metal or the kilogram.
func ExampleCoefficients() {
	aluminium, err := material.Find("aluminium")
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
