// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// Thousands of hypotheses are compared under one set of readings. What does not depend on them
// is computed once: the inverse G of the covariance of n readings, for n³, and its sums over the
// diallings of each of the s settings. A hypothesis with the effect x, in Ω by setting, then
// costs s² products (remainder):
//
//	χ²(x) = (e − D·x)ᵀ·G·(e − D·x) = c + dᵀ·(2·b + H·d),   d = r − x
//
// with e the deviations of the readings, D the n×s matrix of ones where a reading is a dialling
// of a setting, H = Dᵀ·G·D, and c, b what the scatter of the diallings about their means r adds:
// c = (e − D·r)ᵀ·G·(e − D·r), b = Dᵀ·G·(e − D·r).
//
// It is right as long as the current flows through the elements as in the healthy circuit. A
// leak that takes a tenth of the current leaves its element 0.9² = 0.81 of what it counts
// otherwise, so that the class widens the reading by less than the account says. Such faults
// are screened here and fitted once more by exact.go.

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// linearAccount is what the readings say of a box while every effect on them is taken as
// linear in the deviations of the elements: exact for the healthy circuit and for a fault
// that leaves it as it is, an approximation for others (fitCircuit does without it).
// Readings are whitened by everything that may differ while the box is healthy: the
// errors of meter and contacts, and the class of the elements.
//
// The class is the prior of the elements. Of each it says |δ| ≤ c; as a normal distribution for
// the algebra, an error of the dial and one of the element, each with the standard uncertainty
// c/√3 of the rectangle (GUM 4.3.7), so that a whole dial may be off inside its class. The
// rectangle itself comes back as the factor P(|δ| ≤ c) of the normal distribution that the
// readings leave for each element: nearly 1 inside the class, and small for an element that the
// readings place outside.
//
// For example ten elements of 1 kΩ with c = 1 Ω: u = 0.58 Ω, the dial at 10 is uncertain by
// √(10 + 100)·u = 6.1 Ω, and the class allows it 10 Ω, whose rectangle has 5.8 Ω.
//
// A view beside a first fault is a copy that has matrices of its own. estimates is filled in
// late, so that an account belongs to one goroutine.
type linearAccount struct {
	model       *model
	evidence    *evidence
	numReadings int // n: those with a value, not those above range
	numSettings int // s, with the settings that were read above range only
	numParts    int // elements, and the residual as one more

	diallings [][]int // of each setting: its observations; none above range

	byDialling readingSums
	bySetting  settingSums
	ofElements elementTerms

	firstEffect []float64         // of a first fault, by setting; nil: none
	added       float64           // to every fit: ln det of what a view has more in its covariance
	estimates   *settingEstimates // made when the first hypothesis wants it
}

// readingSums are the readings with the inverse of their covariance, one entry a dialling.
// Formulas here and elsewhere write e for the deviations, G for the inverse, and z for the
// weighted deviations G·e. Matrices stand row after row, so that a row is a slice for dot.
type readingSums struct {
	deviation  []float64 // e, reading − nominal
	inverse    []float64 // G, n×n
	weighted   []float64 // z = G·e
	chiSquared float64   // e·G·e
	logDet     float64   // of the covariance
}

// settingSums are the same, summed over the diallings of each setting. What a hypothesis
// predicts is common to them, so that nothing is lost by it. Hypotheses count from the mean
// deviation r of each setting.
type settingSums struct {
	inverse           []float64 // G, s×s
	weighted          []float64 // G·e
	reference         []float64 // r
	referenceChi      float64   // (e − r)·G·(e − r)
	referenceWeighted []float64 // G·(e − r)
	variance          []float64 // of the mean of the diallings, class included
}

// newLinearAccount makes the account of the settings of m, which are those of ev. Its error is that
// of singular.
func newLinearAccount(m *model, ev *evidence) (*linearAccount, error) {
	p := &linearAccount{model: m, evidence: ev, numReadings: len(ev.observations),
		numParts: len(m.classLimit), numSettings: len(m.settings)}
	p.byDialling.deviation = make([]float64, p.numReadings)
	p.diallings = make([][]int, p.numSettings)
	for i, o := range ev.observations {
		p.byDialling.deviation[i] = o.ohms - m.nominal[o.setting]
		p.diallings[o.setting] = append(p.diallings[o.setting], i)
	}
	if err := p.weighReadings(); err != nil {
		return nil, err
	}
	// In this order: b and c need G and r, the variances the sums over the diallings.
	p.setReference()
	p.weighReference()
	p.sumDiallings()
	if err := p.setVariances(); err != nil {
		return nil, err
	}
	p.estimateElements()
	return p, nil
}

// singular is the error of a covariance without an inverse. Each reading has a variance of its own
// (smallestVariance); of sixty readings it takes errors in common that are some ten million times
// larger before rounding leaves nothing of it.
func singular() error {
	return refuse("fault.Diagnose", "report", nil, ErrContradiction,
		"the covariance of the readings is not positive definite; expected readings with "+
			"uncertainties of their own")
}

