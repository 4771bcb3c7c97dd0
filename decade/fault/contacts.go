// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A contact may be open, have ohms, or have others at each dialling. What that adds to a setting
// depends on what the contact shorts:
//
//	of a ladder   nothing: all current flows through it. v Ω add v, open leaves no path
//	of a code     elements of s Ω that are out of circuit: v Ω add v∥s, open adds s
//
// The readings show x = v·s/(v + s), from which v = x/(1 − x/s): a contact of a code beside 10 Ω
// that adds 2 Ω has 2.5 Ω. Where x comes near s, v may be anything, and the contact is open. A
// position of a code may have several contacts closed; its fault is v Ω in each of them, since the
// readings cannot tell which it is (contactOhms).

import "math"

// listContacts lists the contacts of the box: positions of ladders, elements of codes that have a
// contact each, positions of other codes. Ladders on one switch share position 0. Six ladders of
// ten have 66.
func (m *model) listContacts() []Place {
	var out []Place
	for _, u := range m.layout.sections {
		for w, d := range u.dials {
			dec := m.layout.decades[d]
			switch {
			case dec.Tapped():
				// Position 0 of a shared switch is named by its first dial.
				for p := min(w, 1); p <= dec.Positions; p++ {
					if dec.HasPosition(p) {
						out = append(out, Place{PartPosition, d, p})
					}
				}
			case m.layout.separateContacts(d):
				for e := 1; e <= dec.NumElements(); e++ {
					out = append(out, Place{PartElement, d, e})
				}
			default:
				// A position with all elements in circuit closes no contact.
				for p := range dec.Positions + 1 {
					if dec.HasPosition(p) && len(m.layout.shortedRuns(d, p)) > 0 {
						out = append(out, Place{PartPosition, d, p})
					}
				}
			}
		}
	}
	return out
}

// contactInUse is 1 at the settings whose current flows in a contact, and 0 at the others.
func (m *model) contactInUse(c Place) []float64 {
	out := make([]float64, len(m.settings))
	u, _ := m.layout.sectionOf(c.Dial)
	for k, s := range m.settings {
		p := s.Position(c.Dial)
		on := p == c.Number
		switch {
		// The contact beside an element is closed where the element is out of circuit.
		case c.Part == PartElement:
			on = true
			for _, e := range m.layout.decades[c.Dial].InCircuit(p) {
				on = on && e != c.Number
			}
		// The common zero of a switch carries current with all its ranges at 0. Of a code, whose
		// zero is its own, p == c.Number has settled it.
		case c.Number == 0 && m.layout.decades[c.Dial].Tapped():
			for _, d := range u.dials {
				on = on && s.Position(d) == 0
			}
		}
		if on {
			out[k] = 1
		}
	}
	return out
}

// listContactUses finds where each contact is in the path: the second faults beside every first
// one ask for it. It also marks the settings with a contact that no other setting uses: what is
// wrong there once may be the contact or the dialling (addDiallings).
func (m *model) listContactUses() {
	m.contactUses, m.ownContact = nil, make([]bool, len(m.settings))
	for _, c := range m.listContacts() {
		use := m.contactInUse(c)
		m.contactUses = append(m.contactUses, contactUse{c, use})
		// Settings and not diallings: one that was dialled twice is one.
		only, n := absent, 0
		for k, v := range use {
			if v != 0 {
				only, n = k, n+1
			}
		}
		if n == 1 {
			m.ownContact[only] = true
		}
	}
}

// shortedOhms is what each contact of a place shorts, in Ω: nil of a ladder, where nothing lies
// beside its contact, the element of an element, and of a position of a code an entry for each
// contact that is closed there.
func (m *model) shortedOhms(c Place) []float64 {
	d := m.layout.decades[c.Dial]
	switch {
	case d.Tapped():
		return nil
	case c.Part == PartElement:
		return []float64{d.Step * float64(d.Weight(c.Number))}
	}
	// Nominal ohms: the drift of what is shorted does not show.
	var out []float64
	for _, g := range m.layout.shortedRuns(c.Dial, c.Number) {
		sum := 0.0
		for e := g.from; e <= g.to; e++ {
			sum += d.Step * float64(d.Weight(e))
		}
		out = append(out, sum)
	}
	return out
}

