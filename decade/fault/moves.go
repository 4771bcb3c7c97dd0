// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import "math"

// slips lists the slips of the switch of a section, for one behaviour beyond its ends.
func (m *model) slips(u *section) []Fault {
	high, low := m.l.decades[u.dials[0]].Positions, 0
	if len(u.dials) == 2 {
		low = -m.l.decades[u.dials[1]].Positions
	}
	var out []Fault
	for by := low - high; by <= high-low; by++ {
		for _, wraps := range []bool{false, true} {
			if by != 0 {
				out = append(out, Fault{Kind: Slip, A: Place{WholeDial, u.dials[0], 0}, Value: float64(by), Wraps: wraps})
			}
		}
	}
	return out
}

// A move is a fault that takes a wiper to another tap, with what it does to the settings.
type move struct {
	fault Fault
	sig   []float64
}

// listMoves finds all slips and exchanges of two tap wires.
func (m *model) listMoves() {
	add := func(f Fault) { m.moves = append(m.moves, move{f, m.displaced(f)}) }
	for i := range m.l.sections {
		for _, f := range m.slips(&m.l.sections[i]) {
			add(f)
		}
	}
	for d, dec := range m.l.decades {
		if !dec.Tapped() {
			continue
		}
		for a := range dec.Positions + 1 {
			for b := a + 1; b <= dec.Positions; b++ {
				add(Fault{Kind: TapsExchanged, A: Place{Position, d, a}, B: Place{Position, d, b}})
			}
		}
	}
}

// displaced is the change of each setting by a slip or exchanged taps.
func (m *model) displaced(f Fault) []float64 {
	c := &change{l: m.l}
	c.move(f)
	sig := make([]float64, len(m.settings))
	u, _ := m.l.sectionOf(f.A.Dial)
	for k, s := range m.settings {
		which, p := 0, 0
		for w, d := range u.dials {
			if q := s.Position(d); q > 0 {
				which, p = w, q
			}
		}
		dec := &m.l.decades[u.dials[which]]
		to := tap{which: which, number: p}
		if x := c.positions[u.dials[which]]; x != nil {
			to = x[p]
		}
		switch {
		case !to.none:
			sig[k] = float64(to.number)*m.l.decades[u.dials[to.which]].Step - float64(p)*dec.Step
		case dec.Tapped():
			sig[k] = math.Inf(1)
		default: // all elements in circuit
			for e := 1; e <= dec.NumElements(); e++ {
				sig[k] += float64(dec.Weight(e)) * dec.Step
			}
			sig[k] -= float64(p) * dec.Step
		}
	}
	return sig
}

// exchanged considers elements of two dials exchanged.
func (s *search) exchanged() {
	l := s.m.l
	for i, a := range l.elements {
		for j, b := range l.elements[:i] {
			if a.dial != b.dial && a.ohms != b.ohms {
				s.exchange(i, j)
			}
		}
	}
}

func (s *search) exchange(i, j int) {
	a, b := s.m.l.elements[i], s.m.l.elements[j]
	by := b.ohms - a.ohms
	gain := 2*by*(s.az[i]-s.az[j]) - by*by*(s.aga[i*s.q+i]+s.aga[j*s.q+j]-2*s.aga[i*s.q+j])
	if gain < s.gate(ElementsExchanged)-spareSecond {
		return
	}
	sig := make([]float64, s.s)
	for k := range sig {
		sig[k] = by * (s.m.column[i][k] - s.m.column[j][k])
	}
	if a.ohms > b.ohms { // the class of the larger now stands in the place of the smaller
		i, j = j, i
	}
	s.add(&hypothesis{
		faults: []Fault{{Kind: ElementsExchanged, A: Place{Element, a.dial, a.number}, B: Place{Element, b.dial, b.number}}},
		sig:    sig, elements: []int{i}, spread: []float64{s.m.half[j] / math.Sqrt(3)},
	})
}
