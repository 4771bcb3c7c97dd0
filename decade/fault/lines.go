// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// Most faults are lines: a single number times an effect that is known, as long as the circuit
// stays as it is. Two of them at once have the effect x·a + y·b, and with z_a = aᵀ·G·e, g_ab =
// aᵀ·G·b and so on, G the inverse covariance by setting and e the deviations, χ² falls by
//
//	2·(x·z_a + y·z_b) − x²·g_aa − y²·g_bb − 2·x·y·g_ab,
//
// largest where x·g_aa + y·g_ab = z_a and x·g_ab + y·g_bb = z_b. So of m lines and n settings all
// z and g are one product of matrices, m·n² + m²·n, and each of the m²/2 pairs costs some ten
// operations after that: 30,000 pairs of the 250 lines of six ladders, without one solution of the
// circuit. What is kept is scored with all terms, and fitted with its circuit where one fault
// changes what the other does (multiplied).
//
// A number has bounds, which the algebra does not know. Beyond one of them, where the bound is a
// fault of its own (an element of −R is shorted), the line is fixed there and the other number is
// fitted alone: y = (z_b − x·g_ab)/g_bb. Beyond any other the pair is none.
//
// The class of the elements is in G as a normal distribution; what they pay outside of it is not in
// the formula, and only adds. So the score without it is a bound from below, by which pairs are
// left out before anything else is computed of them.

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// A line is a fault whose effect on the readings is in proportion to a number: how far an
// element is off, the ohms in a contact. Of two lines the best numbers together are the
// solution of two equations, so that all pairs of lines are tried, none left out.
type line struct {
	fault   Fault                // without a value
	perUnit []float64            // change of each setting in Ω for 1 of the number
	allowed func(x float64) bool // of the number
	// byContact is in Ω what each contact shorts, where the number is what they add in parallel
	// with it; nil: the number is the value.
	byContact []float64
	// fixed is the fault of the number at, where Kind is not KindHealthy: a short, an open contact.
	fixed Fault
	at    float64
}

// addLine notes a line, for pairs. Beside a first fault there is none to note: pairs of lines are
// found once, among the single faults.
func (s *search) addLine(l line) {
	if s.view == nil && !math.IsInf(s.weight(l.fault.Kind), 1) {
		s.lines = append(s.lines, l)
	}
}

// lineOf is the line of a fault whose value is the number. A drift that takes all of its element
// away is a short.
func (s *search) lineOf(f Fault, perUnit []float64, allowed func(float64) bool) line {
	l := line{fault: f, perUnit: perUnit, allowed: allowed}
	if f.Kind == KindDrift {
		e := s.model.layout.elements[s.model.layout.elementAt(f.A.Dial, f.A.Number)]
		l.fixed, l.at = Fault{Kind: KindShorted, A: f.A}, -e.ohms
	}
	return l
}

// lineOfContact is that of a contact, in parallel with what it shorts: nothing, or the elements
// of a code. The number is what the setting reads more: in a ladder the ohms of the contact, which
// may be any, in a code less than the elements, and about as much as they are where it is open.
func (s *search) lineOfContact(f Fault, perUnit, shorted []float64) line {
	sum := sumOfShorted(shorted)
	l := line{fault: f, perUnit: perUnit, byContact: shorted, allowed: func(x float64) bool {
		return x > 0 && x < 0.999*sum
	}}
	if shorted != nil {
		l.fixed = Fault{Kind: KindOpenContact, A: f.A}
		l.at = s.model.ohmsWhenOpened(f.A, shorted)
	}
	return l
}

// inside reports whether a number makes a fault: 0 is none.
func (l *line) inside(x float64) bool { return x != 0 && l.allowed(x) }

// valued is the fault with its value for a number that is known to u, and the uncertainty of the
// value. For example a contact beside 40 Ω of a code that makes 8 Ω more is one of 10 Ω, and 0.1 Ω
// of the number are 0.16 Ω of it.
func (l *line) valued(x, u float64) (Fault, float64) {
	f := l.fault
	f.Value = x
	if l.byContact != nil {
		v, slope := contactOhms(x, l.byContact)
		f.Value = v
		u *= slope
	}
	return f, u
}

// What is kept of all pairs of lines for a closer look: so far behind the best, and so many. 40
// behind is where causes end as well (farBehind).
const (
	linesBehind = 40
	mostOfLines = 300
)

