// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import "math"

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
	for i := range m.l.sections {
		n[Slip] += len(m.slips(&m.l.sections[i]))
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
