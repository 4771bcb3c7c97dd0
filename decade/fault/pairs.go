// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// Two faults at once: of m single faults there are m²/2 pairs, some millions in a box of six
// dials, of which the likelihood with all its terms can be asked for some thousands. What
// follows keeps the answer and not the pairs.
//
// Score. A pair of a first fault f and a second one g has, but for what only adds (the penalty
// for fitted values and what elements pay outside their class are 0 or more),
//
//	score ≥ χ² beside f − gain of g + weight of f + weight of g
//
// with χ² beside f that of the readings with the effect of f taken out and its value free, and
// the gain what the effect of g takes from it. The first and the third term are known before any
// g is tried (behindOf).
//
// Bound. A cause is in the answer only within farBehind of the best score, which is the score of
// any pair or single fault found so far, or less. So a second fault with
//
//	gain < χ² beside f + weight of f + weight of g − best so far − farBehind
//
// cannot come into the answer, and is left out after one sum over the settings. What is exact of
// this is the circuit that does not change; where it does, errorOfLines is taken off the right
// side. The bound rises as better pairs are found, so that the order of the first faults, best
// first, decides how much is left out and not what.
//
// Value of the first. Fitting both values for every g would be a system of two equations each.
// Instead the value of f is given the standard uncertainty of 1000 of its own (freedValue) in
// the covariance, once: minimising over it is what that does, but for a term (shift/1000u)²,
// which is 1e-4 where g moves f by ten of its u. Where it moves to follows from one product
// (readjust).
//
// Not a bound but a choice is which faults may be first (mayBeFirst): a pair of which neither
// fault is among the best single ones is found only where both are in proportion to a number
// (pairLines) or open (opened.go). A fault that explains nothing alone rarely does so beside one
// that explains nothing either; TestPrunedPairs counts how often.

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Two faults at once are looked for where the best single fault is not the healthy box.
//
// All pairs of faults whose effect is in proportion to a number, or fixed, in the circuit as
// it is are fitted (pairLines): drifts of elements, dials, runs of elements and the box,
// series resistance, contacts, shorts. So is every open element with a bridge from tap to
// tap around more than it (openedWithBridge), and what is open beside a leak that is then all
// there is to read (openedBesideLeak).
//
// Of the other pairs, those with a bridge, a slipped knob, exchanged parts, draws or an open
// circuit, one of the two must be among the first faults: the best single fault; both faults
// of the best pairs so far, with the values that they have together; and, where the best
// hypothesis leaves readings unexplained or may take up what is something else, the twelve
// best single faults and the two best of each kind. Beside each all second faults are tried
// in the circuit with the first one in it, its value free. What is found is fitted with its
// circuit, both values together inside their bounds, before it is pruned; then the faults
// of the best pairs are first faults once more. Pairs neither of whose faults is among the
// first are not found: that is the pruning.
const (
	firstFaults   = 12   // single faults that may be the first of two
	firstsOfKind  = 2    // and so many of each kind
	nearBest      = 2    // how far behind the single fault a pair may be at first
	unexplainedAt = 0.05 // probability of χ² of the single fault
	flexibleTries = 5    // firsts tried in any case where the single fault is loose
	leadingPairs  = 3    // pairs whose faults are first faults again
	mostSweeps    = 2    // how often
)

// flexible reports whether a hypothesis has draws or elements of its own that may take up what
// is something else. A second fault beside such a one has little left to explain although it may
// be there.
func (h *hypothesis) flexible() bool { return h.drawSD > 0 || len(h.free) > 0 }

// samePlace reports whether two faults are one kind at one place. Wraps and Stops are part of
// the place of a slip, its positions are its value.
func (f Fault) samePlace(g Fault) bool {
	return f.Kind == g.Kind && f.A == g.A && f.B == g.B && f.Wraps == g.Wraps && f.Stops == g.Stops
}

