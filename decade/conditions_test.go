// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"errors"
	"fmt"
	"log"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// warming is a box of which everything about heat is stated.
func warming() decade.Spec {
	law := thermal.NewLaw(23, 15e-6, 0)
	return decade.Spec{Residual: 0.02, ResidualTolerance: 0.005, Decades: []decade.Decade{
		{Step: 1000, Tolerance: 0.001, Law: law, ThermalResistance: 60, ElementPower: 0.5},
		{Step: 100, Code: decade.Code1225(), Tolerance: 0.001, Law: law, ThermalResistance: 60, ElementPower: 0.5},
	}}
}

// 1 kΩ with 0.1 W, 60 K/W and 15 ppm/K: 6 K, +90 ppm, +0.090 Ω.
func TestPublishedSelfHeating(t *testing.T) {
	s := at(t, box(t, warming()), 1, 0)
	d, err := s.SelfHeating(0.01)
	if err != nil {
		t.Fatal(err)
	}
	common("self-heating", "ΔR = R·α·Rth·P: 1 kΩ, 15 ppm/K, 60 K/W, 0.1 W, in Ω", "0.090").Run(t, d)
	common("self-heating, relative", "the same in ppm", "90").Run(t, d/1000*1e6)
}

// 1000.012 Ω measured at 23 °C, +8 ppm/K and −0.5 ppm/K²: at 26.5 °C +21.875 ppm.
func TestPublishedWarmBox(t *testing.T) {
	spec := decade.Spec{Name: "one", Decades: []decade.Decade{{Step: 1000, Law: thermal.NewLaw(23, 8e-6, -0.5e-6)}}}
	b := measuredBox(t, spec, func() float64 { return 12e-6 })
	q := at(t, b, 1).ResistanceAt(decade.Conditions{Temperature: uncertainty.Exact(26.5)})
	r := evaluate(t, q).Estimate
	common("1 kΩ at 26.5 °C", "R·(1 + α·Δt + β·Δt²), in Ω", "1000.0339").Run(t, r)
	common("1 kΩ at 26.5 °C, change", "α·Δt + β·Δt², in ppm", "21.875").Run(t, (r/1000.012-1)*1e6)
}

// A voltage divider of ten warm elements against a fixed-point iteration of power and
// temperature for each.
func TestSelfHeatingOfElements(t *testing.T) {
	b := box(t, warming())
	for _, positions := range [][]int{{3, 0}, {0, 5}, {2, 8}, {0, 0}} {
		s := at(t, b, positions...)
		got, err := s.SelfHeating(0.02)
		want := 0.0
		for i, e := range s.Elements() {
			d := b.Decades()[i]
			cold := d.Step * float64(d.Weight(e))
			r := cold
			for range 50 {
				r = cold * (1 + 15e-6*60*0.02*0.02*r)
			}
			want += r - cold
		}
		if err != nil || math.Abs(got-want) > 1e-9*(1+want) {
			t.Errorf("%v: %v Ω, %v; want %v", s, got, err, want)
		}
	}
}

func TestResistanceAt(t *testing.T) {
	s := at(t, box(t, warming()), 2, 3)
	current := uncertainty.Input("current", uncertainty.Normal(0.01, 1e-5))
	temperature := uncertainty.Input("temperature", uncertainty.Normal(26, 0.5))
	at := func(c decade.Conditions) *uncertainty.Budget { return evaluate(t, s.ResistanceAt(c)) }
	plain := evaluate(t, s.Resistance())
	if b := at(decade.Conditions{}); b.Estimate != plain.Estimate ||
		b.StandardUncertainty != plain.StandardUncertainty {
		t.Errorf("no conditions: %v; want %v", b.Estimate, plain.Estimate)
	}
	heat, _ := s.SelfHeating(0.01)
	if b := at(decade.Conditions{Current: current}); math.Abs(b.Estimate-plain.Estimate-heat) > 1e-9 {
		t.Errorf("with current: %v; want %v", b.Estimate, plain.Estimate+heat)
	}
	change, _ := s.TemperatureChange(26)
	b := at(decade.Conditions{Temperature: temperature, Current: current})
	// The heat acts on warmer elements: second order.
	if math.Abs(b.Estimate-plain.Estimate-heat-change) > 1e-4*heat {
		t.Errorf("with both: %v; want %v", b.Estimate, plain.Estimate+heat+change)
	}
	for _, c := range b.Components {
		// d(heat)/dI = 2·heat/I, d(change)/dt = α·2300 Ω.
		want := map[string]float64{"current": 2 * heat / 0.01, "temperature": 15e-6 * 2300}[c.Name]
		if want != 0 && math.Abs(c.Sensitivity/want-1) > 1e-3 {
			t.Errorf("sensitivity to %s: %v; want %v", c.Name, c.Sensitivity, want)
		}
	}
}

