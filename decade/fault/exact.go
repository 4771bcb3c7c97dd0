// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// The fit of a hypothesis with the circuit that it stands for. A fault with the values θ changes
// what each setting reads, x(θ), and how much each element counts there, A(θ), the squares of the
// shares of the current. With ê the estimates of the settings and V their covariance by meter and
// contacts, P the prior of the elements and W what is not known of the contacts,
//
//	−2·ln L(θ) = (ê − x)ᵀ·C⁻¹·(ê − x) + ln det C + outside(θ),   C = V + A·P·Aᵀ + W,
//
// less ln det C of the healthy circuit, so that it compares with a fit of the linear account. The
// values are found by steps of Gauss and Newton with C as it is, C is made anew with the values,
// and so on until the fit stands (fitCircuit). How C changes with θ is left out of the steps, so
// that they end near the maximum of the likelihood and not quite there.
//
// A covariance costs one solution of every setting, a factor of n³/6 and products of n²·q; a step
// costs a solution of every setting for each value and for each trial. A hypothesis of the linear
// account costs some hundred times less, so that the circuit is asked for the best only (refit).
//
// Values stay inside what a box can be: bridges by the logarithm of their ohms, all others by a
// step that is halved until they do (possible).

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// settingEstimates holds the readings as one estimate for each setting that was read, with the
// covariance that meter and contacts give them, without the class, so that this can be put
// in as any circuit would show it. What the diallings of a setting have to say beyond their
// estimate is the same for all hypotheses.
type settingEstimates struct {
	read       []int         // settings, in their order: row i of what follows is setting read[i]
	ohms       []float64     // Ω at the terminals
	covariance *mat.SymDense // V, in Ω²
	logDet     float64       // with the class of the healthy circuit
	constant   float64       // what the diallings add to the fit of any hypothesis
}

// newSettingEstimates finds them by generalised least squares from a covariance of the
// readings without the class: the class of a dial of 10 MΩ, put in and taken out again, would
// leave nothing of the milliohms that such a dial reads when it is bridged.
//
// With D which reading is a dialling of which setting and G the inverse of this covariance, the
// estimates are (Dᵀ·G·D)⁻¹·Dᵀ·G·e, in matrices the weighted mean of each setting, and V =
// (Dᵀ·G·D)⁻¹. For any x that is the same for the diallings of a setting
//
//	(e − D·x)ᵀ·G·(e − D·x) = constant + (ê − x)ᵀ·V⁻¹·(ê − x),
//
// and a class, which is alike for them as well, adds to V as it would to the covariance of e.
func newSettingEstimates(p *linearAccount, covariance *mat.SymDense) (*settingEstimates, error) {
	c := &settingEstimates{}
	index := make([]int, p.numSettings)
	// The index of a setting that was not read is never asked for.
	for k := range p.numSettings {
		if index[k] = len(c.read); len(p.diallings[k]) > 0 {
			c.read = append(c.read, k)
		}
	}
	n := len(c.read)
	var f factor
	if !f.factorize(covariance) {
		return nil, singular()
	}
	left := mat.NewVecDense(p.numReadings, nil)
	// What is left of the reference, so that no digits are lost to a shift of a whole dial.
	for i, o := range p.evidence.observations {
		left.SetVec(i, p.byDialling.deviation[i]-p.bySetting.reference[o.setting])
	}
	g, inverse := mat.NewSymDense(n, nil), f.inverse()
	weighted, z := f.solveVec(left), mat.NewVecDense(n, nil)
	// Dᵀ·G·D and Dᵀ·G·e; of the symmetric one the half above the diagonal.
	for i, a := range p.evidence.observations {
		z.SetVec(index[a.setting], z.AtVec(index[a.setting])+weighted.AtVec(i))
		for j, b := range p.evidence.observations {
			if r, l := index[a.setting], index[b.setting]; r <= l {
				g.SetSym(r, l, g.At(r, l)+inverse.At(i, j))
			}
		}
	}
	var of factor
	if !of.factorize(g) {
		return nil, singular()
	}
	c.covariance = of.inverse()
	if n == p.numReadings { // each setting once: the same, without rounding
		for i, a := range p.evidence.observations {
			for j, b := range p.evidence.observations {
				c.covariance.SetSym(index[a.setting], index[b.setting], covariance.At(i, j))
			}
		}
	}
	e := of.solveVec(z)
	// χ² of diallings about the estimate of their setting: e·G·e less what the estimates explain.
	c.constant = mat.Dot(left, weighted) - mat.Dot(z, e)
	a := mat.NewDense(n, p.numParts, nil)
	for i, k := range c.read {
		c.ohms = append(c.ohms, p.model.nominal[k]+p.bySetting.reference[k]+e.AtVec(i))
		for j := range p.numParts {
			a.Set(i, j, p.model.inCircuit[j][k])
		}
	}
	// ln det of the healthy circuit is what all others are compared with.
	total := mat.NewSymDense(n, nil)
	total.CopySym(c.covariance)
	p.model.addClass(total, a)
	var whole factor
	if !whole.factorize(total) {
		return nil, singular()
	}
	c.logDet = whole.logDet()
	return c, nil
}

