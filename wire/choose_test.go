// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/wire"
)

func TestLengthAndResistanceRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	ok := must[float64](t)
	for m := range material.All() {
		if !m.ReferenceResistivity.Stated() {
			continue
		}
		for range 50 {
			g := must[wire.Gauge](t)(wire.Metric(1e-5 * math.Pow(10, 3*r.Float64())))
			c := wire.Conductor{Material: m, Gauge: g}
			at := 20 + 15*r.Float64() // inside every law
			if !m.Law.Stated() {
				at = m.ReferenceTemperature
			}
			ohms := math.Pow(10, -4+9*r.Float64())
			if back := ok(c.Resistance(ok(c.Length(ohms, at)), at)); !near(back, ohms, 1e-14) {
				t.Errorf("%s, %v: %v Ω comes back as %v", m.Name, g, ohms, back)
			}
			section := ok(wire.SectionFor(m, ohms, 2, at))
			side := math.Sqrt(section)
			if back := ok(wire.Bar{Length: 2, Width: side, Thickness: side}.Resistance(m,
				at)); !near(back, ohms, 1e-14) {
				t.Errorf("%s: section for %v Ω gives %v", m.Name, ohms, back)
			}
		}
	}
}

// Thinner wire of more length has more resistance; copper rises with temperature.
func TestMonotonic(t *testing.T) {
	ok := must[float64](t)
	copper := find(t, "copper")
	last := 0.0
	for g := range wire.Gauges(wire.American) {
		r := ok(wire.Conductor{Material: copper, Gauge: g}.PerMetre(20))
		if r <= last {
			t.Errorf("%v: %v Ω/m after %v", g, r, last)
		}
		last = r
	}
	c := wire.Conductor{Material: copper, Gauge: gauge(t, "1 mm")}
	for at := -50.0; at < 200; at++ {
		if ok(c.PerMetre(at+1)) <= ok(c.PerMetre(at)) {
			t.Errorf("at %v °C", at)
		}
	}
}

// 100 Ω of 0.2 mm wire, 0.43 µΩ·m: 13.687 Ω/m and 7.306 m, by hand from R = ρl/(πd²/4).
func TestLengthByHand(t *testing.T) {
	ok := must[float64](t)
	c := manganin(t)
	for printed, got := range map[string]float64{"13.687": ok(c.PerMetre(20)),
		"7.306": ok(c.Length(100, 20)), "0.7306": ok(c.Length(10, 20))} {
		if agrees, _ := uncertaintytest.Agrees(got, printed); !agrees {
			t.Errorf("%v, want %s", got, printed)
		}
	}
}

func TestConductorRefuses(t *testing.T) {
	good := manganin(t)
	nan, inf := math.NaN(), math.Inf(1)
	copper := find(t, "copper")
	lead := wire.Conductor{Material: copper, Gauge: good.Gauge}
	for name, f := range map[string]func(x float64) (float64, error){
		"Resistance": func(x float64) (float64, error) { return good.Resistance(x, 20) },
		"Length":     func(x float64) (float64, error) { return good.Length(x, 20) },
		"Mass":       good.Mass,
		"bar length": func(x float64) (float64, error) {
			return wire.Bar{Length: x, Width: 1, Thickness: 1}.Resistance(copper, 20)
		},
		"bar width": func(x float64) (float64, error) {
			return wire.Bar{Length: 1, Width: x, Thickness: 1}.Resistance(copper, 20)
		},
		"bar thick": func(x float64) (float64, error) {
			return wire.Bar{Length: 1, Width: 1, Thickness: x}.Resistance(copper, 20)
		},
		"lead":       func(x float64) (float64, error) { return wire.LeadResistance(lead, x, 20) },
		"SectionFor": func(x float64) (float64, error) { return wire.SectionFor(copper, x, 1, 20) },
		"for length": func(x float64) (float64, error) { return wire.SectionFor(copper, 1, x, 20) },
		"own density": func(x float64) (float64, error) {
			m := copper
			m.Density = material.Figure{Value: x}
			if x == 0 {
				m.Density = material.Figure{Value: -1}
			}
			return wire.Conductor{Material: m, Gauge: good.Gauge}.Mass(1)
		},
	} {
		for x, want := range map[float64]error{0: wire.ErrDomain, -1: wire.ErrDomain,
			inf: wire.ErrNotFinite, -inf: wire.ErrNotFinite} {
			if v, err := f(x); !errors.Is(err, want) || v != 0 {
				t.Errorf("%s of %v: %v, %v", name, x, v, err)
			}
		}
		if v, err := f(nan); !errors.Is(err, wire.ErrNotFinite) || v != 0 {
			t.Errorf("%s of NaN: %v, %v", name, v, err)
		}
	}
	for name, err := range map[string]error{
		"PerMetre":   second(wire.Conductor{Material: copper}.PerMetre(20)),
		"Resistance": second(wire.Conductor{Material: copper}.Resistance(1, 20)),
		"Length":     second(wire.Conductor{Material: copper}.Length(1, 20)),
		"Mass":       second(wire.Conductor{Material: copper}.Mass(1)),
	} {
		if !errors.Is(err, wire.ErrNoGauge) {
			t.Errorf("%s without a gauge: %v", name, err)
		}
	}
	for name, err := range map[string]error{
		"PerMetre":       second(good.PerMetre(nan)),
		"Resistance":     second(good.Resistance(1, nan)),
		"Length":         second(good.Length(1, nan)),
		"BarResistance":  second(wire.Bar{Length: 1, Width: 1, Thickness: 1}.Resistance(copper, nan)),
		"LeadResistance": second(wire.LeadResistance(lead, 1, nan)),
		"SectionFor":     second(wire.SectionFor(copper, 1, 1, nan)),
	} {
		if !errors.Is(err, wire.ErrNotFinite) {
			t.Errorf("%s at NaN °C: %v", name, err)
		}
	}
	if _, err := good.Length(1e308, 20); err != nil {
		t.Errorf("a large but finite length: %v", err)
	}
	if _, err := wire.SectionFor(copper, 1e-300, 1e300, 20); !errors.Is(err, wire.ErrNotFinite) {
		t.Errorf("overflow: %v", err)
	}
}

