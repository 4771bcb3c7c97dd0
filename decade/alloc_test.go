// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
)

// complete is a box with everything that a setting can be asked for.
func complete() decade.Spec {
	s := rated()
	s.Capacitance, s.ResidualLaw = 1e-11, thermal.CopperConductor()
	for i := range s.Decades {
		d := &s.Decades[i]
		d.Inductance, d.Capacitance, d.MaxVoltage = 1e-8, 1e-12, 200
		d.Law, d.ThermalResistance = thermal.NewLaw(20, 1e-5, 0), 60
	}
	s.Decades[3].Code = decade.Code1234()
	return s
}

// What a setting says without a text or a quantity costs no memory.
func TestSettingAllocations(t *testing.T) {
	plain := box(t, complete())
	measured := measuredBox(t, complete(), func() float64 { return 1e-4 })
	for kind, b := range map[string]*decade.Box{"nominal": plain, "measured": measured} {
		s, other := at(t, b, 1, 2, 3, 4, 5), plain
		if b == plain {
			other = measured
		}
		for name, f := range map[string]func(){
			"IsValid": func() { _ = s.IsValid() }, "AllZero": func() { _ = s.AllZero() }, "Box": func() { _ = s.Box() },
			"Position": func() { _ = s.Position(1) }, "With": func() { _, _ = s.With(1, 3) }, "On": func() { _, _ = s.On(other) },
			"Nominal": func() { _ = s.Nominal() }, "Value": func() { _ = s.Value() }, "ClassLimit": func() { _ = s.ClassLimit() },
			"Limits": func() { _ = s.Limits() }, "Residual": func() { _ = s.Box().Residual() }, "Contacts": func() { _ = s.Contacts() },
			"Next": func() { _, _ = s.Next() }, "Previous": func() { _, _ = s.Previous() }, "Resolution": func() { _, _ = s.Resolution() },
			"TemperatureChange": func() { must(t)(s.TemperatureChange(30)) }, "SelfHeating": func() { must(t)(s.SelfHeating(0.01)) },
			"Leakage": func() { must(t)(s.Leakage(1e9)) }, "TimeConstant": func() { must(t)(s.TimeConstant()) },
			"UpperFrequency": func() { must(t)(s.UpperFrequency(1e-3)) }, "UpperPhaseFrequency": func() { must(t)(s.UpperPhaseFrequency(1e-3)) },
			"Impedance": func() {
				if _, err := s.Impedance(1e4); err != nil {
					t.Error(err)
				}
			},
			"Elements": func() {
				for range s.Elements() {
				}
			},
		} {
			if n := testing.AllocsPerRun(10, f); n != 0 {
				t.Errorf("%s of a %s box: %v allocations; want 0", name, kind, n)
			}
		}
	}
}

// A walk over all settings allocates at most the walk itself.
func TestSettingsAllocations(t *testing.T) {
	few := box(t, decades(2, 1, 10))
	count := 0
	if n := testing.AllocsPerRun(20, func() {
		for s := range few.Settings() {
			count += s.Position(0)
		}
	}); n > 1 {
		t.Errorf("%v allocations for 121 settings; want at most one", n)
	}
}

// must reports an error beside a value.
func must(t *testing.T) func(float64, error) {
	return func(_ float64, err error) {
		if err != nil {
			t.Error(err)
		}
	}
}
