// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"

	"example.com/ohmwright/decade"
)

// mostAgainstStop is the number of positions that a knob can be off where the switch stops at
// its ends: so many positions of the dial cannot be dialled, which nobody misses more of.
const mostAgainstStop = 3

// slips lists the slips of the switch of a section, for each behaviour beyond its ends: a knob may
// turn all round, run on where there is no contact, or stop at the last one, three faults each by
// so many positions. None of a switch with more than two ranges (see oneKnob).
//
// A switch has a ring of n marks, from low, the top of its second range counted below 0, to high.
// All round by v is the same as by v − n: of the two the shorter way is listed, or the answer would
// say of +1 on a dial of 11 marks that the readings cannot tell it apart from −10. Where it does
// not turn round they differ: by −10 all marks but the highest are open.
func (m *model) slips(u *section) []Fault {
	if len(u.dials) > 2 {
		return nil
	}
	high, low := m.layout.decades[u.dials[0]].Positions, 0
	if len(u.dials) == 2 {
		low = -m.layout.decades[u.dials[1]].Positions
	}
	marks := high - low + 1
	var out []Fault
	for by := low - high; by <= high-low; by++ {
		if by == 0 {
			continue
		}
		f := Fault{Kind: KindSlip, A: Place{PartDial, u.dials[0], 0}, Value: float64(by)}
		wraps, stops := f, f
		wraps.Wraps, stops.Stops = true, true
		if 2*by > -marks && 2*by <= marks {
			out = append(out, wraps)
		}
		out = append(out, f)
		if by >= -mostAgainstStop && by <= mostAgainstStop {
			out = append(out, stops)
		}
	}
	return out
}

// A move is a fault that takes a wiper to another tap, with what it does to the settings.
type move struct {
	fault  Fault
	change *change
	effect []float64
}

// listMoves lists all slips and exchanges of two tap wires.
func (m *model) listMoves() {
	addMove := func(f Fault) {
		c := &change{layout: m.layout}
		c.moveTaps(f)
		m.moves = append(m.moves, move{fault: f, change: c})
	}
	for i := range m.layout.sections {
		for _, f := range m.slips(&m.layout.sections[i]) {
			addMove(f)
		}
	}
	for d, dec := range m.layout.decades {
		if !dec.Tapped() {
			continue
		}
		for a := range dec.Positions + 1 {
			for b := a + 1; b <= dec.Positions; b++ {
				if !dec.HasPosition(a) || !dec.HasPosition(b) {
					continue
				}
				addMove(Fault{Kind: KindTapsExchanged, A: Place{PartPosition, d, a},
					B: Place{PartPosition, d, b}})
			}
		}
	}
}

// displacement is the change of a setting by a slip or exchanged taps.
func (v *move) displacement(l *layout, s decade.Setting) float64 {
	u, _ := l.sectionOf(v.fault.A.Dial)
	which, p := 0, 0
	for w, d := range u.dials {
		if q := s.Position(d); q > 0 {
			which, p = w, q
		}
	}
	dec := &l.decades[u.dials[which]]
	to := tap{which: which, number: p}
	if x := v.change.positions[u.dials[which]]; x != nil {
		to = x[p]
	}
	if !to.none {
		return float64(to.number)*l.decades[u.dials[to.which]].Step - float64(p)*dec.Step
	}
	if dec.Tapped() {
		return math.Inf(1)
	}
	// A code without a contact closed has all its elements in circuit.
	sum := 0.0
	for e := 1; e <= dec.NumElements(); e++ {
		sum += float64(dec.Weight(e)) * dec.Step
	}
	return sum - float64(p)*dec.Step
}

// addExchanges considers any two elements of different values exchanged, of two dials or
// inside one weighted dial.
func (s *search) addExchanges() {
	l := s.model.layout
	for i, a := range l.elements {
		if !s.work.spend(20 * i) {
			return
		}
		for j, b := range l.elements[:i] {
			if a.ohms != b.ohms {
				s.addExchange(i, j)
			}
		}
	}
}

func (s *search) addExchange(i, j int) {
	a, b := s.model.layout.elements[i], s.model.layout.elements[j]
	by := b.ohms - a.ohms
	z, info, n := s.ofElements.weighted, s.ofElements.information, s.numParts
	// Of thousands of pairs most are refused by this number, before any effect is made.
	gain := 2*by*(z[i]-z[j]) - by*by*(info[i*n+i]+info[j*n+j]-2*info[i*n+j])
	if gain < s.leastGain(KindElementsExchanged)-gateMarginSecond {
		return
	}
	effect := make([]float64, s.numSettings)
	for k := range effect {
		effect[k] = by * (s.model.inCircuit[i][k] - s.model.inCircuit[j][k])
	}
	if a.ohms > b.ohms { // the class of the larger now stands in the place of the smaller
		i, j = j, i
	}
	s.addHypothesis(&hypothesis{
		faults: []Fault{{Kind: KindElementsExchanged, A: Place{PartElement, a.dial, a.number},
			B: Place{PartElement, b.dial, b.number}}},
		effect: effect, free: []int{i}, freeSD: []float64{s.model.classLimit[j] / math.Sqrt(3)},
	})
}
