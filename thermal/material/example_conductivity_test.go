// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal/material"
)

func ExampleConductivity() {
	brass, _ := material.Find("brass")
	rho, _ := brass.Resistivity(20)
	fraction, err := material.Conductivity(rho)
	fmt.Printf("%.0f %% IACS %v\n", fraction*100, err)
	// Output: 28 % IACS <nil>
}

// A data sheet of phosphor bronze says 15 % IACS.
func ExampleFromConductivity() {
	rho, err := material.FromConductivity(0.15)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f µΩ·m\n", rho*1e6)
	// Output: 0.115 µΩ·m
}

// NBS Handbook 100, section 1: the annealed copper standard is 0.15328 Ω·g/m².
func ExampleMassResistivity() {
	delta, err := material.MassResistivity(material.IACSResistivity, material.IACSDensity)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.5f Ω·g/m²\n", delta/material.OhmGramPerSquareMetre)
	// Output: 0.15328 Ω·g/m²
}

// Encyclopaedia Britannica, 11th ed., vol. 6, Conduction, Electric: annealed copper of
// 0.1421 Ω·g/m² and 8.912 g/cm³ at 0 °C has 1594 C.G.S. units, 1.594e-8 Ω·m.
func ExampleFromMassResistivity() {
	rho, err := material.FromMassResistivity(0.1421*material.OhmGramPerSquareMetre, 8912)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4g Ω·m\n", rho)
	// Output: 1.594e-08 Ω·m
}
