// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertaintytest

import (
	"errors"
	"math"
	"testing"
)

func TestAgrees(t *testing.T) {
	for _, c := range []struct {
		got     float64
		printed string
		want    bool
	}{
		{12.706204736174705, "12.71", true},
		{12.706204736174705, "12.70", false},
		{12.706204736174705, "12.7062", true},
		{12.706204736174705, "12.7063", false},
		{2, "2.00", true},
		{2.004, "2.00", true},
		{2.006, "2.00", false},
		{2.006, "2", true},
		{2.5, "2", true}, // a tie agrees with both neighbours
		{2.5, "3", true},
		{math.Nextafter(2.5, 3), "2", false},
		{math.Nextafter(2.5, 2), "3", false},
		// As float64, 0.15 lies below the decimal tie and 0.45 above it:
		// the comparison sees which.
		{0.15, "0.1", true},
		{0.15, "0.2", false},
		{0.45, "0.4", false},
		{0.45, "0.5", true},
		{-0.504, "-0.50", true},
		{-0.504, "−0.50", true},
		{0.504, "-0.50", false},
		{0.504, "+0.50", true},
		{80.4e-6, "80e-6", true},
		{80.4e-6, "80E−6", true},
		{80.6e-6, "80e-6", false},
		{80.6e-6, "8e-5", true},
		{1249, "1.2e3", true},
		{1249, "1.2e+3", true},
		{1249, "1200", false},
		{0, "0", true},
		{math.Copysign(0, -1), "0.00", true},
		{5e-324, "4.9e-324", true},
		{math.MaxFloat64, "1.798e308", true},
		{0.5, ".5", true},
		{3, "3.", true},
		{math.NaN(), "0", false},
		{math.Inf(1), "1e308", false},
		{math.Inf(-1), "-1e308", false},
	} {
		got, err := Agrees(c.got, c.printed)
		if err != nil || got != c.want {
			t.Errorf("Agrees(%v, %q) = %v, %v; want %v, nil", c.got, c.printed, got, err, c.want)
		}
	}
}

func TestAgreesRefuses(t *testing.T) {
	for _, printed := range []string{
		"", ".", "-", "+", "+-1", "--1", "1.2.3", "1,2", "1/3", "0x10", "1_0", " 1", "1 ", "inf", "NaN",
		"1e", "e1", "1e1.5", "1e401", "1e-401", "1e99999999999999999999", "1(2)", "1 %",
	} {
		if ok, err := Agrees(1, printed); ok || !errors.Is(err, ErrPrinted) {
			t.Errorf("Agrees(1, %q) = %v, %v; want false and an error that wraps ErrPrinted", printed, ok, err)
		}
	}
}

// recorder is a testing.TB that counts the failures instead of failing.
type recorder struct {
	testing.TB
	errors int
}

func (r *recorder) Helper()               {}
func (r *recorder) Errorf(string, ...any) { r.errors++ }

func TestCheck(t *testing.T) {
	good := Published{Name: "t", Source: "JCGM 100:2008", Place: "Table G.2", Printed: "12.71", Provenance: Seen}
	edit := func(f func(p *Published)) Published { p := good; f(&p); return p }
	for _, c := range []struct {
		name string
		row  Published
		got  float64
		want int
	}{
		{"agrees", good, 12.7062, 0},
		{"differs", good, 12.72, 1},
		{"NaN", good, math.NaN(), 1},
		{"no source", edit(func(p *Published) { p.Source = " " }), 12.71, 1},
		{"no place", edit(func(p *Published) { p.Place = "" }), 12.71, 1},
		{"no provenance", edit(func(p *Published) { p.Provenance = "" }), 12.71, 1},
		{"unknown provenance", edit(func(p *Published) { p.Provenance = "heard" }), 12.71, 1},
		{"from memory", edit(func(p *Published) { p.Provenance = FromMemory }), 12.71, 0},
		{"common practice", edit(func(p *Published) { p.Provenance = CommonPractice }), 12.71, 0},
		{"unreadable", edit(func(p *Published) { p.Printed = "a dozen" }), 12.71, 1},
		{"exception that differs", edit(func(p *Published) { p.Exception = "misprint" }), 12.72, 0},
		{"exception that agrees", edit(func(p *Published) { p.Exception = "misprint" }), 12.71, 1},
		{"unreadable exception", edit(func(p *Published) { p.Printed, p.Exception = "?", "misprint" }), 12.71, 1},
	} {
		r := &recorder{TB: t}
		c.row.Check(r, c.got)
		if r.errors != c.want {
			t.Errorf("%s: %d failures, want %d", c.name, r.errors, c.want)
		}
	}
}

// The fraction of the normal distribution within one, two and three standard
// deviations: the helper on a function of the standard library.
func TestPublishedNormalFractions(t *testing.T) {
	for k, printed := range map[float64]string{1: "68.27", 2: "95.45", 3: "99.73"} {
		Published{
			Name: "fraction within " + shortest(k) + " standard deviations", Source: "JCGM 100:2008",
			Place: "Table G.1", Printed: printed, Provenance: Seen,
		}.Run(t, 100*math.Erf(k/math.Sqrt2))
	}
}
