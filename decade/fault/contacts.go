// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import "math"

// contacts lists the contacts of the box: positions of ladders, elements of codes that
// have a contact each, positions of other codes. Ladders on one switch share position 0.
func (m *model) contacts() []Place {
	var out []Place
	for _, u := range m.l.sections {
		for w, d := range u.dials {
			dec := m.l.decades[d]
			switch {
			case dec.Tapped():
				for p := min(w, 1); p <= dec.Positions; p++ {
					out = append(out, Place{Position, d, p})
				}
			case m.l.separate(d):
				for e := 1; e <= dec.NumElements(); e++ {
					out = append(out, Place{Element, d, e})
				}
			default:
				for p := range dec.Positions + 1 {
					if len(m.l.gaps(d, p)) > 0 {
						out = append(out, Place{Position, d, p})
					}
				}
			}
		}
	}
	return out
}

// touches is 1 at the settings whose current flows in a contact.
func (m *model) touches(c Place) []float64 {
	out := make([]float64, len(m.settings))
	u, _ := m.l.sectionOf(c.Dial)
	for k, s := range m.settings {
		p := s.Position(c.Dial)
		on := p == c.Number
		switch {
		case c.Part == Element:
			on = true
			for _, e := range m.l.decades[c.Dial].InCircuit(p) {
				on = on && e != c.Number
			}
		case c.Number == 0 && m.l.decades[c.Dial].Tapped():
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

// parallel is what a contact shorts, in Ω: +Inf for a ladder.
func (m *model) parallel(c Place) float64 {
	d := m.l.decades[c.Dial]
	switch {
	case d.Tapped():
		return math.Inf(1)
	case c.Part == Element:
		return d.Step * float64(d.Weight(c.Number))
	}
	sum := 0.0
	for _, g := range m.l.gaps(c.Dial, c.Number) {
		for e := g.from; e <= g.to; e++ {
			sum += d.Step * float64(d.Weight(e))
		}
	}
	return sum
}

func (s *search) contact(c Place) {
	perUnit := s.m.touches(c)
	if !s.affects(perUnit) {
		return
	}
	shorted := s.m.parallel(c)
	open := make([]float64, s.s)
	for k, v := range perUnit {
		if v != 0 {
			open[k] = shorted
		}
	}
	s.add(&hypothesis{faults: []Fault{{Kind: OpenContact, A: c}}, sig: open})
	f := Fault{Kind: Contact, A: c}
	v, u := s.linear(perUnit)
	if v > 0 && v < 0.999*shorted && finite(u) {
		f.Value = v / (1 - v/shorted) // the contact is in parallel with what it shorts
		s.add(&hypothesis{faults: []Fault{f}, sig: scaled(perUnit, v), u: []float64{u * f.Value * f.Value / (v * v)}})
	}
	s.unsteady(Fault{Kind: Contact, A: c}, perUnit)
	if c.Part == Position && c.Number > 0 && s.m.l.decades[c.Dial].Tapped() {
		s.add(&hypothesis{faults: []Fault{{Kind: Overlap, A: c}}, sig: scaled(perUnit, -s.m.l.decades[c.Dial].Step)})
	}
}