// combine is the hypothesis of both faults; second was found beside h. It is nil where a box
// cannot have both, and no fit with the circuit will say better.
//
// The effect of the pair in the linear account is that of both and what readjusting the first
// value does. Fit and χ² are those of the pair: the account of a view counts from the readings
// without the first fault.
func (v *view) combine(second *hypothesis) *hypothesis {
	h := v.first
	out := *second
	out.faults = append(slices.Clone(h.faults), second.faults...)
	out.uncertainty = slices.Concat(h.uncertainties(), second.uncertainties())
	out.effect = make([]float64, len(h.effect))
	by := v.readjust(second.effect)
	for k := range out.effect {
		out.effect[k] = h.effect[k] + second.effect[k]
		if by != 0 {
			out.effect[k] += by * v.slope[k]
		}
	}
	// Moved before it is judged: what the pair is possible with is its joint values.
	v.moveFirst(&out, by)
	if v.linearAccount != nil && !v.model.layout.possible(out.faults) {
		if !out.wantsCircuit() {
			return nil
		}
		out.faults[0] = h.faults[0]
	}
	// The scatter of the first is in the view already; here the draws only count as fitted.
	if out.drawSD == 0 {
		out.drawn, out.drawSD = h.drawn, h.drawSD
	} else if h.drawSD > 0 {
		out.drawn = slices.Concat(h.drawn, second.drawn)
	}
	out.fit, out.drawLaw = out.fit+h.drawLaw, out.drawLaw+h.drawLaw
	out.free = slices.Concat(h.free, second.free)
	out.freeSD = slices.Concat(h.freeSD, second.freeSD)
	return &out
}

// moveFirst moves the value of the first fault. by is in the unit of the value, Ω or a fraction.
// A logarithm is moved by by/value, to first order the same, and by a factor of 20 at most,
// since the slope was taken where the value is.
func (v *view) moveFirst(out *hypothesis, by float64) {
	f := &out.faults[0]
	if by == 0 {
		return
	}
	if f.byLogarithm() {
		f.Value *= math.Exp(max(-3, min(3, by/f.Value)))
	} else {
		f.Value += by
	}
}

// wantsCircuit reports whether a hypothesis is to be fitted with its own circuit. Draws are not
// fitted by a circuit: a scatter is new at each dialling, and the estimates of the settings that
// the circuit is fitted to have lost which dialling it was.
func (h *hypothesis) wantsCircuit() bool {
	return h.drawSD == 0 && (slices.ContainsFunc(h.faults, Fault.needsCircuit) ||
		len(h.faults) == 2 && h.multiplied())
}

// multiplied reports whether one of two faults changes by a part what the other changes, so that
// what both do is not the sum of what each does. For example a dial 1 % off and an element of it
// 50 Ω off: together 50 Ω·1.01.
func (h *hypothesis) multiplied() bool {
	for i, f := range h.faults {
		o := h.faults[1-i]
		switch f.Kind {
		case KindBoxDrift:
			return o.A.ofDial()
		case KindDialDrift, KindOverloaded:
			if o.A.ofDial() && (o.A.Dial == f.A.Dial || o.B.ofDial() && o.B.Dial == f.A.Dial) {
				return true
			}
		}
	}
	return false
}

// uncertainties has an entry for each fault, also where none is fitted.
func (h *hypothesis) uncertainties() []float64 {
	if len(h.uncertainty) == 0 {
		return make([]float64, len(h.faults))
	}
	return h.uncertainty
}

// A view is the readings as they look beside a first fault: its effect is taken out, its
// draws and free elements are uncertainty, and so is its value, which another fault may
// have pulled away.
type view struct {
	*linearAccount
	first         *hypothesis
	inCircuit     bool      // the readings are seen from the circuit with the first fault in it
	slope         []float64 // change of the settings per unit of the value; nil: no value
	slopeWeighted []float64 // of the slope: G·slope by setting, before the value was freed
	weighted      []float64
	slopeSize     float64 // slope·G·slope
	behind        float64 // what a second fault must gain at least, beside its weight
}

// freedValue is how uncertain the value of the first fault counts as, in its own uncertainty.
// With 1000 the readings keep a millionth of what they said of the value, of which float64 has
// ten digits; a larger figure gains nothing over the 1e-4 or less that its term adds, and loses
// digits.
const freedValue = 1000

