// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"errors"
	"math"
	"testing"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire"
)

func exact(v float64) uncertainty.Quantity { return uncertainty.Exact(v) }

func evaluate(t testing.TB, q uncertainty.Quantity) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func manganin(t testing.TB) wire.Conductor {
	t.Helper()
	return wire.Conductor{Material: find(t, "manganin"), Gauge: gauge(t, "0.2 mm")}
}

// The estimates of a spool are the numbers of its conductor, at every temperature.
func TestSpoolAgreesWithConductor(t *testing.T) {
	for m := range material.All() {
		c := wire.Conductor{Material: m, Gauge: gauge(t, "0.2 mm")}
		s := c.Spool(m.Name, 2e-6)
		for _, at := range []float64{m.ReferenceTemperature, 0, 25, 60} {
			want, err := c.PerMetre(at)
			got := s.PerMetreOf(exact(at))
			if (err != nil) != (got.Err() != nil) {
				t.Errorf("%s at %v °C: conductor %v, spool %v", m.Name, at, err, got.Err())
			}
			if err == nil && !near(got.Estimate(), want, 1e-13) {
				t.Errorf("%s at %v °C: %v Ω/m, want %v", m.Name, at, got.Estimate(), want)
			}
		}
	}
}

// To first order u(l)/l is the root sum of u(ρ)/ρ and 2u(d)/d, both rectangular.
func TestLengthBudget(t *testing.T) {
	s := manganin(t).Spool("spool 3", 0.002e-3)
	b := evaluate(t, s.LengthOf(exact(10), exact(20)))
	want := math.Hypot(0.043/0.43, 2*0.002/0.2) / math.Sqrt(3)
	if !near(b.Estimate, 0.7306029, 1e-7) {
		t.Errorf("length %v m", b.Estimate)
	}
	if u := b.StandardUncertainty / b.Estimate; !near(u, want, 1e-4) {
		t.Errorf("u/l = %v, want %v", u, want)
	}
}

// What was cut, read back: lengths of one spool share its inputs, a ratio of them is free of them.
func TestSpoolIsSharedByItsLengths(t *testing.T) {
	s := manganin(t).Spool("spool 3", 0.002e-3)
	one, ten := s.ResistanceOf(exact(1), exact(20)), s.ResistanceOf(exact(10), exact(20))
	if u := evaluate(t, one).StandardUncertainty / one.Estimate(); u < 0.05 {
		t.Errorf("one length: u/R = %v", u)
	}
	if b := evaluate(t, ten.Div(one)); b.StandardUncertainty > 1e-12 || !near(b.Estimate, 10, 1e-12) {
		t.Errorf("ratio of two lengths: %v, u %v", b.Estimate, b.StandardUncertainty)
	}
	back := s.LengthOf(ten, exact(20))
	if b := evaluate(t, back); b.StandardUncertainty > 1e-12 || !near(b.Estimate, 10, 1e-12) {
		t.Errorf("length of the resistance of 10 m: %v, u %v", b.Estimate, b.StandardUncertainty)
	}
	cut := uncertainty.Input("cut", uncertainty.Rectangular(0.73, 0.5e-3))
	known := evaluate(t, wire.MeasuredSpool("spool 3", exact(13.7), 0.2e-3,
		thermal.UncertainLaw{}).ResistanceOf(cut, exact(20)))
	if !near(known.StandardUncertainty, 13.7*0.5e-3/math.Sqrt(3), 1e-9) {
		t.Errorf("u of a cut of a known wire: %v", known.StandardUncertainty)
	}
}

func TestMeasuredSpool(t *testing.T) {
	perMetre := uncertainty.Input("ohms per metre", uncertainty.Normal(13.61, 0.01))
	law := thermal.UncertainLaw{Reference: 23, Alpha: exact(10e-6)}
	s := wire.MeasuredSpool("spool 3", perMetre, 0.2e-3, law)
	at := evaluate(t, s.PerMetreOf(exact(33)))
	if !near(at.Estimate, 13.61*(1+100e-6), 1e-12) || !near(at.StandardUncertainty, 0.01, 1e-3) {
		t.Errorf("%v, u %v", at.Estimate, at.StandardUncertainty)
	}
	if d := s.Diameter.Estimate(); d != 0.2e-3 {
		t.Errorf("diameter %v", d)
	}
}

func TestSpoolCarriesErrors(t *testing.T) {
	good := manganin(t)
	none := wire.Conductor{Material: find(t, "phosphor bronze"), Gauge: good.Gauge}
	for name, c := range map[string]struct {
		q    uncertainty.Quantity
		want error
	}{
		"no gauge":            {wire.Conductor{Material: good.Material}.Spool("s", 0).PerMetreOf(exact(20)), wire.ErrNoGauge},
		"no material":         {wire.Conductor{Gauge: good.Gauge}.Spool("s", 0).PerMetreOf(exact(20)), wire.ErrNotStated},
		"negative tolerance":  {good.Spool("s", -1e-6).PerMetreOf(exact(20)), wire.ErrDomain},
		"tolerance in mm":     {good.Spool("s", 0.002).PerMetreOf(exact(20)), wire.ErrDomain},
		"NaN tolerance":       {good.Spool("s", math.NaN()).PerMetreOf(exact(20)), wire.ErrNotFinite},
		"no law":              {none.Spool("s", 0).PerMetreOf(exact(25)), wire.ErrNotStated},
		"measured, bad":       {wire.MeasuredSpool("s", exact(1), -1, thermal.UncertainLaw{}).PerMetreOf(exact(20)), wire.ErrDomain},
		"zero quantity":       {good.Spool("s", 0).LengthOf(uncertainty.Quantity{}, exact(20)), uncertainty.ErrNoQuantity},
		"no temperature":      {good.Spool("s", 0).LengthOf(exact(10), uncertainty.Quantity{}), uncertainty.ErrNoQuantity},
		"none, zero quantity": {none.Spool("s", 0).PerMetreOf(uncertainty.Quantity{}), uncertainty.ErrNoQuantity},
	} {
		if _, err := uncertainty.Evaluate(c.q); !errors.Is(err, c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// A law given later is believed.
	s := none.Spool("s", 0)
	s.Law = thermal.UncertainLaw{Reference: 20, Alpha: exact(1e-3)}
	if q := s.PerMetreOf(exact(30)); q.Err() != nil ||
		!near(q.Estimate(), must[float64](t)(none.PerMetre(20))*1.01, 1e-12) {
		t.Errorf("own law: %v", q)
	}
}
