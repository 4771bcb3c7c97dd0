// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// One fault of each kind at each place, in one pass over the elements, dials, contacts and moves
// of the box. Where the effect is in proportion to a value, the best value follows in closed
// form (fitFactor), and the hypothesis is made with it; where it is not, the effect comes from a
// table that the model has for every setting (moves), or from the screening of bridges, which
// has a file of its own. No circuit is solved here but for an open part beside a bridge
// (openEffect).

import (
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/elementary"
)

// addSingles considers every single fault but bridges. Order matters to the last bit only:
// hypotheses of equal score keep it.
func (s *search) addSingles() {
	s.addHypothesis(&hypothesis{effect: make([]float64, s.numSettings)})
	for i := range s.model.layout.elements {
		s.addElementFaults(i)
	}
	for d := range s.model.layout.decades {
		s.addDialFaults(d)
	}
	s.addBoxFaults()
	s.addMeterFaults()
	s.addDiallings()
	for _, c := range s.model.contactUses {
		s.addContactFaults(c)
	}
	for _, v := range s.model.moves {
		if s.affectsReading(v.effect) {
			s.addHypothesis(&hypothesis{faults: []Fault{v.fault}, effect: v.effect})
		}
	}
	s.addExchanges()
}

// affectsReading reports whether an effect changes a reading. What changes no reading cannot be
// told from a healthy box and has no place in the list. Readings above range have no value that
// it could change, but say that the path may be open, so that every part counts where there are
// any.
func (p *linearAccount) affectsReading(effect []float64) bool {
	for k, v := range effect {
		if v != 0 && (len(p.diallings[k]) > 0 || len(p.evidence.overloads) > 0) {
			return true
		}
	}
	return false
}

// addProportional adds a fault whose effect is proportional to its value. It returns the
// hypothesis with its best value; nil where the readings leave the value free or it is not
// allowed. allowed is asked for the best value alone: the likelihood is a parabola in it, so
// that a best value outside the bounds leaves the bound as the best, which is a healthy box or a
// fault of another kind (an element at 0 Ω is shorted).
func (s *search) addProportional(f Fault, perUnit []float64,
	allowed func(float64) bool) *hypothesis {
	s.addLine(s.lineOf(f, perUnit, allowed))
	v, u := s.fitFactor(perUnit)
	if math.IsInf(u, 1) || !allowed(v) {
		return nil
	}
	f.Value = v
	h := &hypothesis{faults: []Fault{f}, effect: scaled(perUnit, v), uncertainty: []float64{u}}
	s.addHypothesis(h)
	return h
}

// aboveMinus reports whether a drift by a fraction leaves a thousandth of the resistance or more.
// What leaves less is no drift.
func aboveMinus(v float64) bool { return v > -0.999 }

// Elements by their index. For a drift the value is in Ω off nominal, from −99.9 % of the
// element.
func (s *search) addElementFaults(i int) {
	e := s.model.layout.elements[i]
	perUnit := s.model.inCircuit[i]
	if !s.affectsReading(perUnit) {
		return
	}
	at := Place{PartElement, e.dial, e.number}
	h := s.addProportional(Fault{Kind: KindDrift, A: at}, perUnit,
		func(v float64) bool { return v > -0.999*e.ohms })
	if h != nil {
		s.addWrongPart(h, e)
	}
	s.addHypothesis(&hypothesis{faults: []Fault{{Kind: KindShorted, A: at}},
		effect: scaled(perUnit, -e.ohms)})
	open := Fault{Kind: KindOpenElement, A: at}
	s.addHypothesis(&hypothesis{faults: []Fault{open}, effect: s.openEffect(open, perUnit,
		math.Inf(1))})
	s.addUnsteady(Fault{Kind: KindUnsteady, A: at}, perUnit)
}

// partTolerance is that of the standard values of replacements, as a fraction, and u.
const partTolerance = 0.01

// addWrongPart considers that a drifted element was replaced by a part of the E24 series
// (IEC 60063).
func (s *search) addWrongPart(h *hypothesis, e element) {
	value := e.ohms + h.faults[0].Value
	near := nearestE24(value)
	// GUM 5.1.2: the tolerance of the part, a rectangle (GUM 4.3.7), and what the readings
	// leave.
	u := math.Hypot(partTolerance*near/math.Sqrt(3), h.uncertainty[0])
	// A part of the same value is no wrong part, and one between two values of the series neither.
	if math.Abs(near-e.ohms) <= 2*partTolerance*e.ohms || math.Abs(value-near) > 3*u {
		return
	}
	w := &hypothesis{faults: []Fault{{Kind: KindWrongPart, A: h.faults[0].A, Value: value}},
		effect: h.effect, uncertainty: h.uncertainty}
	s.addHypothesis(w)
}

// IEC 60063, from memory. 10 closes the decade: 9.5 is nearest to 9.1, 9.6 to 10.
var e24 = [...]float64{1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9,
	4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1, 10}

