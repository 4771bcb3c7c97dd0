// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/thermal/material"
)

func TestUnstated(t *testing.T) {
	bronze := find(t, "phosphor bronze")
	none := material.New("", 1e-7, 20, thermal.NewLaw(20, 1e-3, 0))
	for name, f := range map[string]func() (float64, error){
		"law":          func() (float64, error) { return bronze.Resistivity(30) },
		"expansion":    func() (float64, error) { return none.VolumeResistivity(30) },
		"density":      func() (float64, error) { return none.MassResistivity(20) },
		"resistivity":  func() (float64, error) { return material.Material{}.Resistivity(20) },
		"coefficients": func() (float64, error) { c, err := none.Coefficients(20); return c.Resistance, err },
		"bronze":       func() (float64, error) { c, err := bronze.Coefficients(20); return c.Resistance, err },
	} {
		if v, err := f(); !errors.Is(err, material.ErrNotStated) || v != 0 {
			t.Errorf("%s: %v, %v", name, v, err)
		}
	}
	if rho := must[float64](t)(bronze.Resistivity(20)); rho != 0.115e-6 {
		t.Errorf("at its reference temperature: %v", rho)
	}
}

func TestMaterialRefuses(t *testing.T) {
	good := find(t, "copper")
	bad := func(change func(m *material.Material)) material.Material { m := good; change(&m); return m }
	for name, c := range map[string]struct {
		m    material.Material
		t    float64
		want error
	}{
		"NaN temperature":      {good, math.NaN(), material.ErrNotFinite},
		"Inf temperature":      {good, math.Inf(1), material.ErrNotFinite},
		"negative resistivity": {bad(func(m *material.Material) { m.ReferenceResistivity.Value = -1 }), 20, material.ErrDomain},
		"NaN resistivity":      {bad(func(m *material.Material) { m.ReferenceResistivity.Value = math.NaN() }), 20, material.ErrNotFinite},
		"no resistance left":   {good, -250, thermal.ErrDomain},
		"NaN law":              {bad(func(m *material.Material) { m.Law.Alpha.Value = math.NaN() }), 30, thermal.ErrNotFinite},
		"NaN reference":        {bad(func(m *material.Material) { m.ReferenceTemperature = math.NaN() }), 20, material.ErrNotFinite},
		"NaN expansion":        {bad(func(m *material.Material) { m.Expansion.Value = math.NaN() }), 30, material.ErrNotFinite},
		"shrinking to nothing": {bad(func(m *material.Material) { m.Expansion.Value = -1 }), 30, material.ErrDomain},
	} {
		for op, f := range map[string]func(float64) (float64, error){
			"Resistivity": c.m.Resistivity, "VolumeResistivity": c.m.VolumeResistivity, "MassResistivity": c.m.MassResistivity,
		} {
			if op == "Resistivity" && (name == "NaN expansion" || name == "shrinking to nothing") {
				continue
			}
			if v, err := f(c.t); !errors.Is(err, c.want) || v != 0 {
				t.Errorf("%s: %s = %v, %v", name, op, v, err)
			}
		}
		if _, err := c.m.Coefficients(c.t); err == nil {
			t.Errorf("%s: Coefficients: no error", name)
		}
	}
}

// The coefficients are the derivatives of what they belong to.
func TestCoefficientsAreDerivatives(t *testing.T) {
	ok := must[float64](t)
	const h = 0.01
	for _, name := range []string{"copper", "manganin", "aluminium", "brass 70/30"} {
		m := find(t, name)
		for _, at := range []float64{1, 20, 25, 59} {
			c := must[material.Coefficients](t)(m.Coefficients(at))
			for _, p := range []struct {
				f    func(float64) (float64, error)
				want float64
			}{{m.Resistivity, c.Resistance}, {m.VolumeResistivity, c.VolumeResistivity}, {m.MassResistivity, c.MassResistivity}} {
				got := (ok(p.f(at+h)) - ok(p.f(at-h))) / (2 * h) / ok(p.f(at))
				if math.Abs(got-p.want) > 1e-9 {
					t.Errorf("%s at %v °C: derivative %v, coefficient %v", name, at, got, p.want)
				}
			}
		}
	}
}

// The number in the text of an error has all its digits, and a material without a name
// is called a material.
func TestErrorTexts(t *testing.T) {
	if _, err := material.FromConductivity(100.25); err == nil || !strings.Contains(err.Error(), "100.25") {
		t.Errorf("100.25: %v", err)
	}
	nameless, named := material.Material{}, material.Material{Name: "own alloy"}
	if _, err := nameless.Resistivity(20); !errors.Is(err, material.ErrNotStated) ||
		!strings.Contains(err.Error(), `material: resistivity not stated`) {
		t.Errorf("nameless: %v; want it called material", err)
	}
	if _, err := named.Resistivity(20); !errors.Is(err, material.ErrNotStated) ||
		!strings.Contains(err.Error(), "own alloy") {
		t.Errorf("named: %v; want its name", err)
	}
}

func TestEndsOfConductivity(t *testing.T) {
	if rho, err := material.FromConductivity(2); err != nil || rho != material.IACSResistivity/2 {
		t.Errorf("FromConductivity(2) = %v, %v; want half the resistivity of the standard", rho, err)
	}
	if _, err := material.FromConductivity(math.Nextafter(2, 3)); !errors.Is(err, material.ErrDomain) {
		t.Errorf("FromConductivity above 2: %v; want ErrDomain", err)
	}
}

// A resistivity in µΩ·m is none in Ω·m, wherever it comes in.
func TestResistivityInOtherUnits(t *testing.T) {
	_, conductivity := material.Conductivity(1.7)
	_, own := material.New("x", 43, 20, thermal.Law{}).Resistivity(20)
	_, read := material.Read(strings.NewReader(`{"materials": [{"name": "spool 3", "resistivity": 43,
		"referenceTemperature": "20 °C"}]}`))
	for name, err := range map[string]error{"Conductivity": conductivity, "New": own, "Read": read} {
		if !errors.Is(err, material.ErrDomain) ||
			!strings.Contains(err.Error(), "expected at most 1e-3 Ω·m") {
			t.Errorf("%s: %v", name, err)
		}
	}
}
