// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty"
)

// The budget of a setting is a sum over the inputs of its box: residual, whole-box terms, and
// for each dial a tolerance, a floor, a temperature coefficient and the contacts. Inputs are
// made once for a box and named after its parts, so that two settings share what they have in
// common and a serial number makes them the same in every file.
//
// Who shares which input:
//
//	residual, floor, whole, stray    all settings of the box
//	common                           all dials of Spread LevelBox
//	tolerance, floor of a dial       all positions of the dial
//	elements                         all positions with the element in circuit
//	alpha, beta, batch               all dials of the spool
//	contacts                         one position, in every setting with it
//
// Of two settings in which one dial stands at the same position the contact is the same draw: the
// dial has not been moved between them. To dial it anew is another resistance with another draw,
// which the model does not tell apart.

// sources holds the input quantities of a box. Those of items that are not stated are the
// zero Quantity and stay out of every model.
type sources struct {
	residual uncertainty.Quantity // Ω
	floor    uncertainty.Quantity // Ω, whole box
	whole    uncertainty.Quantity // fraction of the nominal value, whole box
	common   uncertainty.Quantity // in units of the tolerance, for the dials of level LevelBox
	stray    uncertainty.Quantity // capacitance of the box, as a factor of its figure
	dials    []dialSources
}

// dialSources holds the input quantities of one dial.
type dialSources struct {
	tolerance uncertainty.Quantity   // fraction; LevelDecade
	elements  []uncertainty.Quantity // fraction, by element − 1; LevelElement
	floor     uncertainty.Quantity   // Ω
	contacts  []uncertainty.Quantity // Ω, by position; nil: no scatter is stated
	alpha     uncertainty.Quantity   // 1/K; common to the dials of a spool
	beta      uncertainty.Quantity   // 1/K²
	batch     uncertainty.Quantity   // fraction, common to the dials of a spool
	stray     dialStrays
}

// dialStrays are the factors by which stray reactances of a dial differ from their figures.
type dialStrays struct {
	inductance, capacitance         uncertainty.Quantity
	dialInductance, dialCapacitance uncertainty.Quantity
}

// newSources makes the inputs of a box once: two settings that use one input share its error,
// which cancels in their difference (GUM 5.2.2).
func newSources(b *Box) sources {
	m := inputMaker{b.spec.Serial}
	s := &b.spec
	out := sources{
		floor: m.rectangle(boxName+" floor", "Ω", "limit of the whole box while off zero", 0,
			s.Floor),
		whole: m.rectangle(boxName+" tolerance", "", "fraction of the nominal value", 0,
			s.Tolerance),
		dials: make([]dialSources, len(s.Decades)),
	}
	if s.Capacitance > 0 {
		out.stray = m.factor("stray capacitance of the box", s.StrayTolerance)
	}
	if s.ResidualTolerance > 0 {
		out.residual = m.rectangle("residual", "Ω", "all dials at zero", s.Residual,
			s.ResidualTolerance)
	}
	// Wire of one spool is one source, whichever dials it went into: the first dial makes its
	// inputs, the others use them.
	spools := make(map[string]int) // first dial of each
	for i := range s.Decades {
		out.dials[i] = m.dial(b, i)
		if d := &s.Decades[i]; d.Spool != "" {
			first, ok := spools[d.Spool]
			if !ok {
				first = i
				spools[d.Spool] = i
				out.dials[i].batch = m.rectangle(wireOfSpool+d.Spool+" tolerance", "",
					"common to the dials of the spool", 0, d.BatchTolerance)
			}
			from := &out.dials[first]
			out.dials[i].alpha, out.dials[i].beta = from.alpha, from.beta
			out.dials[i].batch = from.batch
		}
		if d := &s.Decades[i]; d.Spread == LevelBox && d.Tolerance > 0 && out.common.IsZero() {
			out.common = m.rectangle("tolerance common to dials", "",
				"as a part of the tolerance of each dial", 0, 1)
		}
	}
	return out
}

// inputMaker builds inputs; those of a box with a serial number carry an ID, the serial number and
// the name: names of inputs must be unique within a box (see checkNames).
type inputMaker struct{ serial string }

