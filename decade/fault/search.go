// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A search holds one linear account of readings and collects the hypotheses that are worth a
// place in the ranking. Every single fault of every kind at every place comes by, and again
// beside every first fault of two, so that each meets the cheapest question first:
//
//   1. is the kind considered at all, and was the pair solved already (addHypothesis);
//   2. can its gain in χ² pay for its prior weight: a sum over the settings (mayMatter);
//   3. the same less its own size: a product with the matrix of the settings (mayMatter);
//   4. the likelihood with all its terms, and values that nothing can have (keepHypothesis).
//
// Beside a first fault (view not nil) the account is that of the readings beside it, a
// hypothesis is the second fault alone, and what is kept is the pair.

import (
	"math"
	"slices"
)

// search collects hypotheses.
type search struct {
	*linearAccount
	options              Options
	places               map[Kind]int // how many a kind has in this box
	firsts               int          // single faults that may be the first of two
	view                 *view        // beside a first fault, where two are looked for
	healthyContradiction float64      // what the healthy box contradicts
	healthyOutside       float64      // what the healthy box pays for elements outside their class
	sound                *change      // the circuit without a fault
	found                []*hypothesis
	lines                []line
	besideFirst          *model // scratch of modelWith
	// known is the best score that no fit by a circuit can change, where two are looked for.
	known float64
	work  *work
}

// newSearch begins a search. opt is complete: it has weights and a distance. The healthy box is
// evaluated at once, since every gate compares with it.
func newSearch(p *linearAccount, opt Options) *search {
	s := &search{linearAccount: p, options: opt, firsts: firstFaults}
	s.places, s.sound = p.model.places(), p.model.layout.unchanged()
	s.healthyContradiction = p.contradiction(make([]float64, p.numSettings))
	s.healthyOutside = p.model.outsideClass(p.ofElements.sd, p.ofElements.covariance,
		p.bySetting.weighted, p.ofElements.independence, nil)
	return s
}

// places counts the places of each kind, between which its weight is shared. A kind that the box
// cannot have is not in it.
func (m *model) places() map[Kind]int {
	n := make(map[Kind]int)
	elements := len(m.layout.elements)
	for _, k := range []Kind{KindDrift, KindWrongPart, KindShorted, KindOpenElement, KindUnsteady} {
		n[k] = elements
	}
	n[KindBoxDrift], n[KindAged], n[KindSeries], n[KindUnexplained] = 1, 1, 1, 1
	// A range on which nothing was read would only take weight from the others.
	for r := range m.meter {
		if slices.Contains(m.rangeOf, r) {
			n[KindMeterGain]++
			n[KindMeterZero]++
		}
	}
	n[KindDialling] = max(1, len(m.settings))
	n[KindDialDrift] = len(m.layout.decades)
	for _, d := range m.layout.decades {
		if d.Tapped() {
			n[KindOverloaded] += d.NumElements()
			// The pairs of n + 1 taps.
			n[KindTapsExchanged] += d.NumElements() * (d.NumElements() + 1) / 2
			n[KindOverlap] += d.NumElements()
		}
	}
	for i, a := range m.layout.elements {
		for _, b := range m.layout.elements[:i] {
			if a.ohms != b.ohms {
				n[KindElementsExchanged]++
			}
		}
	}
	n[KindContact] = len(m.listContacts())
	n[KindOpenContact] = n[KindContact]
	for i := range m.layout.sections {
		n[KindSlip] += len(m.slips(&m.layout.sections[i]))
	}
	for i := range m.pairs {
		n[m.pairs[i].kind]++
	}
	return n
}

// weight is −2·ln of the prior weight of one place of a kind against that of a healthy box;
// +Inf: not considered. For example 20 : 1000 for a drift in a box of 60 elements:
// −2·ln(20/1000/60) = 16, so that an element has to be off by four standard uncertainties before
// the odds of its drift are even, the penalty for its value apart.
func (s *search) weight(k Kind) float64 {
	if k == KindHealthy {
		return 0
	}
	// A kind has its weight once, however many places it may be at: a bridge among four thousand
	// has to explain more than the one drift of the box.
	w := s.options.Weights[k] / s.options.Weights[KindHealthy] / float64(max(1, s.places[k]))
	return -2 * math.Log(w) // +Inf for 0
}

// addHypothesis looks at a hypothesis, and keeps it if it may matter.
func (s *search) addHypothesis(h *hypothesis) {
	// Two lines were solved together already, exactly.
	if s.view != nil && h.isLine() && s.view.first.isLine() || s.work.stopped() != nil ||
		!s.work.spend(s.numSettings*s.numSettings) {
		return
	}
	if len(h.faults) > 0 {
		h.prior = s.weight(h.faults[0].Kind)
	}
	if math.IsInf(h.prior, 1) || !s.mayMatter(h) {
		return
	}
	s.keepHypothesis(h)
}