// linePair is a pair of lines with its numbers, x of line i and y of line j.
type linePair struct {
	i, j           int // in search.lines, i before j
	x, y           float64
	ux, uy         float64 // 0: the number is not free
	score          float64 // without what elements pay outside their class
	xFixed, yFixed bool
}

// pairLines fits all pairs of lines, each number free inside its bounds or fixed where a line
// has a fault without a value, and returns the hypotheses of the best. nil where the work was
// stopped.
func (s *search) pairLines() []*hypothesis {
	m := len(s.lines)
	if m < 2 {
		return nil
	}
	lines := mat.NewDense(m, s.numSettings, nil)
	for i, l := range s.lines {
		// Settings with nothing but overloads have no value, and no row in G.
		for k, v := range l.perUnit {
			if len(s.diallings[k]) > 0 {
				lines.Set(i, k, v)
			}
		}
	}
	product := mat.NewDense(m, m, nil)
	// A few rows at a time, so that the context is asked in between.
	const rows = 16
	for from := 0; from < m; from += rows {
		to := min(from+rows, m)
		if !s.work.spend((to - from) * s.numSettings * (m + s.numSettings)) {
			return nil
		}
		var weighted mat.Dense
		weighted.Mul(lines.Slice(from, to, 0, s.numSettings),
			mat.NewDense(s.numSettings, s.numSettings, s.bySetting.inverse))
		product.Slice(from, to, 0, m).(*mat.Dense).Mul(&weighted, lines.T())
	}
	z := make([]float64, m)
	for i := range z {
		z[i] = dot(lines.RawRowView(i), s.bySetting.weighted)
	}
	// The limit falls as better pairs are found; what came in before is sorted out afterwards.
	var list []linePair
	best := math.Inf(1)
	for i := range m {
		if !s.work.spend(40 * m) {
			return nil
		}
		for j := range i {
			for _, c := range s.fitLines(j, i, product.At(j, j), product.At(i, i), product.At(i, j),
				z[j], z[i], best+linesBehind) {
				best = min(best, c.score)
				list = append(list, c)
			}
		}
	}
	list = slices.DeleteFunc(list, func(c linePair) bool { return c.score > best+linesBehind })
	slices.SortStableFunc(list, func(a, b linePair) int { return compareScores(a.score, b.score) })
	var out []*hypothesis
	for _, c := range list[:min(mostOfLines, len(list))] {
		if !s.work.spend(3 * s.numSettings * s.numSettings) {
			return nil
		}
		out = append(out, s.hypothesesOfLines(c)...)
	}
	return out
}

// fitLines returns the pairs of two lines that score less than a limit: both numbers free, or one
// of them or both fixed, four at most. ii, jj and ij are g of lines i and j, zi and zj their z.
//
// With both free the covariance is the inverse of {g_ii, g_ij; g_ij, g_jj}, whose determinant is
// 1/det. What the penalty for freedom asks of two numbers is that volume, the product of their
// uncertainties; so ux is that of x with y known, 1/√g_ii, and uy that of y whatever x is,
// √(g_ii/det). What an answer states is fitted anew, both together (stated).
func (s *search) fitLines(i, j int, ii, jj, ij, zi, zj, limit float64) []linePair {
	a, b := &s.lines[i], &s.lines[j]
	if a.fault.samePlace(b.fault) || a.fault.Kind == KindDialling && b.fault.Kind == KindDialling ||
		!(ii > 0) || !(jj > 0) {
		return nil // two diallings at once are no longer one that differs
	}
	var out []linePair
	tryPair := func(c linePair) {
		c.i, c.j = i, j
		gain := 2*(c.x*zi+c.y*zj) - c.x*c.x*ii - c.y*c.y*jj - 2*c.x*c.y*ij
		if s.scoreLines(&c, s.byDialling.chiSquared-gain, limit) {
			out = append(out, c)
		}
	}
	// The normal equations of two parameters by Cramer's rule; where they are in proportion the
	// readings cannot say how much is whose. At 1e-9 of the product det has seven digits left.
	if det := ii*jj - ij*ij; det > 1e-9*ii*jj {
		x, y := (zi*jj-zj*ij)/det, (zj*ii-zi*ij)/det
		if a.inside(x) && b.inside(y) {
			tryPair(linePair{x: x, y: y, ux: 1 / math.Sqrt(ii), uy: math.Sqrt(ii / det)})
		}
	}
	if a.fixed.Kind != KindHealthy {
		if y := (zj - a.at*ij) / jj; b.inside(y) {
			tryPair(linePair{x: a.at, xFixed: true, y: y, uy: 1 / math.Sqrt(jj)})
		}
	}
	if b.fixed.Kind != KindHealthy {
		if x := (zi - b.at*ij) / ii; a.inside(x) {
			tryPair(linePair{y: b.at, yFixed: true, x: x, ux: 1 / math.Sqrt(ii)})
		}
		if a.fixed.Kind != KindHealthy {
			tryPair(linePair{x: a.at, xFixed: true, y: b.at, yFixed: true})
		}
	}
	return out
}