// weighReadings sets G, and with it what the healthy box leaves of the readings. The covariance is
// that of meter and contacts, and A·P·Aᵀ of the elements; A has a row for each dialling here, since
// the diallings of a setting have the deviations of its elements in common.
func (p *linearAccount) weighReadings() error {
	a := mat.NewDense(p.numReadings, p.numParts, nil)
	for i, o := range p.evidence.observations {
		for k := range p.numParts {
			a.Set(i, k, p.model.inCircuit[k][o.setting])
		}
	}
	c := mat.NewSymDense(p.numReadings, nil)
	c.CopySym(p.evidence.covariance)
	// Elements within their class are part of the covariance: a drift inside the class is no fault.
	p.model.addClass(c, a)
	var f factor
	if !f.factorize(c) {
		return singular()
	}
	p.byDialling.logDet = f.logDet()
	p.byDialling.inverse = denseOf(f.inverse())
	p.byDialling.weighted = make([]float64, p.numReadings)
	for i := range p.numReadings {
		p.byDialling.weighted[i] = dot(p.byDialling.inverse[i*p.numReadings:(i+1)*p.numReadings],
			p.byDialling.deviation)
	}
	// χ² = eᵀ·G·e of the healthy box, the score that every fault has to beat.
	p.byDialling.chiSquared = dot(p.byDialling.deviation, p.byDialling.weighted)
	return nil
}

// denseOf fills in the half that a symmetric matrix does not hold, row after row.
func denseOf(g *mat.SymDense) []float64 {
	n := g.SymmetricDim()
	out := make([]float64, n*n)
	for i := range n {
		for j := range n {
			out[i*n+j] = g.At(i, j)
		}
	}
	return out
}

// sumDiallings sums over the diallings of each setting: H = Dᵀ·G·D and Dᵀ·G·e. A setting that was
// not read has zeros.
func (p *linearAccount) sumDiallings() {
	p.bySetting.inverse, p.bySetting.weighted = make([]float64,
		p.numSettings*p.numSettings), make([]float64, p.numSettings)
	for i, a := range p.evidence.observations {
		p.bySetting.weighted[a.setting] += p.byDialling.weighted[i]
		row := p.bySetting.inverse[a.setting*p.numSettings:]
		for j, b := range p.evidence.observations {
			row[b.setting] += p.byDialling.inverse[i*p.numReadings+j]
		}
	}
}

// setReference sets the reference from which readings are counted when a hypothesis is
// evaluated. A shifted dial moves readings by millions of their uncertainty; counted from
// nominal, products of such numbers would cancel and leave no digits of χ²: 10¹² twice, whose
// difference is some tens, are right to 10⁻⁴ each at best.
func (p *linearAccount) setReference() {
	p.bySetting.reference = make([]float64, p.numSettings)
	for k, rows := range p.diallings {
		for _, i := range rows {
			// A reference near the readings keeps digits: χ² of what is left of it is small.
			p.bySetting.reference[k] += p.byDialling.deviation[i] / float64(len(rows))
		}
	}
}

// weighReference sets what follows from the reference.
func (p *linearAccount) weighReference() {
	r := make([]float64, p.numReadings)
	for i, o := range p.evidence.observations {
		r[i] = p.byDialling.deviation[i] - p.bySetting.reference[o.setting]
	}
	p.bySetting.referenceChi, p.bySetting.referenceWeighted = 0, make([]float64, p.numSettings)
	for i, o := range p.evidence.observations {
		g := dot(p.byDialling.inverse[i*p.numReadings:(i+1)*p.numReadings], r)
		p.bySetting.referenceChi += float64(r[i] * g)
		p.bySetting.referenceWeighted[o.setting] += g
	}
}

// remainder returns χ² and the whitened remainder Dᵀ·G·(e − D·x), by setting, of the readings when
// an effect x is taken out. Where the effect is +Inf, an open circuit, nothing is taken out: what a
// value there costs is the business of contradiction.
func (p *linearAccount) remainder(effect []float64) (chi float64, rest []float64) {
	d := make([]float64, p.numSettings)
	for k := range d {
		if len(p.diallings[k]) > 0 {
			d[k] = p.bySetting.reference[k]
			if v := effect[k]; !math.IsInf(v, 0) {
				d[k] -= v
			}
		}
	}
	rest = make([]float64, p.numSettings)
	chi = p.bySetting.referenceChi
	for k := range rest {
		g := dot(p.bySetting.inverse[k*p.numSettings:(k+1)*p.numSettings], d)
		// The second and the third term of c + 2·dᵀ·b + dᵀ·H·d, setting by setting.
		chi += float64(d[k] * (2*p.bySetting.referenceWeighted[k] + g))
		rest[k] = p.bySetting.referenceWeighted[k] + g
	}
	return chi, rest
}

// setVariances sets the diagonal of H⁻¹: the variances of the best estimates of the settings from
// all diallings. H of the settings that were read is inverted; the others have zeros in H, an
// infinite variance, and no effect. They bound the gain of a bridge from above (coarseFit).
func (p *linearAccount) setVariances() error {
	p.bySetting.variance = make([]float64, p.numSettings)
	var read []int
	for k := range p.numSettings {
		// A setting that was not read is known to nothing.
		p.bySetting.variance[k] = math.Inf(1)
		if len(p.diallings[k]) > 0 {
			read = append(read, k)
		}
	}
	g := mat.NewSymDense(len(read), nil)
	for i, a := range read {
		for j, b := range read[:i+1] {
			g.SetSym(i, j, p.bySetting.inverse[a*p.numSettings+b])
		}
	}
	var f factor
	if !f.factorize(g) {
		return singular()
	}
	v := f.inverse()
	for i, a := range read {
		p.bySetting.variance[a] = v.At(i, i)
	}
	return nil
}

// dot is Σ a[i]·b[i], in this order; b may be longer than a. The conversion keeps product and sum
// from being fused on some processors, so that all round alike.
func dot(a, b []float64) float64 {
	sum := 0.0
	b = b[:len(a)]
	for i, v := range a {
		sum += float64(v * b[i])
	}
	return sum
}
