// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"iter"
	"math"

	"example.com/ohmwright/thermal"
)

// Material is a conductor or resistance alloy: what a wire of it needs in
// order to be computed. [FindMaterial] returns those of the table; a material
// of your own, from a maker's certificate for example, is a literal:
//
//	m := wire.Material{
//		Name: "spool 3", ReferenceResistivity: 0.478e-6, ReferenceTemperature: 20,
//		Law: thermal.NewLaw(20, 4e-6, -0.5e-6),
//	}
//
// Fields that a computation does not need may be left out.
type Material struct {
	Name        string
	Composition string // mass per cent

	ReferenceResistivity float64 // Ω·m at ReferenceTemperature
	ReferenceTemperature float64 // °C

	// ResistivityLow and ResistivityHigh are the published range of the
	// resistivity in Ω·m, from spool to spool and from maker to maker; both 0:
	// not stated, the resistivity is taken as exact.
	ResistivityLow, ResistivityHigh float64

	// Law is the temperature law of the resistance of a wire between fixed
	// points: the coefficient of wire tables, into which the material's own
	// expansion has gone (see [Material.VolumeResistivity]). Zero: not stated,
	// known at ReferenceTemperature only. The laws of the table are those of
	// [thermal.FindAlloy], with their limits of temperature.
	Law thermal.Law
	// AlphaTolerance and BetaTolerance are the half-widths of the published
	// ranges of the law's coefficients, 1/K and 1/K²; 0: taken as exact.
	AlphaTolerance, BetaTolerance float64

	Density        float64  // kg/m³; 0: not stated
	Expansion      float64  // linear, 1/K; 0: not stated
	EMF            *float64 // V/K against copper near room temperature, negative: the material is the negative wire; nil: not stated
	MaxTemperature float64  // °C, highest working temperature of the bare material; 0: not stated

	Source string // documents that the values follow, property by property
	Memory string // properties among them that no document was seen for; empty: none
}

// Resistivity returns the resistivity in Ω·m at t °C that goes with the
// dimensions at the reference temperature: with length and diameter measured
// at the material's ReferenceTemperature, R = ρl/A is the resistance at t. It
// is
//
//	ρ(t) = ρ(ref) × Law(t)/Law(ref)
//
// A material without a law answers at its reference temperature only
// ([ErrNotStated]). See [Material.VolumeResistivity] for the property of the
// substance.
func (m Material) Resistivity(t float64) (float64, error) {
	const op = "wire.Material.Resistivity"
	if err := m.check(op); err != nil {
		return 0, err
	}
	ratio, err := m.ratio(op, t)
	if err != nil {
		return 0, err
	}
	rho := m.ReferenceResistivity * ratio
	if rho <= 0 {
		return 0, refuse(op, "temperature", t, ErrDomain, "expected a temperature at which the law gives a positive resistance")
	}
	return result(op, "resistivity", rho)
}

// ratio returns Law(t)/Law(ReferenceTemperature).
func (m Material) ratio(op string, t float64) (float64, error) {
	if err := finite(op, "temperature", t); err != nil {
		return 0, err
	}
	if t == m.ReferenceTemperature {
		return 1, nil
	}
	if m.Law.IsZero() {
		return 0, m.unstated(op, "temperature law")
	}
	return m.Law.Correct(1, m.ReferenceTemperature, t)
}

// VolumeResistivity returns the resistivity in Ω·m of the substance at t °C,
// with the dimensions that a sample has at t. With linear expansion γ,
//
//	ρv(t) = ρ(t) (1 + γ(t − ref))
//
// so that its temperature coefficient is α + γ: for annealed copper 0.00681
// µΩ·cm per kelvin and not 0.00678 (NBS Handbook 100, section 1).
func (m Material) VolumeResistivity(t float64) (float64, error) {
	const op = "wire.Material.VolumeResistivity"
	rho, stretch, err := m.stretched(op, t)
	if err != nil {
		return 0, err
	}
	return result(op, "resistivity", rho*stretch)
}

// MassResistivity returns the mass resistivity in Ω·kg/m² at t °C, the product
// of volume resistivity and density at that temperature:
//
//	δ(t) = ρ(t) × density/(1 + γ(t − ref))²
//
// Its temperature coefficient is α − 2γ: for annealed copper 0.000597 Ω·g/m²
// per kelvin (NBS Handbook 100, section 1).
func (m Material) MassResistivity(t float64) (float64, error) {
	const op = "wire.Material.MassResistivity"
	if m.Density == 0 {
		return 0, m.unstated(op, "density")
	}
	if err := positive(op, "density", m.Density, "kg/m³"); err != nil {
		return 0, err
	}
	rho, stretch, err := m.stretched(op, t)
	if err != nil {
		return 0, err
	}
	return result(op, "mass resistivity", rho*m.Density/(stretch*stretch))
}

