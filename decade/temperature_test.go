// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// A resistor of 1000.012 Ω at 23 °C with +8 ppm/K and −0.5 ppm/K² at 26.5 °C.
func TestPublishedTemperature(t *testing.T) {
	b := box(t, decade.Spec{Decades: []decade.Decade{{Step: 1000.012, Positions: 1,
		Law: thermal.NewLaw(23, 8e-6, -0.5e-6)}}})
	s := at(t, b, 1)
	change, err := s.TemperatureChange(26.5)
	if err != nil {
		t.Fatal(err)
	}
	row := uncertaintytest.Published{Source: computed, Provenance: uncertaintytest.CommonPractice}
	row.Name, row.Place, row.Printed = "parabola at 26.5 °C, ppm", "relative change", "21.875"
	row.Run(t, 1e6*change/s.Nominal())
	row.Name, row.Place, row.Printed = "parabola at 26.5 °C, ohms", "resistance", "1000.0339"
	row.Run(t, s.Nominal()+change)
}

func warm() decade.Spec {
	manganin := thermal.NewLaw(20, 8e-6, -0.5e-6)
	return decade.Spec{
		Residual: 0.02, ResidualLaw: thermal.NewLaw(20, 3.93e-3, 0),
		Decades: []decade.Decade{
			{Step: 1000, Law: manganin, AlphaTolerance: 2e-6}, {Step: 100, Law: manganin, AlphaTolerance: 2e-6}, {Step: 10},
		},
	}
}

func TestTemperatureChange(t *testing.T) {
	b := box(t, warm())
	if ref, ok := b.ReferenceTemperature(); ref != 20 || !ok || !b.HasTemperatureLaw() {
		t.Errorf("reference %v, %v", ref, ok)
	}
	s := at(t, b, 3, 4, 5)
	const d = 5.0
	want := 3400*(8e-6*d-0.5e-6*d*d) + 0.02*3.93e-3*d
	got, err := s.TemperatureChange(25)
	if err != nil || math.Abs(got-want) > 1e-12 {
		t.Errorf("change %v, %v; want %v", got, err, want)
	}
	if got, err := s.TemperatureChange(20); got != 0 || err != nil {
		t.Errorf("at reference temperature: %v, %v", got, err)
	}
	if got, err := b.Zero().TemperatureChange(25); err != nil || math.Abs(got-0.02*3.93e-3*5) > 1e-15 {
		t.Errorf("zero setting: %v, %v; want the residual alone", got, err)
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), -274} {
		if v, err := s.TemperatureChange(bad); err == nil {
			t.Errorf("at %v °C: %v; want an error", bad, v)
		}
		if bad == -274 && s.TemperatureChangeOf(uncertainty.Exact(bad)).Err() == nil {
			t.Errorf("quantity at %v °C: want an error", bad)
		}
	}
}

// Beside the peak of its law a box keeps the digits of its change.
func TestTemperatureChangeNearPeak(t *testing.T) {
	celsius := 25.0
	s := at(t, box(t, decade.Spec{ReferenceTemperature: &celsius, Decades: []decade.Decade{
		{Step: 1000, Law: thermal.NewLaw(25, 0, -5e-7)}}}), 10)
	want := -1e4 * 5e-7 * 0x1p-20 // of 10 kΩ at 1/1024 K
	if got, err := s.TemperatureChange(25 + 0x1p-10); err != nil || math.Abs(got/want-1) > 1e-15 {
		t.Errorf("1/1024 K beyond the peak: %v, %v; want %v", got, err, want)
	}
}

// Near the peak of manganin the quantity has the digits of the parabola and its slope: no
// difference of two ratios beside 1 is left in it.
func TestTemperatureChangeOfNearPeak(t *testing.T) {
	const beta, ohms = -5e-7, 1e4
	s := at(t, box(t, decade.Spec{ReferenceTemperature: new(25.0), Decades: []decade.Decade{
		{Step: 1000, Law: thermal.NewLaw(25, 0, beta)}}}), 10)
	for _, off := range []float64{0x1p-20, -0x1p-20, 0x1p-10, 0.25, 8} {
		q := s.TemperatureChangeOf(uncertainty.Input("t", uncertainty.Normal(25+off, 1e-12)))
		if want := ohms * beta * off * off; math.Abs(q.Estimate()/want-1) > 1e-15 {
			t.Errorf("%v K beyond the peak: %v Ω; want %v", off, q.Estimate(), want)
		}
		if got, want := row(t, evaluate(t, q), "t").Sensitivity, 2*ohms*beta*off; math.Abs(got/want-1) > 1e-15 {
			t.Errorf("%v K beyond the peak: slope %v Ω/K; want %v", off, got, want)
		}
	}
}

