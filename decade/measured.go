// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import "example.com/ohmwright/uncertainty"

// measured holds what the elements of a calibrated box measure, in ohms at reference
// conditions.
type measured struct {
	residual uncertainty.Quantity
	elements [][]uncertainty.Quantity // by dial and element − 1
}

// table is the value of every position: the estimates of its elements added up.
func (m *measured) table(s *Spec) values {
	r := m.residual.Estimate()
	v := values{zero: r, off: r, dials: make([][]float64, len(s.Decades))}
	for i := range s.Decades {
		d := &s.Decades[i]
		v.dials[i] = make([]float64, d.Positions+1)
		// Missing positions have no elements and stay 0: no setting asks for them.
		for p := range v.dials[i] {
			for _, e := range d.InCircuit(p) {
				v.dials[i][p] += m.elements[i][e-1].Estimate()
			}
		}
	}
	return v
}

// resistance is the measured residual and elements, and a fresh draw of every contact.
func (m *measured) resistance(s Setting) uncertainty.Quantity {
	l := &linear{}
	l.addTerm(1, m.residual)
	for i, e := range s.Elements() {
		l.addTerm(1, m.elements[i][e-1])
	}
	// The elements were measured with the contacts of other diallings; those of the next are
	// new.
	s.addContacts(l)
	// All coefficients are 1, and the values may come from a file: their units are looked at.
	return uncertainty.Sum(l.inputs...).InUnit("Ω")
}
