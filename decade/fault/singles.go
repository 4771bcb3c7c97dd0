// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"
)

// search collects hypotheses.
type search struct {
	*posterior
	opt            Search
	places         map[Kind]int // how many a kind has in this box
	firsts         int          // single faults that may be the first of two
	view           *view        // beside a first fault, where two are looked for
	closed         float64      // what the healthy box contradicts
	healthyOutside float64      // what the healthy box pays for elements outside their class
	found          []*hypothesis
}

func newSearch(p *posterior, opt Search) *search {
	s := &search{posterior: p, opt: opt, firsts: firstFaults}
	s.places = p.m.places()
	s.closed = p.contradicts(make([]float64, p.s))
	s.healthyOutside = p.m.outside(p.sd, p.ap, p.zs, p.share, nil)
	return s
}

// places counts the places of each kind, between which its weight is shared.
func (m *model) places() map[Kind]int {
	n := make(map[Kind]int)
	elements := len(m.l.elements)
	for _, k := range []Kind{Drift, WrongPart, Shorted, OpenElement, Unsteady} {
		n[k] = elements
	}
	n[BoxDrift], n[Aged], n[Series] = 1, 1, 1
	n[DialDrift] = len(m.l.decades)
	for i, d := range m.l.decades {
		if d.Tapped() {
			n[Overloaded] += d.NumElements()
			n[TapsExchanged] += d.NumElements() * (d.NumElements() + 1) / 2
			n[Overlap] += d.NumElements()
		}
		for j := range i {
			n[ElementsExchanged] += d.NumElements() * m.l.decades[j].NumElements()
		}
	}
	n[Contact] = len(m.contacts())
	n[OpenContact] = n[Contact]
	for i := range m.l.units {
		n[Slip] += len(m.slips(&m.l.units[i]))
	}
	for i := range m.pairs {
		n[m.pairs[i].kind]++
	}
	return n
}

// weight is −2·ln of the prior weight of one place of a kind against that of a healthy
// box; +Inf: not considered.
func (s *search) weight(k Kind) float64 {
	if k == Healthy {
		return 0
	}
	w := s.opt.Weights[k] / s.opt.Weights[Healthy] / float64(max(1, s.places[k]))
	return -2 * math.Log(w) // +Inf for 0
}

// add looks at a hypothesis, and keeps it if it may matter.
func (s *search) add(h *hypothesis) {
	if len(h.faults) > 0 {
		h.prior = s.weight(h.faults[0].Kind)
	}
	if math.IsInf(h.prior, 1) || !s.promising(h) {
		return
	}
	s.keep(h)
}

// keep evaluates a hypothesis, together with the first fault where there is one.
func (s *search) keep(h *hypothesis) {
	if s.view != nil && (len(h.faults) == 0 || h.faults[0].same(s.view.first.faults[0])) {
		return
	}
	if s.view != nil {
		h.prior += s.view.first.prior
	}
	s.evaluate(h)
	if s.view != nil {
		h = s.view.with(h)
	}
	h.settle()
	if !finite(h.score) {
		return
	}
	s.found = append(s.found, h)
}

// A hypothesis that gains less than its prior costs, less this, is not looked at closely:
// it would be far behind the healthy box, or the single fault. The penalty for freedom
// comes on top.
const (
	spare       = 12
	spareSecond = 2
)

// gate is what a fault of a kind must gain over what it is compared with to be looked at;
// +Inf: not considered.
func (s *search) gate(k Kind) float64 {
	if s.view != nil {
		return s.weight(k) - spareSecond
	}
	return max(1, s.weight(k)-spare-s.healthyOutside)
}

// promising sorts out what cannot matter. A drift is looked at in any case: it may be
// small for its prior and yet outside the class.
func (s *search) promising(h *hypothesis) bool {
	switch h.kind() {
	case Healthy, Unsteady, Aged:
		return true
	case Drift, WrongPart, Overloaded, DialDrift, BoxDrift, Series:
		return !s.allowed(h.faults[0])
	}
	open := s.contradicts(h.sig) - s.closed
	if open > 0 {
		return false
	}
	gain := -open
	for k, v := range h.sig {
		if !math.IsInf(v, 0) {
			gain += 2 * float64(v*s.zs[k])
		}
	}
	least := s.gate(h.kind())
	return gain >= least && gain-s.norm(h.sig) >= least
}

