// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material_test

import (
	"errors"
	"math"
	"testing"

	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func TestPublishedConductivity(t *testing.T) {
	ok := must[float64](t)
	fromMass := ok(material.FromMassResistivity(material.IACSMassResistivity, material.IACSDensity))
	mass := ok(material.MassResistivity(material.IACSResistivity, material.IACSDensity))
	const gram = material.OhmGramPerSquareMetre
	mercury := ok(material.MassResistivity(9.4070e-7, 13595.1))
	lineWire := 8.782 * 100 * material.OhmPoundPerSquareMile
	copper := find(t, "copper")
	slope := must[material.Coefficients](t)(copper.Coefficients(20))
	standard := ok(copper.MassResistivity(15.556))
	run(t, []worked{
		{"D1 resistivity, µΩ·cm", hb + ", as quoted", "1.7241", uncertaintytest.Seen, material.IACSResistivity * 1e8, ""},
		{"D1 from mass resistivity, Ω·mm²/m", hb + ", as quoted", "0.017241", uncertaintytest.Seen, fromMass * 1e6, "0.15328/8.89 is 0.0172418: the standard's two figures are rounded apart"},
		{"D1 mass resistivity, Ω·g/m²", hb + ", as quoted", "0.15328", uncertaintytest.Seen, mass / gram, ""},
		{"D2 Ω·lb/mile²", hb, "875.20", uncertaintytest.FromMemory, mass / material.OhmPoundPerSquareMile, ""},
		{"D2 Ω·cmil/ft", hb, "10.371", uncertaintytest.FromMemory, material.IACSResistivity / material.OhmCircularMilPerFoot, ""},
		{"D2 µΩ·in", hb, "0.67879", uncertaintytest.FromMemory, material.IACSResistivity / material.MicrohmInch, ""},
		{"D3 annealed, C.G.S.", eb11, "1594", uncertaintytest.Seen, ok(material.FromMassResistivity(0.1421*gram, 8912)) * 1e11, ""},
		{"D4 hard-drawn, C.G.S.", eb11, "1626", uncertaintytest.Seen, ok(material.FromMassResistivity(0.14493*gram, 8912)) * 1e11, ""},
		{"D7 mercury, C.G.S.", eb11, "94070", uncertaintytest.Seen, 1e-6 / 1.063 * 1e11, "the column of the international ohm gives 94073.4"},
		{"D8 mercury, Ω·g/m²", eb11, "12.789", uncertaintytest.Seen, mercury / gram, ""},
		{"D9 1 Ω·cmil/ft", lec, "1.66243e-9", uncertaintytest.Seen, material.OhmCircularMilPerFoot, ""},
		{"D10 mass resistivity per kelvin, Ω·g/m²", hb, "0.000597", uncertaintytest.FromMemory, mass / gram * slope.MassResistivity, ""},
		{"D10 resistivity per kelvin, µΩ·cm", hb, "0.00681", uncertaintytest.FromMemory, material.IACSResistivity * 1e8 * slope.VolumeResistivity, ""},
	})
	// D11: post-office line wire of 100 lb a mile has 8.782 Ω per mile at 60 °F
	// (Encyclopaedia Britannica, 11th ed., Telegraph; seen); that is 97.9 % conductivity.
	if fraction := standard / lineWire; math.Abs(fraction-0.979) > 0.0005 {
		t.Errorf("D11: %v", fraction)
	}
	// D5: 0.150822 against 0.1421 and 0.153858 against 0.14493 Ω·g/m² at 15.556 and
	// 0 °C, that is coefficients of 0.0039458 and 0.0039601 (the same source); a
	// fact about that copper, which the package does not offer.
	for _, d := range [][3]float64{{0.150822, 0.1421, 0.0039458}, {0.153858, 0.14493, 0.0039601}} {
		if alpha := (d[0]/d[1] - 1) / 15.556; math.Abs(alpha-d[2]) > 5e-7 {
			t.Errorf("D5: %v", alpha)
		}
	}
}

func TestConductivityRoundTrips(t *testing.T) {
	ok := must[float64](t)
	for rho := 1e-9; rho < 1e-3; rho *= 1.7 {
		if fraction := ok(material.Conductivity(rho)); fraction <= 2 &&
			!near(ok(material.FromConductivity(fraction)), rho, 1e-15) {
			t.Errorf("conductivity of %v", rho)
		}
		if !near(ok(material.FromMassResistivity(ok(material.MassResistivity(rho, 8890)), 8890)), rho, 1e-15) {
			t.Errorf("mass resistivity of %v", rho)
		}
	}
}

func TestConductivityRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	two := func(f func(a, b float64) (float64, error)) func(float64) []error {
		return func(x float64) []error { _, e1 := f(x, 1); _, e2 := f(1, x); return []error{e1, e2} }
	}
	one := func(f func(a float64) (float64, error)) func(float64) []error {
		return func(x float64) []error { _, e := f(x); return []error{e} }
	}
	for name, f := range map[string]func(float64) []error{
		"Conductivity": one(material.Conductivity), "FromConductivity": one(material.FromConductivity),
		"MassResistivity": two(material.MassResistivity), "FromMassResistivity": two(material.FromMassResistivity),
	} {
		for x, want := range map[float64]error{0: material.ErrDomain, -1: material.ErrDomain,
			inf: material.ErrNotFinite} {
			for _, err := range f(x) {
				if !errors.Is(err, want) {
					t.Errorf("%s(%v): %v", name, x, err)
				}
			}
		}
		for _, err := range f(nan) {
			if !errors.Is(err, material.ErrNotFinite) {
				t.Errorf("%s(NaN): %v", name, err)
			}
		}
	}
	if _, err := material.FromConductivity(61); !errors.Is(err, material.ErrDomain) {
		t.Errorf("61 for 61 %%: %v", err)
	}
	if _, err := material.MassResistivity(1e300, 1e300); !errors.Is(err, material.ErrNotFinite) {
		t.Errorf("overflow: %v", err)
	}
}