// needsCircuit reports whether a fault changes which elements carry how much of the current, so
// that the linear account of the class is not exact. Drifts, dials and series ohms leave all
// elements where they are; the gain of a range multiplies what they count, on that range alone.
func (f Fault) needsCircuit() bool {
	switch f.Kind {
	case KindElementLeak, KindDialLeak, KindTerminalLeak, KindBridge, KindDialBridge, KindCaseLeak,
		KindSlip, KindTapsExchanged, KindOverlap,
		KindElementsExchanged, KindMeterGain:
		return true
	// Beside an element of a code it shares the current with it; in the path of a ladder it does
	// not.
	case KindContact, KindOpenContact:
		return f.A.Part == PartElement
	}
	return false
}

// logarithmic reports whether the value is fitted as a logarithm. A bridge may be a touch of 1 mΩ
// or a leak of 1 TΩ, and is never below 0.
func (f Fault) logarithmic() bool {
	switch f.Kind {
	case KindElementLeak, KindDialLeak, KindTerminalLeak, KindBridge, KindDialBridge, KindCaseLeak:
		return true
	}
	return false
}

// fitted reports whether there is a value to fit. The positions of a slip are no such value: each
// number of them is a hypothesis of its own.
func (f Fault) fitted() bool { return f.Kind.valueUnit() != "" }

// ruleOut takes a hypothesis out of the ranking: its circuit cannot be. Scores that are not finite
// are taken out of a list after it was fitted.
func (h *hypothesis) ruleOut() { h.fit, h.score = math.Inf(1), math.Inf(1) }

// How often a fit moves its values under one covariance, how often it takes a new
// covariance, and how often it halves a step that leads out of what a box can be or to a
// worse fit. Where the circuit is nearly linear two or three steps are enough; eight are for
// values that begin far away. The last trial is 1/512 of a step.
const (
	stepsOfFit = 8
	turnsOfFit = 4
	halvings   = 10
)

// negligibleGain is the change of a fit that is not worth another solution: 1 % in the odds.
const negligibleGain = 0.02

// fitCircuit fits a hypothesis again with the circuit that it stands for: readings and
// sensitivities to the elements by the network, all values of its faults together and
// inside what a box can be, the likelihood with all its terms. A hypothesis whose circuit
// cannot be is ruled out; the error is that of readings whose covariance has no inverse. Where the
// work is stopped the hypothesis is left as far as it came, and nobody is to use it.
func (s *search) fitCircuit(pr *probe, h *hypothesis) error {
	if err := s.readEstimates(); err != nil {
		return err
	}
	// The covariance depends on the values through the sensitivities: alternate until both stand.
	f := s.solveFit(pr, h)
	for turn := 0; f != nil && turn < turnsOfFit && s.work.stopped() == nil; turn++ {
		if !s.fitValues(pr, h, f) {
			break
		}
		before := f.fit
		if f = s.solveFit(pr, h); f != nil && math.Abs(f.fit-before) < negligibleGain {
			break
		}
	}
	if f == nil {
		h.ruleOut()
		return nil
	}
	h.fit, h.effect, h.chiSquared = f.fit, f.effect, f.chiSquared
	h.setScore()
	return nil
}

// readEstimates makes the estimates of the settings, the first time that a circuit, or the
// statement of a value, wants them.
func (s *search) readEstimates() (err error) {
	if s.estimates == nil {
		s.estimates, err = newSettingEstimates(s.linearAccount, s.evidence.covariance)
	}
	return err
}

