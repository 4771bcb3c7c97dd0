// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// posterior holds the readings of a box whitened by everything that may differ while it
// is healthy: the errors of meter and contacts, and the class of the elements.
//
// The class is the prior of the elements. Of each it says |δ| ≤ c; as a normal
// distribution for the algebra, an error of the dial and one of the element, each with
// the standard uncertainty c/√3 of the rectangle, so that a whole dial may be off inside
// its class. The rectangle itself comes back as the factor P(|δ| ≤ c) of the normal
// distribution that the readings leave for each element: nearly 1 inside the class, and
// small for an element that the readings place outside.
//
// What all diallings of a setting share is worked on by setting: there g and z are sums
// over the diallings, and nothing is lost by it.
type posterior struct {
	m    *model
	ev   *evidence
	n, q int     // readings; elements and residual
	s    int     // settings
	rows [][]int // observations of each setting

	e      []float64 // reading − nominal
	g      []float64 // n×n, inverse of the covariance
	z      []float64 // g·e
	ez     float64   // e·g·e
	logDet float64   // of the covariance

	gs    []float64 // s×s: g summed over diallings
	zs    []float64 // z summed over diallings
	ref   []float64 // mean of e of each setting
	w0    float64   // (e − ref)·g·(e − ref)
	ws    []float64 // g·(e − ref) summed over diallings
	ap    []float64 // q×s: covariance of elements and readings
	sd    []float64 // of the elements, given the readings
	aga   []float64 // q×q: a'·g·a
	share []float64 // of each dial: how independent its elements are; the last: residual
	mean  []float64 // of each dial: standard uncertainty of its relative deviation
	az    []float64 // a'·z

	variance []float64 // of each setting, of the mean of its diallings; class included
	steady   []bool    // of each setting: its diallings agree
	shift    []float64 // of each setting, by a first fault; nil: none

	constant float64 // added to every fit

	condensed *condensed // made when the first hypothesis wants it
}

// prior returns the columns of the square root of the prior covariance of the elements
// (q rows): one column an element, one for the residual, one a dial.
func (m *model) prior() *mat.Dense {
	q := len(m.half)
	out := mat.NewDense(q, q+len(m.l.decades), nil)
	for i, c := range m.half {
		u := c / math.Sqrt(3)
		out.Set(i, i, u)
		if i < q-1 {
			out.Set(i, q+m.l.elements[i].dial, u)
		}
	}
	return out
}

// design is the s×q matrix of the settings.
func (m *model) design() *mat.Dense {
	a := mat.NewDense(len(m.settings), len(m.column), nil)
	for k, c := range m.column {
		a.SetCol(k, c)
	}
	return a
}

// spread adds the prior of the elements, as the readings of the design a see it, to a
// covariance, and returns the covariance of readings and elements.
func (m *model) spread(cov *mat.SymDense, a mat.Matrix) *mat.Dense {
	prior := m.prior()
	var ab, ap mat.Dense
	ab.Mul(a, prior)
	ap.Mul(&ab, prior.T())
	n, _ := a.Dims()
	c := mat.NewSymDense(n, nil)
	c.SymOuterK(1, &ab)
	cov.AddSym(cov, c)
	return &ap
}

func newPosterior(m *model, ev *evidence) (*posterior, error) {
	p := &posterior{m: m, ev: ev, n: len(ev.obs), q: len(m.half), s: len(m.settings)}
	p.e = make([]float64, p.n)
	p.rows = make([][]int, p.s)
	for i, o := range ev.obs {
		p.e[i] = o.y - m.base[o.setting]
		p.rows[o.setting] = append(p.rows[o.setting], i)
	}
	if err := p.whiten(); err != nil {
		return nil, err
	}
	p.average()
	p.refer()
	p.condense()
	if err := p.variances(); err != nil {
		return nil, err
	}
	p.elements()
	p.compare()
	return p, nil
}

func singular() error {
	return refuse("fault.Diagnose", "report", nil, ErrContradiction, "the covariance of the readings is not positive definite; expected readings with uncertainties of their own")
}

func (p *posterior) whiten() error {
	a := mat.NewDense(p.n, p.q, nil)
	for i, o := range p.ev.obs {
		for k := range p.q {
			a.Set(i, k, p.m.column[k][o.setting])
		}
	}
	c := mat.NewSymDense(p.n, nil)
	c.CopySym(p.ev.cov)
	p.m.spread(c, a)
	var chol mat.Cholesky
	if !chol.Factorize(c) {
		return singular()
	}
	p.logDet = chol.LogDet()
	g := mat.NewSymDense(p.n, nil)
	if err := chol.InverseTo(g); err != nil {
		return singular()
	}
	p.g = full(g)
	p.z = make([]float64, p.n)
	for i := range p.n {
		p.z[i] = dot(p.g[i*p.n:(i+1)*p.n], p.e)
	}
	p.ez = dot(p.e, p.z)
	return nil
}