// allowed tells whether a drift is inside the class of every element that drifts: then it
// is no fault. A drift that a dial shares is one if the readings place it outside.
func (s *search) allowed(f Fault) bool {
	l := s.m.l
	inside := func(i int) bool {
		e := l.elements[i]
		return (math.Abs(f.Value)-2*s.mean[e.dial])*e.ohms <= s.m.half[i]
	}
	switch f.Kind {
	case Drift, WrongPart:
		by := f.Value
		i := l.elementAt(f.A.Dial, f.A.Number)
		if f.Kind == WrongPart {
			by -= l.elements[i].ohms
		}
		return math.Abs(by) <= s.m.half[i]
	case Series:
		return math.Abs(f.Value) <= s.m.half[s.q-1]
	case Overloaded, DialDrift:
		return inside(l.first[f.A.Dial])
	case BoxDrift:
		for i := range l.elements {
			if !inside(i) {
				return false
			}
		}
		return true
	}
	return false
}

// singles considers every single fault but bridges.
func (s *search) singles() {
	s.add(&hypothesis{sig: make([]float64, s.s)})
	for i := range s.m.l.elements {
		s.element(i)
	}
	for d := range s.m.l.decades {
		s.dial(d)
	}
	s.box()
	for _, c := range s.m.contacts() {
		s.contact(c)
	}
	for _, v := range s.m.moves {
		if s.affects(v.sig) {
			s.add(&hypothesis{faults: []Fault{v.fault}, sig: v.sig})
		}
	}
	s.exchanged()
}

// affects tells whether a signature changes a reading.
func (p *posterior) affects(sig []float64) bool {
	for k, v := range sig {
		if v != 0 && (len(p.rows[k]) > 0 || len(p.ev.open) > 0) {
			return true
		}
	}
	return false
}

// amplitude adds a fault whose effect is proportional to its value.
func (s *search) amplitude(f Fault, unit []float64, allowed func(float64) bool) *hypothesis {
	v, u := s.linear(unit)
	if math.IsInf(u, 1) || !allowed(v) {
		return nil
	}
	f.Value = v
	h := &hypothesis{faults: []Fault{f}, sig: scaled(unit, v), u: []float64{u}}
	s.add(h)
	return h
}

func anyValue(float64) bool     { return true }
func aboveMinus(v float64) bool { return v > -0.999 }

func (s *search) element(i int) {
	e := s.m.l.elements[i]
	unit := s.m.column[i]
	if !s.affects(unit) {
		return
	}
	at := Place{Element, e.dial, e.number}
	h := s.amplitude(Fault{Kind: Drift, A: at}, unit, func(v float64) bool { return v > -0.999*e.ohms })
	if h != nil {
		s.standard(h, e)
	}
	s.add(&hypothesis{faults: []Fault{{Kind: Shorted, A: at}}, sig: scaled(unit, -e.ohms)})
	open := make([]float64, s.s)
	for k, v := range unit {
		if v != 0 {
			open[k] = math.Inf(1)
		}
	}
	s.add(&hypothesis{faults: []Fault{{Kind: OpenElement, A: at}}, sig: open})
	s.unsteady(Fault{Kind: Unsteady, A: at}, unit)
}

// partTolerance is that of the standard values of replacements, as a fraction, and u.
const partTolerance = 0.01

// standard considers that a drifted element was replaced by a part of the E24 series
// (IEC 60063).
func (s *search) standard(h *hypothesis, e element) {
	value := e.ohms + h.faults[0].Value
	near := nearestE24(value)
	u := math.Hypot(partTolerance*near/math.Sqrt(3), h.u[0])
	if math.Abs(near-e.ohms) <= 2*partTolerance*e.ohms || math.Abs(value-near) > 3*u {
		return
	}
	w := &hypothesis{faults: []Fault{{Kind: WrongPart, A: h.faults[0].A, Value: value}}, sig: h.sig, u: h.u}
	s.add(w)
}

var e24 = [...]float64{1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1, 10}

// nearestE24 returns the value of the E24 series nearest to a positive resistance, in
// ratio.
func nearestE24(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	scale := math.Pow(10, math.Floor(math.Log10(v)))
	best, gap := 0.0, math.Inf(1)
	for _, x := range e24 {
		if g := math.Abs(math.Log(v / (x * scale))); g < gap {
			best, gap = x*scale, g
		}
	}
	return best
}

func (s *search) dial(d int) {
	l := s.m.l
	whole := make([]float64, s.s)
	n := l.decades[d].NumElements()
	for j := 1; j <= n; j++ {
		i := l.first[d] + j - 1
		for k, v := range s.m.column[i] {
			whole[k] += v * l.elements[i].ohms
		}
		if l.decades[d].Tapped() && j > 1 && j < n {
			s.overloaded(d, j, slices.Clone(whole))
		}
	}
	s.amplitude(Fault{Kind: DialDrift, A: Place{WholeDial, d, 0}}, whole, aboveMinus)
}