// spreads are what elements free to their own deviations add to the settings, a column each: its
// square, column times row, is what the covariance has more for that element.
func spreads(a *mat.Dense, h *hypothesis) *mat.Dense {
	n, _ := a.Dims()
	out := mat.NewDense(n, len(h.free), nil)
	for j, e := range h.free {
		for i := range n {
			out.Set(i, j, h.freeSD[j]*a.At(i, e))
		}
	}
	return out
}

// circuitFit is a hypothesis under its own circuit. Slices have an entry for each setting, vectors
// one for each that was read (settingEstimates.read).
type circuitFit struct {
	fit        float64       // −2·ln of the likelihood, as that of a hypothesis
	chiSquared float64       // with what overloads and open circuits contradict
	effect     []float64     // Ω, value less nominal
	value      []float64     // Ω at the terminals; +Inf: open
	whitened   *mat.VecDense // C⁻¹·remainder
	factor     *factor       // of C
	remainder  *mat.VecDense // ê − x in Ω; 0 where the circuit is open
}

// solveFit makes the covariance of the values as they are and finds their fit. It returns nil where
// the box cannot have the faults, or where the covariance has no inverse.
func (s *search) solveFit(pr *probe, h *hypothesis) *circuitFit {
	c := s.estimates
	n := len(c.read)
	rows := make([][]float64, s.numSettings)
	all := make([]float64, s.numSettings*s.numParts)
	for k := range rows {
		rows[k] = all[k*s.numParts : (k+1)*s.numParts]
	}
	s.work.spend(s.numSettings*(workOfSolve(s.model)+s.numParts) + n*n*(n/6+2*s.numParts))
	f := &circuitFit{value: make([]float64, s.numSettings), effect: make([]float64, s.numSettings)}
	if s.model.predictAll(pr, h.faults, f.value, rows) != nil {
		return nil
	}
	a := mat.NewDense(n, s.numParts, nil)
	for i, k := range c.read {
		// No element counts where no current flows: such a reading is left to contradiction.
		if !math.IsInf(f.value[k], 1) {
			a.SetRow(i, rows[k])
		}
	}
	f.setRemainder(c)
	for k := range f.effect {
		f.effect[k] = f.value[k] - s.model.nominal[k]
	}
	cov := mat.NewSymDense(n, nil)
	cov.CopySym(c.covariance)
	// The law of propagation with the sensitivities of this circuit (GUM 5.2.2, in matrices).
	ap := s.model.addClass(cov, a)
	s.addShares(pr, h.faults, cov)
	var free func(int) bool
	if len(h.free) > 0 {
		free = func(k int) bool { return slices.Contains(h.free, k) }
		cov.SymRankK(cov, 1, spreads(a, h))
	}
	f.factor = &factor{}
	if !f.factor.factorize(cov) {
		return nil
	}
	f.whitened = f.factor.solveVec(f.remainder)
	quad := mat.Dot(f.remainder, f.whitened)
	if quad < -1 {
		return nil // the circuit leaves readings that say the same, but for rounding
	}
	f.chiSquared = c.constant + quad + s.contradiction(f.effect)
	gap := f.factor.solve(ap)
	sd := s.model.elementSD(ap, gap)
	share, _ := s.model.independence(sd, ap, gap)
	outside := s.model.outsideClass(sd, transposed(ap), f.whitened.RawVector().Data, share, free)
	// −2·ln of a normal density: quadratic form and determinant, both under the circuit of the
	// hypothesis, against that of the healthy one.
	f.fit = f.chiSquared + f.factor.logDet() - c.logDet + outside
	return f
}

// contactShare is how well it is known which part of the residual resistance is in the
// contacts and the wire of a switch, as a fraction of that part: as a standard uncertainty, so that
// two of it reach from nothing to twice as much. The layout gives each contact the same.
const contactShare = 0.5

// addShares adds to a covariance what is not known about the contacts that faults bring into the
// path or take out of it: the residual is known as a whole only. A bridge from one dial to another
// takes the contact between its ends out of the path: of 2 mΩ there 1 mΩ is not known, more than
// a good meter is uncertain by.
//
// Each switch has one share, the same at every setting and independent of the others: with the
// column w_j of what changes at the settings, W = Σ w_j·w_jᵀ.
func (s *search) addShares(pr *probe, faults []Fault, cov *mat.SymDense) {
	l := s.model.layout
	c := l.unchanged()
	for _, f := range faults {
		if c.apply("fault.Diagnose", f) != nil {
			return
		}
	}
	n := len(l.sections)
	shares := mat.NewDense(len(s.estimates.read), n, nil)
	with, without := make([]float64, n), make([]float64, n)
	changed := false
	for i, k := range s.estimates.read {
		// Where no current flows no contact counts.
		if x := s.model.settings[k]; math.IsInf(pr.solve(c, x), 1) {
			continue
		}
		pr.contactOhms(c, s.model.settings[k], with)
		l.contactsClosed(s.model.settings[k], without)
		for j := range n {
			v := contactShare * (with[j] - without[j])
			shares.Set(i, j, v)
			changed = changed || math.Abs(v) > negligibleShare
		}
	}
	// Faults that leave the contacts alone leave the covariance alone as well.
	if changed {
		cov.SymRankK(cov, 1, shares)
	}
}

