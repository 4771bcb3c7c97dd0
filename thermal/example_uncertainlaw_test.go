// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal_test

import (
	"fmt"
	"log"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// Two decades wound from one spool share its coefficients: the ratio of the two
// does not know the temperature of the room.
func ExampleUncertainLaw() {
	spool := thermal.UncertainLaw{Reference: 23,
		Alpha: uncertainty.Input("alpha", uncertainty.Rectangular(8e-6, 10e-6))}
	room := uncertainty.Input("room", uncertainty.Rectangular(25, 2))
	at23 := uncertainty.Exact(23)
	r1 := spool.Correct(uncertainty.Exact(1000.05), at23, room)
	r2 := spool.Correct(uncertainty.Exact(100.01), at23, room)

	one, err := uncertainty.Evaluate(r1)
	if err != nil {
		log.Fatal(err)
	}
	ratio, err := uncertainty.Evaluate(r1.Div(r2))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("R1: u = %.0f ppm\n", one.StandardUncertainty/one.Estimate*1e6)
	fmt.Printf("R1/R2: u = %.0f ppm\n", ratio.StandardUncertainty/ratio.Estimate*1e6)
	// Output:
	// R1: u = 15 ppm
	// R1/R2: u = 0 ppm
}

// A published law among measured ones: the temperature alone is uncertain.
func ExampleExactLaw() {
	lead := thermal.ExactLaw(thermal.CopperConductor())
	room := uncertainty.Input("room", uncertainty.Rectangular(23, 1))
	r := lead.Correct(uncertainty.Exact(0.050), uncertainty.Exact(20), room)
	b, err := uncertainty.Evaluate(r.Scale(1e3))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f mΩ, u = %.2f mΩ\n", b.Estimate, b.StandardUncertainty)
	// Output: 50.59 mΩ, u = 0.11 mΩ
}

// The peak of a parabola that is known from a certificate: ask the law of its
// estimates.
func ExampleUncertainLaw_Law() {
	u := thermal.UncertainLaw{
		Reference: 25,
		Alpha:     uncertainty.Input("alpha", uncertainty.Normal(1.5e-6, 0.1e-6)),
		Beta:      uncertainty.Input("beta", uncertainty.Normal(-0.5e-6, 0.02e-6)),
	}
	law, err := u.Law()
	if err != nil {
		log.Fatal(err)
	}
	t, _ := law.Extremum()
	fmt.Printf("peak at %.1f °C\n", t)
	// Output: peak at 26.5 °C
}

// A spool sold as 0 ± 15 ppm/K, 10 K away from its reference.
func ExampleUncertainLaw_RatioOf() {
	spool := thermal.UncertainLaw{Reference: 25, Alpha: uncertainty.Input("alpha", uncertainty.Rectangular(0, 15e-6))}
	b, err := uncertainty.Evaluate(spool.RatioOf(uncertainty.Exact(35)))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("u = %.0f ppm\n", b.StandardUncertainty*1e6) // 150 ppm/√3
	// Output: u = 87 ppm
}

// Which of the two inputs is worth knowing better.
func ExampleUncertainLaw_Correct() {
	law := thermal.UncertainLaw{Reference: 23, Alpha: uncertainty.Input("alpha", uncertainty.Normal(12e-6, 1e-6))}
	room := uncertainty.Input("room", uncertainty.Normal(20, 0.5))
	r := law.Correct(uncertainty.Exact(10e3), uncertainty.Exact(23), room)
	b, err := uncertainty.Evaluate(r)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f Ω\n", b.Estimate)
	for _, c := range b.Components {
		fmt.Printf("%s: %.0f %%\n", c.Name, c.Share*100) // 3 ppm against 6 ppm
	}
	// Output:
	// 9999.64 Ω
	// room: 80 %
	// alpha: 20 %
}

// A certificate gives the coefficients at 25 °C, the laboratory works at 20 °C.
// There α has 2β·5 K in it, and the uncertainty of β with it.
func ExampleUncertainLaw_Rebase() {
	at25 := thermal.UncertainLaw{
		Reference: 25,
		Alpha:     uncertainty.Input("alpha", uncertainty.Normal(4.2e-6, 0.2e-6)),
		Beta:      uncertainty.Input("beta", uncertainty.Normal(-0.56e-6, 0.02e-6)),
	}
	at20 := at25.Rebase(20)
	b, err := uncertainty.Evaluate(at20.Alpha.Scale(1e6))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f ppm/K at %g °C, u = %.2f ppm/K\n", b.Estimate, at20.Reference, b.StandardUncertainty)
	// Output: 9.8 ppm/K at 20 °C, u = 0.28 ppm/K
}
