// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import "math"

// listContacts lists the contacts of the box: positions of ladders, elements of codes that
// have a contact each, positions of other codes. Ladders on one switch share position 0.
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

// contactInUse is 1 at the settings whose current flows in a contact.
func (m *model) contactInUse(c Place) []float64 {
	out := make([]float64, len(m.settings))
	u, _ := m.layout.sectionOf(c.Dial)
	for k, s := range m.settings {
		p := s.Position(c.Dial)
		on := p == c.Number
		switch {
		case c.Part == PartElement:
			on = true
			for _, e := range m.layout.decades[c.Dial].InCircuit(p) {
				on = on && e != c.Number
			}
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
// one ask for it.
func (m *model) listContactUses() {
	m.contactUses, m.ownContact = nil, make([]bool, len(m.settings))
	for _, c := range m.listContacts() {
		use := m.contactInUse(c)
		m.contactUses = append(m.contactUses, contactUse{c, use})
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

// shortedBy is what a contact shorts, in Ω: +Inf for a ladder.
func (m *model) shortedBy(c Place) float64 {
	d := m.layout.decades[c.Dial]
	switch {
	case d.Tapped():
		return math.Inf(1)
	case c.Part == PartElement:
		return d.Step * float64(d.Weight(c.Number))
	}
	sum := 0.0
	for _, g := range m.layout.shortedRuns(c.Dial, c.Number) {
		for e := g.from; e <= g.to; e++ {
			sum += d.Step * float64(d.Weight(e))
		}
	}
	return sum
}

// ohmsWhenOpened is what a setting reads more when a contact opens, or all of a position do: of a
// ladder no value, of a code what they short without themselves.
func (m *model) ohmsWhenOpened(c Place, shorted float64) float64 {
	if math.IsInf(shorted, 1) || c.Part != PartPosition {
		return shorted // an element of its own adds what its contact shorts
	}
	return shorted - float64(float64(len(m.layout.shortedRuns(c.Dial, c.Number)))*m.layout.contact)
}

func (s *search) addContactFaults(use contactUse) {
	c, perUnit := use.contact, use.inPath
	if !s.affectsReading(perUnit) {
		return
	}
	shorted := s.model.shortedBy(c)
	openContact := Fault{Kind: KindOpenContact, A: c}
	effect := s.openEffect(openContact, perUnit, s.model.ohmsWhenOpened(c, shorted))
	s.addHypothesis(&hypothesis{faults: []Fault{openContact}, effect: effect})
	f := Fault{Kind: KindContact, A: c}
	s.addLine(s.lineOfContact(f, perUnit, shorted))
	v, u := s.fitFactor(perUnit)
	if v > 0 && v < 0.999*shorted && finite(u) {
		f.Value = v / (1 - v/shorted) // the contact is in parallel with what it shorts
		s.addHypothesis(&hypothesis{faults: []Fault{f}, effect: scaled(perUnit, v),
			uncertainty: []float64{u * f.Value * f.Value / (v * v)}})
	}
	s.addUnsteady(Fault{Kind: KindContact, A: c}, perUnit)
	if c.Part == PartPosition && c.Number > 0 && s.model.layout.decades[c.Dial].Tapped() {
		dec := &s.model.layout.decades[c.Dial]
		steps := dec.Weight(len(dec.InCircuit(c.Number))) // down to the tap below
		s.addHypothesis(&hypothesis{
			faults: []Fault{{Kind: KindOverlap, A: c}},
			effect: scaled(perUnit, -dec.Step*float64(steps)),
		})
	}
}
