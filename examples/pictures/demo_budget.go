// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"example.com/ohmwright/examples/pictures/internal/chart"
	"example.com/ohmwright/uncertainty"
)

// budget shows where the uncertainty of a resistor comes from that was measured by
// substitution: where work would pay.
func budget() (*chart.Figure, error) {
	b, err := substitution()
	if err != nil {
		return nil, err
	}
	return chart.Shares(b, "Shares of an uncertainty budget: a 10 kΩ resistor by substitution",
		"Invented data. Result "+b.PlusMinus(2)+", 95 %. Beside a bar: distribution and "+
			"contribution |c|·u.")
}

// substitution is the difference to a standard: only the ratio of two readings of one
// meter counts.
func substitution() (*uncertainty.Budget, error) {
	input := func(name, unit string, d uncertainty.Distribution) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Unit: unit, Distribution: d}.Input()
	}
	standard := input("standard, certificate", "Ω", uncertainty.Certificate(10000.041, 0.008, 2))
	drift := input("standard, drift since", "Ω", uncertainty.Rectangular(0.015, 0.012))
	bath := input("standard, bath", "Ω", uncertainty.Rectangular(0, 0.0025))
	ratio := input("ratio of readings", "1", uncertainty.TypeA(1.0000112, 1.0000115, 1.0000114,
		1.0000110, 1.0000114))
	leakage := input("leakage and wiring", "1", uncertainty.Triangular(1, 1e-6))
	own := input("resistor, bath", "Ω", uncertainty.Rectangular(0, 0.005))
	r := uncertainty.Sum(standard, drift, bath).Mul(ratio).Mul(leakage).Sub(own)
	return uncertainty.Evaluate(r.Named("R"))
}
