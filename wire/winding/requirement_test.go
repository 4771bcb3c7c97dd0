// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/wire"
	"example.com/ohmwright/wire/winding"
)

var box = winding.Requirement{Ohms: 100, Former: winding.Cylinder(0.02, 0.04), Power: 0.5,
	MaxTimeConstant: 50e-9, MaxAlpha: 20e-6, Medium: 3}

func TestPlansKeepTheirLimits(t *testing.T) {
	for _, ohms := range []float64{1, 10, 100, 1000, 10000} {
		r := box
		r.Ohms = ohms
		r.MaxTimeConstant = max(50e-9, 200e-9/ohms)
		plans := must[[]winding.Plan](t)(r.Plans())
		for _, p := range plans {
			tau := must[float64](t)(p.TimeConstant())
			if math.Abs(tau) > r.MaxTimeConstant || p.Rise > 40 || p.Build > 5e-3 ||
				p.Width > 0.04*(1+1e-9) || p.Winding.Wire.Bare < 0.05e-3 ||
				math.Abs(p.Conductor.Material.Law.Alpha.Value) > 20e-6 || 10*p.Winding.Wire.Covered > 0.02 {
				t.Errorf("%v Ω: %v: τ %v s, %v K, %+v", ohms, p, tau, p.Rise, p.Lay)
			}
			// The wire has the resistance: its length times the ohms a metre, in parallel
			// if there are two.
			perMetre := must[float64](t)(p.Conductor.PerMetre(20))
			want := ohms
			if p.Winding.Construction == winding.AyrtonPerryWinding {
				want *= 4
			}
			if !near(p.WireLength*perMetre, want, 1e-9) || !near(p.Cut, p.WireLength*1.02, 1e-9) {
				t.Errorf("%v: %v m of wire, cut %v m", p, p.WireLength, p.Cut)
			}
			surface := must[float64](t)(r.Former.Surface(p.Lay))
			if !near(p.Rise, 0.5/surface/winding.StillAir, 1e-12) {
				t.Errorf("%v: rise %v K", p, p.Rise)
			}
		}
	}
}

// The figure that binds is named, with what the nearest plan has.
func TestPlansRefuse(t *testing.T) {
	for want, change := range map[string]func(*winding.Requirement){
		"limit not met: temperature rise": func(r *winding.Requirement) { r.Power = 2 },
		"limit not met: time constant":    func(r *winding.Requirement) { r.MaxTimeConstant = 1e-11 },
		"limit not met: thinnest wire":    func(r *winding.Requirement) { r.Ohms, r.Power, r.MaxTimeConstant, r.MaxHeight = 1e5, 0.01, 0, 0.2e-3 },
		"limit not met: shortest wire": func(r *winding.Requirement) {
			r.Former, r.Ohms, r.Power, r.MaxTimeConstant = winding.Cylinder(0.004, 0.04), 0.05, 0.001, 0
		},
		"limit not met: temperature coefficient": func(r *winding.Requirement) {
			r.MaxAlpha = 1e-6
			r.Materials = []material.Material{found("constantan")}
		},
		"Ohms: -1; expected more than 0 Ω":     func(r *winding.Requirement) { r.Ohms = -1 },
		"Spare: 2; expected 0.5 at most":       func(r *winding.Requirement) { r.Spare = 2 },
		"MaxRise: -1; expected 0 K or more":    func(r *winding.Requirement) { r.MaxRise = -1 },
		"Diameter: -1; expected more than 0 m": func(r *winding.Requirement) { r.Former.Diameter = -1 },
		"Temperature: NaN; expected a finite":  func(r *winding.Requirement) { r.Temperature = math.NaN() },
		"no wire of the tables fits": func(r *winding.Requirement) {
			r.Materials = []material.Material{material.New("spool of unknown coefficient", 0.45e-6, 20, thermal.Law{})}
		},
		"limits not met: thickest wire that the former takes, winding space": func(r *winding.Requirement) { r.Former = winding.Cylinder(1e-4, 1e-4) },
	} {
		r := box
		change(&r)
		plans, err := r.Plans()
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %d plans, %v", want, len(plans), err)
		}
	}
	r := box
	r.MaxTimeConstant = 1e-12
	if _, err := r.Plans(); !errors.Is(err, winding.ErrUnreachable) {
		t.Errorf("%v", err)
	}
}

func found(name string) material.Material {
	m, err := material.Find(name)
	if err != nil {
		panic(err)
	}
	return m
}

