// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"testing"

	"example.com/ohmwright/uncertainty"
)

func BenchmarkLawRatio(b *testing.B) {
	l := NewLaw(25, 4.2e-6, -0.56e-6)
	for b.Loop() {
		_, _ = l.Ratio(23.4)
	}
}

func BenchmarkPlatinumResistance(b *testing.B) {
	pt := Platinum(100)
	for b.Loop() {
		_, _ = pt.Resistance(-123.4)
	}
}

func BenchmarkPlatinumTemperature(b *testing.B) {
	pt := Platinum(100)
	for b.Loop() {
		_, _ = pt.Value(51.2)
	}
}

func BenchmarkSteady(b *testing.B) {
	e := Element{1000, NewLaw(20, 15e-6, -1e-7), 60}
	for b.Loop() {
		_, _ = e.Steady(23, Current(0.01))
	}
}

func BenchmarkRatioOf(b *testing.B) {
	l := NewLaw(25, 4.2e-6, -0.56e-6)
	t := uncertainty.Input("t", uncertainty.Rectangular(23, 1))
	for b.Loop() {
		_ = l.RatioOf(t)
	}
}

// The numbers of hot loops come without allocation.
func TestNoAllocations(t *testing.T) {
	l, pt := NewLaw(25, 4.2e-6, -0.56e-6), Platinum(100)
	e := Element{1000, l, 60}
	for name, f := range map[string]func(){
		"Law.Ratio":         func() { _, _ = l.Ratio(23.4) },
		"Sensor.Resistance": func() { _, _ = pt.Resistance(-123.4) },
		"Sensor.Value":      func() { _, _ = pt.Value(51.2) },
		"Element.Steady":    func() { _, _ = e.Steady(23, Current(0.01)) },
	} {
		if n := testing.AllocsPerRun(100, f); n != 0 {
			t.Errorf("%s: %v allocations", name, n)
		}
	}
}
