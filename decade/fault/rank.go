// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"context"
	"math"
	"slices"
)

const (
	closeBehind = 14  // behind the best score: hypotheses fitted with their circuit
	mostExact   = 40  // of them
	farBehind   = 40  // behind the best score: hypotheses left out of the answer
	mostPlaces  = 400 // hypotheses in the answer
)

// run finds and ranks hypotheses, best first.
func (s *search) run(ctx context.Context) ([]*hypothesis, error) {
	s.singles()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.bridges()
	pr := newProbe(s.m.l)
	if err := s.sharpen(ctx, pr); err != nil {
		return nil, err
	}
	done := 1
	if s.opt.Faults >= 2 {
		n, err := s.pairs(ctx, pr)
		if err != nil {
			return nil, err
		}
		done += n
	}
	s.report(done, done)
	slices.SortStableFunc(s.found, byScore)
	best := s.found[0].score
	for i, h := range s.found {
		if h.score > best+farBehind || i == mostPlaces {
			return s.found[:i], nil
		}
	}
	return s.found, nil
}

// report tells the progress.
func (s *search) report(done, planned int) {
	if s.opt.Progress != nil {
		s.opt.Progress(done, planned)
	}
}

// sharpen fits the leaders with their own circuit, until those that lead have been. A
// large fault shifts the readings by more than the linear account of the class allows
// for, so that the distance from the leader counts relative to the size of the fault.
func (s *search) sharpen(ctx context.Context, pr *probe) error {
	done := make(map[*hypothesis]bool)
	largest := 0.0
	for i, e := range s.m.l.elements {
		largest = max(largest, s.m.half[i]/e.ohms)
	}
	for range 3 {
		slices.SortStableFunc(s.found, byScore)
		window := closeBehind + 4*largest*largest*max(0, s.ez-s.found[0].fit)
		again := false
		for _, h := range slices.Clone(s.found) {
			if h.score > s.found[0].score+window || len(done) >= mostExact {
				break
			}
			if done[h] || h.tau > 0 || len(h.elements) > 0 || len(h.faults) == 0 || !h.faults[0].needsCircuit() {
				continue
			}
			if err := ctx.Err(); err != nil {
				return err
			}
			done[h], again = true, true
			if err := s.circuit(pr, h); err != nil {
				return err
			}
		}
		if !again {
			break
		}
	}
	slices.SortStableFunc(s.found, byScore)
	return nil
}

// group is a cause: hypotheses that the readings cannot tell apart.
type group struct {
	list        []*hypothesis // best first
	probability float64
}

// groups joins hypotheses whose best fits differ by less than the distance, and shares
// out the probability: exp(−score/2), to a sum of 1. Hypotheses of the same faults that
// differ in a scatter only are one: the best stands for them.
func (s *search) groups(list []*hypothesis) []*group {
	total := 0.0
	for _, h := range list {
		total += math.Exp((list[0].score - h.score) / 2)
	}
	var out []*group
	for _, h := range list {
		p := math.Exp((list[0].score-h.score)/2) / total
		if g := groupWith(out, h); g != nil {
			g.probability += p
			continue
		}
		g := s.groupOf(out, h)
		if g == nil {
			g = &group{}
			out = append(out, g)
		}
		g.list = append(g.list, h)
		g.probability += p
	}
	slices.SortStableFunc(out, func(a, b *group) int {
		switch {
		case a.probability > b.probability:
			return -1
		case a.probability < b.probability:
			return 1
		}
		return 0
	})
	return out
}

// groupWith finds the group that has the faults of a hypothesis already.
func groupWith(groups []*group, h *hypothesis) *group {
	for _, g := range groups {
		if slices.ContainsFunc(g.list, func(x *hypothesis) bool { return x.equal(h) }) {
			return g
		}
	}
	return nil
}

// equal tells whether two hypotheses are the same kinds at the same places, in any order;
// a knob that slipped by another number of positions is another cause.
func (h *hypothesis) equal(g *hypothesis) bool {
	if len(h.faults) != len(g.faults) {
		return false
	}
	for _, f := range h.faults {
		if !slices.ContainsFunc(g.faults, func(o Fault) bool { return f.same(o) && (f.Kind != Slip || f.Value == o.Value) }) {
			return false
		}
	}
	return true
}

func (s *search) groupOf(groups []*group, h *hypothesis) *group {
	for _, g := range groups {
		lead := g.list[0]
		if len(lead.faults) == len(h.faults) && len(h.faults) > 0 && math.Abs(lead.fit-h.fit) < s.opt.Distance {
			return g
		}
	}
	return nil
}