// keepHypothesis evaluates a hypothesis, together with the first fault where there is one. It
// asks no gate: addHypothesis does, and draws come here from a gate of their own.
func (s *search) keepHypothesis(h *hypothesis) {
	if s.view != nil && (len(h.faults) == 0 || h.faults[0].samePlace(s.view.first.faults[0])) {
		return
	}
	if s.view != nil {
		h.prior += s.view.first.prior
	}
	s.work.spend(3 * s.numSettings * s.numSettings)
	s.evaluate(h)
	if s.view != nil {
		if h = s.view.combine(h); h == nil {
			return
		}
	}
	h.setScore()
	// χ² is found by differences: a little below 0 is rounding, −1 a covariance that has lost
	// its digits.
	if !finite(h.score) || h.chiSquared < -1 || slices.ContainsFunc(h.faults, s.impossible) {
		return
	}
	s.found = append(s.found, h)
}

// impossible reports whether a fault has a value that nothing can have: a resistance below 0, a
// drift of −100 % or less, a negative resistance in series beside another fault. It is about one
// fault by itself; whether a box can have both of a pair is asked where both are fitted together
// (layout.possible).
func (s *search) impossible(f Fault) bool {
	switch f.Kind {
	case KindSeries:
		return f.Value <= -s.model.layout.box.Spec().Residual || f.Value < 0 && s.view != nil
	case KindElementLeak, KindDialLeak, KindTerminalLeak, KindBridge, KindDialBridge, KindCaseLeak:
		return false // fitted as a logarithm
	}
	return s.sound.checkValue("fault.Diagnose", f) != nil
}

// A hypothesis that gains less than its prior costs, less this, is not looked at closely:
// it would be far behind the healthy box, or the single fault. The penalty for freedom
// comes on top.
const (
	// 12 behind the healthy box are odds of 1 to 400 before the penalty for what is fitted.
	gateMargin       = 12
	gateMarginSecond = 2
)

// leastGain is what a fault of a kind must gain over what it is compared with to be looked at;
// +Inf: not considered. What the healthy box pays for elements outside their class may come to a
// fault that takes the blame, beside the gain in χ². At least 1 is asked: for a common kind the
// difference is negative, and every place of it would be kept.
func (s *search) leastGain(k Kind) float64 {
	if s.view != nil {
		return s.weight(k) + max(-gateMarginSecond, s.view.behind)
	}
	return max(1, s.weight(k)-gateMargin-s.healthyOutside)
}

// mayMatter sorts out what cannot matter. A drift is looked at in any case: it may be
// small for its prior and yet outside the class.
//
// With s the effect and z = G·e, χ² falls by 2·s·z − s·G·s, and by what overloads, which have no
// value, contradict less than they do a healthy box.
func (s *search) mayMatter(h *hypothesis) bool {
	switch h.firstKind() {
	case KindHealthy, KindUnsteady:
		return true
	case KindDrift, KindWrongPart, KindOverloaded, KindDialDrift, KindBoxDrift, KindAged,
		KindSeries:
		return !s.insideClass(h.faults[0])
	}
	open := s.contradiction(h.effect) - s.healthyContradiction
	// It contradicts a reading that the healthy box does not: no gain elsewhere makes up for that.
	if open > 0 {
		return false
	}
	gain := -open
	for k, v := range h.effect {
		if !math.IsInf(v, 0) {
			gain += 2 * float64(v*s.bySetting.weighted[k])
		}
	}
	least := s.leastGain(h.firstKind())
	// 2·s·z is the cheap bound, 2·s·z − s·G·s what χ² falls by.
	return gain >= least && gain-s.squaredSize(h.effect) >= least
}

// insideClass reports whether a drift is inside the class of every element that drifts: then it
// is no fault. A drift that a dial shares is one if the readings place it outside. Elements that
// aged without order may be outside although their mean is not: where about each of them was
// read, the likelihood tells. Two standard uncertainties of what the readings say of a dial are
// taken off a fraction: it must be outside beyond them.
func (s *search) insideClass(f Fault) bool {
	l := s.model.layout
	// The fraction is one for all elements of a dial, their limits as fractions are not: a floor
	// in ohms widens that of the smallest most.
	inside := func(i int) bool {
		e := l.elements[i]
		return (math.Abs(f.Value)-2*s.ofElements.dialSD[e.dial])*e.ohms <= s.model.classLimit[i]
	}
	switch f.Kind {
	case KindDrift, KindWrongPart:
		by := f.Value
		i := l.elementAt(f.A.Dial, f.A.Number)
		if f.Kind == KindWrongPart {
			by -= l.elements[i].ohms
		}
		return math.Abs(by) <= s.model.classLimit[i]
	case KindSeries:
		return math.Abs(f.Value) <= s.model.classLimit[s.numParts-1]
	case KindOverloaded, KindDialDrift:
		return inside(l.firstElement[f.A.Dial])
	case KindBoxDrift, KindAged:
		if f.Kind == KindAged && 2*s.numSettings >= len(l.elements) {
			return false
		}
		for i := range l.elements {
			if !inside(i) {
				return false
			}
		}
		return true
	}
	return false
}