// negligibleShare is a change in Ω that no meter sees: below the microohm that every reading is
// uncertain by (smallestVariance).
const negligibleShare = 1e-7

// setRemainder sets what the values leave of the readings; nothing where they are open.
func (f *circuitFit) setRemainder(c *settingEstimates) {
	f.remainder = mat.NewVecDense(len(c.read), nil)
	for i, k := range c.read {
		if !math.IsInf(f.value[k], 1) {
			f.remainder.SetVec(i, c.ohms[i]-f.value[k])
		}
	}
}

// addClass adds the prior of the elements, as readings with the sensitivities a see it, to a
// covariance: A·P·Aᵀ, the law of propagation in matrices (JCGM 102, 6.2.1, from memory). It returns
// A·P.
func (m *model) addClass(cov *mat.SymDense, a *mat.Dense) *mat.Dense {
	root, ap := m.classThrough(a)
	// By the square root, so that what is added is positive definite whatever rounding does.
	cov.SymRankK(cov, 1, root)
	return ap
}

// classThrough is A·B and A·P for the sensitivities a of any circuit, with P = B·Bᵀ the prior
// covariance of the elements: an error of each and one of its dial, u = c/√3 both (a rectangle, GUM
// 4.3.7; one batch, one winder, one temperature), and of the residual its own. Both come from one
// pass over A, by the shape of the prior, where products with the q×q matrix would cost n·q² each:
//
//	column of element k   u_k·A_ik
//	column of dial d      Σ u_k·A_ik over its elements
//	(A·P)_ik              u_k times the sum of both; of the residual without a dial
func (m *model) classThrough(a *mat.Dense) (root, ap *mat.Dense) {
	n, q := a.Dims()
	root = mat.NewDense(n, q+len(m.layout.decades), nil)
	ap = mat.NewDense(n, q, nil)
	for i := range n {
		// The q parts first, then the dials.
		from, to := a.RawRowView(i), root.RawRowView(i)
		for k, x := range from {
			u := m.classLimit[k] / math.Sqrt(3)
			to[k] = u * x
			if k < q-1 {
				to[q+m.layout.elements[k].dial] += float64(u * x)
			}
		}
		for k, x := range to[:q] {
			if u := m.classLimit[k] / math.Sqrt(3); k < q-1 {
				ap.Set(i, k, u*(x+to[q+m.layout.elements[k].dial]))
			} else {
				ap.Set(i, k, u*x)
			}
		}
	}
	return root, ap
}

// fitValues moves the values of the faults to where the fit is best under the covariance of f,
// by steps of Gauss and Newton that are halved where they lead to a worse fit or to what no
// box can be; it reports whether they moved. The uncertainties are those of the first value
// with the second as it is, and of the second whatever the first is: their product is the
// volume that the likelihood leaves.
//
// It is the iteration of GUM H.3 with covariances, for a model that is not linear in its values.
// The uncertainty of a fit stands in h even where no step was worth it. f is not changed: what is
// left of the readings at the new values is found again by solveFit, with its covariance.
func (s *search) fitValues(pr *probe, h *hypothesis, f *circuitFit) bool {
	var at []int // the faults with a value other than 0, which has no scale for a derivative
	for i, x := range h.faults {
		if x.fitted() && x.Value != 0 {
			at = append(at, i)
		}
	}
	if len(at) == 0 {
		return false
	}
	now := *f
	moved := false
	for range stepsOfFit {
		if s.work.stopped() != nil {
			break
		}
		slope := s.valueSlopes(pr, h.faults, at, &now)
		if slope == nil {
			break
		}
		var normal mat.Dense
		var right, by mat.VecDense
		solved := now.factor.solve(slope)
		// Gauss and Newton: (JᵀGJ)·step = JᵀG·rest, the normal equations of generalised least
		// squares.
		normal.Mul(slope.T(), solved)
		right.MulVec(slope.T(), now.whitened)
		// Two values that the readings cannot tell apart stay where they are.
		if by.SolveVec(&normal, &right) != nil {
			break
		}
		s.noteUncertainty(h, at, &normal)
		if !s.worthStep(h, at, &by) {
			break
		}
		faults, next := s.tryStep(pr, h, at, &by, &now)
		if next == nil {
			break
		}
		h.faults, now, moved = faults, *next, true
	}
	return moved
}