// Limits and choices narrow the plans.
func TestPlansFollowTheRequirement(t *testing.T) {
	r := box
	r.Materials = []material.Material{material.New("spool 3", 0.45e-6, 20, thermal.NewLaw(20, 2e-6, 0))}
	r.Constructions = []winding.Construction{winding.BifilarWinding}
	r.Covering = wire.CoveringDoubleSilk
	r.Gauges = wire.American
	plans := must[[]winding.Plan](t)(r.Plans())
	if len(plans) != 1 {
		t.Fatalf("%d plans", len(plans))
	}
	p := plans[0]
	if p.Conductor.Material.Name != "spool 3" || p.Conductor.Gauge.System() != wire.American ||
		p.Covering != wire.CoveringDoubleSilk ||
		!near(p.Winding.Wire.Covered-p.Winding.Wire.Bare, 4.2*25.4e-6, 1e-9) || p.Winding.Wire.Permittivity != 3 {
		t.Errorf("%v, %+v", p, p.Winding.Wire)
	}
	r.MinDiameter = 0.3e-3
	for _, p := range must[[]winding.Plan](t)(r.Plans()) {
		if p.Winding.Wire.Bare < 0.3e-3 {
			t.Errorf("%v in spite of 0.3 mm", p)
		}
	}
	// A plan is not improved by a wider limit of one that it keeps anyway.
	cold := box
	cold.MaxRise = 19.5
	for _, p := range must[[]winding.Plan](t)(cold.Plans()) {
		if p.Rise > 19.5 {
			t.Errorf("%v: %v K", p, p.Rise)
		}
	}
}

// A stated material is the only one that is tried, also where it is the first of the usual ones.
func TestPlansTryStatedMaterialsAlone(t *testing.T) {
	r := box
	for _, name := range []string{"manganin", "constantan"} {
		r.Materials = []material.Material{must[material.Material](t)(material.Find(name))}
		for _, p := range must[[]winding.Plan](t)(r.Plans()) {
			if p.Conductor.Material.Name != name {
				t.Errorf("%s was asked for: %v", name, p)
			}
		}
	}
}

// What a plan gives up is said where it is so.
func TestPlansSayWhatIsGivenUp(t *testing.T) {
	r := winding.Requirement{Ohms: 10000, Former: winding.Cylinder(0.02, 0.04), Power: 0.1}
	said := map[string]bool{}
	for _, p := range must[[]winding.Plan](t)(r.Plans()) {
		for _, s := range p.GivenUp {
			said[s] = true
		}
		text := strings.Join(p.GivenUp, "; ")
		for what, when := range map[string]bool{
			"takes no ordinary solder":   strings.HasPrefix(p.Conductor.Material.Name, "nickel-chromium"),
			"µV/K against copper":        math.Abs(p.Conductor.Material.EMF.Value) > 10e-6,
			"the inner layers":           p.Layers > 1,
			"breaks easily":              p.Winding.Wire.Bare < 0.08e-3,
			"four times the wire":        p.Winding.Construction == winding.AyrtonPerryWinding,
			"a slot along the former":    p.Winding.Construction == winding.ReversedTurnsWinding,
			"inductance is not":          p.Winding.Construction == winding.PlainWinding && p.L/p.R > p.R*p.C,
			"both ends lie side by side": p.Winding.Construction == winding.BifilarWinding && p.R*p.C > p.L/p.R,
		} {
			if strings.Contains(text, what) != when {
				t.Errorf("%v: %q, %q %v", p, text, what, when)
			}
		}
	}
	if len(said) < 5 {
		t.Errorf("only %v", said)
	}
}

// Iron is magnetic: at 1 kHz a wire of 1.3 mm has some 10 % more resistance, not the
// millionths of copper's permeability; and the figure is doubtful.
func TestSkinEffectOfMaterials(t *testing.T) {
	g := must[wire.Gauge](t)(wire.ParseGauge("1.25 mm"))
	at := func(name string) float64 {
		w := must[winding.Wire](t)(winding.NewWire(wire.Conductor{Material: found(name), Gauge: g},
			wire.CoveringNone, 20))
		mu := max(w.Permeability, 1)
		x := must[float64](t)(winding.SkinEffect{Resistivity: w.Resistivity, Permeability: mu,
			Frequency: 1000}.Parameter(w.Bare))
		return must[float64](t)(winding.ResistanceIncrease(x))
	}
	if iron := at("iron"); iron < 0.05 || iron > 0.2 {
		t.Errorf("iron %v", iron)
	}
	if manganin := at("manganin"); manganin > 1e-6 {
		t.Errorf("manganin %v", manganin)
	}
	iron := found("iron").Permeability
	if iron.High/iron.Value < 2 {
		t.Errorf("the range of iron's permeability is %v to %v", iron.Low, iron.High)
	}
	// A resistor of it says the same.
	w := must[winding.Wire](t)(winding.NewWire(wire.Conductor{Material: found("iron"), Gauge: g},
		wire.CoveringGrade2, 20))
	r := residuals(t, winding.Winding{Construction: winding.BifilarWinding,
		Former: winding.Cylinder(0.03, 0.1), Wire: w, Turns: 10, Ohms: 0.15})
	if z := must[winding.Impedance](t)(r.Impedance(1000)); !near(z.Resistance, at("iron"), 0.02) {
		t.Errorf("%v, wire alone %v", z.Resistance, at("iron"))
	}
	if _, err := winding.NewWire(wire.Conductor{Material: found("iron"),
		Gauge: must[wire.Gauge](t)(wire.Metric(0.02))}, wire.CoveringGrade2, 20); !errors.Is(err,
		wire.ErrNoGauge) {
		t.Error(err)
	}
}