// viewBeside is the view beside a first fault that leaves the circuit as it is: the matrices are
// those of the search with what the first fault adds to them. It shares the model and the
// evidence with the search, and copies what it changes. It costs the square of the settings for
// each element, draw and free deviation.
func (s *search) viewBeside(pr *probe, h *hypothesis) *view {
	s.work.spend(2 * s.numSettings * s.numSettings * (s.numParts + len(h.free) + len(h.drawn)))
	out := *s.linearAccount
	out.firstEffect = h.effect
	// Made for the healthy circuit: a view has its own.
	out.estimates = nil
	out.byDialling.inverse = slices.Clone(s.byDialling.inverse)
	out.byDialling.deviation = slices.Clone(s.byDialling.deviation)
	out.bySetting.variance = slices.Clone(s.bySetting.variance)
	for i, o := range s.evidence.observations {
		// A setting that the first fault opens keeps its deviation: contradiction, by
		// firstEffect, counts it.
		if v := h.effect[o.setting]; !math.IsInf(v, 0) {
			out.byDialling.deviation[i] -= v
		}
	}
	out.setReference()
	d := make([]float64, s.numReadings)
	for _, i := range h.drawn {
		clear(d)
		// A draw is new at each dialling: its direction is one reading.
		d[i] = 1
		out.added += out.addVariance(d, h.drawSD)
	}
	out.widenFree(h)
	v := &view{linearAccount: &out, first: h, slope: s.slopeOf(pr, h)}
	out.updateSums()
	out.estimateElements()
	v.freeFirst()
	return v
}

// widenFree takes the free elements of a first fault into the covariance. A free element is off by
// the same in every dialling that has it in circuit.
func (p *linearAccount) widenFree(h *hypothesis) {
	d := make([]float64, p.numReadings)
	for i, k := range h.free {
		p.repeatDiallings(d, p.model.inCircuit[k])
		p.added += p.addVariance(d, h.freeSD[i])
	}
}

// viewInCircuit is the view beside a first fault that changes which element carries how much of
// the current: the readings as they look from the circuit with the fault in it. nil where that
// is open at a setting that was read. The model of the box with the fault takes the place of the
// sound one, with its own path for each element and its own bridges; the whole account is made
// anew, which costs a factorisation.
func (s *search) viewInCircuit(pr *probe, h *hypothesis) *view {
	m := s.modelWith(pr, h.faults)
	if m == nil || s.work.stopped() != nil {
		return nil
	}
	p, err := newLinearAccount(m, s.evidence)
	if err != nil {
		return nil
	}
	s.work.spend(s.numReadings * s.numReadings * (s.numReadings + 4*s.numParts))
	// The determinant belongs to a fit: −2·ln of a normal density has ln det C, and hypotheses
	// are compared across circuits.
	p.added = p.byDialling.logDet - s.byDialling.logDet
	// Exchanged elements bring their class along, which is wider than that of the place.
	if len(h.free) > 0 {
		p.widenFree(h)
		p.updateSums()
		p.estimateElements()
	}
	first := *h
	first.effect = make([]float64, s.numSettings)
	for k := range first.effect {
		first.effect[k] = m.nominal[k] - s.model.nominal[k]
	}
	v := &view{linearAccount: p, first: &first, inCircuit: true, slope: s.slopeOf(pr, h)}
	v.freeFirst()
	return v
}

// openEffect is the change of each setting, in Ω, when a part of the path is open: nothing carries
// the current there, but for a bridge that is the first of two faults. perUnit is not 0 at the
// settings that have the part in their path, open is what they change by: +Inf, or for a code
// the ohms that come into circuit.
func (s *search) openEffect(f Fault, perUnit []float64, open float64) []float64 {
	out := make([]float64, s.numSettings)
	var c *change
	// A bridge is all that keeps a reading finite beside an open part, and only then is the
	// circuit solved.
	if v := s.view; v != nil && v.inCircuit && math.IsInf(open, 1) &&
		v.first.faults[0].logarithmic() {
		c = s.model.layout.unchanged()
		for _, x := range []Fault{v.first.faults[0], f} {
			if c.apply("fault.Diagnose", x) != nil {
				c = nil
				break
			}
		}
	}
	var pr *probe
	if c != nil {
		pr = newProbe(s.model.layout)
	}
	for k, v := range perUnit {
		if v == 0 {
			continue
		}
		out[k] = open
		if c == nil || len(s.diallings[k]) == 0 || !s.work.spend(workOfSolve(s.model)) {
			continue
		}
		if r := pr.solve(c, s.model.settings[k]); finite(r) {
			out[k] = r - s.model.networkNominal[k]
		}
	}
	return out
}

