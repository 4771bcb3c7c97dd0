// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// What readings say of the elements, by the normal distribution for several variables. Before
// anything is read element k of dial d is off by
//
//	δ_k = u_k·(ξ_k + ζ_d),   u_k = c_k/√3,
//
// with all ξ and ζ independent and of variance 1; the residual has no ζ. With B the matrix of these
// coefficients (classThrough) the prior covariance is P = B·Bᵀ. After readings with the design A
// and the inverse covariance G, which has A·P·Aᵀ in it,
//
//	mean P·Aᵀ·G·rest,   covariance P − P·Aᵀ·G·A·P.
//
// rest depends on the hypothesis, the covariance does not, but for what scatters or is free in it
// (widened): it is found once.

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// elementTerms are what the readings say of the elements and the residual; A is the design
// of the settings, with a column for each of them. Deviations are in Ω.
type elementTerms struct {
	covariance   []float64 // of parts and settings before the readings, parts×s
	sd           []float64 // Ω, of each part, given the readings
	information  []float64 // A'·G·A, parts×parts
	weighted     []float64 // A'·G·e
	independence []float64 // of each dial: how independent its elements are; the last: residual
	dialSD       []float64 // of each dial: standard uncertainty of its relative deviation
}

// design is the s×q matrix of the settings: 1 where an element is in circuit, so that A·δ in Ω is
// what deviations add to the readings.
func (m *model) design() *mat.Dense {
	a := mat.NewDense(len(m.settings), len(m.inCircuit), nil)
	for k, c := range m.inCircuit {
		a.SetCol(k, c)
	}
	return a
}

// estimateElements finds what the readings say of each element, after the sums by setting. It costs
// s²·q and s·q² products.
func (p *linearAccount) estimateElements() {
	a := p.model.design()
	_, ap := p.model.classThrough(a)
	var ga, aga, gap mat.Dense
	gs := mat.NewDense(p.numSettings, p.numSettings, p.bySetting.inverse)
	// gs is summed over the diallings, so that a row a setting is enough.
	ga.Mul(gs, a)
	aga.Mul(a.T(), &ga)
	gap.Mul(gs, ap)
	p.ofElements.covariance = transposed(ap)
	p.ofElements.information = aga.RawMatrix().Data
	p.ofElements.weighted = make([]float64, p.numParts)
	for k := range p.numParts {
		p.ofElements.weighted[k] = dot(p.model.inCircuit[k], p.bySetting.weighted)
	}
	p.ofElements.sd = p.model.elementSD(ap, &gap)
	p.ofElements.independence, p.ofElements.dialSD = p.model.independence(p.ofElements.sd, ap,
		&gap)
}

// elementSD is the standard deviation of each element given the readings: the root of the diagonal
// of P − P·Aᵀ·G·A·P, from ap = A·P and gap = G·A·P. Without readings it is √(2/3)·c = 0.82·c.
func (m *model) elementSD(ap, gap *mat.Dense) []float64 {
	sd := make([]float64, len(m.classLimit))
	n, _ := ap.Dims()
	for k, c := range m.classLimit {
		// The own part and that of the dial, which the residual does not have.
		v := c * c / 3
		if k < len(m.classLimit)-1 {
			v *= 2
		}
		rest := v
		for i := range n {
			rest -= float64(ap.At(i, k) * gap.At(i, k))
		}
		// The variance of a normal variable given others (P − P·Aᵀ·G·A·P); where the readings know
		// an element a million times better than its class the difference has no digits left.
		sd[k] = math.Sqrt(max(rest, 1e-12*v))
	}
	return sd
}

// widened returns the standard deviations of the elements, and how independent they are, where
// the covariance of the readings is larger by the directions of a hypothesis: what scatters, or
// elements that are free. Readings that are worth less leave the elements wider, and an element
// whose mean lies at its limit by readings that scatter is no coincidence.
//
// With the directions U, w = Uᵀ·G·A·P and inner = 1 + Uᵀ·G·U, the covariance P − P·Aᵀ·G·A·P of
// the elements grows by wᵀ·inner⁻¹·w (the identity of M. A. Woodbury).
func (p *linearAccount) widened(w *mat.Dense, inner *factor) (sd, share []float64) {
	x := inner.solve(w)
	k, _ := w.Dims()
	sd = make([]float64, p.numParts)
	for j, before := range p.ofElements.sd {
		v := before * before
		for i := range k {
			v += float64(w.At(i, j) * x.At(i, j))
		}
		sd[j] = math.Sqrt(v)
	}
	first := p.model.layout.firstElement
	share = make([]float64, len(first))
	share[len(share)-1] = 1
	for d := range p.model.layout.decades {
		from, to := first[d], first[d+1]
		single, mean := 0.0, p.ofElements.dialSD[d]*p.model.layout.dialOhms(d)
		for _, u := range sd[from:to] {
			single += u * u
		}
		together := mean * mean
		for i := range k {
			a, g := 0.0, 0.0
			for j := from; j < to; j++ {
				a += w.At(i, j)
				g += x.At(i, j)
			}
			together += float64(a * g)
		}
		share[d] = shareOf(single, together, to-from)
	}
	return sd, share
}

