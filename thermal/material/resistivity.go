// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

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
	const op = "material.Material.Resistivity"
	if err := m.checkResistivity(op); err != nil {
		return 0, err
	}
	ratio, err := m.ratio(op, t)
	if err != nil {
		return 0, err
	}
	rho := m.ReferenceResistivity.Value * ratio
	// The parabola of an alloy goes through 0 far outside the range of its law.
	if rho <= 0 {
		return 0, refuse(op, "temperature", t, ErrDomain,
			"expected a temperature at which the law gives a positive resistance")
	}
	return finiteResult(op, "resistivity", rho)
}

// ratio returns Law(t)/Law(ReferenceTemperature).
func (m Material) ratio(op string, t float64) (float64, error) {
	if err := checkFinite(op, "temperature", t); err != nil {
		return 0, err
	}
	// A material without a law still has a resistivity where it was measured.
	if t == m.ReferenceTemperature {
		return 1, nil
	}
	if !m.Law.Stated() {
		return 0, m.unstated(op, "temperature law")
	}
	return m.Law.Exact().Correct(1, m.ReferenceTemperature, t)
}

// VolumeResistivity returns the resistivity in Ω·m of the substance at t °C,
// with the dimensions that a sample has at t. With linear expansion γ,
//
//	ρv(t) = ρ(t) (1 + γ(t − ref))
//
// so that its temperature coefficient is α + γ: for annealed copper 0.00681
// µΩ·cm per kelvin and not 0.00678 (NBS Handbook 100, section 1).
func (m Material) VolumeResistivity(t float64) (float64, error) {
	const op = "material.Material.VolumeResistivity"
	rho, stretch, err := m.resistivityAndStretch(op, t)
	if err != nil {
		return 0, err
	}
	// ρ = R·A/l: the area grows with the square of the stretch, the length with the stretch (NBS
	// Handbook 100, section 1).
	return finiteResult(op, "resistivity", rho*stretch)
}

// MassResistivity returns the mass resistivity in Ω·kg/m² at t °C, the product
// of volume resistivity and density at that temperature:
//
//	δ(t) = ρ(t) × density/(1 + γ(t − ref))²
//
// Its temperature coefficient is α − 2γ: for annealed copper 0.000597 Ω·g/m²
// per kelvin (NBS Handbook 100, section 1).
func (m Material) MassResistivity(t float64) (float64, error) {
	const op = "material.Material.MassResistivity"
	if !m.Density.Stated() {
		return 0, m.unstated(op, "density")
	}
	if err := checkPositive(op, "density", m.Density.Value, "kg/m³"); err != nil {
		return 0, err
	}
	rho, stretch, err := m.resistivityAndStretch(op, t)
	if err != nil {
		return 0, err
	}
	// δ = R·m/l²: the mass stays, the length grows (NBS Handbook 100, section 1).
	return finiteResult(op, "mass resistivity", rho*m.Density.Value/(stretch*stretch))
}

// resistivityAndStretch returns ρ(t) and the factor 1 + γ(t−ref) of length.
func (m Material) resistivityAndStretch(op string, t float64) (rho, stretch float64, err error) {
	if rho, err = m.Resistivity(t); err != nil {
		return 0, 0, err
	}
	// At the reference temperature nothing has expanded yet, whatever γ is.
	if !m.Expansion.Stated() && t != m.ReferenceTemperature {
		return 0, 0, m.unstated(op, "expansion")
	}
	if err := checkFinite(op, "expansion", m.Expansion.Value); err != nil {
		return 0, 0, err
	}
	stretch = 1 + float64(m.Expansion.Value*(t-m.ReferenceTemperature))
	if stretch <= 0 {
		return 0, 0, refuse(op, "temperature", t, ErrDomain,
			"expected a temperature at which the expansion leaves a length")
	}
	return rho, stretch, nil
}

// Coefficients are the three temperature coefficients of one conductor at one
// temperature, each in 1/K. Tables print sometimes one and sometimes another of them as "the
// temperature coefficient"; all three are right.
type Coefficients struct {
	Resistance        float64 // α, of a wire between fixed points: 0.00393 for annealed copper
	VolumeResistivity float64 // α + γ, of the substance
	MassResistivity   float64 // α − 2γ, of resistance × mass / length²
}

// Coefficients returns the relative change per kelvin at t °C of resistance,
// volume resistivity and mass resistivity.
func (m Material) Coefficients(t float64) (Coefficients, error) {
	const op = "material.Material.Coefficients"
	rho, stretch, err := m.resistivityAndStretch(op, t)
	if err != nil {
		return Coefficients{}, err
	}
	if !m.Law.Stated() {
		return Coefficients{}, m.unstated(op, "temperature law")
	}
	if !m.Expansion.Stated() {
		return Coefficients{}, m.unstated(op, "expansion")
	}
	ratio, err := m.Law.Exact().Ratio(m.ReferenceTemperature)
	if err != nil {
		return Coefficients{}, err
	}
	slope, err := m.Law.Exact().Slope(t)
	if err != nil {
		return Coefficients{}, err
	}
	// The law is relative to its reference, the resistivity to its own: both are taken to t. With
	// ρ(t)/ρ(ref) = Law(t)/Law(ref), α = d ln ρ/dt = Law′(t)/Law(ref)·ρ(ref)/ρ(t).
	alpha := slope / ratio * m.ReferenceResistivity.Value / rho
	// d ln(l)/dt at t.
	gamma := m.Expansion.Value / stretch
	return Coefficients{alpha, alpha + gamma, alpha - 2*gamma}, nil
}

// checkResistivity refuses a material that cannot have a resistance.
func (m Material) checkResistivity(op string) error {
	if !m.ReferenceResistivity.Stated() {
		return m.unstated(op, "resistivity")
	}
	if err := checkMetal(op, m.ReferenceResistivity.Value); err != nil {
		return err
	}
	return checkFinite(op, "reference temperature", m.ReferenceTemperature)
}

// largestResistivity is above that of all conductors and of carbon, in Ω·m: more is one in
// µΩ·m or µΩ·cm.
const largestResistivity = 1e-3

// checkMetal refuses what is no resistivity of a conductor in Ω·m.
func checkMetal(op string, rho float64) error {
	if err := checkPositive(op, "resistivity", rho, "Ω·m"); err != nil {
		return err
	}
	if rho > largestResistivity {
		return refuse(op, "resistivity", rho, ErrDomain,
			"expected at most 1e-3 Ω·m; is it in µΩ·m or µΩ·cm?")
	}
	return nil
}
