// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A hypothesis is scored by −2·ln of its posterior probability, but for what all have in common:
//
//	score = χ² + contradiction + ln det + outside + drawLaw + freedom + prior
//
//	χ²             (e − s)ᵀ·G·(e − s): e the deviations, s the effect, G the inverse covariance of
//	               meter, contacts and class of the elements (evaluate, linearAccount.remainder)
//	contradiction  overloads that should not be, values where there should be none
//	ln det         of the covariance, by how much it is more than that of the healthy box: only
//	               draws and free elements change it
//	outside        the price of elements outside their class (outside.go)
//	drawLaw        that draws of dirt are never below 0 (unsteady.go)
//	freedom        the price of fitted values (freedomPenalty)
//	prior          −2·ln of the weight of the kind, shared by its places (search.weight)
//
// The first five are the fit, by which it is judged whether readings tell hypotheses apart; the
// score decides which is the more probable. A difference of 2 is a factor of e in the odds.
//
// Scatter is covariance and not a number to fit: a hypothesis with draws says that some readings
// have another variance, one with free elements that some elements have. Both are changes of low
// rank, k readings or elements, so that the inverse G stays and each costs a matrix of k×k. With U
// the directions of the changes, in Ω for one standard deviation of each,
//
//	(C + U·Uᵀ)⁻¹ = G − G·U·(1 + Uᵀ·G·U)⁻¹·Uᵀ·G,   det(C + U·Uᵀ) = det C·det(1 + Uᵀ·G·U)
//
// (M. A. Woodbury; the determinant by the same elimination of a block matrix). It adds k³/6 + k·n
// to the n² of χ² for n readings.

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// hypothesis is a state of the box with its best fit to the readings. While pairs are looked for it
// may be the second fault alone, seen beside a first one: its effect is then what it adds, and
// combine makes the pair of it.
type hypothesis struct {
	faults      []Fault   // none: healthy; two at most
	effect      []float64 // change of each setting in Ω; +Inf: open
	uncertainty []float64 // of the value of each fault, in its unit; empty: none is fitted
	prior       float64   // −2·ln of the prior weight
	chiSquared  float64   // χ² of the readings
	fit         float64   // −2·ln of the likelihood at the best fit, but for a constant
	score       float64   // fit, with the penalty for freedom and the prior
	hides       float64   // weight of pairs whose second fault adds nothing, in its own

	drawn   []int   // observations with a draw of their own
	drawSD  float64 // standard deviation of these draws in Ω; 0: steady
	drawLaw float64 // −2·ln of the likelihood of draws that are never below 0
	// drawFactor is that of factorOfDraws while draws are fitted; nil: made when it is wanted.
	drawFactor *factor
	free       []int     // elements with a free deviation of their own
	freeSD     []float64 // standard deviation of each in Ω, beside that of its class
}

// firstKind names a hypothesis by its first fault: that of the lead where two are at once.

func (h *hypothesis) firstKind() Kind {
	if len(h.faults) == 0 {
		return KindHealthy
	}
	return h.faults[0].Kind
}

// A reading that a hypothesis makes impossible costs as much as one that is twenty
// standard uncertainties off: much, and yet finite.
const impossible = 400

// rangeUncertainty is how well the end of a meter range is known, as a fraction. Of a range that
// shows up to 12 kΩ a hypothesis of 11.9 kΩ is contradicted by an overload with 0.7, one of 10 kΩ
// with 278.
const rangeUncertainty = 0.01

// contradiction is what readings above range, or with a value where the circuit should be
// open, add to −2·ln of the likelihood.
func (p *linearAccount) contradiction(effect []float64) float64 {
	sum := 0.0
	for _, o := range p.evidence.overloads {
		if short := p.evidence.shortfall(o, p.model.nominal[o.setting]+p.totalEffect(effect,
			o.setting)); short > 0 {
			// In standard deviations of the end of the range, as a normal term of χ².
			x := short / rangeUncertainty
			sum += min(impossible, x*x)
		}
	}
	for k, rows := range p.diallings {
		if math.IsInf(p.totalEffect(effect, k), 1) {
			// An open circuit shows no value; finite, so that a recording error does not exclude
			// all else.
			sum += float64(impossible * len(rows))
		}
	}
	return sum
}

// totalEffect is the change of a setting by an effect and the first fault, where one is looked
// beside; +Inf where either opens the path.
func (p *linearAccount) totalEffect(effect []float64, k int) float64 {
	if p.firstEffect == nil {
		return effect[k]
	}
	return effect[k] + p.firstEffect[k]
}

// shortfall is by what fraction of the range a value in Ω is too small for a reading above it; 0
// where it is large enough, +Inf included, and where the range has no known end.
func (e *evidence) shortfall(o overload, value float64) float64 {
	// Any value above the end of the range shows as overload, however far above.
	if value >= o.reach || o.reach <= 0 {
		return 0
	}
	return (o.reach - value) / o.reach
}