// noteUncertainty sets the uncertainties of the values from the normal equations, in Ω or as a
// fraction: of a logarithm u times the value (GUM 5.1.2). What is not finite leaves that of before.
func (s *search) noteUncertainty(h *hypothesis, at []int, normal *mat.Dense) {
	h.uncertainty = slices.Clone(h.uncertainty)
	for j, i := range at {
		// The pivots of elimination, value after value: their product is the determinant.
		v := normal.At(j, j)
		for o := range j {
			v -= normal.At(j, o) * normal.At(o, j) / normal.At(o, o)
		}
		u := 1 / math.Sqrt(v)
		if h.faults[i].byLogarithm() {
			u *= h.faults[i].Value
		}
		if finite(u) {
			h.uncertainty[i] = u
		}
	}
}

// negligibleStep is the change of a value, relative to its uncertainty, that is not worth
// another solution.
const negligibleStep = 0.02

// worthStep reports whether a step changes a value by a part of its uncertainty that matters. Of
// two values one is enough; a step that is not finite is worth nothing.
func (s *search) worthStep(h *hypothesis, at []int, by *mat.VecDense) bool {
	for j, i := range at {
		v, scale := by.AtVec(j), math.Abs(h.faults[i].Value)
		if h.faults[i].byLogarithm() {
			v, scale = v*h.faults[i].Value, h.faults[i].Value
		}
		if !finite(v) {
			return false
		}
		// And by more than rounding, where the readings know a value to ten digits.
		if math.Abs(v) > negligibleStep*h.uncertainty[i] && math.Abs(v) > 1e-9*scale {
			return true
		}
	}
	return false
}

// tryStep returns the faults after a step, or after a half, a quarter, … of it, with what they
// leave of the readings; nil where none of these is better. χ² under the covariance of f and what
// is contradicted decide, not the whole likelihood: a trial costs a solution and no factor.
func (s *search) tryStep(pr *probe, h *hypothesis, at []int, by *mat.VecDense,
	f *circuitFit) ([]Fault, *circuitFit) {
	// A line search keeps Gauss and Newton from a worse fit (J. Nocedal and S. J. Wright, Numerical
	// Optimization, 10.3, from memory).
	part := 1.0
	before := mat.Dot(f.remainder, f.whitened) + s.contradiction(f.effect)
	for range halvings {
		if s.work.stopped() != nil {
			break
		}
		faults := slices.Clone(h.faults)
		for j, i := range at {
			faults[i].step(part * by.AtVec(j))
		}
		// A whole step may jump over the minimum where the circuit is far from linear.
		part /= 2
		next := &circuitFit{value: make([]float64, s.numSettings),
			effect: make([]float64, s.numSettings), factor: f.factor}
		s.work.spend(s.numSettings * workOfSolve(s.model))
		if !s.model.layout.possible(faults) ||
			s.model.predictAll(pr, faults, next.value, nil) != nil {
			continue
		}
		for k := range next.effect {
			next.effect[k] = next.value[k] - s.model.nominal[k]
		}
		next.setRemainder(s.estimates)
		next.whitened = f.factor.solveVec(next.remainder)
		if mat.Dot(next.remainder, next.whitened)+s.contradiction(next.effect) < before {
			return faults, next
		}
	}
	return nil, nil
}

// largestStep is the largest step of a logarithm: a factor of 7.4 either way, so that eight steps
// go from 1 mΩ to 9 kΩ.
const largestStep = 2

// step moves a value, or its logarithm. Bridges stay between a touch and none; a value that is no
// logarithm may leave what a box can be, which possible finds.
func (f *Fault) step(by float64) {
	if !f.byLogarithm() {
		f.Value += by
		return
	}
	// A step of ten in the logarithm is a step out of the region where the slope was taken.
	f.Value *= math.Exp(max(-largestStep, min(largestStep, by)))
	if f.logarithmic() {
		f.Value = max(shortOhms, min(largestBridge, f.Value))
	}
}

