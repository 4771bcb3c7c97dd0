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
	firstsOfKind  = 2    // and so many of each kind
	nearBest      = 2    // how far behind the single fault a pair may be at first
	bestPairs     = 16   // pairs fitted with their circuit
	unexplainedAt = 0.05 // probability of χ² of the single fault
	flexibleTries = 5    // firsts tried in any case where the single fault is loose
)

// flexible reports whether a hypothesis has draws or elements of its own that may take up what
// is something else.
func (h *hypothesis) flexible() bool { return h.drawSD > 0 || len(h.free) > 0 }

// samePlace reports whether two faults are one kind at one place.
func (f Fault) samePlace(g Fault) bool {
	return f.Kind == g.Kind && f.A == g.A && f.B == g.B && f.Wraps == g.Wraps && f.Stops == g.Stops
}

// combine is the hypothesis of both faults; second was found beside h.
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
	if f := &out.faults[0]; f.logarithmic() {
		f.Value *= math.Exp(max(-3, min(3, by/f.Value)))
	} else {
		f.Value += by
	}
	if out.drawSD == 0 {
		out.drawn, out.drawSD = h.drawn, h.drawSD
	} else if h.drawSD > 0 {
		out.drawn = slices.Concat(h.drawn, second.drawn)
	}
	out.free = slices.Concat(h.free, second.free)
	return &out
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
	slope         []float64 // change of the settings per unit of the value; nil: no value
	slopeWeighted []float64 // of the slope: G·slope by setting, before the value was freed
	weighted      []float64
	slopeSize     float64 // slope·G·slope
}

// freedValue is how uncertain the value of the first fault counts as, in its own uncertainty.
const freedValue = 100

func (s *search) viewBeside(pr *probe, h *hypothesis) *view {
	out := *s.linearAccount
	out.firstEffect = h.effect
	out.estimates = nil
	out.byDialling.inverse = slices.Clone(s.byDialling.inverse)
	out.byDialling.deviation = slices.Clone(s.byDialling.deviation)
	out.bySetting.variance = slices.Clone(s.bySetting.variance)
	for i, o := range s.evidence.observations {
		if v := h.effect[o.setting]; !math.IsInf(v, 0) {
			out.byDialling.deviation[i] -= v
		}
	}
	out.setReference()
	d := make([]float64, s.numReadings)
	for _, i := range h.drawn {
		clear(d)
		d[i] = 1
		out.added += out.addVariance(d, h.drawSD)
	}
	for i, k := range h.free {
		out.repeatDiallings(d, s.model.inCircuit[k])
		out.added += out.addVariance(d, h.freeSD[i])
	}
	v := &view{linearAccount: &out, first: h}
	if v.slope = s.slopeOf(pr, h); v.slope != nil {
		out.updateSums()
		v.weighted, v.slopeWeighted = out.bySetting.weighted, make([]float64, s.numSettings)
		for k := range v.slopeWeighted {
			v.slopeWeighted[k] = dot(out.bySetting.inverse[k*s.numSettings:(k+1)*s.numSettings], v.slope)
		}
		v.slopeSize = dot(v.slopeWeighted, v.slope)
		if v.slopeSize > 0 {
			out.repeatDiallings(d, v.slope)
			out.addVariance(d, freedValue/math.Sqrt(v.slopeSize))
		}
	}
	out.updateSums()
	out.estimateElements()
	return v
}

// repeatDiallings repeats the values of settings for their diallings.
func (p *linearAccount) repeatDiallings(d, bySetting []float64) {
	for i, o := range p.evidence.observations {
		d[i] = bySetting[o.setting]
	}
}

// addVariance adds the variance (u·d)² to the covariance of the readings, and returns what it
// adds to the logarithm of its determinant.
func (p *linearAccount) addVariance(d []float64, u float64) float64 {
	gd := make([]float64, p.numReadings)
	for i := range gd {
		gd[i] = dot(p.byDialling.inverse[i*p.numReadings:(i+1)*p.numReadings], d)
	}
	f := dot(d, gd) + 1/(u*u)
	for i, x := range gd {
		row := p.byDialling.inverse[i*p.numReadings : (i+1)*p.numReadings]
		for j, y := range gd {
			row[j] -= float64(x * y / f)
		}
	}
	for i, o := range p.evidence.observations {
		p.bySetting.variance[o.setting] += float64(u * u * d[i] * d[i])
	}
	return math.Log(f * u * u)
}