func TestConditionsRefused(t *testing.T) {
	one := uncertainty.Exact(0.01)
	noRise := warming()
	noRise.Decades[1].ThermalResistance = 0
	runaway := warming()
	runaway.Decades[0].Law = thermal.NewLaw(23, 0.01, 0)
	s := at(t, box(t, bench()), 1, 0, 0, 0, 0)
	for _, c := range []struct {
		name     string
		q        uncertainty.Quantity
		contains string
		err      error
	}{
		{"no law", s.ResistanceAt(decade.Conditions{Temperature: uncertainty.Exact(26)}), `no temperature law is stated for box "bench box"`, decade.ErrNotStated},
		{"no law, current", s.ResistanceAt(decade.Conditions{Current: one}), "temperature: not stated for ×1 kΩ", decade.ErrNotStated},
		{"no thermal resistance", at(t, box(t, noRise), 1, 1).ResistanceAt(decade.Conditions{Current: one}), "thermalResistance: not stated for ×100 Ω", decade.ErrNotStated},
		{"runaway", at(t, box(t, runaway), 1, 0).ResistanceAt(decade.Conditions{Current: uncertainty.Exact(1)}), "×1 kΩ", thermal.ErrRunaway},
		{"temperature", at(t, box(t, warming()), 1, 0).ResistanceAt(decade.Conditions{Temperature: uncertainty.Exact(-300)}), "-300", decade.ErrDomain},
		{"current", at(t, box(t, warming()), 1, 0).ResistanceAt(decade.Conditions{Current: uncertainty.Exact(math.NaN())}), "NaN", nil},
		{"zero setting", decade.Setting{}.ResistanceAt(decade.Conditions{}), "zero Setting", decade.ErrNoBox},
	} {
		err := c.q.Err()
		if err == nil || c.err != nil && !errors.Is(err, c.err) || !strings.Contains(err.Error(), c.contains) {
			t.Errorf("%s: %v; want %v with %q", c.name, err, c.err, c.contains)
		}
	}
	for _, i := range []float64{math.NaN(), math.Inf(1)} {
		if _, err := at(t, box(t, warming()), 1, 0).SelfHeating(i); !errors.Is(err, decade.ErrNotFinite) {
			t.Errorf("SelfHeating(%v): %v", i, err)
		}
	}
	if v, err := s.Box().Zero().SelfHeating(1); v != 0 || err != nil {
		t.Errorf("all at zero: %v, %v", v, err)
	}
}

// The box in a warm room, under a current that warms it too.
func ExampleSetting_ResistanceAt() {
	box, err := decade.New(decade.Spec{Decades: []decade.Decade{
		{Step: 1000, Tolerance: 0.0001, Law: thermal.NewLaw(23, 15e-6, 0), ThermalResistance: 60},
	}})
	if err != nil {
		log.Fatal(err)
	}
	s, err := box.At(1)
	if err != nil {
		log.Fatal(err)
	}
	budget, err := uncertainty.Evaluate(s.ResistanceAt(decade.Conditions{
		Temperature: uncertainty.Input("box temperature", uncertainty.Rectangular(28, 1)),
		Current:     uncertainty.Input("current", uncertainty.Rectangular(0.01, 0.0005)),
	}))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.3f Ω, standard uncertainty %.3f Ω\n", budget.Estimate, budget.StandardUncertainty)
	// Output:
	// 1000.165 Ω, standard uncertainty 0.059 Ω
}
