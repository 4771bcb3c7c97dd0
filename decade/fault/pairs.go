// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Two faults at once are looked for where a second one pays: first beside the best single
// fault alone. If one there comes near the score of the single fault, or the single fault
// leaves readings unexplained, then beside each of the best single faults and beside the
// best of each kind. Pairs neither of whose faults is among these are not found: that is
// the pruning.
const (
	firstFaults   = 12   // single faults that may be the first of two
	ofKind        = 2    // and so many of each kind
	nearPair      = 2    // how far behind the single fault a pair may be at first
	bestPairs     = 16   // pairs fitted with their circuit
	unexplainedAt = 0.05 // probability of χ² of the single fault
	looseTries    = 5    // firsts tried in any case where the single fault is loose
)

// loose tells whether a hypothesis has draws or elements of its own that may take up what
// is something else.
func (h *hypothesis) loose() bool { return h.tau > 0 || len(h.elements) > 0 }

// same reports whether two faults are one kind at one place.
func (f Fault) same(g Fault) bool {
	return f.Kind == g.Kind && f.A == g.A && f.B == g.B && f.Wraps == g.Wraps
}

// with is the hypothesis of both faults; second was found beside h.
func (v *view) with(second *hypothesis) *hypothesis {
	h := v.first
	out := *second
	out.faults = append(slices.Clone(h.faults), second.faults...)
	out.u = slices.Concat(h.fittedU(), second.fittedU())
	out.sig = make([]float64, len(h.sig))
	by := v.readjust(second.sig)
	for k := range out.sig {
		out.sig[k] = h.sig[k] + second.sig[k]
		if by != 0 {
			out.sig[k] += by * v.slope[k]
		}
	}
	if f := &out.faults[0]; f.logarithmic() {
		f.Value *= math.Exp(max(-3, min(3, by/f.Value)))
	} else {
		f.Value += by
	}
	if out.tau == 0 {
		out.rows, out.tau = h.rows, h.tau
	} else if h.tau > 0 {
		out.rows = slices.Concat(h.rows, second.rows)
	}
	out.elements = slices.Concat(h.elements, second.elements)
	return &out
}

// fittedU has an entry for each fault, also where none is fitted.
func (h *hypothesis) fittedU() []float64 {
	if len(h.u) == 0 {
		return make([]float64, len(h.faults))
	}
	return h.u
}

// A view is the readings as they look beside a first fault: its effect is taken out, its
// draws and free elements are uncertainty, and so is its value, which another fault may
// have pulled away.
type view struct {
	*posterior
	first *hypothesis
	slope []float64 // change of the settings per unit of the value; nil: no value
	gs    []float64 // of the slope: g·slope by setting, before the value was freed
	zs    []float64
	norm  float64 // slope·g·slope
}

// loose is how uncertain the value of the first fault counts as, in its own uncertainty.
const loose = 100

func (s *search) beside(pr *probe, h *hypothesis) *view {
	out := *s.posterior
	out.shift = h.sig
	out.condensed = nil
	out.g = slices.Clone(s.g)
	out.e = slices.Clone(s.e)
	out.variance = slices.Clone(s.variance)
	for i, o := range s.ev.obs {
		if v := h.sig[o.setting]; !math.IsInf(v, 0) {
			out.e[i] -= v
		}
	}
	out.average()
	d := make([]float64, s.n)
	for _, i := range h.rows {
		clear(d)
		d[i] = 1
		out.constant += out.free(d, h.tau)
	}
	for i, k := range h.elements {
		out.expand(d, s.m.column[k])
		out.constant += out.free(d, h.spread[i])
	}
	v := &view{posterior: &out, first: h}
	if v.slope = s.slopeOf(pr, h); v.slope != nil {
		out.whitened()
		v.zs, v.gs = out.zs, make([]float64, s.s)
		for k := range v.gs {
			v.gs[k] = dot(out.gs[k*s.s:(k+1)*s.s], v.slope)
		}
		v.norm = dot(v.gs, v.slope)
		if v.norm > 0 {
			out.expand(d, v.slope)
			out.free(d, loose/math.Sqrt(v.norm))
		}
	}
	out.whitened()
	out.elements()
	return v
}

// expand repeats the values of settings for their diallings.
func (p *posterior) expand(d, bySetting []float64) {
	for i, o := range p.ev.obs {
		d[i] = bySetting[o.setting]
	}
}

// free adds the variance (u·d)² to the covariance of the readings, and returns what it
// adds to the logarithm of its determinant.
func (p *posterior) free(d []float64, u float64) float64 {
	gd := make([]float64, p.n)
	for i := range gd {
		gd[i] = dot(p.g[i*p.n:(i+1)*p.n], d)
	}
	f := dot(d, gd) + 1/(u*u)
	for i, x := range gd {
		row := p.g[i*p.n : (i+1)*p.n]
		for j, y := range gd {
			row[j] -= float64(x * y / f)
		}
	}
	for i, o := range p.ev.obs {
		p.variance[o.setting] += float64(u * u * d[i] * d[i])
	}
	return math.Log(f * u * u)
}

