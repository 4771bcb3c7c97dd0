// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// elementTerms are what the readings say of the elements and the residual; A is the design
// of the settings, with a column for each of them.
type elementTerms struct {
	covariance   []float64 // of parts and settings before the readings, parts×s
	sd           []float64 // of each part, given the readings
	information  []float64 // A'·G·A, parts×parts
	weighted     []float64 // A'·G·e
	independence []float64 // of each dial: how independent its elements are; the last: residual
	dialSD       []float64 // of each dial: standard uncertainty of its relative deviation
}

// priorRoot returns the columns of the square root of the prior covariance of the elements
// (q rows): one column an element, one for the residual, one a dial.
func (m *model) priorRoot() *mat.Dense {
	q := len(m.classLimit)
	out := mat.NewDense(q, q+len(m.layout.decades), nil)
	for i, c := range m.classLimit {
		u := c / math.Sqrt(3)
		out.Set(i, i, u)
		if i < q-1 {
			out.Set(i, q+m.layout.elements[i].dial, u)
		}
	}
	return out
}

// design is the s×q matrix of the settings.
func (m *model) design() *mat.Dense {
	a := mat.NewDense(len(m.settings), len(m.inCircuit), nil)
	for k, c := range m.inCircuit {
		a.SetCol(k, c)
	}
	return a
}

// addPrior adds the prior of the elements, as the readings of the design a see it, to a
// covariance, and returns the covariance of readings and elements.
func (m *model) addPrior(cov *mat.SymDense, a mat.Matrix) *mat.Dense {
	prior := m.priorRoot()
	var ab, ap mat.Dense
	ab.Mul(a, prior)
	ap.Mul(&ab, prior.T())
	n, _ := a.Dims()
	c := mat.NewSymDense(n, nil)
	c.SymOuterK(1, &ab)
	cov.AddSym(cov, c)
	return &ap
}

// estimateElements finds what the readings say of each element.
func (p *linearAccount) estimateElements() {
	a := p.model.design()
	prior := p.model.priorRoot()
	var ab, ap, ga, aga, gap mat.Dense
	gs := mat.NewDense(p.numSettings, p.numSettings, p.bySetting.inverse)
	ab.Mul(a, prior)
	ap.Mul(&ab, prior.T())
	ga.Mul(gs, a)
	aga.Mul(a.T(), &ga)
	gap.Mul(gs, &ap)
	p.ofElements.covariance = transposed(&ap)
	p.ofElements.information = aga.RawMatrix().Data
	p.ofElements.weighted = make([]float64, p.numParts)
	for k := range p.numParts {
		p.ofElements.weighted[k] = dot(p.model.inCircuit[k], p.bySetting.weighted)
	}
	p.ofElements.sd = p.model.elementSD(&ap, &gap)
	p.setIndependence()
}

// elementSD is the standard deviation of each element given the readings.
func (m *model) elementSD(ap, gap *mat.Dense) []float64 {
	sd := make([]float64, len(m.classLimit))
	n, _ := ap.Dims()
	for k, c := range m.classLimit {
		v := c * c / 3
		if k < len(m.classLimit)-1 {
			v *= 2
		}
		rest := v
		for i := range n {
			rest -= float64(ap.At(i, k) * gap.At(i, k))
		}
		sd[k] = math.Sqrt(max(rest, 1e-12*v))
	}
	return sd
}

func transposed(a *mat.Dense) []float64 {
	r, c := a.Dims()
	out := make([]float64, r*c)
	for i := range r {
		for j := range c {
			out[j*r+i] = a.At(i, j)
		}
	}
	return out
}

// setIndependence finds, for each dial, the number of independent elements as a part of their
// number: the mean variance of an element over that of their mean, over the number. The
// residual stands at the end.
func (p *linearAccount) setIndependence() {
	p.ofElements.independence = make([]float64, len(p.model.layout.firstElement))
	p.ofElements.independence[len(p.ofElements.independence)-1] = 1
	p.ofElements.dialSD = make([]float64, len(p.model.layout.decades))
	sum := make([]float64, p.numSettings)
	for d := range p.model.layout.decades {
		clear(sum)
		from, to := p.model.layout.firstElement[d], p.model.layout.firstElement[d+1]
		single, together, prior := 0.0, 0.0, 0.0
		for k := from; k < to; k++ {
			c := p.model.classLimit[k] / math.Sqrt(3)
			single += p.ofElements.sd[k] * p.ofElements.sd[k]
			together += c * c
			prior += c
			for i := range sum {
				sum[i] += p.ofElements.covariance[k*p.numSettings+i]
			}
		}
		together += prior * prior
		for i, v := range sum {
			together -= v * dot(p.bySetting.inverse[i*p.numSettings:(i+1)*p.numSettings], sum)
		}
		m := float64(to - from)
		p.ofElements.independence[d] = 1
		if together > 0 {
			p.ofElements.dialSD[d] = math.Sqrt(together) / p.model.layout.dialOhms(d)
			p.ofElements.independence[d] = min(1, max(1/m, single/together))
		}
	}
}
