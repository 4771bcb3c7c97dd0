// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/wire/winding"
)

var enamelled = winding.Wire{Bare: 0.32e-3, Covered: 0.36e-3}

func residuals(t *testing.T, w winding.Winding) winding.Residuals {
	t.Helper()
	return must[winding.Residuals](t)(w.Residuals())
}

// A single layer of loops is the closed form of Rosa and Nagaoka, plus the way along the
// former.
func TestLoopsAgainstClosedForm(t *testing.T) {
	for _, n := range []float64{1, 2, 10, 28.5, 100} {
		r := residuals(t, winding.Winding{Former: winding.Cylinder(0.02, 0.1), Wire: enamelled, Turns: n, Ohms: 10})
		want := must[float64](t)(winding.Solenoid{Turns: n, Radius: 0.01018, Pitch: 0.36e-3,
			Diameter: 0.32e-3}.Inductance()) + winding.MagneticConstant*axialTube(n*0.36e-3,
			0.01018)
		if !near(r.L, want, 2e-4) {
			t.Errorf("%v turns: loops %v H, closed form %v H", n, r.L, want)
		}
	}
}

// An isolated pair is too much for a close-wound one: neighbours that carry the opposite
// current reduce the inductance further and add capacitance.
func TestBifilarAgainstIsolatedPair(t *testing.T) {
	last := 1.0
	for _, n := range []float64{2, 10, 28, 100} {
		r := residuals(t, winding.Winding{Construction: winding.BifilarWinding,
			Former: winding.Cylinder(0.02, 0.1), Wire: enamelled, Turns: n, Ohms: 10,
			Medium: winding.EnamelPermittivity})
		pair := must[float64](t)(winding.Pair{Length: r.WireLength / 2, Spacing: 0.36e-3,
			Diameter: 0.32e-3, Internal: 1}.Inductance())
		c := must[float64](t)(winding.Pair{Length: r.WireLength / 2, Spacing: 0.36e-3,
			Diameter: 0.32e-3}.Capacitance(winding.EnamelPermittivity)) / 3
		if pair/r.L < last || r.C/c < 1.1 || r.C/c > 1.9 {
			t.Errorf("%v turns: %v H against %v, %v F against %v", n, r.L, pair, r.C, c)
		}
		t.Logf("%v turns: pair %+.0f %%, capacitance %.2f of the pair", n, (pair/r.L-1)*100, r.C/c)
		last = pair / r.L
	}
	// One pair alone on a large former is a pair.
	one := residuals(t, winding.Winding{
		Construction: winding.BifilarWinding, Former: winding.Cylinder(0.5, 0.1), Wire: enamelled, Turns: 1, Ohms: 10,
		Medium: winding.EnamelPermittivity,
	})
	pair := must[float64](t)(winding.Pair{Length: one.WireLength / 2, Spacing: 0.36e-3,
		Diameter: 0.32e-3, Internal: 1}.Inductance())
	if !near(one.L, pair, 5e-3) {
		t.Errorf("one pair %v H, straight %v H", one.L, pair)
	}
}

// Twice as far apart, the wires of a line have the capacitance of a line: the potential
// falls from the whole voltage to nothing, and a third of it counts.
func TestFoldCountsThird(t *testing.T) {
	w := winding.Winding{
		Construction: winding.BifilarWinding, Former: winding.Cylinder(0.1, 0.2),
		Wire:  winding.Wire{Bare: 0.32e-3, Covered: 0.32e-3},
		Turns: 4, Pitch: 40e-3, Spacing: 0.64e-3, Ohms: 10,
	}
	r := residuals(t, w)
	if want := must[float64](t)(winding.Pair{Length: r.WireLength / 2, Spacing: 0.64e-3,
		Diameter: 0.32e-3}.Capacitance(1)) / 3; !near(r.C, want, 0.05) {
		t.Errorf("%v F, want %v", r.C, want)
	}
}

// The wire makes the turns that it was computed from, in any construction.
func TestWithWireInverts(t *testing.T) {
	for c := winding.PlainWinding; c <= winding.WovenWinding; c++ {
		f := winding.Cylinder(0.02, 0.03)
		if c == winding.WovenWinding {
			f = winding.Card(0.03, 1e-3, 0.03)
		}
		w := winding.Winding{Construction: c, Former: f, Wire: enamelled, Turns: 25.25, Ohms: 10}
		r := residuals(t, w)
		back := must[winding.Winding](t)(w.WithWire(r.WireLength))
		if !near(back.Turns, 25.25, 1e-9) || r.Turns != 25.25 || !near(r.R, 10, 0) {
			t.Errorf("%v: %v turns, %+v", c, back.Turns, r.Lay)
		}
		if math.Abs(r.L) > 30e-6 || r.L <= 0 || r.C <= 0 || r.C > 1e-9 || r.InductanceWithin <= 0 ||
			r.CapacitanceWithin <= 0 {
			t.Errorf("%v: %+v", c, r)
		}
	}
}