// modelWith is the model of the box with faults in it: what it reads, what each element adds to
// that, and what bridges do. It is valid until it is asked for again; nil where the box cannot
// have the faults, or is open at a setting that was read with a value. The scratch is one model
// for a search: nominal, inCircuit and pairs of the former first fault are overwritten. What
// does not depend on the circuit, settings, class and meter, is that of the sound model.
func (s *search) modelWith(pr *probe, faults []Fault) *model {
	c := s.model.layout.unchanged()
	for _, f := range faults {
		if c.apply("fault.Diagnose", f) != nil {
			return nil
		}
	}
	m := s.besideFirst
	if m == nil {
		copied := *s.model
		m = &copied
		m.nominal, m.networkNominal = make([]float64, s.numSettings), make([]float64, s.numSettings)
		m.inCircuit = make([][]float64, s.numParts)
		for k := range m.inCircuit {
			m.inCircuit[k] = make([]float64, s.numSettings)
		}
		m.pairs = slices.Clone(m.pairs)
		m.allocatePairs(nil)
		s.besideFirst = m
	}
	m.setPairs(pr, c, m.networkNominal, s.work)
	row := make([][]float64, s.numSettings)
	for k := range row {
		row[k] = make([]float64, s.numParts)
		// An element counts by the square of the share of the current in it, between 0 and 1,
		// where in the sound circuit it is in the path or not.
		if m.nominal[k] = s.model.sensitivities(pr, c, k, s.model.settings[k],
			row); math.IsInf(m.nominal[k], 1) {
			return nil
		}
		for i, v := range row[k] {
			m.inCircuit[i][k] = v
		}
	}
	return m
}

// freeFirst makes the value of the first fault uncertain.
//
// With a the slope, G the inverse of the covariance and u = 1/√(aᵀ·G·a) the standard uncertainty
// of the value, as in GUM H.3 but with covariances, the covariance grows by (1000·u)²·a·aᵀ.
// readjust needs G·a and G·e as they were before.
func (v *view) freeFirst() {
	p := v.linearAccount
	if v.slope == nil {
		return
	}
	v.weighted, v.slopeWeighted = p.bySetting.weighted, make([]float64, p.numSettings)
	for k := range v.slopeWeighted {
		v.slopeWeighted[k] = dot(p.bySetting.inverse[k*p.numSettings:(k+1)*p.numSettings], v.slope)
	}
	v.slopeSize = dot(v.slopeWeighted, v.slope)
	if v.slopeSize > 0 {
		d := make([]float64, p.numReadings)
		p.repeatDiallings(d, v.slope)
		p.addVariance(d, freedValue/math.Sqrt(v.slopeSize))
		p.updateSums()
		p.estimateElements()
	}
}

// repeatDiallings repeats the values of settings for their diallings. d has an entry for each
// observation, bySetting one for each setting.
func (p *linearAccount) repeatDiallings(d, bySetting []float64) {
	for i, o := range p.evidence.observations {
		d[i] = bySetting[o.setting]
	}
}

