// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// hypothesis is a state of the box with its best fit to the readings.
type hypothesis struct {
	faults []Fault // none: healthy
	sig    []float64
	u      []float64 // of the value of each fault
	prior  float64   // −2·ln of the prior weight
	chi    float64   // χ² of the readings
	fit    float64   // −2·ln of the likelihood at the best fit, but for a constant
	score  float64   // fit, with the penalty for freedom and the prior

	rows     []int // observations with a draw of their own
	tau      float64
	elements []int // elements with a free deviation of their own
	spread   []float64
}

func (h *hypothesis) kind() Kind {
	if len(h.faults) == 0 {
		return Healthy
	}
	return h.faults[0].Kind
}

// A reading that a hypothesis makes impossible costs as much as one that is twenty
// standard uncertainties off.
const impossible = 400

// rangeUncertainty is how well the end of a meter range is known, as a fraction.
const rangeUncertainty = 0.01

// contradicts is what readings above range, or with a value where the circuit should be
// open, add to −2·ln of the likelihood.
func (p *posterior) contradicts(sig []float64) float64 {
	sum := 0.0
	for _, o := range p.ev.open {
		if short := p.ev.openShort(o, p.m.base[o.setting]+p.shifted(sig, o.setting)); short > 0 {
			x := short / rangeUncertainty
			sum += min(impossible, x*x)
		}
	}
	for k, rows := range p.rows {
		if math.IsInf(p.shifted(sig, k), 1) {
			sum += float64(impossible * len(rows))
		}
	}
	return sum
}

// shifted is the change of a setting by a signature and the first fault.
func (p *posterior) shifted(sig []float64, k int) float64 {
	if p.shift == nil {
		return sig[k]
	}
	return sig[k] + p.shift[k]
}

// openShort is by what fraction a value is too small for a reading above range.
func (e *evidence) openShort(o limit, value float64) float64 {
	if value >= o.reach || o.reach <= 0 {
		return 0
	}
	return (o.reach - value) / o.reach
}

// evaluate sets the fit of a hypothesis from its signature.
func (p *posterior) evaluate(h *hypothesis) {
	quad, rest := p.remainder(h.sig)
	logDet := 0.0
	switch {
	case h.tau > 0:
		quad, logDet = p.scattered(h, quad, rest)
	case len(h.elements) > 0:
		quad, logDet = p.freed(h, quad, rest)
	}
	var free func(int) bool
	if len(h.elements) > 0 {
		free = func(k int) bool { return slices.Contains(h.elements, k) }
	}
	h.chi = quad + p.contradicts(h.sig)
	h.fit = p.constant + h.chi + logDet + p.m.outside(p.sd, p.ap, rest, p.share, free)
}

// scattered takes the draws of each dialling, of standard deviation tau, into account
// (the matrix identity of M. A. Woodbury).
func (p *posterior) scattered(h *hypothesis, quad float64, rest []float64) (float64, float64) {
	k := len(h.rows)
	inner := mat.NewSymDense(k, nil)
	right := mat.NewVecDense(k, nil)
	t2 := h.tau * h.tau
	r := slices.Clone(p.e)
	for j, o := range p.ev.obs {
		if v := h.sig[o.setting]; !math.IsInf(v, 0) {
			r[j] -= v
		}
	}
	for i, a := range h.rows {
		x := dot(p.g[a*p.n:(a+1)*p.n], r)
		right.SetVec(i, x)
		for j, b := range h.rows[:i+1] {
			inner.SetSym(i, j, p.g[a*p.n+b])
		}
		inner.SetSym(i, i, inner.At(i, i)+1/t2)
	}
	var chol mat.Cholesky
	var x mat.VecDense
	if !chol.Factorize(inner) || chol.SolveVecTo(&x, right) != nil {
		return math.Inf(1), 0
	}
	for i, a := range h.rows {
		for j, o := range p.ev.obs {
			rest[o.setting] -= float64(x.AtVec(i) * p.g[a*p.n+j])
		}
	}
	return quad - mat.Dot(right, &x), chol.LogDet() + float64(k)*math.Log(t2)
}