// Elements that were overloaded together drift alike to one of these parts of their drift.
var alike = [...]float64{0.02, 0.1, 0.3}

func (s *search) overloaded(d, j int, unit []float64) {
	v, u := s.linear(unit)
	if math.IsInf(u, 1) || !aboveMinus(v) {
		return
	}
	f := Fault{Kind: Overloaded, A: Place{Element, d, j}, Value: v}
	for _, part := range alike {
		h := &hypothesis{faults: []Fault{f}, sig: scaled(unit, v), u: []float64{u}}
		for i := range j {
			at := s.m.l.first[d] + i
			h.elements = append(h.elements, at)
			h.spread = append(h.spread, part*math.Abs(v)*s.m.l.elements[at].ohms)
		}
		s.add(h)
	}
}

// box considers what changes all readings.
func (s *search) box() {
	s.amplitude(Fault{Kind: BoxDrift, A: Place{Part: WholeBox}}, s.m.base, aboveMinus)
	ones := s.m.column[s.q-1]
	s.amplitude(Fault{Kind: Series, A: Place{Part: WholeBox}}, ones, anyValue)
	s.unsteady(Fault{Kind: Series, A: Place{Part: WholeBox}}, ones)
	for _, spread := range []float64{0.01, 0.03, 0.1} {
		h := &hypothesis{faults: []Fault{{Kind: Aged, A: Place{Part: WholeBox}}}}
		v, u := s.linear(s.m.base)
		h.faults[0].Value, h.u, h.sig = v, []float64{u}, scaled(s.m.base, v)
		for i, e := range s.m.l.elements {
			h.elements = append(h.elements, i)
			h.spread = append(h.spread, spread*e.ohms)
		}
		if finite(u) && v > 0 {
			s.add(h)
		}
	}
}

// contacts lists the contacts of the box: positions of ladders, elements of codes that
// have a contact each, positions of other codes. Ladders on one switch share position 0.
func (m *model) contacts() []Place {
	var out []Place
	for _, u := range m.l.units {
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
	u, _ := m.l.unitOf(c.Dial)
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
	unit := s.m.touches(c)
	if !s.affects(unit) {
		return
	}
	shorted := s.m.parallel(c)
	open := make([]float64, s.s)
	for k, v := range unit {
		if v != 0 {
			open[k] = shorted
		}
	}
	s.add(&hypothesis{faults: []Fault{{Kind: OpenContact, A: c}}, sig: open})
	f := Fault{Kind: Contact, A: c}
	v, u := s.linear(unit)
	if v > 0 && v < 0.999*shorted && finite(u) {
		f.Value = v / (1 - v/shorted) // the contact is in parallel with what it shorts
		s.add(&hypothesis{faults: []Fault{f}, sig: scaled(unit, v), u: []float64{u * f.Value * f.Value / (v * v)}})
	}
	s.unsteady(Fault{Kind: Contact, A: c}, unit)
	if c.Part == Position && c.Number > 0 && s.m.l.decades[c.Dial].Tapped() {
		s.add(&hypothesis{faults: []Fault{{Kind: Overlap, A: c}}, sig: scaled(unit, -s.m.l.decades[c.Dial].Step)})
	}
}

// slips lists the slips of the switch of a unit, for one behaviour beyond its ends.
func (m *model) slips(u *unit) []Fault {
	high, low := m.l.decades[u.dials[0]].Positions, 0
	if len(u.dials) == 2 {
		low = -m.l.decades[u.dials[1]].Positions
	}
	var out []Fault
	for by := low - high; by <= high-low; by++ {
		for _, end := range []int{SlipOpens, SlipWraps} {
			if by != 0 {
				out = append(out, Fault{Kind: Slip, A: Place{WholeDial, u.dials[0], end}, Value: float64(by)})
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
	for i := range m.l.units {
		for _, f := range m.slips(&m.l.units[i]) {
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
	u, _ := m.l.unitOf(f.A.Dial)
	for k, s := range m.settings {
		which, p := 0, 0
		for w, d := range u.dials {
			if q := s.Position(d); q > 0 {
				which, p = w, q
			}
		}
		dec := &m.l.decades[u.dials[which]]
		to := tap{which, p}
		if x := c.positions[u.dials[which]]; x != nil {
			to = x[p]
		}
		switch {
		case to.which >= 0:
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
