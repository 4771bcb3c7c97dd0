// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"

	"example.com/ohmwright/decade"
)

// candidates lists settings that the next reading may be taken at: those read, every
// position alone, and positions of two dials that the leaders are about.
func (s *search) candidates(leaders []*hypothesis) []decade.Setting {
	out := slices.Clone(s.model.settings)
	box := s.model.layout.box
	addCandidate := func(x decade.Setting, err error) {
		if err == nil && !slices.Contains(out, x) {
			out = append(out, x)
		}
	}
	addCandidate(box.Zero(), nil)
	for d, dec := range s.model.layout.decades {
		for p := 1; p <= dec.Positions; p++ {
			addCandidate(box.Zero().With(d, p))
		}
	}
	for _, c := range concerned(leaders) {
		for d := range s.model.layout.decades {
			if d == c {
				continue
			}
			for p := 1; p <= s.model.layout.decades[c].Positions; p++ {
				for _, q := range []int{1, s.model.layout.decades[d].Positions} {
					x, err := box.Zero().With(c, p)
					if err == nil {
						addCandidate(x.With(d, q))
					}
				}
			}
		}
	}
	return out
}

// concerned lists up to two dials that the leaders are about.
func concerned(leaders []*hypothesis) []int {
	var out []int
	for _, h := range leaders {
		for _, f := range h.faults {
			for _, p := range []Place{f.A, f.B} {
				if p.Part != PartNone && p.Part != PartBox && p.Part != PartTerminal && !slices.Contains(out, p.Dial) && len(out) < 2 {
					out = append(out, p.Dial)
				}
			}
		}
	}
	return out
}

// likely are up to eight hypotheses whose score is near the best.
func likely(list []*hypothesis) []*hypothesis {
	const most, near = 8, 10
	for i, h := range list {
		if i == most || h.score > list[0].score+near {
			return list[:i]
		}
	}
	return list
}

// Beyond this distance, in standard uncertainties, two causes are told apart.
const distinguishable = 5

// nextSetting finds the setting whose reading separates the leaders best: where the sum over
// pairs, weighted with both probabilities, of the squared distance of their predictions
// in standard uncertainties is largest. Distances beyond toldApart count no more. ok is
// false where no reading at the terminals tells any two apart.
func (s *search) nextSetting(pr *probe, leaders []*hypothesis) (best decade.Setting, ok bool) {
	leaders = likely(leaders)
	if len(leaders) < 2 {
		return best, false
	}
	settings := s.candidates(leaders)
	healthy := make([]float64, len(settings))
	for k, x := range settings {
		healthy[k] = pr.solve(pr.healthy, x)
	}
	value := make([][]float64, len(leaders))
	for i, h := range leaders {
		value[i] = s.predictions(pr, h, settings, healthy)
		if value[i] == nil {
			return best, false
		}
	}
	most := 0.0
	for k, x := range settings {
		sum := 0.0
		for i, a := range leaders {
			for j, b := range leaders[:i] {
				p := math.Exp((leaders[0].score - (a.score+b.score)/2) / 2)
				sum += p * s.separation(x, a, b, value[i][k], value[j][k])
			}
		}
		sum *= 1 - costOfDial*float64(offZero(x)-1)
		if sum > most*(1+1e-9) {
			most, best = sum, x
		}
	}
	return best, most > 0.5
}

// costOfDial is how much each further dial off zero takes from the worth of a setting:
// the simpler of two that separate alike is read.
const costOfDial = 0.03

func offZero(x decade.Setting) int {
	n := 0
	for _, p := range x.Positions() {
		if p != 0 {
			n++
		}
	}
	return n
}

func (s *search) separation(x decade.Setting, a, b *hypothesis, va, vb float64) float64 {
	const most = distinguishable * distinguishable
	if math.IsInf(va, 1) || math.IsInf(vb, 1) {
		if math.IsInf(va, 1) && math.IsInf(vb, 1) {
			return 0
		}
		return most
	}
	u := s.expectedUncertainty(x)
	d := (va - vb) / u
	scatter := 0.0
	if s.drawsAffect(a, x) != s.drawsAffect(b, x) {
		scatter = max(a.drawSD, b.drawSD) / u // a second dialling shows which
	}
	return min(most, d*d+scatter*scatter/4)
}

// drawsAffect reports whether draws of a hypothesis affect a setting.
func (s *search) drawsAffect(h *hypothesis, x decade.Setting) bool {
	if h.drawSD == 0 {
		return false
	}
	k := slices.Index(s.model.settings, x)
	for _, r := range h.drawn {
		if s.evidence.observations[r].setting == k {
			return true
		}
	}
	return false
}

// expectedUncertainty is the standard uncertainty of a further reading of a setting: that of the
// nearest setting read, and not less than a tenth of what the class allows.
func (s *search) expectedUncertainty(x decade.Setting) float64 {
	v := x.Value()
	gap, u := math.Inf(1), 0.0
	for i, o := range s.evidence.observations {
		if g := math.Abs(s.model.nominal[o.setting] - v); g < gap {
			gap, u = g, math.Sqrt(s.evidence.covariance.At(i, i))
		}
	}
	return math.Hypot(u, 0.1*x.ClassLimit())
}

func (s *search) predictions(pr *probe, h *hypothesis, settings []decade.Setting, healthy []float64) []float64 {
	c := s.model.layout.unchanged()
	for _, f := range h.faults {
		if c.apply("fault.Diagnose", f) != nil {
			return nil
		}
	}
	out := make([]float64, len(settings))
	for k, x := range settings {
		if i := slices.Index(s.model.settings, x); i >= 0 {
			out[k] = s.model.nominal[i] + h.effect[i]
			continue
		}
		out[k] = c.gain * (x.Value() + pr.solve(c, x) - healthy[k])
	}
	return out
}