func second(_ float64, err error) error { return err }

func TestChooseKeepsItsLimits(t *testing.T) {
	limits := wire.Limits{MinLength: 0.5, MaxLength: 20, MinDiameter: 0.05e-3, Power: 0.5,
		MaxLoading: 3000, MaxCurrentDensity: 10e6}
	for _, s := range []wire.System{wire.American, wire.AmericanRounded, wire.Imperial, wire.MetricSizes} {
		all, err := wire.Choose(find(t, "manganin"), 10, 20, s, limits)
		if err != nil || len(all) == 0 {
			t.Fatalf("system %v: %v", s, err)
		}
		for i, c := range all {
			r := must[float64](t)(c.Resistance(c.Length, 20))
			loading := 0.5 / (math.Pi * c.Gauge.Diameter() * c.Length)
			density := math.Sqrt(0.5/10) / c.Gauge.Area()
			if !near(r, 10, 1e-12) || !near(c.Loading, loading, 1e-12) || !near(c.CurrentDensity, density, 1e-12) ||
				c.Length < 0.5 || c.Length > 20 || c.Gauge.Diameter() < 0.05e-3 || loading > 3000 || density > 10e6 {
				t.Errorf("%v: %+v", c.Gauge, c)
			}
			if i > 0 && all[i-1].Gauge.Compare(c.Gauge) <= 0 {
				t.Errorf("%v after %v", c.Gauge, all[i-1].Gauge)
			}
		}
	}
}

func TestChooseRefuses(t *testing.T) {
	m := find(t, "manganin")
	for _, c := range []struct {
		ohms   float64
		s      wire.System
		limits wire.Limits
		want   error
		text   string
	}{
		{0, wire.American, wire.Limits{}, wire.ErrDomain, "resistance: 0"},
		{math.NaN(), wire.American, wire.Limits{}, wire.ErrNotFinite, "resistance: NaN"},
		{10, 0, wire.Limits{}, wire.ErrNoGauge, "gauge system"},
		{10, wire.American, wire.Limits{MaxLoading: 100}, wire.ErrDomain, "expected the power"},
		{10, wire.American, wire.Limits{Power: -1}, wire.ErrDomain, "Power: -1"},
		{10, wire.American, wire.Limits{MinLength: 2, MaxLength: 1}, wire.ErrDomain, "no more than MaxLength"},
		{10, wire.American, wire.Limits{MaxLength: math.Inf(1)}, wire.ErrNotFinite, "MaxLength"},
		{1e9, wire.American, wire.Limits{MaxLength: 1}, wire.ErrNoGauge, "of 66 sizes 66 longer than MaxLength"},
		{10, wire.MetricSizes, wire.Limits{MinDiameter: 0.1, MinLength: 1e9}, wire.ErrNoGauge, "49 shorter than MinLength, 49 thinner than MinDiameter"},
		{10, wire.MetricSizes, wire.Limits{Power: 1e9, MaxLoading: 1, MaxCurrentDensity: 1}, wire.ErrNoGauge, "49 above MaxLoading, 49 above MaxCurrentDensity"},
	} {
		all, err := wire.Choose(m, c.ohms, 20, c.s, c.limits)
		if !errors.Is(err, c.want) || all != nil || !strings.Contains(fmt.Sprint(err), c.text) {
			t.Errorf("Choose(%v, %v, %+v): %v", c.ohms, c.s, c.limits, err)
		}
	}
}
