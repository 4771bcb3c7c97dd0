// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify_test

import (
	"fmt"
	"log"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// Ten steps of 1 Ω against one of 10 Ω with a meter of 0.5 %: too coarse for either, but
// 50 mΩ between them is more than both classes allow.
func ExampleComparison() {
	box, err := decade.New(decade.Spec{Name: "two dials", Decades: []decade.Decade{
		{Name: "×10", Step: 10, Positions: 1, Tolerance: 0.001}, {Name: "×1", Step: 1, Tolerance: 0.001},
	}})
	if err != nil {
		log.Fatal(err)
	}
	meter := &verify.Meter{Name: "old meter", Wiring: verify.WiringFourWire,
		OffsetCompensated: true, Ranges: []verify.Range{
			{Name: "20 Ω", FullScale: 20, OfReading: 0.005, OfRange: 0.0001, Resolution: 0.001},
		}}
	readings, err := verify.ReadReadings(strings.NewReader("setting, value\n0-0, 0\n1-0, 9.980\n0-10, 10.030"), box)
	if err != nil {
		log.Fatal(err)
	}
	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	comparisons, err := report.Comparisons()
	if err != nil {
		log.Fatal(err)
	}
	c := comparisons[0]
	fmt.Printf("%+.3f Ω, U %.3f Ω; alone ± %.3f Ω\n", c.Difference.Estimate(), c.Expanded.U, report.Rows[1].Expanded.U)
	fmt.Println(c)
	// Output:
	// -0.050 Ω, U 0.002 Ω; alone ± 0.049 Ω
	// 1-0 reads -50 mΩ against 0-10, U = 1.81 mΩ: more than both classes together allow (20 mΩ). At least one of the two is outside its class; the comparison does not say which.
}

// EA-4/02 M:2013, supplement S3 (from memory): a resistor of 10 kΩ by substitution against
// a standard, with a meter that is stable between the two readings. The scatter of the ratio is put into
// the readings of the unknown.
func ExampleStandard() {
	box, err := decade.New(decade.Spec{Name: "10 kΩ", Decades: []decade.Decade{{Step: 10e3, Positions: 1}}})
	if err != nil {
		log.Fatal(err)
	}
	s, _ := box.At(1)
	meter := &verify.Meter{Name: "bench meter", Wiring: verify.WiringFourWire,
		OffsetCompensated: true,
		Ranges:            []verify.Range{{Name: "10 kΩ", FullScale: 12e3, OfReading: 1e-3}}}
	unknown := verify.Reading{Setting: s, Values: []float64{10000.104, 10000.107, 10000.106, 10000.103, 10000.105}}
	report, err := verify.Evaluate(box, meter, []verify.Reading{unknown}, conformity.Guarded(1))
	if err != nil {
		log.Fatal(err)
	}
	value := uncertainty.Input("certificate", uncertainty.Certificate(10000.053, 0.005, 2)).
		Add(uncertainty.Input("drift", uncertainty.Rectangular(0.020, 0.010))).
		Add(uncertainty.Input("temperature of the standard", uncertainty.Rectangular(0, 0.00275))).
		Sub(uncertainty.Input("temperature of the unknown", uncertainty.Rectangular(0, 0.0055))).
		Mul(uncertainty.Input("parasitics", uncertainty.Triangular(1, 1e-6)))
	standard := verify.Standard{Name: "standard 10 kΩ", Value: value,
		Reading: verify.Reading{Values: []float64{10000, 10000, 10000, 10000, 10000}}}
	corrected, err := report.Substitute(standard)
	if err != nil {
		log.Fatal(err)
	}
	b, err := uncertainty.Evaluate(corrected.Rows[0].Measured)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(standard)
	fmt.Printf("unknown %.3f Ω, standard uncertainty %.2f mΩ\n", b.Estimate, 1e3*b.StandardUncertainty)
	// Output:
	// standard 10 kΩ: 10000.0730(83)
	// unknown 10000.178 Ω, standard uncertainty 8.33 mΩ
}
