// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"example.com/ohmwright/wire"
)

// Wire is an insulated round wire of a winding.
type Wire struct {
	Bare    float64 // m, diameter of the metal
	Covered float64 // m, overall diameter with the insulation
	// Permittivity of the covering, relative; 0: [EnamelPermittivity].
	Permittivity float64
	// Resistivity in Ω·m, for skin effect; 0: skin effect is left out.
	Resistivity float64
	// Permeability of the metal, relative; 0: 1, a metal that is not magnetic.
	Permeability float64
}

// EnamelPermittivity is the relative permittivity of enamel that a [Wire] without its
// own is taken to have (common practice: 3 to 4 for the resins in use).
const EnamelPermittivity = 3.5

// permittivity and permeability are the stated values or the defaults.
func (w Wire) permittivity() float64 {
	if w.Permittivity > 0 {
		return w.Permittivity
	}
	return EnamelPermittivity
}

func (w Wire) permeability() float64 {
	if w.Permeability > 0 {
		return w.Permeability
	}
	return 1
}

// checkWire refuses what is no insulated wire.
func (w Wire) checkWire(op string) error {
	if err := positive(op, arg{"Bare", w.Bare, "m"}, arg{"Covered", w.Covered, "m"}); err != nil {
		return err
	}
	if w.Covered < w.Bare {
		return domain(op, arg{"Covered", w.Covered, ""}, "expected the bare diameter at least")
	}
	// 0 is the default of all three.
	if err := notNegative(op, arg{"Permittivity", w.Permittivity, ""},
		arg{"Resistivity", w.Resistivity, "Ω·m"}, arg{"Permeability", w.Permeability,
			""}); err != nil {
		return err
	}
	if w.Permittivity > 0 && w.Permittivity < 1 {
		return domain(op, arg{"Permittivity", w.Permittivity, ""},
			"expected a relative permittivity of 1 or more, or 0 for that of enamel")
	}
	return nil
}

// NewWire returns the wire of a conductor with a covering: outside diameter half way
// between the limits of [wire.Covering.Diameter], resistivity at t °C, and the
// permeability where the material states one. That of iron, nickel and their alloys
// depends on field, purity and treatment, and the published range spans a factor of six
// and more: what follows from it, skin effect and the inductance inside the wire, is
// doubtful by as much.
func NewWire(c wire.Conductor, covering wire.Covering, t float64) (Wire, error) {
	d, err := covering.Diameter(c.Gauge)
	if err != nil {
		return Wire{}, err
	}
	rho, err := c.Material.Resistivity(t)
	if err != nil {
		return Wire{}, err
	}
	return Wire{
		Bare: c.Gauge.Diameter(), Covered: d.Middle(), Resistivity: rho,
		Permeability: c.Material.Permeability.Value,
		Permittivity: permittivities[covering],
	}, nil
}

// permittivities of coverings other than enamel, middles of printed ranges: silk 2.5 to
// 3.5, cotton as clean paper 3.0, dry; a table of dielectrics on a technical page.
var permittivities = map[wire.Covering]float64{
	wire.CoveringSingleSilk: 3, wire.CoveringDoubleSilk: 3,
	wire.CoveringSingleCotton: 3, wire.CoveringDoubleCotton: 3,
}
