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

func seen(name, source, place, printed string) uncertaintytest.Published {
	return uncertaintytest.Published{Name: name, Source: source, Place: place, Printed: printed,
		Provenance: uncertaintytest.Seen}
}

func TestPublishedLeakage(t *testing.T) {
	for _, c := range []struct {
		ohms          float64
		name, printed string
	}{{1e6, "1 MΩ with a leak of 10 GΩ", "-99.99"}, {1e7, "10 MΩ with a leak of 10 GΩ", "-999.0"}} {
		s := at(t, box(t, decade.Spec{Decades: []decade.Decade{{Step: c.ohms}}}), 1)
		d, err := s.Leakage(10e9)
		if err != nil {
			t.Fatal(err)
		}
		common(c.name, "−R/(R + leak), in ppm", c.printed).Run(t, 1e6*d/c.ohms)
	}
}

// A leak known as "more than X" is one-sided: mean −R²/(2X), u = R²/(√12·X).
func TestLeakageOf(t *testing.T) {
	s := at(t, box(t, decade.Spec{Decades: []decade.Decade{{Step: 1e6}}}), 3)
	leak := uncertainty.Input("leakage conductance", decade.LeakAbove(1e12))
	b := evaluate(t, s.LeakageOf(leak))
	if math.Abs(b.Estimate/(-9e12/2e12)-1) > 1e-5 ||
		math.Abs(b.StandardUncertainty/(9e12/math.Sqrt(12)/1e12)-1) > 1e-5 {
		t.Errorf("%v, u %v; want -4.5 Ω and 2.598 Ω", b.Estimate, b.StandardUncertainty)
	}
	exact, err := s.Leakage(2e12)
	if err != nil || math.Abs(b.Estimate/exact-1) > 1e-12 {
		t.Errorf("%v; Leakage says %v, %v", b.Estimate, exact, err)
	}
	for _, q := range []uncertainty.Quantity{
		s.LeakageOf(uncertainty.Exact(-1)), s.LeakageOf(uncertainty.Quantity{}), decade.Setting{}.LeakageOf(leak),
		s.LeakageOf(uncertainty.Input("g", decade.LeakAbove(0))), s.LeakageOf(uncertainty.Input("g", decade.LeakAbove(-1))),
	} {
		if _, err := uncertainty.Evaluate(q); err == nil {
			t.Errorf("%v: want an error", q)
		}
	}
}

// What is stated in another unit than a function takes is refused: 1 mA is no ampere, 303 K no
// temperature in °C, 10 GΩ no conductance and 1 kHz no hertz.
func TestQuantitiesInOtherUnits(t *testing.T) {
	s := at(t, box(t, decade.Spec{Decades: []decade.Decade{{Step: 100,
		Law: thermal.NewLaw(20, 1e-5, 0), ThermalResistance: 50, Inductance: 1e-8}}}), 3)
	in := func(x float64, symbol string) uncertainty.Quantity {
		return uncertainty.Source{Name: "q", Unit: symbol, Distribution: uncertainty.Normal(x, 1e-3*x)}.Input()
	}
	for name, c := range map[string][2]uncertainty.Quantity{ // refused, taken
		"current":     {s.ResistanceAt(decade.Conditions{Current: in(1, "mA")}), s.ResistanceAt(decade.Conditions{Current: in(1e-3, "A")})},
		"temperature": {s.ResistanceAt(decade.Conditions{Temperature: in(303.15, "K")}), s.ResistanceAt(decade.Conditions{Temperature: in(30, "°C")})},
		"change":      {s.TemperatureChangeOf(in(303.15, "K")), s.TemperatureChangeOf(in(30, "°C"))},
		"leak":        {s.LeakageOf(in(10, "GΩ")), s.LeakageOf(in(1e-10, "S"))},
		"frequency":   {s.ImpedanceOf(in(1, "kHz")).Im, s.ImpedanceOf(in(1000, "Hz")).Im},
	} {
		if b, err := uncertainty.Evaluate(c[0]); !errors.Is(err, uncertainty.ErrUnitMismatch) {
			t.Errorf("%s in another unit: %v, error %v", name, b, err)
		}
		if b, err := uncertainty.Evaluate(c[1]); err != nil || b.Unit != "Ω" {
			t.Errorf("%s: %+v, error %v", name, b, err)
		}
	}
}

func TestLeakageRefuses(t *testing.T) {
	s := at(t, box(t, bench()), 1, 0, 0, 0, 0)
	for name, c := range map[string]struct {
		err      error
		contains string
	}{
		"leak":             {second(s.Leakage(0)), "leak: 0 Ω"},
		"leak, no setting": {second(decade.Setting{}.Leakage(1)), "zero Setting"},
	} {
		if _, ok := errors.AsType[*decade.Error](c.err); !ok || !strings.Contains(c.err.Error(), c.contains) {
			t.Errorf("%s: %v; want a *decade.Error with %q", name, c.err, c.contains)
		}
	}
}
