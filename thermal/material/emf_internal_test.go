// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// A figure that is followed was seen or quoted where any was; whatever else is printed is
// in the lines beside it.
func TestFollowedEMFs(t *testing.T) {
	lines := 0
	for m := range All() {
		var known []Known
		found := !m.EMF.Stated() || m.EMF.Known == KnownDerived
		for p := range PublishedValues(m.Name) {
			e, ok := p.ThermalEMF()
			if !ok {
				continue
			}
			lines++
			known = append(known, p.Known)
			if e.Low > e.High || p.EMF != "" && e == (thermal.EMF{}) {
				t.Errorf("%+v", p)
			}
			got, err := m.ThermalEMF()
			if err != nil {
				t.Errorf("%s: %v although %s prints %s", m.Name, err, p.Source, p.EMF)
			}
			found = found || p.Source == m.EMF.Document && p.Known == m.EMF.Known &&
				math.Abs(got.Low-e.Low) < 1e-15 && math.Abs(got.High-e.High) < 1e-15
		}
		if !found {
			t.Errorf("%s: no line of %q prints the EMF %v, %v to %v", m.Name, m.EMF.Document,
				m.EMF.Value, m.EMF.Low, m.EMF.High)
		}
		if m.EMF.Known == KnownMemory && (slices.Contains(known, KnownSeen) || slices.Contains(known, KnownQuoted)) {
			t.Errorf("%s follows memory although another value was seen", m.Name)
		}
	}
	if lines < 36 {
		t.Errorf("%d lines about EMF", lines)
	}
}

// Every published EMF is in the table, digit for digit: of the lines about a
// material the nearest is compared.
func TestPublishedEMF(t *testing.T) {
	names := map[string]string{
		"copper (clean)": "copper", "brass": "brass 70/30", "beryllium (copper)": "beryllium copper",
		"Fe-Ni-Co sealing alloy": "iron-nickel-cobalt sealing alloy", "constantan (Cu-Ni 45)": "constantan",
		"Ni-Cr-Al class alloy": "nickel-chromium-aluminium-copper",
	}
	for _, r := range readRows(t) {
		if r.table != "EMF" {
			continue
		}
		name, _, _ := strings.Cut(r.inputs, " (relative")
		if other, ok := names[r.inputs]; ok {
			name = other
		}
		printed := numbers.FindString(r.printed)
		want := must(t, r.id)(parse(printed))
		best := math.Inf(1)
		for p := range PublishedValues(name) {
			e, ok := p.ThermalEMF()
			if got := e.High * 1e6; ok && math.Abs(got-want) < math.Abs(best-want) {
				best = got
			}
		}
		r.published(printed).Run(t, best)
	}
}

// The signs: that constantan, nickel, platinum, lead and gold-chromium are negative against
// copper, and iron positive, is common knowledge of the trade; where a source states a
// magnitude, both signs are in.
func TestSignsOfTheEMFs(t *testing.T) {
	for _, name := range []string{"constantan", "nickel", "platinum", "lead", "gold-chromium"} {
		for p := range PublishedValues(name) {
			if e, ok := p.ThermalEMF(); ok && e.High >= 0 {
				t.Errorf("%+v: not negative against copper", p)
			}
		}
	}
	for p := range PublishedValues("iron") {
		if e, ok := p.ThermalEMF(); ok && e.Low <= 0 {
			t.Errorf("%+v: not positive against copper", p)
		}
	}
	for _, c := range []struct {
		printed   string
		low, high float64
		ok        bool
	}{{"±3", -3e-6, 3e-6, true}, {"-2 to -1", -2e-6, -1e-6, true}, {"13.4", 13.4e-6, 13.4e-6, true}, {"", 0, 0, false}, {"0 to x", 0, 0, false}} {
		e, ok := Published{EMF: c.printed}.ThermalEMF()
		if ok != c.ok || math.Abs(e.Low-c.low) > 1e-18 || math.Abs(e.High-c.high) > 1e-18 {
			t.Errorf("%q: %+v, %v", c.printed, e, ok)
		}
	}
}

// The table follows the reference function of copper against constantan at 20 °C.
func TestConstantanFollowsTheFunction(t *testing.T) {
	slope := must(t, "")(thermal.ConstantanSeebeck(20))
	if ok, err := uncertaintytest.Agrees(1e6*slope, "40.27"); !ok || err != nil ||
		named(t, "constantan").EMF.Value != -40.27e-6 {
		t.Errorf("%v against the slope %v of the function: %v", named(t, "constantan").EMF.Value, slope, err)
	}
	if _, err := named(t, "tungsten").ThermalEMF(); !errors.Is(err, ErrNotStated) {
		t.Errorf("tungsten: %v; expected ErrNotStated", err)
	}
}

// The quadratic coefficient of the alloy that is flattest at 25 °C is negative: its
// resistance has a maximum there (common practice).
func TestBendOfTheFlatAlloy(t *testing.T) {
	a := named(t, "nickel-chromium-aluminium-copper")
	for _, at := range []float64{-55, 125} {
		if r, err := a.Law.Exact().Ratio(at); err != nil || !(r < 1) {
			t.Errorf("R(%v °C)/R(25 °C) = %v, %v; want less than 1", at, r, err)
		}
	}
}