// nearestE24 returns the value of the E24 series nearest to a positive resistance, in
// ratio.
func nearestE24(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	scale := math.Pow10(elementary.DecimalExponent(v))
	// The values of the series are even in the logarithm, and so are its gaps.
	best, gap := 0.0, math.Inf(1)
	for _, x := range e24 {
		if g := math.Abs(math.Log(v / (x * scale))); g < gap {
			best, gap = x*scale, g
		}
	}
	return best
}

// whole grows by one element after the other: after j of them it is what an overload up to
// position j changes, since a current flows in elements 1 to j there. After the last it is the
// dial.
func (s *search) addDialFaults(d int) {
	l := s.model.layout
	whole := make([]float64, s.numSettings)
	n := l.decades[d].NumElements()
	for j := 1; j <= n; j++ {
		i := l.firstElement[d] + j - 1
		for k, v := range s.model.inCircuit[i] {
			whole[k] += v * l.elements[i].ohms
		}
		// One element is a drift of its own, all of them are the dial.
		if l.decades[d].Tapped() && j > 1 && j < n {
			s.addOverload(d, j, slices.Clone(whole))
		}
	}
	s.addProportional(Fault{Kind: KindDialDrift, A: Place{PartDial, d, 0}}, whole, aboveMinus)
}

// Elements that were overloaded together drift alike to one of these parts of their drift.
var overloadSpreads = [...]float64{0.02, 0.1, 0.3}

// j is the last of the elements, perUnit the change of the settings per unit of the fraction.
// Equal parts of the power heat equal elements, but no two drift by the same: the fraction is a
// mean, and each element may differ from it by a part that is one of overloadSpreads, a
// hypothesis each.
func (s *search) addOverload(d, j int, perUnit []float64) {
	f := Fault{Kind: KindOverloaded, A: Place{PartElement, d, 1}, B: Place{PartElement, d, j}}
	s.addLine(s.lineOf(f, perUnit, aboveMinus))
	v, u := s.fitFactor(perUnit)
	if math.IsInf(u, 1) || !aboveMinus(v) {
		return
	}
	f.Value = v
	for _, part := range overloadSpreads {
		h := &hypothesis{faults: []Fault{f}, effect: scaled(perUnit, v), uncertainty: []float64{u}}
		for i := range j {
			at := s.model.layout.firstElement[d] + i
			h.free = append(h.free, at)
			h.freeSD = append(h.freeSD, part*math.Abs(v)*s.model.layout.elements[at].ohms)
		}
		s.addHypothesis(h)
	}
}

// addBoxFaults considers what changes all readings. inCircuit of the residual is 1 at every
// setting that was read.
func (s *search) addBoxFaults() {
	s.addProportional(Fault{Kind: KindBoxDrift, A: Place{Part: PartBox}}, s.model.nominal,
		aboveMinus)
	ones := s.model.inCircuit[s.numParts-1]
	s.addProportional(Fault{Kind: KindSeries, A: Place{Part: PartBox}}, ones,
		s.model.layout.allowsSeries)
	s.addUnsteady(Fault{Kind: KindSeries, A: Place{Part: PartBox}}, ones)
	s.addAged()
}

// Elements that aged drift unlike each other by these parts of their mean drift.
var agedSpreads = [...]float64{0.1, 0.2, 0.4, 0.8}

// addAged considers that all elements are off without order. It is never a second fault: with
// elements that may be anything it takes up whatever a first fault leaves. A spread is in parts
// of the mean drift; the likelihood of each of the four decides between them, which is cheaper
// than a fit of one.
func (s *search) addAged() {
	if s.view != nil {
		return
	}
	v, u := s.fitFactor(s.model.nominal)
	for _, part := range agedSpreads {
		// Elements that aged by no more than their class allows, the farthest of them included,
		// are healthy, however well it fits that they did.
		if s.allInside(v * (1 + 2*part)) {
			continue
		}
		h := &hypothesis{faults: []Fault{{Kind: KindAged, A: Place{Part: PartBox}}}}
		h.faults[0].Value, h.uncertainty, h.effect = v, []float64{u}, scaled(s.model.nominal, v)
		for i, e := range s.model.layout.elements {
			h.free = append(h.free, i)
			h.freeSD = append(h.freeSD, part*v*e.ohms)
		}
		// Moisture and corrosion take metal away, so that what ages reads high (common practice).
		if finite(u) && v > 0 {
			s.addHypothesis(h)
		}
	}
}

// allInside reports whether every element may be off by a fraction inside its class. Its value
// is the largest drift of an element that counts as one of the aged: two standard deviations
// beyond the mean.
func (s *search) allInside(fraction float64) bool {
	for i, e := range s.model.layout.elements {
		if math.Abs(fraction)*e.ohms > s.model.classLimit[i] {
			return false
		}
	}
	return true
}