// sumOfShorted is what contacts short together, in Ω: +Inf of a ladder.
func sumOfShorted(shorted []float64) float64 {
	if shorted == nil {
		return math.Inf(1)
	}
	sum := 0.0
	for _, s := range shorted {
		sum += s
	}
	return sum
}

// ohmsWhenOpened is what a setting reads more when a contact opens, or all of a position do: of a
// ladder no value, of a code what they short without themselves.
func (m *model) ohmsWhenOpened(c Place, shorted []float64) float64 {
	sum := sumOfShorted(shorted)
	if shorted == nil || c.Part != PartPosition {
		// An element with a contact of its own is adjusted so that the change is its nominal value
		// (inPlace).
		return sum
	}
	return sum - float64(float64(len(shorted))*m.layout.contact)
}

// contactOhms returns the ohms v in each of the contacts that add x Ω to a setting, 0 < x < Σs, and
// the derivative dv/dx, which is the coefficient of the uncertainty of x (GUM 5.1.2):
//
//	x = Σ v·s/(v + s),   dx/dv = Σ (s/(v + s))²
//
// For example two contacts beside 20 Ω and 50 Ω with 8 Ω in each add 5.71 + 6.90 = 12.61 Ω.
func contactOhms(x float64, shorted []float64) (v, slope float64) {
	switch len(shorted) {
	case 0:
		return x, 1
	case 1:
		v = x / (1 - x/shorted[0])
		return v, v * v / (x * x)
	}
	// Newton from 0. x grows with v ever more slowly, so that each tangent meets x before the curve
	// does: v grows from step to step and never passes the solution. Towards Σs it about doubles,
	// ten times up to 0.999 of it.
	for range 60 {
		sum, per := 0.0, 0.0
		for _, s := range shorted {
			part := s / (v + s)
			sum += v * part
			per += part * part
		}
		slope = 1 / per
		by := (x - sum) * slope
		v += by
		if by <= 1e-15*v {
			break
		}
	}
	return v, slope
}

// setContactOhms turns the ohms that an unsteady contact adds to the reading into the ohms in the
// contact: the same for a ladder, more for a code. The scatter follows by the derivative, to first
// order.
func (s *search) setContactOhms(h *hypothesis) {
	f := &h.faults[0]
	if f.Kind != KindContact {
		return
	}
	shorted := s.model.shortedOhms(f.A)
	if f.Value < 0.999*sumOfShorted(shorted) {
		v, slope := contactOhms(f.Value, shorted)
		f.Value, f.Scatter = v, f.Scatter*slope
		h.uncertainty = []float64{h.uncertainty[0] * slope}
	}
}

// addContactFaults considers a contact open, with ohms, and with others at each dialling; of a
// ladder also with its wiper on the tap below. They are four hypotheses and compete by their
// scores.
func (s *search) addContactFaults(use contactUse) {
	c, perUnit := use.contact, use.inPath
	if !s.affectsReading(perUnit) {
		return
	}
	shorted := s.model.shortedOhms(c)
	openContact := Fault{Kind: KindOpenContact, A: c}
	effect := s.openEffect(openContact, perUnit, s.model.ohmsWhenOpened(c, shorted))
	s.addHypothesis(&hypothesis{faults: []Fault{openContact}, effect: effect})
	f := Fault{Kind: KindContact, A: c}
	s.addLine(s.lineOfContact(f, perUnit, shorted))
	x, u := s.fitFactor(perUnit)
	// At 0.999 the contact has a thousand times what it shorts; beyond, it is open.
	if x > 0 && x < 0.999*sumOfShorted(shorted) && finite(u) {
		v, slope := contactOhms(x, shorted)
		f.Value = v
		s.addHypothesis(&hypothesis{faults: []Fault{f}, effect: scaled(perUnit, x),
			uncertainty: []float64{u * slope}})
	}
	s.addUnsteady(Fault{Kind: KindContact, A: c}, perUnit)
	if c.Part == PartPosition && c.Number > 0 && s.model.layout.decades[c.Dial].Tapped() {
		dec := &s.model.layout.decades[c.Dial]
		// The element between both taps is shorted, which is the last in circuit there: more than
		// one step where the tap below is missing.
		steps := dec.Weight(len(dec.InCircuit(c.Number)))
		s.addHypothesis(&hypothesis{
			faults: []Fault{{Kind: KindOverlap, A: c}},
			effect: scaled(perUnit, -dec.Step*float64(steps)),
		})
	}
}
