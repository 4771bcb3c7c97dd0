// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

import "math"

// Units of resistivity met in wire tables: multiply by the constant to get SI units, divide to
// convert back. 290 Ω·cmil/ft is 290*material.OhmCircularMilPerFoot Ω·m.
const (
	// OhmCircularMilPerFoot is 1 Ω·cmil/ft in Ω·m, (π/4)(25.4 µm)²/0.3048 m.
	OhmCircularMilPerFoot = math.Pi / 4 * mil * mil / foot
	// MicrohmInch is 1 µΩ·in in Ω·m.
	MicrohmInch = 1e-6 * 1000 * mil
	// OhmGramPerSquareMetre is 1 Ω·g/m² of mass resistivity in Ω·kg/m².
	OhmGramPerSquareMetre = 1e-3
	// OhmPoundPerSquareMile is 1 Ω·lb/mile² of mass resistivity in Ω·kg/m².
	OhmPoundPerSquareMile = 0.45359237 / (5280 * foot * 5280 * foot)

	foot = 0.3048  // metre, exact
	mil  = 25.4e-6 // metre, exact
)

// The international annealed copper standard at 20 °C (IEC 60028:1925; NBS
// Handbook 100, section 1).
const (
	// IACSResistivity is that of 100 % IACS in Ω·m: 1/58 Ω·mm²/m by
	// definition, printed 0.017241. Wire tables of copper rest on it.
	IACSResistivity = 1e-6 / 58
	// IACSMassResistivity is the standard's other statement, 0.15328 Ω·g/m²,
	// in Ω·kg/m². Divided by the density of 8890 kg/m³ it gives a resistivity
	// that is 2.7e-5 above IACSResistivity: the two printed figures were rounded separately.
	IACSMassResistivity = 0.15328e-3
	// IACSDensity is the density of annealed copper in kg/m³ that the standard
	// assigns.
	IACSDensity = 8890
)

// Conductivity returns the conductivity of a material of resistivity rho, in
// Ω·m at 20 °C, as a fraction of the annealed copper standard: 0.61 means 61 %
// IACS.
func Conductivity(rho float64) (float64, error) {
	if err := checkMetal("material.Conductivity", rho); err != nil {
		return 0, err
	}
	// IEC 60028: 100 % IACS is 1/58 Ω·mm²/m at 20 °C.
	return finiteResult("material.Conductivity", "conductivity", IACSResistivity/rho)
}

// FromConductivity returns the resistivity in Ω·m at 20 °C of a material whose
// conductivity is the given fraction of the annealed copper standard (1 is
// 100 % IACS).
func FromConductivity(fraction float64) (float64, error) {
	const op = "material.FromConductivity"
	if err := checkPositive(op, "fraction", fraction, "(1 is 100 % IACS)"); err != nil {
		return 0, err
	}
	// No metal conducts twice as well as annealed copper; 61 for 61 % is the usual slip.
	if fraction > 2 {
		return 0, refuse(op, "fraction", fraction, ErrDomain,
			"expected 2 at most; is it in per cent?")
	}
	return finiteResult(op, "resistivity", IACSResistivity/fraction)
}

// MassResistivity returns the mass resistivity in Ω·kg/m² of a material of
// resistivity rho, Ω·m, and density, kg/m³:
//
//	δ = ρ × density = R m/l²
//
// for a wire of resistance R, mass m and length l (NBS Handbook 100, section
// 1). It needs no diameter, which is why line wire was bought by it.
func MassResistivity(rho, density float64) (float64, error) {
	const op = "material.MassResistivity"
	if err := checkPositive(op, "resistivity", rho, "Ω·m"); err != nil {
		return 0, err
	}
	if err := checkPositive(op, "density", density, "kg/m³"); err != nil {
		return 0, err
	}
	return finiteResult(op, "mass resistivity", rho*density)
}

// FromMassResistivity returns the resistivity in Ω·m of a material of mass
// resistivity delta, Ω·kg/m², and density, kg/m³. It inverts
// [MassResistivity].
func FromMassResistivity(delta, density float64) (float64, error) {
	const op = "material.FromMassResistivity"
	if err := checkPositive(op, "mass resistivity", delta, "Ω·kg/m²"); err != nil {
		return 0, err
	}
	if err := checkPositive(op, "density", density, "kg/m³"); err != nil {
		return 0, err
	}
	return finiteResult(op, "resistivity", delta/density)
}

// Inferred temperatures of zero resistance, °C: where the straight line of
// resistance against temperature, drawn on downwards, would meet zero. They
// are for thermal.LawFromZero; the copper of the table follows the coefficient
// 0.00393 1/K instead, whose zero is −234.453.
const (
	// CopperZero is that of copper of 100 % IACS in IEC 60228 annex B and IEC
	// 60034, 254.5/(234.5+t). Against the coefficient 0.00393 1/K it makes a
	// difference of 0.7 ppm for each kelvin from 20 °C.
	CopperZero = -234.5
	// AluminiumZero is that of aluminium conductors in IEC 60228 annex B,
	// 248/(228+t).
	AluminiumZero = -228
	// CableZero makes the rounded factors of IEC 60228 annex A, 250/(230+t),
	// used for both metals; at 80 °C they are 0.4 % off for copper.
	CableZero = -230
)
