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

// rankAll finds and ranks hypotheses, best first.
func (s *search) rankAll(ctx context.Context) ([]*hypothesis, error) {
	s.addSingles()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.addBridges()
	pr := newProbe(s.model.layout)
	if err := s.refitWithCircuit(ctx, pr); err != nil {
		return nil, err
	}
	done := 1
	if s.options.Faults >= 2 {
		n, err := s.addPairs(ctx, pr)
		if err != nil {
			return nil, err
		}
		done += n
	}
	s.reportProgress(done, done)
	slices.SortStableFunc(s.found, byScore)
	best := s.found[0].score
	for i, h := range s.found {
		if h.score > best+farBehind || i == mostPlaces {
			return s.addUnexplained(s.found[:i]), nil
		}
	}
	return s.addUnexplained(s.found), nil
}

// reportProgress tells the progress.
func (s *search) reportProgress(done, planned int) {
	if s.options.Progress != nil {
		s.options.Progress(done, planned)
	}
}

// refitWithCircuit fits the leaders with their own circuit, until those that lead have been. A
// large fault shifts the readings by more than the linear account of the class allows
// for, so that the distance from the leader counts relative to the size of the fault.
func (s *search) refitWithCircuit(ctx context.Context, pr *probe) error {
	done := make(map[*hypothesis]bool)
	largest := 0.0
	for i, e := range s.model.layout.elements {
		largest = max(largest, s.model.classLimit[i]/e.ohms)
	}
	for range 3 {
		slices.SortStableFunc(s.found, byScore)
		window := closeBehind + 4*largest*largest*max(0, s.byDialling.chiSquared-s.found[0].fit)
		again := false
		for _, h := range slices.Clone(s.found) {
			if h.score > s.found[0].score+window || len(done) >= mostExact {
				break
			}
			if done[h] || h.drawSD > 0 || len(h.free) > 0 || len(h.faults) == 0 || !h.faults[0].needsCircuit() {
				continue
			}
			if err := ctx.Err(); err != nil {
				return err
			}
			done[h], again = true, true
			if err := s.fitCircuit(pr, h); err != nil {
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
	hypotheses  []*hypothesis // best first
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
		g.hypotheses = append(g.hypotheses, h)
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
		if slices.ContainsFunc(g.hypotheses, func(x *hypothesis) bool { return x.sameFaults(h) }) {
			return g
		}
	}
	return nil
}

// sameFaults reports whether two hypotheses are the same kinds at the same places, in any order;
// a knob that slipped by another number of positions is another cause.
func (h *hypothesis) sameFaults(g *hypothesis) bool {
	if len(h.faults) != len(g.faults) {
		return false
	}
	for _, f := range h.faults {
		if !slices.ContainsFunc(g.faults, func(o Fault) bool { return f.samePlace(o) && (f.Kind != KindSlip || f.Value == o.Value) }) {
			return false
		}
	}
	return true
}

func (s *search) groupOf(groups []*group, h *hypothesis) *group {
	for _, g := range groups {
		lead := g.hypotheses[0]
		if lead.kind() != KindUnexplained && h.kind() != KindUnexplained && len(lead.faults) == len(h.faults) && len(h.faults) > 0 && math.Abs(lead.fit-h.fit) < s.options.Distance {
			return g
		}
	}
	return nil
}