// addVariance adds the variance (u·d)² to the covariance of the readings, and returns what it
// adds to the logarithm of its determinant. d is a direction in the space of the observations, u
// the standard deviation along it. It costs n² where another inverse costs n³.
func (p *linearAccount) addVariance(d []float64, u float64) float64 {
	gd := make([]float64, p.numReadings)
	for i := range gd {
		gd[i] = dot(p.byDialling.inverse[i*p.numReadings:(i+1)*p.numReadings], d)
	}
	// The identity of M. A. Woodbury for one direction: no matrix is inverted again.
	f := dot(d, gd) + 1/(u*u)
	for i, x := range gd {
		row := p.byDialling.inverse[i*p.numReadings : (i+1)*p.numReadings]
		for j, y := range gd {
			// C⁻¹ − C⁻¹·d·dᵀ·C⁻¹/(1/u² + dᵀ·C⁻¹·d), symmetric to the last bit since x·y is.
			row[j] -= float64(x * y / f)
		}
	}
	for i, o := range p.evidence.observations {
		p.bySetting.variance[o.setting] += float64(u * u * d[i] * d[i])
	}
	// det(C + u²·d·dᵀ) = det C·(1 + u²·dᵀ·G·d), the matrix determinant lemma.
	return math.Log(f * u * u)
}

// updateSums brings everything that follows from g and e up to date. It makes new slices where
// sums are kept by others: a view keeps those of before its value was freed.
func (p *linearAccount) updateSums() {
	p.byDialling.weighted = make([]float64, p.numReadings)
	for i := range p.numReadings {
		p.byDialling.weighted[i] = dot(p.byDialling.inverse[i*p.numReadings:(i+1)*p.numReadings],
			p.byDialling.deviation)
	}
	p.byDialling.chiSquared = dot(p.byDialling.deviation, p.byDialling.weighted)
	p.weighReference()
	p.sumDiallings()
}

// slopeOf is the change of each setting per unit of the value of a fault; nil where it has no
// value. It is in Ω per Ω, or Ω for all of a fraction, by setting. Of a proportional fault it is
// the effect over the value, without another solution; of what is fitted by its logarithm it is
// a difference of two circuits, 1e-4 of the value apart.
func (s *search) slopeOf(pr *probe, h *hypothesis) []float64 {
	f := h.faults[0]
	if !f.fitted() || f.Value == 0 {
		return nil
	}
	if !f.logarithmic() {
		by := f.Value
		// The value is the part itself, the effect is that of its difference from the element.
		if f.Kind == KindWrongPart {
			by -= s.model.layout.elements[s.model.layout.elementAt(f.A.Dial, f.A.Number)].ohms
		}
		return scaled(h.effect, 1/by)
	}
	out := make([]float64, s.numSettings)
	at := f
	at.Value *= 1 + relativeStep
	now, then := make([]float64, s.numSettings), make([]float64, s.numSettings)
	if s.model.predictAll(pr, []Fault{f}, now, nil) != nil ||
		s.model.predictAll(pr, []Fault{at}, then, nil) != nil {
		return nil
	}
	for k := range out {
		if out[k] = (then[k] - now[k]) / (relativeStep * f.Value); !finite(out[k]) {
			out[k] = 0
		}
	}
	return out
}

// readjust is by how much the value of the first fault moves when the second explains its
// part of the readings.
//
// Least squares in one unknown: with a the slope, e what the readings have beside the first
// fault and s the effect of the second, aᵀ·G·(e − s)/(aᵀ·G·a).
func (v *view) readjust(effect []float64) float64 {
	if v.slope == nil || !(v.slopeSize > 0) {
		return 0
	}
	sum := dot(v.slope, v.weighted)
	for k, x := range effect {
		if !math.IsInf(x, 0) {
			sum -= float64(x * v.slopeWeighted[k])
		}
	}
	return sum / v.slopeSize
}

// secondFaults looks for another fault beside one. It returns pairs, not yet fitted by their
// circuit. The search beside the first fault has everything that the single one has but pairs of
// lines, which are solved already, and its work counts with that of s.
func (s *search) secondFaults(pr *probe, h *hypothesis) []*hypothesis {
	var v *view
	if h.wantsCircuit() {
		v = s.viewInCircuit(pr, h)
	}
	if s.work.stopped() != nil {
		return nil
	}
	// No circuit to ask, or one that is open at a setting: the linear account then, in which a
	// contradiction has a price.
	if v == nil {
		v = s.viewBeside(pr, h)
	}
	v.behind = s.behindOf(v)
	t := newSearch(v.linearAccount, s.options)
	t.view, t.work = v, s.work
	t.addSingles()
	t.addBridges()
	return t.found
}