// byLogarithm reports whether a fit moves the logarithm of the value. A contact beside an element
// of a code is like a leak across it, seen from its other end.
func (f Fault) byLogarithm() bool {
	return f.logarithmic() || f.Kind == KindContact && f.A.Part == PartElement
}

// relativeStep is the change of a value for a derivative, as a fraction. The solver is right to
// some 10⁻¹⁵ of a reading: of a value that makes a millionth of it the difference still has five
// digits.
const relativeStep = 1e-4

// valueSlopes returns the derivatives of the settings with respect to the values, or their
// logarithms: a row for each setting that was read, a column for each fault in at, in Ω for each Ω,
// for all of a fraction, or for a factor e. nil where the box cannot have a value a little larger.
func (s *search) valueSlopes(pr *probe, faults []Fault, at []int, f *circuitFit) *mat.Dense {
	out := mat.NewDense(len(s.estimates.read), len(at), nil)
	value := make([]float64, s.numSettings)
	for j, i := range at {
		moved := slices.Clone(faults)
		// Forward differences: wrong by about 1e-4 of the slope, which does not change where steps
		// lead.
		moved[i].Value *= 1 + relativeStep
		s.work.spend(s.numSettings * workOfSolve(s.model))
		if s.model.predictAll(pr, moved, value, nil) != nil {
			return nil
		}
		unit := relativeStep
		if !faults[i].byLogarithm() {
			unit *= faults[i].Value
		}
		for row, k := range s.estimates.read {
			if d := value[k] - f.value[k]; finite(d) {
				out.Set(row, j, d/unit)
			}
		}
	}
	return out
}

// smallestPart is what must be left of an element that is off, as a fraction of it: with
// less it is shorted, which is a fault of its own.
const smallestPart = 0.001

// possible reports whether a box can have the faults at once, as far as their values go: no
// element below 0 Ω, no drift of −100 % or less, no contact, bridge or wire below nothing,
// nothing new at each dialling with a mean of 0 or less: ohms that scatter have one above it.
func (l *layout) possible(faults []Fault) bool {
	for _, f := range faults {
		if !l.possibleValue(f, len(faults) > 1) {
			return false
		}
	}
	// All faults of an element together: two drifts may each be possible, and not both.
	for _, e := range l.elements {
		if ohms, touched := e.with(faults); touched && ohms < smallestPart*e.ohms {
			return false
		}
	}
	return true
}

// possibleValue reports whether a fault can have its value, whatever else is wrong. Kinds that are
// not named have their bounds in step, in what is left of an element, or none.
func (l *layout) possibleValue(f Fault, amongOthers bool) bool {
	// Draws are ohms, which are above 0 in the mean.
	if f.Scatter > 0 && !(f.Value > 0) {
		return false
	}
	switch f.Kind {
	case KindOverloaded, KindDialDrift, KindBoxDrift, KindAged, KindMeterGain:
		return f.Value >= smallestPart-1
	case KindContact:
		return f.Value >= 0
	case KindSeries:
		// Beside another fault ohms in series are there: that there are less than stated is a
		// finding of its own.
		return l.allowsSeries(f.Value) && !(f.Value < 0 && amongOthers)
	}
	return true
}

// with returns what faults leave of an element in Ω, and whether any of them is about it.
// Faults apply in their order, as they do in a change: a drift before the drift of the dial is
// multiplied by that. 100 Ω, 5 Ω more and then 1 % more are 106.05 Ω. Drifts of the whole box are
// not counted: they leave no element shorted that was not.
func (e element) with(faults []Fault) (ohms float64, touched bool) {
	ohms = e.ohms
	for _, f := range faults {
		// Of places without a dial this is 0, and the kinds below have one.
		if f.A.Dial != e.dial {
			continue
		}
		switch {
		case f.Kind == KindDrift && f.A.Number == e.number:
			ohms, touched = ohms+f.Value, true
		case f.Kind == KindWrongPart && f.A.Number == e.number:
			ohms, touched = f.Value, true
		case f.Kind == KindDialDrift, f.Kind == KindOverloaded && e.number >= f.A.Number &&
			e.number <= f.B.Number:
			ohms, touched = ohms*(1+f.Value), true
		}
	}
	return ohms, touched
}
