// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

import (
	"io"
	"slices"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

const (
	maxFile      = 1 << 20 // bytes
	maxMaterials = 1000
)

// Read reads a user's own materials from one JSON object:
//
//	{"materials": [
//	  {"name": "spool 3", "otherNames": ["CuMn12Ni 2026"], "composition": "Cu 86 Mn 12 Ni 2",
//	   "resistivity": {"value": "0.434 µΩ·m", "low": "0.430 µΩ·m", "high": "0.438 µΩ·m",
//	                   "source": "certificate 2291", "known": "seen"},
//	   "referenceTemperature": "20 °C",
//	   "law": {"reference": "25 °C", "alpha": "2 ppm/K", "beta": "-0.55 ppm/K²",
//	           "range": {"low": "10 °C", "high": "50 °C"}},
//	   "emf": "-0.8 µV/K", "density": "8.4 g/cm³"}
//	]}
//
// The keys are those of [Material] in lower camel case. A figure is a number in SI units,
// a string with its unit, or an object with value, low and high, source, known and reason
// as in [Figure] and [Source]; known is "stated" where the file does not say. A resistivity
// needs its reference temperature, a law its own and the range it holds for where it has
// one. Unknown and doubled keys are refused, as is a name that two materials have; errors
// name the place in the file. See examples/formats/README.md.
//
// The table of this package does not change: the result has the user's materials first, and
// one of them replaces a material of the same name.
func Read(r io.Reader) (Table, error) {
	o, err := file.Read("material.Read", r, maxFile)
	if err != nil {
		return Table{}, err
	}
	var t Table
	o.Require("materials")
	for _, p := range o.Objects("materials", maxMaterials) {
		m := readMaterial(p)
		// Names of the table of this package are free: the own material goes before it.
		if name, owner := t.addMaterials([]Material{m}); name != "" {
			p.Fail("name", unit.Errorf(ErrDomain, "%q is a name of %q already; expected another",
				shorten(name), shorten(owner)))
		}
	}
	if err := o.Close(); err != nil {
		return Table{}, err
	}
	return t, nil
}

// readMaterial reads the keys of one material.
func readMaterial(o *file.Object) (m Material) {
	o.Require("name")
	if o.Text("name", &m.Name) && foldName(m.Name) == "" {
		o.Fail("name", unit.Errorf(ErrSyntax, "%q; expected letters or digits in a name",
			shorten(m.Name)))
	}
	o.Texts("otherNames", &m.OtherNames)
	for _, name := range m.OtherNames {
		if foldName(name) == "" {
			o.Fail("otherNames", unit.Errorf(ErrSyntax, "%q; expected letters or digits in a name",
				shorten(name)))
		}
	}
	o.Text("composition", &m.Composition)
	o.Text("note", &m.Note)
	// A resistivity without its temperature is off by 4 % for 10 K of a pure metal.
	if o.Has("resistivity") {
		o.Require("referenceTemperature")
	}
	o.Quantity("referenceTemperature", unit.Celsius, &m.ReferenceTemperature)
	m.ReferenceResistivity = readFigure(o, "resistivity", unit.OhmMetre, aboveZero)
	if rho := m.ReferenceResistivity.Value; rho > largestResistivity {
		o.Fail("resistivity", unit.Errorf(ErrDomain, "%v Ω·m; expected at most 1e-3 Ω·m: a number "+
			"without a unit is in Ω·m", rho))
	}
	if l := o.Object("law"); l != nil {
		m.Law = readLaw(l)
	}
	m.EMF = readFigure(o, "emf", unit.VoltPerKelvin, eitherSign)
	m.Density = readFigure(o, "density", unit.KilogramPerCubicMetre, aboveZero)
	m.Expansion = readFigure(o, "expansion", unit.PerKelvin, eitherSign)
	m.Permeability = readFigure(o, "permeability", unit.Fraction, aboveZero)
	m.MaxTemperature = readFigure(o, "maxTemperature", unit.Celsius, eitherSign)
	if m.ReferenceResistivity.Stated() && m.Law.Stated() {
		// The resistivity is of use at other temperatures if the law holds at its own.
		if _, err := m.Law.Exact().Ratio(m.ReferenceTemperature); err != nil {
			o.Fail("referenceTemperature", err)
		}
	}
	return m
}

// readLaw reads the temperature law of a material.
func readLaw(o *file.Object) (l Law) {
	o.Require("reference")
	o.Require("alpha")
	o.Quantity("reference", unit.Celsius, &l.Reference)
	l.Alpha = readFigure(o, "alpha", unit.PerKelvin, eitherSign)
	l.Beta = readFigure(o, "beta", unit.PerKelvinSquared, eitherSign)
	// A range with one end missing is reported as that, and not as one that the reference is
	// outside of.
	whole := true
	if r := o.Object("range"); r != nil {
		r.Require("low")
		r.Require("high")
		r.Quantity("low", unit.Celsius, &l.Range.Low)
		r.Quantity("high", unit.Celsius, &l.Range.High)
		l.Range.Source = readSource(r)
		whole = r.Has("low") && r.Has("high")
		if whole && l.Range.High <= l.Range.Low {
			o.Fail("range", unit.Errorf(ErrDomain, "%s to %s °C; expected low below high",
				text(l.Range.Low), text(l.Range.High)))
		}
	}
	// The reference must lie in the range, or no ratio to it has a meaning.
	if _, err := l.Exact().Ratio(l.Reference); whole && err != nil {
		o.Fail("reference", err)
	}
	return l
}

// sign is which values a figure may have.
type sign bool

const (
	eitherSign sign = false
	aboveZero  sign = true
)

// readFigure reads a number, a string with a unit, or an object with the figure.
func readFigure(o *file.Object, key string, d unit.Dimension, s sign) (f Figure) {
	at, field, ranged := o, key, false
	if o.IsObject(key) {
		if at = o.Object(key); at == nil {
			return Figure{}
		}
		field = "value"
		at.Require("value")
		if at.Has("low") || at.Has("high") {
			at.Require("low")
			at.Require("high")
		}
		ranged = at.Quantity("low", d, &f.Low) && at.Quantity("high", d, &f.High)
		f.Source = readSource(at)
	}
	if !at.Quantity(field, d, &f.Value) {
		return f
	}
	if f.Known == "" {
		f.Known = KnownStated
	}
	if ranged && (f.Value < f.Low || f.Value > f.High) {
		at.Fail(field, unit.Errorf(ErrDomain, "%s; expected a value from low to high, %s to %s",
			unit.Format(f.Value, d), unit.Format(f.Low, d), unit.Format(f.High, d)))
	}
	// The lower end counts too: a range below 0 would make inputs that no metal has.
	if s == aboveZero && (f.Value <= 0 || f.Low < 0) {
		at.Fail(field, unit.Errorf(ErrDomain, "%s; expected more than 0",
			unit.Format(min(f.Value, f.Low), d)))
	}
	return f
}

// readSource reads where a figure comes from; "stated" where the file does not say.
func readSource(o *file.Object) (s Source) {
	o.Text("source", &s.Document)
	o.Text("reason", &s.Reason)
	var known string
	if !o.Text("known", &known) {
		s.Known = KnownStated
		return s
	}
	s.Known = Known(known)
	words := []string{
		string(KnownSeen), string(KnownQuoted), string(KnownMemory),
		string(KnownDerived), string(KnownPractice), string(KnownStated),
	}
	// Not taken for "stated", which would hide a slip of the pen.
	if !slices.Contains(words, known) {
		o.Fail("known", file.Unknown("word", known, words...))
	}
	return s
}