// whitened brings everything that follows from g and e up to date.
func (p *posterior) whitened() {
	p.z = make([]float64, p.n)
	for i := range p.n {
		p.z[i] = dot(p.g[i*p.n:(i+1)*p.n], p.e)
	}
	p.ez = dot(p.e, p.z)
	p.refer()
	p.condense()
}

// slopeOf is the change of each setting per unit of the value of a fault; nil where it has
// no value.
func (s *search) slopeOf(pr *probe, h *hypothesis) []float64 {
	f := h.faults[0]
	if !f.fitted() || f.Value == 0 {
		return nil
	}
	if !f.logarithmic() {
		by := f.Value
		if f.Kind == WrongPart {
			by -= s.m.l.elements[s.m.l.elementAt(f.A.Dial, f.A.Number)].ohms
		}
		return scaled(h.sig, 1/by)
	}
	out := make([]float64, s.s)
	at := f
	at.Value *= 1 + nudge
	now, then := make([]float64, s.s), make([]float64, s.s)
	if s.m.exact(pr, []Fault{f}, now, nil) != nil || s.m.exact(pr, []Fault{at}, then, nil) != nil {
		return nil
	}
	for k := range out {
		if out[k] = (then[k] - now[k]) / (nudge * f.Value); !finite(out[k]) {
			out[k] = 0
		}
	}
	return out
}

// readjust is by how much the value of the first fault moves when the second explains its
// part of the readings.
func (v *view) readjust(sig []float64) float64 {
	if v.slope == nil || !(v.norm > 0) {
		return 0
	}
	sum := dot(v.slope, v.zs)
	for k, x := range sig {
		if !math.IsInf(x, 0) {
			sum -= float64(x * v.gs[k])
		}
	}
	return sum / v.norm
}

// second looks for another fault beside one.
func (s *search) second(pr *probe, h *hypothesis) []*hypothesis {
	v := s.beside(pr, h)
	t := newSearch(v.posterior, s.opt)
	t.view = v
	t.singles()
	t.bridges()
	return t.found
}

// pairs looks for two faults at once, and returns how many first faults it tried. The
// single faults are sorted, best first.
func (s *search) pairs(ctx context.Context, pr *probe) (tried int, err error) {
	singles := slices.Clone(s.found)
	if len(singles) == 0 || singles[0].kind() == Healthy {
		return 0, nil
	}
	near := singles[0].score + nearPair
	tries := 1
	switch {
	case s.firsts > firstFaults || s.unexplained(singles[0]):
		tries = math.MaxInt
	case singles[0].loose():
		tries = looseTries
	}
	var out []*hypothesis
	firsts := s.mayBeFirst(singles)
	for _, h := range firsts {
		if err := ctx.Err(); err != nil {
			return tried, err
		}
		s.report(1+tried, 1+len(firsts))
		out = append(out, s.second(pr, h)...)
		tried++
		if tried == tries && !slices.ContainsFunc(out, func(x *hypothesis) bool { return x.score < near }) {
			return tried, nil
		}
	}
	slices.SortStableFunc(out, byScore)
	for _, h := range distinct(out) {
		if h.tau == 0 && len(h.elements) == 0 {
			if err := s.circuit(pr, h); err != nil {
				return tried, err
			}
		}
		s.found = append(s.found, h)
	}
	return tried, nil
}

// unexplained tells whether χ² is improbably large. The prior of the elements is wider
// than they are, so that it seldom is for the truth.
func (s *search) unexplained(h *hypothesis) bool {
	law := distuv.ChiSquared{K: float64(s.n)}
	return h.chi > law.Quantile(1-unexplainedAt)
}

// mayBeFirst lists the single faults that may be the first of two.
func (s *search) mayBeFirst(singles []*hypothesis) []*hypothesis {
	var out []*hypothesis
	kinds := make(map[Kind]int)
	for _, h := range singles {
		k := h.kind()
		if k == Healthy || k == Aged || len(out) >= s.firsts && kinds[k] >= ofKind {
			continue
		}
		kinds[k]++
		out = append(out, h)
	}
	if len(out) > 1 && out[0].loose() {
		slices.SortStableFunc(out[1:], func(a, b *hypothesis) int { return a.looseness() - b.looseness() })
	}
	return out
}

// looseness sorts what is loose last.
func (h *hypothesis) looseness() int {
	if h.loose() {
		return 1
	}
	return 0
}

// distinct drops pairs that occur in both orders.
func distinct(list []*hypothesis) []*hypothesis {
	var out []*hypothesis
	for _, h := range list {
		again := slices.ContainsFunc(out, func(x *hypothesis) bool {
			return x.faults[0].same(h.faults[1]) && x.faults[1].same(h.faults[0])
		})
		if !again {
			out = append(out, h)
		}
		if len(out) == bestPairs {
			break
		}
	}
	return out
}

func byScore(a, b *hypothesis) int {
	switch {
	case a.score < b.score:
		return -1
	case a.score > b.score:
		return 1
	}
	return 0
}