// freed takes free deviations of elements into account in the same way.
func (p *posterior) freed(h *hypothesis, quad float64, rest []float64) (float64, float64) {
	k := len(h.elements)
	inner := mat.NewSymDense(k, nil)
	right := mat.NewVecDense(k, nil)
	for i, a := range h.elements {
		right.SetVec(i, h.spread[i]*dot(p.m.column[a], rest))
		for j, b := range h.elements[:i+1] {
			inner.SetSym(i, j, h.spread[i]*h.spread[j]*p.aga[a*p.q+b])
		}
		inner.SetSym(i, i, inner.At(i, i)+1)
	}
	var chol mat.Cholesky
	var x mat.VecDense
	if !chol.Factorize(inner) || chol.SolveVecTo(&x, right) != nil {
		return math.Inf(1), 0
	}
	change := make([]float64, p.s)
	for i, a := range h.elements {
		for s, v := range p.m.column[a] {
			change[s] += float64(h.spread[i] * x.AtVec(i) * v)
		}
	}
	for s, v := range change {
		if v != 0 {
			for j := range rest {
				rest[j] -= float64(v * p.gs[s*p.s+j])
			}
		}
	}
	return quad - mat.Dot(right, &x), chol.LogDet()
}

// linear fits the factor of a signature: its best value and standard uncertainty.
func (p *posterior) linear(perUnit []float64) (value, u float64) {
	num, den := 0.0, p.norm(perUnit)
	for k, v := range perUnit {
		num += float64(v * p.zs[k])
	}
	if !(den > 0) {
		return 0, math.Inf(1)
	}
	return num / den, 1 / math.Sqrt(den)
}

// norm is the square of the size of a signature in standard uncertainties: s'·g·s.
func (p *posterior) norm(sig []float64) float64 {
	sum := 0.0
	for k, v := range sig {
		if v != 0 && !math.IsInf(v, 0) {
			row := p.gs[k*p.s : (k+1)*p.s]
			for j, w := range sig {
				if w != 0 && !math.IsInf(w, 0) {
					sum += float64(v * w * row[j])
				}
			}
		}
	}
	return sum
}

func scaled(perUnit []float64, f float64) []float64 {
	out := make([]float64, len(perUnit))
	for i, v := range perUnit {
		out[i] = f * v
	}
	return out
}

// The prior of a fitted value is even in its logarithm: over fifteen powers of ten for
// ohms, five for fractions and for the drift of an element, which is one.
const (
	rangeOfOhms     = 34.5
	rangeOfFraction = 11.5
	rangeOfScatter  = 4.6
)

// freedom is the penalty for fitted values: −2·ln of the part of its prior range that the
// readings leave to each,
//
//	√(2π)·u/(|v|·range)
//
// which is the factor that integrating the likelihood over the value gives (the Occam
// factor of D. J. C. MacKay, Neural Comput. 4, 1992). A value that had to come out right
// to one part in 10⁵ is dearer than one that may be anything.
func (h *hypothesis) freedom() float64 {
	sum := 0.0
	for i, f := range h.faults {
		if !f.fitted() || f.Value == 0 {
			continue
		}
		wide := rangeOfFraction
		if f.Kind.valueUnit() == "Ω" && f.Kind != Drift {
			wide = rangeOfOhms
		}
		u := h.u[i]
		if f.Kind == WrongPart { // one of a series of values
			u = max(u, partTolerance*f.Value)
		}
		sum += 2 * math.Log(max(1, wide*math.Abs(f.Value)/(u*math.Sqrt(2*math.Pi))))
	}
	if n := len(h.rows) + len(h.elements); n > 0 {
		sum += 2 * math.Log(max(1, rangeOfScatter*math.Sqrt(float64(n)/math.Pi)))
	}
	return sum
}

// settle sets the score from the fit.
func (h *hypothesis) settle() { h.score = h.fit + h.freedom() + h.prior }