// scoreLines sets the uncertainties and the score of a pair whose numbers leave chi of χ², and
// reports whether it is less than a limit and the box can have both faults.
func (s *search) scoreLines(c *linePair, chi, limit float64) bool {
	f, g := s.lines[c.i].fixed, s.lines[c.j].fixed
	if !c.xFixed {
		f, c.ux = s.lines[c.i].valued(c.x, c.ux)
	}
	if !c.yFixed {
		g, c.uy = s.lines[c.j].valued(c.y, c.uy)
	}
	// Without what elements pay outside their class, which only adds: a bound from below.
	c.score = chi + s.weight(f.Kind) + s.weight(g.Kind)
	if !(c.score < limit) || s.insideClass(f) || s.insideClass(g) {
		return false
	}
	// A second look with the penalty, which needs the logarithms that the first saves.
	h := hypothesis{faults: []Fault{f, g}, uncertainty: []float64{c.ux, c.uy}}
	c.score += h.freedomPenalty()
	return c.score < limit && s.model.layout.possible(h.faults)
}

// hypothesesOfLines are those of a pair of lines, evaluated with all terms: of elements that were
// overloaded together one for each spread, since no two drift alike and the readings decide by how
// much they differ.
func (s *search) hypothesesOfLines(c linePair) []*hypothesis {
	a, b := &s.lines[c.i], &s.lines[c.j]
	h := &hypothesis{faults: []Fault{a.fixed, b.fixed}, uncertainty: []float64{c.ux, c.uy},
		effect: make([]float64, s.numSettings)}
	// ux and uy are those of the values already (scoreLines).
	if !c.xFixed {
		h.faults[0], _ = a.valued(c.x, c.ux)
	}
	if !c.yFixed {
		h.faults[1], _ = b.valued(c.y, c.uy)
	}
	for k := range h.effect {
		h.effect[k] = float64(c.x*a.perUnit[k]) + float64(c.y*b.perUnit[k])
	}
	h.prior = s.weight(h.faults[0].Kind) + s.weight(h.faults[1].Kind)
	list := []*hypothesis{h}
	if h.faults[0].Kind == KindOverloaded || h.faults[1].Kind == KindOverloaded {
		list = nil
		for _, part := range overloadSpreads {
			// Faults and effect are shared: what differs is which elements are free.
			wide := *h
			for _, f := range h.faults {
				if f.Kind == KindOverloaded {
					s.spreadOverload(&wide, f, part)
				}
			}
			list = append(list, &wide)
		}
	}
	for _, x := range list {
		s.evaluate(x)
		x.setScore()
	}
	return list
}

// spreadOverload frees the elements that were overloaded together, to a part of their drift: 0.1 of
// a drift of 2 % is 2 Ω for an element of 1 kΩ.
func (s *search) spreadOverload(h *hypothesis, f Fault, part float64) {
	for n := f.A.Number; n <= f.B.Number; n++ {
		at := s.model.layout.elementAt(f.A.Dial, n)
		h.free = append(h.free, at)
		h.freeSD = append(h.freeSD, part*math.Abs(f.Value)*s.model.layout.elements[at].ohms)
	}
}

// isLine reports whether a hypothesis is one fault that pairLines has paired with all others. An
// open contact of a ladder is none: its effect is no number.
func (h *hypothesis) isLine() bool {
	if len(h.faults) != 1 || h.drawSD > 0 {
		return false
	}
	switch h.faults[0].Kind {
	case KindDrift, KindShorted, KindDialDrift, KindBoxDrift, KindSeries, KindMeterGain,
		KindMeterZero, KindDialling:
		return true
	case KindContact, KindOpenContact:
		return !math.IsInf(slices.Max(h.effect), 1)
	}
	return false
}
