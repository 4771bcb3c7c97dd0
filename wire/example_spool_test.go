// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire"
)

// 10 Ω of manganin from a spool that nobody has measured yet.
func ExampleConductor_Spool() {
	m, _ := material.Find("manganin")
	g, _ := wire.ParseGauge("0.2 mm")
	spool := wire.Conductor{Material: m, Gauge: g}.Spool("spool 3", 0.002e-3)
	b, err := uncertainty.Evaluate(spool.LengthOf(uncertainty.Exact(10), uncertainty.Exact(20)))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f m, u %.3f m\n", b.Estimate, b.StandardUncertainty)
	for _, c := range b.Components {
		fmt.Printf("%s: %.1f %%\n", c.Name, 100*c.Share)
	}
	// Output:
	// 0.731 m, u 0.043 m
	// spool 3 resistivity: 96.2 %
	// spool 3 diameter: 3.8 %
	// spool 3 alpha: 0.0 %
	// spool 3 beta: 0.0 %
}

// What cutting to ±0.5 mm does, once the wire's own resistance per metre is measured.
func ExampleMeasuredSpool() {
	perMetre := uncertainty.Input("ohms per metre", uncertainty.Normal(13.61, 0.003))
	spool := wire.MeasuredSpool("spool 3", perMetre, 0.2e-3, thermal.UncertainLaw{})
	cut := uncertainty.Input("cut length", uncertainty.Rectangular(0.735, 0.5e-3))
	b, err := uncertainty.Evaluate(spool.ResistanceOf(cut, uncertainty.Exact(20)))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f Ω, u %.4f Ω\n", b.Estimate, b.StandardUncertainty)
	// Output: 10.003 Ω, u 0.0045 Ω
}

// Two resistors of one spool, each a metre cut to ±0.5 mm: both may be 10 % off,
// but by the same 10 %.
func ExampleSpool() {
	manganin, _ := material.Find("manganin")
	g, _ := wire.ParseGauge("0.2 mm")
	spool := wire.Conductor{Material: manganin, Gauge: g}.Spool("spool 3", 0.002e-3) // once for a spool
	room := uncertainty.Exact(20)
	r1 := spool.ResistanceOf(uncertainty.Input("cut 1", uncertainty.Rectangular(1, 0.5e-3)), room)
	r2 := spool.ResistanceOf(uncertainty.Input("cut 2", uncertainty.Rectangular(1, 0.5e-3)), room)

	m, err := uncertainty.EvaluateAll(r1, r1.Div(r2))
	if err != nil {
		log.Fatal(err)
	}
	for i, name := range []string{"R1", "R1/R2"} {
		b := m.Budgets[i]
		fmt.Printf("%s: u = %.2f %%\n", name, b.StandardUncertainty/b.Estimate*100)
	}
	// Output:
	// R1: u = 5.89 %
	// R1/R2: u = 0.04 %
}

// What a metre of a spool may have that nobody has measured.
func ExampleSpool_PerMetreOf() {
	manganin, _ := material.Find("manganin")
	g, _ := wire.ParseGauge("0.2 mm")
	spool := wire.Conductor{Material: manganin, Gauge: g}.Spool("spool 3", 0.002e-3)
	b, err := uncertainty.Evaluate(spool.PerMetreOf(uncertainty.Exact(20)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f Ω/m, u = %.2f Ω/m\n", b.Estimate, b.StandardUncertainty)
	// Output: 13.69 Ω/m, u = 0.81 Ω/m
}

// Where to cut for 100 Ω once a metre was measured.
func ExampleSpool_LengthOf() {
	perMetre := uncertainty.Input("ohms per metre", uncertainty.Normal(13.61, 0.003))
	spool := wire.MeasuredSpool("spool 3", perMetre, 0.2e-3, thermal.UncertainLaw{})
	b, err := uncertainty.Evaluate(spool.LengthOf(uncertainty.Exact(100), uncertainty.Exact(20)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.4f m, u = %.1f mm\n", b.Estimate, b.StandardUncertainty*1e3)
	// Output: 7.3475 m, u = 1.6 mm
}

// Two metres of copper lead in a room of 23 ± 3 °C: the room counts for more than
// the measured ohms per metre.
func ExampleSpool_ResistanceOf() {
	perMetre := uncertainty.Input("ohms per metre", uncertainty.Normal(0.0842, 0.0002)) // at 20 °C
	lead := wire.MeasuredSpool("lead", perMetre, 0.511e-3, thermal.ExactLaw(thermal.CopperConductor()))
	room := uncertainty.Input("room", uncertainty.Rectangular(23, 3))
	b, err := uncertainty.Evaluate(lead.ResistanceOf(uncertainty.Exact(2), room).Scale(1e3))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mΩ, u = %.1f mΩ\n", b.Estimate, b.StandardUncertainty)
	// Output: 170.4 mΩ, u = 1.2 mΩ
}