// input makes one source of error.
func (m inputMaker) input(name, unit, note string,
	d uncertainty.Distribution) uncertainty.Quantity {
	src := uncertainty.Source{Name: name, Distribution: d, Unit: unit, Note: note}
	if m.serial != "" {
		// The serial number says that another file means the same source (GUM F.1.2.3).
		src.ID = m.serial + "/" + name
	}
	return src.Input()
}

// rectangle is the input estimate ± half-width; no quantity where the half-width is 0.
func (m inputMaker) rectangle(name, unit, note string,
	estimate, half float64) uncertainty.Quantity {
	if half == 0 {
		return uncertainty.Quantity{}
	}
	// GUM 4.3.7: of limits alone nothing is known but that the value lies between them.
	return m.input(name, unit, note, uncertainty.Rectangular(estimate, half))
}

// factor is the input 1 ± half-width of a stray reactance.
func (m inputMaker) factor(name string, half float64) uncertainty.Quantity {
	return m.rectangle(name, "", "as a factor of the figure stated", 1, half)
}

// strays makes the factors of what the dial states.
func (m inputMaker) strays(b *Box, d *Decade) (out dialStrays) {
	for _, f := range []struct {
		to    *uncertainty.Quantity
		name  string
		value float64
	}{
		{&out.inductance, "inductance of an element", d.Inductance},
		{&out.capacitance, "capacitance of an element", d.Capacitance},
		{&out.dialInductance, "inductance of the dial", d.DialInductance},
		{&out.dialCapacitance, "capacitance of the dial", d.DialCapacitance},
	} {
		if f.value > 0 {
			*f.to = m.factor(d.Name+" "+f.name, b.spec.StrayTolerance)
		}
	}
	return out
}

// dial makes the inputs of one dial, with its place in the box. Those of a spool are made for every
// dial of it; newSources keeps those of the first.
func (m inputMaker) dial(b *Box, i int) dialSources {
	d := &b.spec.Decades[i]
	wire := d.Name // whose the coefficients are
	if d.Spool != "" {
		wire = wireOfSpool + d.Spool
	}
	out := dialSources{
		floor: m.rectangle(d.Name+" floor", "Ω", "limit of the dial while off zero", 0, d.Floor),
		alpha: m.rectangle(wire+" temperature coefficient", "1/K", "from spool to spool", 0,
			d.AlphaTolerance),
		beta: m.rectangle(wire+" temperature coefficient, quadratic", "1/K²", "from spool to spool",
			0, d.BetaTolerance),
	}
	// In quadrature, so that batch and own part together have the variance of the stated limit
	// (GUM 5.1.2): of 0.05 % with 0.03 % in common, 0.04 % are left for each dial.
	own := math.Sqrt(max(0,
		float64(d.Tolerance*d.Tolerance)-float64(d.BatchTolerance*d.BatchTolerance)))
	switch {
	case d.Tolerance == 0:
	case d.Spread == LevelElement:
		out.elements = make([]uncertainty.Quantity, d.NumElements())
		for j := range out.elements {
			out.elements[j] = m.rectangle(fmt.Sprintf("%s element %d", d.Name, j+1), "",
				"fraction of the element", 0, own)
		}
	case d.Spread == LevelDecade:
		out.tolerance = m.rectangle(d.Name+" tolerance", "", "fraction of the dialled value",
			0, own)
	}
	if b.spec.Contact > 0 {
		out.contacts = m.contacts(b, i)
	}
	out.stray = m.strays(b, d)
	return out
}

// contacts makes one input for each position: the switching variation is drawn again
// whenever the position is dialled, and zero is a position.
func (m inputMaker) contacts(b *Box, i int) []uncertainty.Quantity {
	d := &b.spec.Decades[i]
	out := make([]uncertainty.Quantity, d.Positions+1)
	for p := range out {
		n := d.Code.contacts(p)
		if n == 0 || !d.HasPosition(p) {
			continue
		}
		// Contacts vary independently: variances add (GUM 5.1.2).
		u := b.spec.Contact * math.Sqrt(float64(n))
		out[p] = m.input(fmt.Sprintf("%s contact at %d", d.Name, p), "Ω", "switching variation",
			uncertainty.Normal(0, u))
	}
	return out
}