// The quantity agrees with the number, shares the temperature, and has one coefficient
// for each dial.
func TestTemperatureChangeOf(t *testing.T) {
	b := box(t, warm())
	s := at(t, b, 3, 4, 5)
	temperature := uncertainty.Input("box temperature", uncertainty.Rectangular(25, 0.5))
	budget := evaluate(t, s.TemperatureChangeOf(temperature))
	want, err := s.TemperatureChange(25)
	if err != nil || math.Abs(budget.Estimate-want) > 1e-12 {
		t.Errorf("estimate %v; want %v, %v", budget.Estimate, want, err)
	}
	slope := 3400*(8e-6-2*0.5e-6*5) + 0.02*3.93e-3
	parts := []float64{slope * 0.5, 3000 * 2e-6 * 5, 400 * 2e-6 * 5}
	near(t, "u", budget.StandardUncertainty, math.Hypot(math.Hypot(parts[0], parts[1]), parts[2])/math.Sqrt(3))
	if len(budget.Components) != 3 {
		t.Errorf("%d components; want temperature and two coefficients", len(budget.Components))
	}
	twice := s.TemperatureChangeOf(temperature).Sub(at(t, b, 3, 4, 5).TemperatureChangeOf(temperature))
	if got := evaluate(t, twice).StandardUncertainty; got > 1e-18 {
		t.Errorf("the same change twice differs by u = %v", got)
	}
	if err := s.TemperatureChangeOf(uncertainty.Quantity{}).Err(); !errors.Is(err, uncertainty.ErrNoQuantity) {
		t.Errorf("no temperature: %v", err)
	}
	plain := at(t, box(t, bench()), 1, 2, 3, 4, 5)
	if q := plain.TemperatureChangeOf(temperature); q.Estimate() != 0 || q.Err() != nil ||
		plain.Box().HasTemperatureLaw() {
		t.Errorf("box without laws: %v", q)
	}
	if err := plain.TemperatureChangeOf(uncertainty.Quantity{}).Err(); err == nil {
		t.Error("box without laws, no temperature: want an error")
	}
}

// A law about another temperature than the box: the value of the box holds at its own.
func TestReferenceTemperature(t *testing.T) {
	law := thermal.NewLaw(20, 1e-3, 0)
	spec := decade.Spec{ReferenceTemperature: new(23.0),
		Decades: []decade.Decade{{Step: 100, Law: law},
			{Step: 10, Law: thermal.NewLaw(0, 1e-3, 0)}}}
	got, err := at(t, box(t, spec), 1, 0).TemperatureChange(33)
	want := 100 * (1.013/1.003 - 1)
	if err != nil || math.Abs(got-want) > 1e-12 {
		t.Errorf("change %v, %v; want %v", got, err, want)
	}
	spec.ReferenceTemperature = nil
	if _, err := decade.New(spec); err == nil ||
		!strings.Contains(err.Error(), "20 °C and 0 °C; expected the reference temperature") {
		t.Errorf("laws that disagree: %v", err)
	}
	if _, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1, AlphaTolerance: 1e-6}}}); err == nil {
		t.Error("limits of a coefficient without a reference temperature: want an error")
	}
	if _, err := decade.New(
		decade.Spec{Decades: []decade.Decade{{Step: 1,
			Law: thermal.NewLaw(20, math.NaN(), 0)}}}); !errors.Is(err, thermal.ErrNotFinite) {
		t.Errorf("bad law: %v", err)
	}
	spec = decade.Spec{ReferenceTemperature: new(900.0),
		Decades: []decade.Decade{{Step: 1, Law: thermal.NewLaw(20, -2e-3, 0)}}}
	if _, err := decade.New(spec); !errors.Is(err, thermal.ErrDomain) {
		t.Errorf("no positive resistance at reference: %v", err)
	}
}

// What adds to the resistance of a setting is in ohms, whatever the arguments state.
func TestUnitsOfResults(t *testing.T) {
	s := at(t, box(t, warm()), 3, 4, 5)
	for name, q := range map[string]uncertainty.Quantity{
		"TemperatureChangeOf":             s.TemperatureChangeOf(uncertainty.Exact(25)),
		"TemperatureChangeOf, no law":     at(t, box(t, decade.Spec{Decades: []decade.Decade{{Step: 1}}}), 3).TemperatureChangeOf(uncertainty.Exact(25)),
		"LeakageOf":                       s.LeakageOf(uncertainty.Exact(1e-9)),
		"LeakageOf, a leak in siemens":    s.LeakageOf(uncertainty.Source{Name: "leak", Unit: "S", Distribution: decade.LeakAbove(1e9)}.Input()),
		"LeakageOf, a leak that has none": s.LeakageOf(uncertainty.Input("leak", decade.LeakAbove(1e9))),
	} {
		if b, err := uncertainty.Evaluate(q); err != nil || b.Unit != "Ω" {
			t.Errorf("%s: %+v, error %v; want ohms", name, b, err)
		}
	}
}