func full(g *mat.SymDense) []float64 {
	n := g.SymmetricDim()
	out := make([]float64, n*n)
	for i := range n {
		for j := range n {
			out[i*n+j] = g.At(i, j)
		}
	}
	return out
}

// condense sums over the diallings of each setting.
func (p *posterior) condense() {
	p.gs, p.zs = make([]float64, p.s*p.s), make([]float64, p.s)
	for i, a := range p.ev.obs {
		p.zs[a.setting] += p.z[i]
		row := p.gs[a.setting*p.s:]
		for j, b := range p.ev.obs {
			row[b.setting] += p.g[i*p.n+j]
		}
	}
}

// average sets the reference from which readings are counted when a hypothesis is
// evaluated. A shifted dial moves readings by millions of their uncertainty; counted from
// nominal, products of such numbers would cancel and leave no digits of χ².
func (p *posterior) average() {
	p.ref = make([]float64, p.s)
	for k, rows := range p.rows {
		for _, i := range rows {
			p.ref[k] += p.e[i] / float64(len(rows))
		}
	}
}

// refer sets what follows from the reference.
func (p *posterior) refer() {
	r := make([]float64, p.n)
	for i, o := range p.ev.obs {
		r[i] = p.e[i] - p.ref[o.setting]
	}
	p.w0, p.ws = 0, make([]float64, p.s)
	for i, o := range p.ev.obs {
		g := dot(p.g[i*p.n:(i+1)*p.n], r)
		p.w0 += float64(r[i] * g)
		p.ws[o.setting] += g
	}
}

// remainder returns χ² and the whitened remainder, by setting, of the readings when a
// signature is taken out. Where it is open it is not.
func (p *posterior) remainder(sig []float64) (chi float64, rest []float64) {
	d := make([]float64, p.s)
	for k := range d {
		if len(p.rows[k]) > 0 {
			d[k] = p.ref[k]
			if v := sig[k]; !math.IsInf(v, 0) {
				d[k] -= v
			}
		}
	}
	rest = make([]float64, p.s)
	chi = p.w0
	for k := range rest {
		g := dot(p.gs[k*p.s:(k+1)*p.s], d)
		chi += float64(d[k] * (2*p.ws[k] + g))
		rest[k] = p.ws[k] + g
	}
	return chi, rest
}

// variances inverts gs for the settings that were read. Those that were not have none,
// and no effect.
func (p *posterior) variances() error {
	p.variance = make([]float64, p.s)
	var read []int
	for k := range p.s {
		p.variance[k] = math.Inf(1)
		if len(p.rows[k]) > 0 {
			read = append(read, k)
		}
	}
	g := mat.NewSymDense(len(read), nil)
	for i, a := range read {
		for j, b := range read[:i+1] {
			g.SetSym(i, j, p.gs[a*p.s+b])
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(g) || chol.InverseTo(g) != nil {
		return singular()
	}
	for i, a := range read {
		p.variance[a] = g.At(i, i)
	}
	return nil
}

// elements finds what the readings say of each element.
func (p *posterior) elements() {
	a := p.m.design()
	prior := p.m.prior()
	var ab, ap, ga, aga, gap mat.Dense
	gs := mat.NewDense(p.s, p.s, p.gs)
	ab.Mul(a, prior)
	ap.Mul(&ab, prior.T())
	ga.Mul(gs, a)
	aga.Mul(a.T(), &ga)
	gap.Mul(gs, &ap)
	p.ap = transposed(&ap)
	p.aga = aga.RawMatrix().Data
	p.az = make([]float64, p.q)
	for k := range p.q {
		p.az[k] = dot(p.m.column[k], p.zs)
	}
	p.sd = p.m.left(&ap, &gap)
	p.shares()
}

// left is the standard deviation of each element given the readings.
func (m *model) left(ap, gap *mat.Dense) []float64 {
	sd := make([]float64, len(m.half))
	n, _ := ap.Dims()
	for k, c := range m.half {
		v := c * c / 3
		if k < len(m.half)-1 {
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

// differs is how many standard uncertainties two diallings of a setting may lie apart
// before the setting counts as unsteady.
const differs = 3

// compare finds settings whose diallings differ.
func (p *posterior) compare() {
	p.steady = make([]bool, p.s)
	for k, rows := range p.rows {
		p.steady[k] = true
		for i, a := range rows {
			for _, b := range rows[:i] {
				v := p.ev.cov.At(a, a) + p.ev.cov.At(b, b) - 2*p.ev.cov.At(a, b)
				if math.Abs(p.e[a]-p.e[b]) > differs*math.Sqrt(max(v, 0)) {
					p.steady[k] = false
				}
			}
		}
	}
}

func dot(a, b []float64) float64 {
	sum := 0.0
	b = b[:len(a)]
	for i, v := range a {
		sum += float64(v * b[i])
	}
	return sum
}