// evaluate sets the fit of a hypothesis from its effect. It costs the square of the number of
// settings, and what draws or free elements take besides.
func (p *linearAccount) evaluate(h *hypothesis) {
	// rest is G·(e − s) by setting: what is outside the class needs it, and scatter changes it.
	quad, rest := p.remainder(h.effect)
	of := &p.ofElements
	logDet, sd, share := 0.0, of.sd, of.independence
	switch {
	case h.drawSD > 0:
		quad, logDet, sd, share = p.withDraws(h, quad, rest)
	case len(h.free) > 0:
		quad, logDet, sd, share = p.withFreeElements(h, quad, rest)
	}
	var free func(int) bool
	if len(h.free) > 0 {
		free = func(k int) bool { return slices.Contains(h.free, k) }
	}
	h.chiSquared = quad + p.contradiction(h.effect)
	// The prior covariance of each element times rest is its mean given the readings. Free elements
	// pay nothing: the hypothesis says that they are outside.
	outside := p.model.outsideClass(sd, of.covariance, rest, share, free)
	h.fit = p.added + h.chiSquared + logDet + outside + h.drawLaw
}

// withDraws takes the draws of each dialling, of standard deviation τ, into account (the matrix
// identity of M. A. Woodbury): the inverse with added variances costs a matrix of the draws
// alone. It returns what χ² falls to, the growth of ln det, and the standard deviations and the
// independence of the elements, of which readings that scatter say less; rest is changed in place.
//
// The directions U are τ times the unit vectors of the drawn readings. With τ taken out of the
// inner matrix, as factorOfDraws has it, det(1 + Uᵀ·G·U) = τ^2k·det(1/τ² + G of the draws).
func (p *linearAccount) withDraws(h *hypothesis, quad float64, rest []float64) (chi, logDet float64,
	sd, share []float64) {
	k := len(h.drawn)
	inner := h.drawFactor
	if inner == nil {
		if inner = p.factorOfDraws(h.drawn, h.drawSD); inner == nil {
			return math.Inf(1), 0, p.ofElements.sd, p.ofElements.independence
		}
	}
	right := mat.NewVecDense(k, nil)
	// By dialling and not by setting: the draws of two diallings of one setting differ.
	r := slices.Clone(p.byDialling.deviation)
	for j, o := range p.evidence.observations {
		if v := h.effect[o.setting]; !math.IsInf(v, 0) {
			r[j] -= v
		}
	}
	for i, a := range h.drawn {
		right.SetVec(i, dot(p.byDialling.inverse[a*p.numReadings:(a+1)*p.numReadings], r))
	}
	x := inner.solveVec(right)
	// G·(e − s) loses G·U·x.
	for i, a := range h.drawn {
		for j, o := range p.evidence.observations {
			rest[o.setting] -= float64(x.AtVec(i) * p.byDialling.inverse[a*p.numReadings+j])
		}
	}
	sd, share = p.widened(p.drawsOnElements(h.drawn), inner)
	logDet = inner.logDet() + float64(k)*math.Log(h.drawSD*h.drawSD)
	return quad - mat.Dot(right, x), logDet, sd, share
}

// factorOfDraws factorizes G + 1/τ² of these observations; nil where it has no inverse. While the
// scatter of one place is fitted rows and τ stay the same for many effects, so that it is kept
// (drawFactor).
func (p *linearAccount) factorOfDraws(rows []int, tau float64) *factor {
	inner := mat.NewSymDense(len(rows), nil)
	for i, a := range rows {
		// The draws of two diallings have nothing in common: τ stands on the diagonal alone.
		for j, b := range rows[:i+1] {
			inner.SetSym(i, j, p.byDialling.inverse[a*p.numReadings+b])
		}
		inner.SetSym(i, i, inner.At(i, i)+1/(tau*tau))
	}
	var f factor
	if !f.factorize(inner) {
		return nil
	}
	return &f
}

// withFreeElements takes free deviations of elements into account in the same way. The directions
// are those of the elements in circuit, freeSD ohms each; Aᵀ·G·A of the elements is at hand
// (information).
func (p *linearAccount) withFreeElements(h *hypothesis, quad float64,
	rest []float64) (chi, logDet float64, sd, share []float64) {
	k := len(h.free)
	inner := mat.NewSymDense(k, nil)
	right := mat.NewVecDense(k, nil)
	for i, a := range h.free {
		right.SetVec(i, h.freeSD[i]*dot(p.model.inCircuit[a], rest))
		for j, b := range h.free[:i+1] {
			inner.SetSym(i, j, h.freeSD[i]*h.freeSD[j]*p.ofElements.information[a*p.numParts+b])
		}
		// Woodbury again, in units of the free deviations.
		inner.SetSym(i, i, inner.At(i, i)+1)
	}
	var f factor
	if !f.factorize(inner) {
		return math.Inf(1), 0, p.ofElements.sd, p.ofElements.independence
	}
	x := f.solveVec(right)
	// U·x first, then one product with G, and not G·U with all its columns.
	change := make([]float64, p.numSettings)
	for i, a := range h.free {
		for s, v := range p.model.inCircuit[a] {
			change[s] += float64(h.freeSD[i] * x.AtVec(i) * v)
		}
	}
	for s, v := range change {
		if v != 0 {
			for j := range rest {
				rest[j] -= float64(v * p.bySetting.inverse[s*p.numSettings+j])
			}
		}
	}
	sd, share = p.widened(p.freeOnElements(h), &f)
	return quad - mat.Dot(right, x), f.logDet(), sd, share
}

