// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/wire"
	"example.com/ohmwright/wire/winding"
)

// 100 Ω for half a watt on a rod of 20 mm: the three best ways.
func ExampleRequirement() {
	r := winding.Requirement{Ohms: 100, Power: 0.5, Former: winding.Cylinder(0.020, 0.040),
		MaxTimeConstant: 30e-9, Medium: 3}
	plans, err := r.Plans()
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range plans[:3] {
		tau, err := p.TimeConstant()
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v; cut %.2f m, %+.0f ns, %.0f K\n", p, p.Cut, tau*1e9, p.Rise)
	}
	// Output:
	// manganin 0.224 mm, reversed turns, enamel grade 2: 144.0 turns; cut 9.35 m, +12 ns, 21 K
	// manganin 0.14 mm, Ayrton–Perry, enamel grade 2: 113.0 turns of each wire; cut 14.61 m, +9 ns, 21 K
	// nickel-chromium-aluminium-copper 0.2 mm, Ayrton–Perry, enamel grade 2: 74.3 turns of each wire; cut 9.64 m, +6 ns, 22 K
}

// What cannot be done says why.
func ExampleRequirement_Plans() {
	r := winding.Requirement{Ohms: 100, Power: 30, Former: winding.Cylinder(0.020, 0.040)}
	_, err := r.Plans()
	fmt.Println(err)
	// Output: winding.Requirement.Plans: Ohms: limit not met: temperature rise; the nearest plan, nickel-chromium 80/20 0.63 mm, plain, has 815 K, allowed 40 K
}

func ExamplePlan() {
	m, err := material.Find("constantan")
	if err != nil {
		log.Fatal(err)
	}
	r := winding.Requirement{
		Ohms: 1000, Power: 0.5, Former: winding.Cylinder(0.020, 0.040), Medium: 3,
		Materials: []material.Material{m}, Constructions: []winding.Construction{winding.BifilarWinding},
	}
	plans, err := r.Plans()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(plans[0])
	for _, s := range plans[0].GivenUp {
		fmt.Println("-", s)
	}
	// Output:
	// constantan 0.1 mm, bifilar, enamel grade 2: 126.8 turns of the pair
	// - coefficient up to 74 ppm/K from spool to spool
	// - -40 µV/K against copper: not for direct current at low voltage
	// - capacitive; both ends lie side by side, so that the whole voltage stands across the covering
	// - 26 K warm at full power
}

// Nickel has permeability: its skin effect begins early, and nobody knows it closely.
func ExampleNewWire() {
	nickel, err := material.Find("nickel")
	if err != nil {
		log.Fatal(err)
	}
	g, err := wire.ParseGauge("0.5 mm")
	if err != nil {
		log.Fatal(err)
	}
	w, err := winding.NewWire(wire.Conductor{Material: nickel, Gauge: g}, wire.CoveringGrade1, 20)
	if err != nil {
		log.Fatal(err)
	}
	for _, mu := range []float64{1, w.Permeability, nickel.Permeability.High} {
		x, err := winding.SkinEffect{Resistivity: w.Resistivity, Permeability: mu, Frequency: 10e3}.Parameter(w.Bare)
		if err != nil {
			log.Fatal(err)
		}
		ratio, err := winding.ResistanceRatio(x)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("µr = %g: %.3f\n", mu, ratio)
	}
	// Output:
	// µr = 1: 1.000
	// µr = 100: 1.219
	// µr = 600: 2.581
}
