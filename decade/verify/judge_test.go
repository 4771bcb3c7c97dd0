// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/conformity"
)

// Rows whose own repeats scatter differently, near a limit: few make a convolution of their own,
// and each has the U, the verdict and the probability that its own convolution gives.
func TestShapesOfRepeatedRows(t *testing.T) {
	b, err := decade.New(decade.Spec{Name: "b", ResidualIncluded: true, Contact: 2e-3,
		Decades: []decade.Decade{{Step: 1000, Tolerance: 1e-4}}})
	if err != nil {
		t.Fatal(err)
	}
	m := &Meter{Wiring: WiringFourWire, OffsetCompensated: true, Ranges: []Range{{Name: "10 kΩ",
		FullScale: 10e3, OverRange: 1.2, OfReading: 2e-5, OfRange: 2e-6, Resolution: 1e-3}}}
	r := rand.New(rand.NewPCG(5, 6))
	var rs []Reading
	for i := range 400 {
		s, _ := b.At(1 + i%2)
		deviation := 0.9e-4 * s.Nominal()
		var values []float64
		for range 5 {
			values = append(values, s.Nominal()+deviation+0.02*r.NormFloat64())
		}
		rs = append(rs, Reading{Setting: s, Values: values})
	}
	rule := conformity.Guarded(1)
	report, err := Evaluate(b, m, rs, rule)
	if err != nil {
		t.Fatal(err)
	}
	made := 0
	for _, list := range report.from.factors {
		made += len(list)
	}
	if made > 250 {
		t.Errorf("%d convolutions for %d rows, want far fewer", made, len(rs))
	}
	for i := range report.Rows {
		row := &report.Rows[i]
		x, err := rule.Expanded(row.known())
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(row.Expanded.U/x.U-1) > 2e-4 {
			t.Errorf("row %d: U = %v, by its own convolution %v", i, row.Expanded.U, x.U)
		}
		v, err := rule.DecideExpanded(row.Limits, row.Deviation.Estimate(), x.U)
		if err != nil || v != row.Verdict {
			t.Errorf("row %d: %v, by its own convolution %v, %v", i, row.Verdict, v, err)
		}
		own, err := conformity.FromBudget(row.known())
		if err != nil {
			t.Fatal(err)
		}
		if p, err := conformity.Probability(row.Limits, own); err != nil || math.Abs(p-row.Probability) > 3e-4 {
			t.Errorf("row %d: probability %v, by its own convolution %v, %v", i, row.Probability, p, err)
		}
	}
}