// drawsOnElements has a row for each of these observations: Uᵀ·G·A·P with unit vectors for the
// directions.
func (p *linearAccount) drawsOnElements(drawn []int) *mat.Dense {
	w := mat.NewDense(len(drawn), p.numParts, nil)
	bySetting := make([]float64, p.numSettings)
	for i, a := range drawn {
		clear(bySetting)
		for j, o := range p.evidence.observations {
			bySetting[o.setting] += p.byDialling.inverse[a*p.numReadings+j]
		}
		for k := range p.numParts {
			w.Set(i, k, dot(bySetting, p.ofElements.covariance[k*p.numSettings:]))
		}
	}
	return w
}

// freeOnElements has a row for each free element of a hypothesis: the same for directions that are
// those of the elements in circuit, freeSD ohms each. P is that of classThrough: u² of each
// element, and u·u′ of two of one dial.
func (p *linearAccount) freeOnElements(h *hypothesis) *mat.Dense {
	w := mat.NewDense(len(h.free), p.numParts, nil)
	first := p.model.layout.firstElement
	for i, a := range h.free {
		info := p.ofElements.information[a*p.numParts : (a+1)*p.numParts]
		for k, c := range p.model.classLimit {
			w.Set(i, k, h.freeSD[i]*info[k]*c*c/3)
		}
		for d := range p.model.layout.decades {
			sum := 0.0
			for k := first[d]; k < first[d+1]; k++ {
				sum += float64(info[k] * p.model.classLimit[k])
			}
			for k := first[d]; k < first[d+1]; k++ {
				w.Set(i, k, w.At(i, k)+float64(h.freeSD[i]*p.model.classLimit[k]*sum/3))
			}
		}
	}
	return w
}

// transposed has the columns of a one after the other, each a slice for dot.
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

// shareOf is how independent n elements are whose variances have the sum single, and whose sum has
// the variance together.
func shareOf(single, together float64, n int) float64 {
	if !(together > 0) {
		return 1
	}
	// Of n elements that move as one the mean is as uncertain as each: 1/n. Beyond 1 they are no
	// more than independent.
	return min(1, max(1/float64(n), single/together))
}

// independence finds, for each dial, the number of independent elements as a part of their
// number, and the standard deviation of its relative deviation: the mean variance of an
// element over that of their mean, over the number. The residual stands at the end. Readings
// that say nothing of a dial leave its elements with what they have in common: ten alike have the
// variances 2·u² each and (10 + 100)·u² of their sum, and count as 10·(20/110) = 1.8 elements.
func (m *model) independence(sd []float64, ap, gap *mat.Dense) (share, dialSD []float64) {
	first := m.layout.firstElement
	share, dialSD = make([]float64, len(first)), make([]float64, len(m.layout.decades))
	share[len(share)-1] = 1
	n, _ := ap.Dims()
	for d := range m.layout.decades {
		from, to := first[d], first[d+1]
		single, together, prior := 0.0, 0.0, 0.0
		for k := from; k < to; k++ {
			c := m.classLimit[k] / math.Sqrt(3)
			single += sd[k] * sd[k]
			together += c * c
			prior += c
		}
		// Σu² of their own and (Σu)² of the dial, less what the readings take away.
		together += prior * prior
		for i := range n {
			a, g := 0.0, 0.0
			for k := from; k < to; k++ {
				a += ap.At(i, k)
				g += gap.At(i, k)
			}
			together -= float64(a * g)
		}
		share[d] = shareOf(single, together, to-from)
		if together > 0 {
			dialSD[d] = math.Sqrt(together) / m.layout.dialOhms(d)
		}
	}
	return share, dialSD
}