// behindOf is what a second fault beside a first one must gain, without its own weight, to come
// into the answer. What the first one leaves of the readings, and its own weight, is known before
// any second one is tried, and penalties only add to it: where a pair is known already that is
// better by more than causes in the answer differ by, most second faults need no look. The
// account of lines is trusted as far as refit trusts it.
func (s *search) behindOf(v *view) float64 {
	left := v.added + v.byDialling.chiSquared + v.first.prior
	return left - s.known - farBehind - s.errorOfLines(v.first)
}

// addPairs looks for two faults at once. The single faults are sorted, best first. What it finds
// is added to the singles. Three direct searches come first, since each of their pairs may be
// the best, and the bound of behindOf is as good as the best that is known.
func (s *search) addPairs(pr *probe) error {
	singles := slices.Clone(s.found)
	// Two faults are rarer than one: where not even one pays, no pair is the answer.
	if len(singles) == 0 || singles[0].firstKind() == KindHealthy {
		return nil
	}
	opened, err := s.openedWithBridge(pr, singles[0].score)
	if err != nil {
		return err
	}
	leaking, err := s.openedBesideLeak(pr, singles)
	if err != nil {
		return err
	}
	pairs := slices.Concat(s.pairLines(), opened, leaking)
	slices.SortStableFunc(pairs, byScore)
	p := &pairSearch{search: s, probe: pr, pairs: pairs, best: singles[0], single: singles[0].score,
		planned: 2}
	if len(pairs) > 0 && pairs[0].score < p.best.score {
		p.best = pairs[0]
	}
	if err := p.searchPairs(singles); err != nil {
		return err
	}
	s.found = append(s.found, p.pairs...)
	return s.work.stopped()
}

// pairSearch is the part of a search that looks for pairs with a first fault.
type pairSearch struct {
	*search
	probe          *probe
	pairs          []*hypothesis // found and fitted
	best           *hypothesis   // of all
	single         float64       // score of the best single fault
	tried          []Fault
	steps, planned int
}

// searchPairs tries first faults in their order, fits what they find, and does the same once or
// twice with the faults of the best pairs.
func (p *pairSearch) searchPairs(singles []*hypothesis) error {
	firsts := p.mayBeFirst(singles)
	if len(firsts) == 0 {
		return nil
	}
	tries := p.triesInAnyCase()
	p.planned += len(firsts)
	// By the linear account, before the circuit: so a little behind counts, too.
	near := p.best.score + nearBest
	p.known = p.best.score
	var found []*hypothesis
	for i, h := range firsts {
		if err := p.search.work.stopped(); err != nil {
			return err
		}
		found = append(found, p.beside(h)...)
		if err := p.search.work.stopped(); err != nil {
			return err
		}
		// One fault explains the readings and the best firsts find no second: no other will.
		if i+1 == tries && !slices.ContainsFunc(found,
			func(x *hypothesis) bool { return x.score < near }) {
			break
		}
	}
	if err := p.keepPairs(found); err != nil {
		return err
	}
	return p.sweep()
}

// triesInAnyCase is the number of first faults that are tried although none of them finds a pair.
//
//	readings that no single fault explains   all of them: there is a second fault
//	a leader with draws or free elements     five: it may hide what is something else
//	a leader that explains the readings      one: a second fault is a luxury
func (p *pairSearch) triesInAnyCase() int {
	switch {
	case p.firsts > firstFaults || p.unexplained(p.best):
		return math.MaxInt
	case p.best.flexible():
		return flexibleTries
	}
	return 1
}

// sweep takes the faults of the best pairs as first faults once more, with the values that they
// have together. A single fault that hides behind another has a wrong value alone, and what is
// looked for beside it is then what the error of that value leaves.
func (p *pairSearch) sweep() error {
	for range mostSweeps {
		var again []*hypothesis
		for _, h := range p.leaders() {
			if err := p.search.work.stopped(); err != nil {
				return err
			}
			again = append(again, p.beside(h)...)
		}
		if len(again) == 0 {
			break
		}
		if err := p.keepPairs(again); err != nil {
			return err
		}
	}
	return p.search.work.stopped()
}