// updateSums brings everything that follows from g and e up to date.
func (p *linearAccount) updateSums() {
	p.byDialling.weighted = make([]float64, p.numReadings)
	for i := range p.numReadings {
		p.byDialling.weighted[i] = dot(p.byDialling.inverse[i*p.numReadings:(i+1)*p.numReadings], p.byDialling.deviation)
	}
	p.byDialling.chiSquared = dot(p.byDialling.deviation, p.byDialling.weighted)
	p.weighReference()
	p.sumDiallings()
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
		if f.Kind == KindWrongPart {
			by -= s.model.layout.elements[s.model.layout.elementAt(f.A.Dial, f.A.Number)].ohms
		}
		return scaled(h.effect, 1/by)
	}
	out := make([]float64, s.numSettings)
	at := f
	at.Value *= 1 + relativeStep
	now, then := make([]float64, s.numSettings), make([]float64, s.numSettings)
	if s.model.predictAll(pr, []Fault{f}, now, nil) != nil || s.model.predictAll(pr, []Fault{at}, then, nil) != nil {
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

// secondFaults looks for another fault beside one.
func (s *search) secondFaults(pr *probe, h *hypothesis) []*hypothesis {
	v := s.viewBeside(pr, h)
	t := newSearch(v.linearAccount, s.options)
	t.view = v
	t.addSingles()
	t.addBridges()
	return t.found
}

// addPairs looks for two faults at once, and returns how many first faults it tried. The
// single faults are sorted, best first.
func (s *search) addPairs(ctx context.Context, pr *probe) (tried int, err error) {
	singles := slices.Clone(s.found)
	if len(singles) == 0 || singles[0].kind() == KindHealthy {
		return 0, nil
	}
	near := singles[0].score + nearBest
	tries := 1
	switch {
	case s.firsts > firstFaults || s.unexplained(singles[0]):
		tries = math.MaxInt
	case singles[0].flexible():
		tries = flexibleTries
	}
	var out []*hypothesis
	firsts := s.mayBeFirst(singles)
	for _, h := range firsts {
		if err := ctx.Err(); err != nil {
			return tried, err
		}
		s.reportProgress(1+tried, 1+len(firsts))
		out = append(out, s.secondFaults(pr, h)...)
		tried++
		if tried == tries && !slices.ContainsFunc(out, func(x *hypothesis) bool { return x.score < near }) {
			return tried, nil
		}
	}
	slices.SortStableFunc(out, byScore)
	for _, h := range distinct(out) {
		if h.drawSD == 0 && len(h.free) == 0 {
			if err := s.fitCircuit(pr, h); err != nil {
				return tried, err
			}
		}
		s.found = append(s.found, h)
	}
	return tried, nil
}

// unexplained reports whether χ² is improbably large. The prior of the elements is wider
// than they are, so that it seldom is for the truth.
func (s *search) unexplained(h *hypothesis) bool {
	law := distuv.ChiSquared{K: float64(s.numReadings)}
	return h.chiSquared > law.Quantile(1-unexplainedAt)
}

// mayBeFirst lists the single faults that may be the first of two.
func (s *search) mayBeFirst(singles []*hypothesis) []*hypothesis {
	var out []*hypothesis
	kinds := make(map[Kind]int)
	for _, h := range singles {
		k := h.kind()
		if k == KindHealthy || k == KindAged || k == KindDialling || len(out) >= s.firsts && kinds[k] >= firstsOfKind {
			continue
		}
		kinds[k]++
		out = append(out, h)
	}
	if len(out) > 1 && out[0].flexible() {
		slices.SortStableFunc(out[1:], func(a, b *hypothesis) int { return a.flexibility() - b.flexibility() })
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

// distinct drops pairs that occur in both orders.
func distinct(list []*hypothesis) []*hypothesis {
	var out []*hypothesis
	for _, h := range list {
		again := slices.ContainsFunc(out, func(x *hypothesis) bool {
			return x.faults[0].samePlace(h.faults[1]) && x.faults[1].samePlace(h.faults[0])
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