// fitFactor fits the factor of an effect: its best value and standard uncertainty. perUnit is the
// change of each setting in Ω for a factor of 1; the results have the unit that makes it Ω. Where
// no reading depends on the factor they are 0 and +Inf.
func (p *linearAccount) fitFactor(perUnit []float64) (value, u float64) {
	num, den := 0.0, p.squaredSize(perUnit)
	for k, v := range perUnit {
		num += float64(v * p.bySetting.weighted[k])
	}
	if !(den > 0) {
		return 0, math.Inf(1)
	}
	// A. C. Aitken, Proc. R. Soc. Edinb. 55, 1935 (from memory).
	// Generalised least squares with one parameter: (aᵀGe)/(aᵀGa), variance 1/(aᵀGa).
	return num / den, 1 / math.Sqrt(den)
}

// squaredSize is the square of the size of an effect in standard uncertainties: sᵀ·G·s. An open
// setting has no value to be off and counts as contradiction instead.
func (p *linearAccount) squaredSize(effect []float64) float64 {
	sum := 0.0
	// Most effects are those of one dial or contact: zeros save the square of what they leave out.
	for k, v := range effect {
		if v != 0 && !math.IsInf(v, 0) {
			row := p.bySetting.inverse[k*p.numSettings : (k+1)*p.numSettings]
			for j, w := range effect {
				if w != 0 && !math.IsInf(w, 0) {
					sum += float64(v * w * row[j])
				}
			}
		}
	}
	return sum
}

// scaled is the effect for a value; perUnit itself is shared by all hypotheses of its place.
func scaled(perUnit []float64, f float64) []float64 {
	out := make([]float64, len(perUnit))
	for i, v := range perUnit {
		out[i] = f * v
	}
	return out
}

// The prior of a fitted value is even in its logarithm: over fifteen powers of ten for
// ohms, five for fractions and for the drift of an element, which is one. A range ten times as
// wide changes each penalty by 2·ln((34.5 + 2.3)/34.5) = 0.13: the choice hardly matters.
const (
	rangeOfOhms     = 34.5 // 15·ln 10: a touch of 10 µΩ to a leak of 10 GΩ
	rangeOfFraction = 11.5 // 5·ln 10: 10 ppm to all of it
	rangeOfScatter  = 4.6  // 2·ln 10
)

// freedomPenalty is the penalty for fitted values: −2·ln of the part of its prior range that the
// readings leave to each,
//
//	√(2π)·u/(|v|·range)
//
// which is the factor that integrating the likelihood over the value gives (the Occam
// factor of D. J. C. MacKay, Neural Comput. 4, 1992). A value that had to come out right
// to one part in 10⁵ is dearer than one that may be anything: a drift of 12.3 Ω known to 0.05 Ω
// pays 14, one known to 5 Ω 4.8. It is never below 0, whatever little the readings say of a value.
func (h *hypothesis) freedomPenalty() float64 {
	sum := 0.0
	for i, f := range h.faults {
		if !f.fitted() || f.Value == 0 {
			continue
		}
		wide := rangeOfFraction
		if f.Kind.valueUnit() == "Ω" && f.Kind != KindDrift {
			wide = rangeOfOhms
		}
		// In units of the value: its prior is even in the logarithm.
		u := h.uncertainty[i]
		if f.Kind == KindWrongPart { // one of a series of values, no more exact than it is
			u = max(u, partTolerance*f.Value)
		}
		sum += 2 * math.Log(max(1, wide*math.Abs(f.Value)/(u*math.Sqrt(2*math.Pi))))
	}
	// A scatter is known from n values to a part of 1/√(2n) (GUM E.4.3), and is one fitted number
	// however many draws it makes.
	if n := len(h.drawn) + len(h.free); n > 0 {
		sum += 2 * math.Log(max(1, rangeOfScatter*math.Sqrt(float64(n)/math.Pi)))
	}
	return sum
}

// setScore sets the score from the fit; prior and uncertainties are there already.
func (h *hypothesis) setScore() { h.score = h.fit + h.freedomPenalty() + h.prior }
