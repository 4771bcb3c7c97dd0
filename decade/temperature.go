// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"iter"
	"slices"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Every law of a description is a curve of its own, with a reference of its own: that of copper
// at 20 °C, say, on a box whose values hold at 23 °C. What counts for a box is the ratio of two
// points on the curve,
//
//	R(t) = R(23 °C)·ratio(t)/ratio(23 °C)
//
// and not alpha by itself: with 3.93e-3/K at 20 °C a copper residual has 3.88e-3/K at 23 °C.

// law is a temperature law of the description with its field.
type law struct {
	name string
	law  thermal.Law
}

// laws lists the temperature laws that are stated, decades first.
func (s *Spec) laws() []law {
	var out []law
	for i := range s.Decades {
		if l := s.Decades[i].Law; !l.IsZero() {
			out = append(out, law{s.Decades[i].where(i) + "temperature", l})
		}
	}
	if !s.ResidualLaw.IsZero() {
		out = append(out, law{"residualTemperature", s.ResidualLaw})
	}
	return out
}

// setReference finds the reference temperature of the box: the one that is stated, else
// the one in which the laws agree. It refuses laws without a value there, such as one that holds
// from 30 °C on. b.hasRef stays false where nothing depends on temperature.
func (b *Box) setReference(op string) error {
	laws := b.spec.laws()
	// ± limits alone, of a wire that is nominally without a coefficient, say something, too.
	b.hasLaw = len(laws) > 0
	for i := range b.spec.Decades {
		b.hasLaw = b.hasLaw || b.spec.Decades[i].AlphaTolerance > 0 ||
			b.spec.Decades[i].BetaTolerance > 0
	}
	// What is stated comes before what laws suggest.
	if t := b.spec.ReferenceTemperature; t != nil {
		if err := checkTemperature(op, "referenceTemperature", *t); err != nil {
			return err
		}
		b.reference, b.hasRef = *t, true
	}
	for _, l := range laws {
		if !b.hasRef {
			b.reference, b.hasRef = l.law.Reference(), true
		}
		if b.spec.ReferenceTemperature == nil && l.law.Reference() != b.reference {
			return &Error{Op: op, Name: "referenceTemperature", Value: l.law.Reference(),
				Err: unit.Errorf(ErrDomain, "not stated, and the laws refer to %v °C and %v °C; "+
					"expected the reference temperature of the box",
					b.reference, l.law.Reference())}
		}
		if _, err := l.law.Ratio(b.reference); err != nil {
			return &Error{Op: op, Name: l.name, Value: b.reference, Err: err}
		}
	}
	// ± limits of a coefficient mean nothing unless the temperature is known at which their
	// effect vanishes.
	if b.hasLaw && !b.hasRef {
		return &Error{Op: op, Name: "referenceTemperature",
			Err: unit.Errorf(ErrDomain, "not stated, with a temperature coefficient of ± limits "+
				"and no law; expected the reference temperature of the box")}
	}
	return nil
}

// checkTemperature refuses what is no temperature in °C. Absolute zero itself is one.
func checkTemperature(op, name string, t float64) error {
	if err := numbers.Finite(op, name, t); err != nil {
		return err
	}
	if t < absoluteZero {
		return &Error{Op: op, Name: name, Value: t,
			Err: unit.Errorf(ErrDomain, "%v °C; expected %v °C or more", t, absoluteZero)}
	}
	return nil
}

// HasTemperatureLaw reports whether the description states how any resistance depends on
// temperature: a law of a dial or of the residual, or a tolerance of a coefficient.
func (b *Box) HasTemperatureLaw() bool { return b != nil && b.hasLaw }

// ReferenceTemperature returns the temperature in °C at which the values of the box hold;
// false where the description does not say.
func (b *Box) ReferenceTemperature() (float64, bool) {
	if b.none() {
		return 0, false
	}
	return b.reference, b.hasRef
}