// beside looks for second faults, and counts the step. It notes the best score that stands as it
// is, for the bound beside the firsts that follow.
func (p *pairSearch) beside(h *hypothesis) []*hypothesis {
	p.tried = append(p.tried, h.faults[0])
	out := p.secondFaults(p.probe, h)
	for _, x := range out {
		// Others may score worse by their own circuit.
		if !x.wantsCircuit() {
			p.known = min(p.known, x.score)
		}
	}
	p.steps++
	p.search.work.step(1+p.steps, max(p.planned, 2+p.steps))
	return out
}

// keepPairs fits pairs with their circuit, and keeps those that can be. The pairs stay sorted,
// best first, each combination of places once; an error is that of the context or of readings
// whose covariance has no inverse.
func (p *pairSearch) keepPairs(found []*hypothesis) error {
	list := distinct(append(slices.Clone(found), p.pairs...))
	// The pairs that are there already were fitted before.
	fresh := slices.DeleteFunc(list,
		func(h *hypothesis) bool { return slices.Contains(p.pairs, h) })
	if err := p.refit(p.probe, fresh, p.best.score); err != nil {
		return err
	}
	for _, h := range fresh {
		if o := p.openInstead(h); o != nil && h.score < p.best.score+closeBehind &&
			p.search.work.stopped() == nil {
			if err := p.fitCircuit(p.probe, o); err != nil {
				return err
			}
			fresh = append(fresh, o)
		}
	}
	p.pairs = distinct(append(slices.DeleteFunc(fresh,
		func(h *hypothesis) bool { return !finite(h.score) }), p.pairs...))
	if len(p.pairs) > 0 && p.pairs[0].score < p.best.score {
		p.best = p.pairs[0]
	}
	p.known = min(p.known, p.best.score)
	return nil
}

// asGoodAsOpen is how many times its value an element with a bridge around it may be off before
// it is taken as open instead.
const asGoodAsOpen = 20

// openInstead is a pair of a bridge and an element that drifted so far that it carries next to
// nothing, with the element open; nil where it is none. The effect stays that of the large
// drift; the fit by the circuit, which follows, replaces it.
func (s *search) openInstead(h *hypothesis) *hypothesis {
	if !finite(h.score) || !slices.ContainsFunc(h.faults, Fault.logarithmic) {
		return nil
	}
	for i, f := range h.faults {
		if f.Kind != KindDrift && f.Kind != KindWrongPart {
			continue
		}
		// A current so small is not told from none, and broken wires are the commoner.
		if f.Value < asGoodAsOpen*s.model.layout.elements[s.model.layout.elementAt(f.A.Dial,
			f.A.Number)].ohms {
			continue
		}
		out := *h
		out.faults, out.uncertainty = slices.Clone(h.faults), slices.Clone(h.uncertainty)
		out.faults[i], out.uncertainty[i] = Fault{Kind: KindOpenElement, A: f.A}, 0
		out.prior += s.weight(KindOpenElement) - s.weight(f.Kind)
		return &out
	}
	return nil
}

// leaders are the faults of the best pairs, each alone with the value that it has beside the
// other, that were not first faults yet with about this value. A fault whose value has moved by
// more than 2 % beside another is new: what is left beside it is something else.
func (p *pairSearch) leaders() []*hypothesis {
	var out []*hypothesis
	for _, h := range p.pairs[:min(leadingPairs, len(p.pairs))] {
		if h.score > p.best.score+closeBehind || h.score > p.single+nearBest || h.drawSD > 0 ||
			len(h.free) > 0 {
			continue
		}
		for i, f := range h.faults {
			if slices.ContainsFunc(p.tried, f.about) {
				continue
			}
			one := &hypothesis{faults: []Fault{f}, uncertainty: []float64{h.uncertainties()[i]},
				effect: make([]float64, p.numSettings), prior: p.weight(f.Kind)}
			if p.search.model.predictAll(p.probe, one.faults, one.effect, nil) != nil {
				continue
			}
			for k := range one.effect {
				one.effect[k] -= p.search.model.nominal[k]
			}
			p.tried = append(p.tried, f)
			out = append(out, one)
		}
	}
	return out
}