// linear collects the terms of a sum of inputs, constant + Σ coefficient·input. One quantity is
// made of it at the end, instead of one for each partial sum.
type linear struct {
	constant     float64
	coefficients []float64
	inputs       []uncertainty.Quantity
}

// addTerm adds c·q. The zero Quantity stands for "none" and adds nothing.
func (l *linear) addTerm(c float64, q uncertainty.Quantity) {
	if q.IsZero() {
		return
	}
	l.coefficients = append(l.coefficients, c)
	l.inputs = append(l.inputs, q)
}

// quantity is the sum of the terms. A relative error has a coefficient in ohms, and an error in
// ohms one that is a number.
func (l *linear) quantity(symbol string) uncertainty.Quantity {
	return uncertainty.LinearInUnit(symbol, l.constant, l.coefficients, l.inputs)
}

// Resistance returns the resistance at the terminals at reference conditions in ohms, as
// a quantity: the nominal value and what the description says of its errors.
//
//	Σ over dials off zero (p·step·(1 + δ) + δ_floor) + whole-box terms + residual + contacts
//
// Every limit is a rectangle (JCGM 100, 4.3.7). The relative error δ of a dial is one
// input by default, of a dial with Spread LevelElement one for each element, and dials with
// Spread LevelBox share one; dials of one spool share the batch part of theirs. The residual
// is left out off zero where the nominal value includes it; at the zero setting it is all
// there is. The switching variation is one input for each dial and position: the resistance
// to be found at the next dialling.
//
// On a calibrated box ([Box.With]) it is the measured residual and the sum of the measured
// elements in circuit, and again a fresh draw of every contact.
//
// The inputs are made once for a box: two settings share what they have in common, and with a
// serial number so do two boxes read from one file. For the worst case see [Setting.Limits];
// where few dials contribute, an expanded uncertainty k·u may exceed it, and the evaluation
// warns.
func (s Setting) Resistance() uncertainty.Quantity {
	if s.box == nil {
		return uncertainty.Fail(noSetting("decade.Setting.Resistance"))
	}
	if m := s.box.measured; m != nil {
		return m.resistance(s)
	}
	l := &linear{constant: s.Nominal()}
	// Where nominal values include the residual, the dials have it in them, but at zero.
	if s.AllZero() || !s.box.spec.ResidualIncluded {
		s.addResidual(l)
	}
	for i := range s.box.spec.Decades {
		if s.positions.at(i) > 0 {
			s.addDial(l, i)
		}
	}
	s.addContacts(l)
	if !s.AllZero() {
		l.addTerm(s.Nominal(), s.box.sources.whole)
		l.addTerm(1, s.box.sources.floor)
	}
	return l.quantity("Ω")
}

// addContacts adds the switching variation of every dial.
func (s *Setting) addContacts(l *linear) {
	for i := range s.box.spec.Decades {
		if c := s.box.sources.dials[i].contacts; c != nil && s.contacts(i) > 0 {
			l.addTerm(1, c[s.positions.at(i)])
		}
	}
}

// addResidual adds the residual: as an input where a tolerance is stated, else as a constant.
func (s *Setting) addResidual(l *linear) {
	if s.box.sources.residual.IsZero() {
		l.constant += s.box.spec.Residual
		return
	}
	l.addTerm(1, s.box.sources.residual)
}

// addDial adds the errors of a dial that is off zero.
func (s *Setting) addDial(l *linear, i int) {
	d, src := &s.box.spec.Decades[i], &s.box.sources.dials[i]
	p := s.positions.at(i)
	dialled := d.Step * float64(p)
	switch {
	case d.Tolerance == 0:
	case d.Spread == LevelElement:
		for _, e := range d.InCircuit(p) {
			// The resistance of the element is its sensitivity to a relative error (GUM 5.1.3).
			l.addTerm(d.Step*float64(d.Weight(e)), src.elements[e-1])
		}
	case d.Spread == LevelBox:
		// The input is in units of the tolerance, since dials of different class share it.
		l.addTerm(dialled*d.Tolerance, s.box.sources.common)
	// One error for the whole dial: it is proportional to what is dialled.
	default:
		l.addTerm(dialled, src.tolerance)
	}
	l.addTerm(dialled, src.batch)
	l.addTerm(1, src.floor)
}