// TemperatureChange returns R(t) − R(reference temperature) of the setting in ohms, for a
// box at t in °C:
//
//	Σ over dials p·step·(ratio(t)/ratio(reference) − 1)
//
// with the ratio of each dial's temperature law, and the same for the residual; on a calibrated
// box the measured value of the dial stands for p·step. Dials without a law do not change. It
// returns an error for the zero Setting, a temperature that is not finite or below absolute
// zero, and where a law gives no positive resistance.
func (s Setting) TemperatureChange(t float64) (float64, error) {
	const op = "decade.Setting.TemperatureChange"
	if s.box == nil {
		return 0, noSetting(op)
	}
	if err := checkTemperature(op, "t", t); err != nil {
		return 0, err
	}
	total := 0.0
	for p := range s.parts() {
		// The reference first, so that an error there is not blamed on t.
		if _, err := p.law.Ratio(s.box.reference); err != nil {
			return 0, &Error{Op: op, Name: p.name, Value: s.box.reference, Err: err}
		}
		part, err := p.law.Change(s.box.reference, t)
		if err != nil {
			return 0, &Error{Op: op, Name: p.name, Value: t, Err: err}
		}
		total += float64(p.ohms * part)
	}
	return total, numbers.Finite(op, "change", total)
}

// part is a resistance of a setting that depends on temperature.
type part struct {
	name string
	ohms float64
	law  thermal.Law
}

// parts yields the resistances in circuit that have a temperature law, in ohms at the reference
// temperature. The residual counts at every setting, also where the nominal value includes it.
func (s Setting) parts() iter.Seq[part] {
	return func(yield func(part) bool) {
		b := s.box
		for i := range b.spec.Decades {
			d, p := &b.spec.Decades[i], s.positions.at(i)
			if p > 0 && !d.Law.IsZero() && !yield(part{d.Name, b.values.dials[i][p], d.Law}) {
				return
			}
		}
		if r := b.values.zero; r > 0 && !b.spec.ResidualLaw.IsZero() {
			yield(part{"residual", r, b.spec.ResidualLaw})
		}
	}
}

// TemperatureChangeOf is [Setting.TemperatureChange] for an uncertain temperature in °C.
// The limits of the temperature coefficients enter as one input for each dial or spool, made
// once for a box.
func (s Setting) TemperatureChangeOf(t uncertainty.Quantity) uncertainty.Quantity {
	const op = "decade.Setting.TemperatureChangeOf"
	if s.box == nil {
		return uncertainty.Fail(noSetting(op))
	}
	// At the estimate the error has its words; what follows would only carry NaN.
	if _, err := s.TemperatureChange(t.Estimate()); err != nil && t.Err() == nil {
		return uncertainty.Fail(err)
	}
	t = t.InUnit("°C")
	var terms []uncertainty.Quantity
	reference := uncertainty.Exact(s.box.reference)
	for p := range s.parts() {
		terms = append(terms, p.law.ChangeOf(reference, t).Scale(p.ohms))
	}
	// The errors of the coefficients vanish at the reference temperature, where the values hold
	// (VIM 4.11, reference operating condition).
	off := t.Sub(reference)
	slopes := s.coefficientErrors(func(d *dialSources) uncertainty.Quantity { return d.alpha })
	if len(slopes.inputs) > 0 {
		terms = append(terms, slopes.quantity("Ω/K").Mul(off))
	}
	curvatures := s.coefficientErrors(func(d *dialSources) uncertainty.Quantity { return d.beta })
	if len(curvatures.inputs) > 0 {
		terms = append(terms, curvatures.quantity("Ω/K²").Mul(off).Mul(off))
	}
	if len(terms) == 0 && t.Err() == nil {
		return uncertainty.Exact(0).InUnit("Ω")
	}
	if len(terms) == 0 {
		return t.Scale(0) // nothing depends on it, but an error stays one
	}
	return uncertainty.Sum(terms...).DefaultUnit("Ω")
}

// coefficientErrors is Σ p·step·δ over the dials off zero, for the error δ of a coefficient: in
// Ω/K or Ω/K². What dials share enters once. Nominal values serve: what a
// calibration changes of them is no part of a limit that is stated to two digits.
func (s *Setting) coefficientErrors(of func(*dialSources) uncertainty.Quantity) *linear {
	l := &linear{}
	for i := range s.box.spec.Decades {
		q := of(&s.box.sources.dials[i])
		if s.positions.at(i) == 0 || q.IsZero() {
			continue
		}
		c := float64(s.box.spec.Decades[i].Step * float64(s.positions.at(i)))
		// Dials of one spool share the source: their effects add linearly, not in quadrature
		// (GUM 5.2.2, note 1).
		if k := slices.Index(l.inputs, q); k >= 0 {
			l.coefficients[k] += c
		} else {
			l.addTerm(c, q)
		}
	}
	return l
}