// Parts of turns interpolate between whole ones, in both senses and all layers.
func TestPartsOfTurns(t *testing.T) {
	for c := winding.PlainWinding; c <= winding.WovenWinding; c++ {
		f := winding.Cylinder(0.02, 0.02)
		if c == winding.WovenWinding {
			f = winding.Card(0.03, 1e-3, 0.02)
		}
		at := func(n float64) winding.Residuals {
			return residuals(t, winding.Winding{Construction: c, Former: f, Wire: enamelled, Turns: n, Ohms: 10})
		}
		a, b, middle := at(21), at(22), at(21.5)
		if !near(middle.L, (a.L+b.L)/2, 0.02) || !near(middle.C, (a.C+b.C)/2, 0.05) {
			t.Errorf("%v: %v %v %v H, %v %v %v F", c, a.L, middle.L, b.L, a.C, middle.C, b.C)
		}
	}
}

// Iron wire has its own inductance inside.
func TestPermeableWire(t *testing.T) {
	w := winding.Winding{Construction: winding.BifilarWinding, Former: winding.Cylinder(0.02, 0.03),
		Wire: enamelled, Turns: 10, Ohms: 10}
	plain := residuals(t, w)
	w.Wire.Permeability = 100
	iron := residuals(t, w)
	if want := winding.MagneticConstant / (8 * math.Pi) * 99 * plain.WireLength; !near(iron.L-plain.L, want, 1e-3) {
		t.Errorf("%v H more, want %v", iron.L-plain.L, want)
	}
}

func TestResidualsAtFrequency(t *testing.T) {
	w := winding.Winding{Construction: winding.BifilarWinding, Former: winding.Cylinder(0.02, 0.03),
		Wire: enamelled, Turns: 10, Ohms: 1}
	w.Wire.Resistivity = 1.7e-8
	r := residuals(t, w)
	for _, f := range []float64{1e3, 1e5} {
		z := must[winding.Impedance](t)(r.Impedance(f))
		line := must[winding.Impedance](t)(winding.Line{R: r.R, L: r.L, C: 3 * r.C}.Impedance(f))
		x := must[float64](t)(winding.SkinEffect{Resistivity: 1.7e-8, Permeability: 1,
			Frequency: f}.Parameter(enamelled.Bare))
		skin := must[float64](t)(winding.ResistanceIncrease(x))
		if !near(z.Resistance-line.Resistance, skin, 0.01) || !near(real(z.Z), 1+z.Resistance, 1e-12) {
			t.Errorf("%v Hz: %v more than the line's, skin effect %v", f, z.Resistance-line.Resistance, skin)
		}
	}
	limits, err := r.TimeConstantLimits()
	if tau := must[float64](t)(r.TimeConstant()); err != nil || limits.Lower >= tau || limits.Upper <= tau {
		t.Errorf("%v within %v, %v", tau, limits, err)
	}
	f := must[float64](t)(r.FrequencyForMagnitude(0.001))
	if z := must[winding.Impedance](t)(r.Impedance(f)); !near(math.Abs(z.Magnitude), 0.001, 1e-6) {
		t.Errorf("%v Hz: %v", f, z.Magnitude)
	}
	// The phase is that of the line too, which the lumped circuit misses by per cent.
	f = must[float64](t)(r.FrequencyForPhase(0.3))
	if z := must[winding.Impedance](t)(r.Impedance(f)); !near(math.Abs(z.Phase), 0.3, 1e-6) {
		t.Errorf("%v Hz: %v rad", f, z.Phase)
	}
	ideal := winding.Residuals{Equivalent: winding.Equivalent{R: 10}}
	if _, err := ideal.FrequencyForMagnitude(0.01); !errors.Is(err, winding.ErrUnreachable) {
		t.Errorf("ideal resistor: %v", err)
	}
	if _, err := ideal.FrequencyForPhase(0.01); !errors.Is(err, winding.ErrUnreachable) {
		t.Errorf("ideal resistor: %v", err)
	}
	if _, err := r.FrequencyForPhase(2); !errors.Is(err, winding.ErrDomain) {
		t.Errorf("phase of 2 rad: %v", err)
	}
}