// about reports whether two faults are one, with values that agree to 2 %.
func (f Fault) about(g Fault) bool {
	return f.samePlace(g) && math.Abs(f.Value-g.Value) <= 0.02*math.Abs(f.Value)
}

// unexplained reports whether χ² is improbably large. The prior of the elements is wider than
// they are, so that it seldom is for the truth. The covariance has c/√3 for an element and as
// much again for its dial, where a rectangle of the half-width c has c/√3.
func (s *search) unexplained(h *hypothesis) bool {
	// GUM G.3.3 would take a degree of freedom off for each fitted value: one or two of the
	// number of readings change the quantile by little.
	law := distuv.ChiSquared{K: float64(s.numReadings)}
	return h.chiSquared > law.Quantile(1-unexplainedAt)
}

// mayBeFirst lists the single faults that may be the first of two. Best first, but for those
// that are loose: beside an unsteady element whose scatter takes up everything no second fault
// shows. Where such a one leads, the firm ones come next. Aged elements and a dialling that
// differs are never the first: either takes up a second fault whole.
func (s *search) mayBeFirst(singles []*hypothesis) []*hypothesis {
	var out []*hypothesis
	kinds := make(map[Kind]int)
	for _, h := range singles {
		k := h.firstKind()
		if k == KindHealthy || k == KindAged || k == KindDialling || len(out) >= s.firsts &&
			kinds[k] >= firstsOfKind {
			continue
		}
		kinds[k]++
		out = append(out, h)
	}
	if len(out) > 1 && out[0].flexible() {
		slices.SortStableFunc(out[1:],
			func(a, b *hypothesis) int { return a.flexibility() - b.flexibility() })
	}
	return out
}

// flexibility sorts what is loose last.
func (h *hypothesis) flexibility() int {
	if h.flexible() {
		return 1
	}
	return 0
}

// distinct keeps the best of pairs that are the same faults, in whatever order; a scatter of its
// own makes another. The result is sorted, best first; the list is not changed.
func distinct(list []*hypothesis) []*hypothesis {
	list = slices.Clone(list)
	slices.SortStableFunc(list, byScore)
	seen := make(map[[2]Fault][]*hypothesis)
	out := list[:0]
	for _, h := range list {
		k := h.placesOf()
		if slices.ContainsFunc(seen[k], func(x *hypothesis) bool {
			return (x.drawSD > 0) == (h.drawSD > 0) && len(x.free) == len(h.free)
		}) {
			continue
		}
		seen[k] = append(seen[k], h)
		out = append(out, h)
	}
	return out
}

// placesOf is equal for pairs of the same kinds at the same places. A single fault has the zero
// Fault beside it. The value of a slip is a place: by one position and by two are different
// answers.
func (h *hypothesis) placesOf() [2]Fault {
	var out [2]Fault
	for i, f := range h.faults {
		out[i] = Fault{Kind: f.Kind, A: f.A, B: f.B, Wraps: f.Wraps, Stops: f.Stops}
		if f.Kind == KindSlip {
			out[i].Value = f.Value
		}
	}
	if a, b := out[0], out[1]; b.before(a) {
		// A then B is B then A.
		out[0], out[1] = b, a
	}
	return out
}

// before is an order of faults, by kind and places. The key of a pair does not depend on which
// of the two was found first. Wraps and Stops are not asked: no knob has two slips.
func (f Fault) before(g Fault) bool {
	for _, c := range [...][2]int{{int(f.Kind), int(g.Kind)}, {f.A.Dial, g.A.Dial},
		{f.A.Number, g.A.Number}, {int(f.A.Part), int(g.A.Part)},
		{f.B.Dial, g.B.Dial}, {f.B.Number, g.B.Number}, {int(f.B.Part), int(g.B.Part)},
		{int(f.Value), int(g.Value)}} {
		if c[0] != c[1] {
			return c[0] < c[1]
		}
	}
	return false
}

func byScore(a, b *hypothesis) int { return compareScores(a.score, b.score) }

// compareScores sorts the lower first.
func compareScores(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
