// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A wiper that stands on another tap than the scale says reads the value of that tap: its nominal
// value says what the setting changes by, without a network. A knob that has slipped on its shaft
// does this, and two tap wires exchanged; elements exchanged move the values and not the wiper.
// None has a value to fit, so that each number of positions and each pair is a hypothesis of its
// own:
//
//	slips        3·(n − 1), and six against a stop, of a switch of n marks
//	tap wires    n·(n − 1)/2 pairs of a ladder; a code has no taps to exchange
//	elements     pairs of different values in the whole box: 1,500 of 60 in six dials of ten
//
// Moved wipers are the same in every diagnosis of a box and are listed in its model; exchanged
// elements need the readings to be worth a list (addExchange).

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
	// By n positions and more no wiper has a contact left unless it turns round.
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
	change *change   // nothing but where wipers stand; read by all models of the box
	effect []float64 // Ω by setting; +Inf: no contact. Nil in a template
}

// listMoves lists all slips and exchanges of two tap wires. Position 0 of a second range is that of
// the first, and the wire of it is exchanged like any other.
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
				// A missing position has no wire.
				if !dec.HasPosition(a) || !dec.HasPosition(b) {
					continue
				}
				addMove(Fault{Kind: KindTapsExchanged, A: Place{PartPosition, d, a},
					B: Place{PartPosition, d, b}})
			}
		}
	}
}

// displacement is the change of a setting by a slip or exchanged taps, in Ω; +Inf where a wiper of
// a ladder stands between contacts. With ×100 at 3 and a knob one position on, +100 Ω.
//
// Of two ranges on a switch one is off zero at most, so that the wiper has one position; from
// there it may get into the other range, with another step.
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
// inside one weighted dial. Equal ones exchanged change no reading.
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

// addExchange considers two elements exchanged. Element i is off by b − a then and element j by a −
// b, so that with by = b − a the gain is 2·by·(z_i − z_j) − by²·(g_ii + g_jj − 2·g_ij), z and g
// those of elements by the readings.
//
// Each element brings its own class along: 10 kΩ within 2 Ω in the place of 100 Ω within 20 mΩ may
// be off by 2 Ω there, which is a free deviation of 2/√3 Ω (GUM 4.3.7). The smaller one in the
// place of the larger needs less than that place allows already.
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