func TestRefusesWhatCannotBeWound(t *testing.T) {
	rod, mica := winding.Cylinder(0.02, 0.03), winding.Card(0.03, 1e-3, 0.03)
	bare := winding.Wire{Bare: 0.32e-3, Covered: 0.32e-3}
	for want, w := range map[string]winding.Winding{
		"Pitch: -0.001; expected 0 m or more":                          {Former: rod, Wire: enamelled, Pitch: -1e-3},
		"the turns would overlap: expected 0.36 mm at least":           {Former: rod, Wire: enamelled, Pitch: 0.3e-3},
		"the turns would overlap: expected 0.72 mm at least":           {Former: rod, Wire: enamelled, Pitch: 0.5e-3, Construction: winding.BifilarWinding},
		"the wires of the pair would overlap":                          {Former: rod, Wire: enamelled, Spacing: 0.3e-3, Construction: winding.BifilarWinding},
		"only a bifilar winding and a figure of eight have it":         {Former: rod, Wire: enamelled, Spacing: 1e-3},
		"bare wires would touch":                                       {Former: rod, Wire: bare},
		"Covered: 0.00032; expected more than the bare diameter":       {Former: rod, Wire: bare, Construction: winding.AyrtonPerryWinding, Pitch: 1e-3},
		"too thick for the former: expected a tenth of its diameter":   {Former: rod, Wire: winding.Wire{Bare: 4.5e-3, Covered: 4.6e-3}},
		"too thick for the former: expected the thickness of the card": {Former: mica, Wire: winding.Wire{Bare: 1.1e-3, Covered: 1.2e-3}},
		"Turns: 0.5; expected 1 to 1e5 turns":                          {Former: rod, Wire: enamelled, Turns: 0.5},
		"expected one layer: the winding space holds 41 turns":         {Former: rod, Wire: enamelled, Turns: 50, Construction: winding.AyrtonPerryWinding},
		"expected 200 layers at most":                                  {Former: rod, Wire: enamelled, Turns: 90000},
		"Covered: 0.0002; expected the bare diameter at least":         {Former: rod, Wire: winding.Wire{Bare: 0.3e-3, Covered: 0.2e-3}},
		"Permittivity: 0.5; expected a relative permittivity":          {Former: rod, Wire: winding.Wire{Bare: 0.3e-3, Covered: 0.4e-3, Permittivity: 0.5}},
		"Medium: 0.5; expected a relative permittivity":                {Former: rod, Wire: enamelled, Medium: 0.5},
		"Breadth: 0.02; expected 0 beside a diameter":                  {Former: winding.Former{Diameter: 0.02, Breadth: 0.02, Length: 0.03}, Wire: enamelled},
		"Diameter: 0; expected more than 0 m":                          {Former: winding.Former{Length: 0.03}, Wire: enamelled},
		"Diameter: 0.02; expected a flat former":                       {Former: rod, Wire: enamelled, Construction: winding.WovenWinding},
		"Breadth: 0.001; expected runs of five covered diameters":      {Former: winding.Card(1e-3, 1e-3, 0.03), Wire: enamelled, Construction: winding.WovenWinding},
		"Breadth: 0.03; expected two round formers":                    {Former: mica, Wire: enamelled, Construction: winding.FigureEightWinding},
		"Length: 0.0001; expected room for one turn":                   {Former: winding.Cylinder(0.02, 1e-4), Wire: enamelled},
		"Construction: 99; expected one of the constructions":          {Former: rod, Wire: enamelled, Construction: 99},
		"Ohms: -1; expected more than 0 Ω":                             {Former: rod, Wire: enamelled, Ohms: -1},
	} {
		if w.Turns == 0 {
			w.Turns = 10
		}
		if w.Ohms == 0 {
			w.Ohms = 10
		}
		if _, err := w.Residuals(); err == nil || !strings.Contains(err.Error(), want) ||
			!errors.Is(err, winding.ErrDomain) {
			t.Errorf("%q: %v", want, err)
		}
	}
	if _, err := (winding.Winding{Former: rod, Wire: enamelled, Ohms: 1}).WithWire(
		1e6); err == nil || !strings.Contains(err.Error(), "200 layers") {
		t.Errorf("a million metres: %v", err)
	}
	if _, err := (winding.Circles{Radius1: 1, Radius2: 1}).MutualInductance(); !errors.Is(err, winding.ErrDomain) {
		t.Errorf("circles that coincide: %v", err)
	}
	// The inductance goes with the size, at every size.
	small := must[float64](t)(winding.Circles{Radius1: 1, Radius2: 0.5, Distance: 0.25}.MutualInductance())
	large := must[float64](t)(winding.Circles{Radius1: 0x1p1000, Radius2: 0x1p999,
		Distance: 0x1p998}.MutualInductance())
	if large != small*0x1p1000 {
		t.Errorf("circles of 2¹⁰⁰⁰ m: %v; of 1 m: %v", large, small)
	}
	if got := winding.Construction(99).String(); got != "construction 99" {
		t.Errorf("unknown construction %q", got)
	}
}
