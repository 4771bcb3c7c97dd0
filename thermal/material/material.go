// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

import (
	"math"
	"slices"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Material is a metal or alloy with what is known of it, figure by figure. [Find]
// returns those of the table and [Read] a user's own. One that is known by little more
// than its resistivity, from a certificate for example, is made by [New].
//
// Figures that a computation does not need may be missing; one that it needs is asked
// for by name ([ErrNotStated]).
type Material struct {
	Name        string
	OtherNames  []string // that [Find] knows; letter case, spaces and signs do not matter
	Composition string   // mass per cent

	ReferenceResistivity Figure  // Ω·m at ReferenceTemperature
	ReferenceTemperature float64 // °C

	// Law is the temperature law of the resistance of a wire between fixed points: the
	// coefficient of wire tables, into which the material's own expansion has gone (see
	// [Material.VolumeResistivity]).
	Law Law

	// EMF is the Seebeck coefficient against copper near room temperature in V/K;
	// negative: the material is the negative wire.
	EMF Figure

	Density        Figure // kg/m³
	Expansion      Figure // linear, 1/K
	Permeability   Figure // relative, in small fields
	MaxTemperature Figure // °C, highest working temperature of the bare material

	Note string // caution
}

// New returns a material of that resistivity in Ω·m at a temperature in °C, with a temperature
// law; the zero law means that none is stated. All of it counts as exact.
func New(name string, resistivity, temperature float64, law thermal.Law) Material {
	return Material{
		Name: name, ReferenceResistivity: Figure{Value: resistivity},
		ReferenceTemperature: temperature, Law: LawOf(law),
	}
}

// A Figure is one property with its published range and its source. The zero Figure is a
// property that is not stated; one of value 0 is stated by having a source or a range.
type Figure struct {
	Value float64 // the one followed

	// Low and High bound what is published, from spool to spool and from maker to maker.
	// Both 0: no range is published, and the value counts as exact.
	Low, High float64

	Source
}

// Source is where a figure comes from.
type Source struct {
	Document string
	Known    Known
	// Reason says why this figure is followed where others are published too, or how it
	// was worked out.
	Reason string
}

// Known is how a figure is known; "" where nobody says.
type Known string

// How a figure is known.
const (
	KnownSeen     Known = "seen"            // read in the document
	KnownQuoted   Known = "quoted"          // read in a document that quotes it
	KnownMemory   Known = "memory"          // not read, recalled
	KnownDerived  Known = "derived"         // worked out from printed figures
	KnownPractice Known = "common practice" // a fact of the trade
	KnownStated   Known = "stated"          // stated by a user's own file
)

// Stated reports whether the property is stated.
func (f Figure) Stated() bool { return f != Figure{} }

// HalfWidth returns the half-width of the published range made symmetric about the value
// that is followed, so that the estimate stays that value; 0 without a range.
func (f Figure) HalfWidth() float64 {
	if f.Low == 0 && f.High == 0 {
		return 0
	}
	// The wider side for both, so that the rectangle holds all that is published (GUM 4.3.8:
	// limits that are not symmetric, made so on the safe side).
	return max(f.Value-f.Low, f.High-f.Value, 0)
}

// Input returns the figure as an input quantity of that name and unit, rectangular over
// [Figure.HalfWidth]; without a range it is exact. Call it once for one spool or one
// resistor and share the result.
func (f Figure) Input(name, unit string) uncertainty.Quantity {
	w := f.HalfWidth()
	if w == 0 {
		return uncertainty.Exact(f.Value)
	}
	// GUM 4.3.7: nothing is known but the ends of the range.
	return uncertainty.Source{
		Name: name, Unit: unit, Distribution: uncertainty.Rectangular(f.Value, w),
		Note: "published range",
	}.Input()
}

// Law is a temperature law with the published ranges of its coefficients,
//
//	R(t) = R(ref) [1 + α(t − ref) + β(t − ref)²]
//
// The zero Law is one that is not stated. Metals and alloys differ by maker, by melt and by heat
// treatment: the ranges cover the scatter of published values and are not what one maker
// promises.
type Law struct {
	Reference float64 // °C
	Alpha     Figure  // 1/K
	Beta      Figure  // 1/K²
	Range     Range   // where it holds
}

// Range is a stretch of temperature in °C; both 0: none is stated.
type Range struct {
	Low, High float64
	Source
}

// LawOf returns the law with exact coefficients.
func LawOf(l thermal.Law) Law {
	if l.IsZero() {
		return Law{}
	}
	low, high, _ := l.Limits()
	return Law{
		Reference: l.Reference(), Range: Range{Low: low, High: high},
		Alpha: Figure{Value: l.Alpha()}, Beta: Figure{Value: l.Beta()},
	}
}

// Stated reports whether the law is stated.
func (l Law) Stated() bool { return l != Law{} }

// Exact returns the law of the values followed, within its range; the zero law where none
// is stated.
func (l Law) Exact() thermal.Law {
	if !l.Stated() {
		return thermal.Law{}
	}
	exact := thermal.NewLaw(l.Reference, l.Alpha.Value, l.Beta.Value)
	if l.Range.Low != 0 || l.Range.High != 0 {
		exact = exact.Within(l.Range.Low, l.Range.High)
	}
	return exact
}

// Uncertain returns the law of one spool: the coefficients are inputs, rectangular over
// the published ranges, called after name ("spool 3 alpha"). Call it once for a spool and
// share the result: published ranges are from spool to spool, so resistors of one spool
// have them in common.
func (l Law) Uncertain(name string) thermal.UncertainLaw {
	if !l.Stated() {
		return thermal.UncertainLaw{}
	}
	return thermal.UncertainLaw{
		Reference: l.Reference, Low: l.Range.Low, High: l.Range.High,
		Alpha: l.Alpha.Input(name+" alpha", "1/K"), Beta: l.Beta.Input(name+" beta", "1/K²"),
	}
}

// ThermalEMF returns the thermal EMF against copper; where none is stated the error is
// [ErrNotStated].
func (m Material) ThermalEMF() (thermal.EMF, error) {
	if !m.EMF.Stated() {
		return thermal.EMF{}, m.unstated("material.Material.ThermalEMF", "EMF against copper")
	}
	e := thermal.EMF{Material: m.Name, Low: m.EMF.Value, High: m.EMF.Value}
	// The range as it is published, not made symmetric: its signs count.
	if m.EMF.HalfWidth() != 0 {
		e.Low, e.High = m.EMF.Low, m.EMF.High
	}
	for _, v := range []float64{e.Low, e.High} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return thermal.EMF{}, &Error{Op: "material.Material.ThermalEMF", Name: m.Name, Value: v,
				Err: unit.Errorf(unit.ErrNotFinite, "%v; expected an EMF in V/K", v)}
		}
	}
	return e, nil
}

// clone keeps what callers do to the other names out of the table.
func (m Material) clone() Material {
	m.OtherNames = slices.Clone(m.OtherNames)
	return m
}
