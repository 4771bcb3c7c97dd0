// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/wire/internal/quantity"
)

// AyrtonPerryInductance returns the inductance in henries of an Ayrton–Perry
// winding, two equal windings in opposite sense in parallel:
//
//	L = (L1 − M)/2 = L1 (1 − k)/2
//
// from the inductance L1 of one winding and the coupling k between the two, 0
// to 1. Its resistance is half of that of one winding, so each is wound to
// twice the value. Its capacitance is small, since the wires that cross are at
// nearly equal potential; it is preferred to bifilar above about 100 Ω (common
// practice).
//
// k depends on how closely the windings lie and is best found by measuring L.
// On a thin card 0.98 to 0.995 is usual (from memory).
func AyrtonPerryInductance(one, coupling float64) (float64, error) {
	const op = "winding.AyrtonPerryInductance"
	if err := positive(op, arg{"one", one, "H"}); err != nil {
		return 0, err
	}
	if err := notNegative(op, arg{"coupling", coupling, ""}); err != nil {
		return 0, err
	}
	if coupling > 1 {
		return 0, domain(op, arg{"coupling", coupling, ""}, "expected 0 to 1")
	}
	return one * (1 - coupling) / 2, nil
}

// AyrtonPerryInductanceOf is [AyrtonPerryInductance] of quantities.
func AyrtonPerryInductanceOf(one, coupling uncertainty.Quantity) uncertainty.Quantity {
	return quantity.Of(quantity.Function{
		Name: "Ayrton–Perry inductance", Unit: "H", Units: []string{"H", ""},
		Of: func(x []float64) (float64, error) { return AyrtonPerryInductance(x[0], x[1]) },
		Change: func(d, x []float64) {
			d[0], d[1] = (1-x[1])/2, -x[0]/2
		},
	}, one, coupling)
}

// SelfCapacitance returns the capacitance in farads across a single-layer coil
// with one end earthed, from its mean diameter and length in metres:
//
//	C/pF = H D/cm,  H = 0.1126 u + 0.08 + 0.27/√u,  u = l/D
//
// an empirical rule (Medhurst, Wireless Engineer 24, 1947, from memory) that
// agrees with its own table within 8 %. u from 0.1 to 50. It is for coils in
// the open, without a core or a case near by; leads add to it.
func SelfCapacitance(diameter, length float64) (float64, error) {
	const op = "winding.SelfCapacitance"
	if err := positive(op, arg{"diameter", diameter, "m"}, arg{"length", length, "m"}); err != nil {
		return 0, err
	}
	// The range of the table that the rule was fitted to.
	u := length / diameter
	if u < 0.1 || u > 50 {
		return 0, domain(op, arg{"length", length, ""}, "expected 0.1 to 50 of the diameter")
	}
	perCentimetre := float64(0.1126*u) + 0.08 + 0.27/math.Sqrt(u)
	// pF per cm are 1e-10 F/m.
	return perCentimetre * 1e-10 * diameter, nil
}

// StripTimeConstant returns the time constant in seconds of a resistor of thin
// strip, folded in the middle over a thin insulator, where inductance rules:
//
//	τ = L/R = µ0 t (s + 2t/3)/(2ρ)
//
// for a strip of thickness t and resistivity ρ, Ω·m, whose faces are s apart,
// lengths in metres. The width has to be large against the thicknesses; width
// and length cancel.
func StripTimeConstant(thickness, separation, resistivity float64) (float64, error) {
	const op = "winding.StripTimeConstant"
	if err := positive(op, arg{"thickness", thickness, "m"}, arg{"separation", separation, "m"},
		arg{"resistivity", resistivity, "Ω·m"}); err != nil {
		return 0, err
	}
	return result(op, "time constant",
		MagneticConstant*thickness*(separation+2*thickness/3)/(2*resistivity))
}