// stretched returns ρ(t) and the factor 1 + γ(t−ref) of length.
func (m Material) stretched(op string, t float64) (rho, stretch float64, err error) {
	if rho, err = m.Resistivity(t); err != nil {
		return 0, 0, err
	}
	if m.Expansion == 0 && t != m.ReferenceTemperature {
		return 0, 0, m.unstated(op, "expansion")
	}
	if err := finite(op, "expansion", m.Expansion); err != nil {
		return 0, 0, err
	}
	stretch = 1 + m.Expansion*(t-m.ReferenceTemperature)
	if stretch <= 0 {
		return 0, 0, refuse(op, "temperature", t, ErrDomain, "expected a temperature at which the expansion leaves a length")
	}
	return rho, stretch, nil
}

// Coefficients are the three temperature coefficients of one conductor at one
// temperature, each in 1/K. Tables print now one and now another of them as
// "the temperature coefficient"; all three are right.
type Coefficients struct {
	Resistance        float64 // α, of the resistance of a wire between fixed points: 0.00393 for annealed copper
	VolumeResistivity float64 // α + γ, of the substance
	MassResistivity   float64 // α − 2γ, of resistance × mass / length²
}

// Coefficients returns the relative change per kelvin at t °C of resistance,
// volume resistivity and mass resistivity.
func (m Material) Coefficients(t float64) (Coefficients, error) {
	const op = "wire.Material.Coefficients"
	rho, stretch, err := m.stretched(op, t)
	if err != nil {
		return Coefficients{}, err
	}
	if m.Law.IsZero() {
		return Coefficients{}, m.unstated(op, "temperature law")
	}
	if m.Expansion == 0 {
		return Coefficients{}, m.unstated(op, "expansion")
	}
	ratio, err := m.Law.Ratio(m.ReferenceTemperature)
	if err != nil {
		return Coefficients{}, err
	}
	slope, err := m.Law.Slope(t)
	if err != nil {
		return Coefficients{}, err
	}
	alpha := slope / ratio * m.ReferenceResistivity / rho
	gamma := m.Expansion / stretch
	return Coefficients{alpha, alpha + gamma, alpha - 2*gamma}, nil
}

// check refuses a material that cannot have a resistance.
func (m Material) check(op string) error {
	if m.ReferenceResistivity == 0 {
		return m.unstated(op, "ReferenceResistivity")
	}
	if err := positive(op, "ReferenceResistivity", m.ReferenceResistivity, "Ω·m"); err != nil {
		return err
	}
	return finite(op, "ReferenceTemperature", m.ReferenceTemperature)
}

func (m Material) unstated(op, what string) error {
	name := m.Name
	if name == "" {
		name = "material"
	}
	return unstated(op, name, what)
}

// spread is the half-width of the resistivity in Ω·m: the published range,
// made symmetric about the value followed so that the estimate stays that
// value.
func (m Material) spread() float64 {
	if m.ResistivityLow == 0 && m.ResistivityHigh == 0 {
		return 0
	}
	return max(m.ReferenceResistivity-m.ResistivityLow, m.ResistivityHigh-m.ReferenceResistivity, 0)
}

// Materials returns the materials of the table: copper and aluminium first,
// then the other metals, then the alloys.
func Materials() iter.Seq[Material] {
	return func(yield func(Material) bool) {
		for _, m := range materialTable() {
			if !yield(m) {
				return
			}
		}
	}
}

// FindMaterial returns the material of that name. Letter case, spaces and
// hyphens do not matter, and the usual other names are known ("nichrome",
// "German silver", "aluminum"). An unknown name is an error that suggests the
// nearest ones.
//
// Where sources disagree the table follows one, named in [Material.Source];
// [PublishedValues] has the others.
func FindMaterial(name string) (Material, error) {
	want := fold(name)
	if other, ok := otherNames[want]; ok {
		want = fold(other)
	}
	best, distance := "", math.MaxInt
	for m := range Materials() {
		key := fold(m.Name)
		if key == want {
			return m, nil
		}
		if d := editDistance(want, key); d < distance {
			best, distance = m.Name, d
		}
	}
	return Material{}, refuse("wire.FindMaterial", "name", name, ErrUnknown, suggestion(want, best))
}
