// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"example.com/ohmwright/decade"
	"example.com/ohmwright/examples/pictures/internal/chart"
)

// impedance shows how far the magnitude of the impedance is from the resistance: low
// settings are inductive, high ones capacitive, and in between the box is at its best.
func impedance() (*chart.Figure, error) {
	box, err := strayBox()
	if err != nil {
		return nil, err
	}
	var settings []decade.Setting
	for _, ohms := range []float64{1, 10, 100, 10e3, 100e3} {
		s, err := box.SettingFor(ohms)
		if err != nil {
			return nil, err
		}
		settings = append(settings, s)
	}
	return chart.Impedance(settings, "Impedance error of a decade box against frequency",
		"Invented stray reactances, to one digit. Dotted: 0.1 %, with the frequency at which "+
			"each setting reaches it.")
}

func strayBox() (*decade.Box, error) {
	spec := decade.Spec{Name: "bench box", Residual: 0.012, Capacitance: 20e-12}
	for _, step := range []float64{10e3, 1e3, 100, 10, 1} {
		spec.Decades = append(spec.Decades, decade.Decade{
			Step: step, Inductance: step * 2e-9, Capacitance: 5e-12,
			DialInductance: 30e-9, DialCapacitance: 10e-12,
		})
	}
	for i := range spec.Decades {
		// A short wire has its inductance whatever its resistance.
		spec.Decades[i].Inductance += 20e-9
	}
	return decade.New(spec)
}
