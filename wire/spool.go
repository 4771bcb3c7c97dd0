// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"cmp"
	"math"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
)

// Spool is one particular wire with what is known of it: the uncertain inputs
// are made once, so that all lengths cut from it share them. Two resistors of
// one spool are off by the same fraction, and their ratio is better known than
// either.
//
// The fields may be replaced by better knowledge, before the first use: the
// diameter by micrometer readings, the resistivity by a measured length (see
// [MeasuredSpool]).
type Spool struct {
	Name        string
	Resistivity uncertainty.Quantity // Ω·m at ReferenceTemperature
	Diameter    uncertainty.Quantity // m, bare
	// ReferenceTemperature is that of Resistivity, °C.
	ReferenceTemperature float64
	Law                  thermal.UncertainLaw // zero: no dependence on temperature

	unstated bool // the material states no law: the zero Law is not to be believed
}

// Spool returns a spool of the conductor, for a budget made before any of it
// was measured. The inputs carry the name of the spool:
//
//	resistivity  rectangular, the published range made symmetric about the value followed
//	diameter     rectangular, nominal ± diameterTolerance in metres
//	alpha, beta  rectangular, the published tolerances of the temperature law
//
// A property without a published range enters as exact. Spools of different
// names are independent; call this once for one spool.
func (c Conductor) Spool(name string, diameterTolerance float64) *Spool {
	const op = "wire.Conductor.Spool"
	s := &Spool{Name: name, ReferenceTemperature: c.Material.ReferenceTemperature}
	s.Resistivity = c.resistivity(name)
	s.Diameter = c.diameter(op, name, diameterTolerance)
	// A zero law is a real one, of no dependence: whether the material states one is kept apart.
	if s.unstated = !c.Material.Law.Stated(); !s.unstated {
		s.Law = c.Material.Law.Uncertain(name)
	}
	return s
}

// resistivity is the input of the spool, or what is wrong with the material.
func (c Conductor) resistivity(name string) uncertainty.Quantity {
	m := c.Material
	if _, err := m.Resistivity(m.ReferenceTemperature); err != nil {
		return uncertainty.Fail(err)
	}
	return m.ReferenceResistivity.Input(name+" resistivity", "Ω·m")
}

// diameter is the input of the spool, nominal ± tolerance.
func (c Conductor) diameter(op, name string, tolerance float64) uncertainty.Quantity {
	d := c.Gauge.Diameter()
	if !c.Gauge.IsValid() {
		return uncertainty.Fail(noWire(op))
	}
	if err := notNegative(op, "diameterTolerance", tolerance, "m"); err != nil {
		return uncertainty.Fail(err)
	}
	// A tolerance in millimetres is a thousand times too large.
	if tolerance >= d {
		return uncertainty.Fail(refuse(op, "diameterTolerance", tolerance, ErrDomain,
			"expected less than the diameter; metres, not millimetres"))
	}
	// Known exactly, it is no source.
	if tolerance == 0 {
		return uncertainty.Exact(d)
	}
	return uncertainty.Source{
		Name: name + " diameter", Unit: "m", Distribution: uncertainty.Rectangular(d, tolerance),
	}.Input()
}

// MeasuredSpool returns a spool whose resistance per metre was measured, in
// Ω/m at the law's reference temperature: what to do before winding anything.
// Diameter and resistivity no longer matter then; the diameter in metres is
// used for [Spool.Resistivity] alone.
func MeasuredSpool(name string, perMetre uncertainty.Quantity, diameter float64,
	law thermal.UncertainLaw) *Spool {
	s := &Spool{Name: name, ReferenceTemperature: law.Reference, Law: law}
	g, err := Metric(diameter)
	if err != nil {
		s.Resistivity, s.Diameter = uncertainty.Fail(err), uncertainty.Fail(err)
		return s
	}
	// ρ = (R/l)·A: with the area of the same nominal diameter, the resistance per metre comes out
	// as measured.
	s.Resistivity = perMetre.Scale(g.Area())
	s.Diameter = uncertainty.Exact(diameter)
	return s
}

// PerMetreOf returns the resistance in Ω/m at the temperature t, °C.
func (s *Spool) PerMetreOf(t uncertainty.Quantity) uncertainty.Quantity {
	s = cmp.Or(s, &Spool{})
	area := s.Diameter.Mul(s.Diameter).Scale(math.Pi / 4)
	r := s.Resistivity.Div(area)
	// At the reference temperature no law is needed.
	if s.Law == (thermal.UncertainLaw{}) && s.unstated && t.Err() == nil &&
		t.Estimate() != s.ReferenceTemperature {
		return uncertainty.Fail(unstated("wire.Spool.PerMetreOf", s.Name, "temperature law"))
	}
	// Ratios to that of the reference, since a law may have another one.
	reference := s.Law.RatioOf(uncertainty.Exact(s.ReferenceTemperature))
	return r.Mul(s.Law.RatioOf(t)).Div(reference).DefaultUnit("Ω/m")
}

// LengthOf returns the length in metres that has the resistance r, Ω, at the
// temperature t, °C: how far from the table value the right length may turn
// out to lie.
func (s *Spool) LengthOf(r, t uncertainty.Quantity) uncertainty.Quantity {
	s = cmp.Or(s, &Spool{})
	return r.Div(s.PerMetreOf(t)).DefaultUnit("m")
}

// ResistanceOf returns the resistance in ohms at t °C of the length l, m: what
// comes out when a length is cut to a tolerance.
//
//	cut := uncertainty.Input("cut", uncertainty.Rectangular(0.7306, 0.5e-3))
//	r := spool.ResistanceOf(cut, uncertainty.Exact(20))
func (s *Spool) ResistanceOf(l, t uncertainty.Quantity) uncertainty.Quantity {
	s = cmp.Or(s, &Spool{})
	return l.Mul(s.PerMetreOf(t)).DefaultUnit("Ω")
}
