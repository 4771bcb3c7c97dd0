// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// From hypotheses to causes. A score is −2·ln of a weight, so that a hypothesis has the probability
// exp(−score/2) over the sum of these. Two hypotheses whose fits, which have the readings in them
// and no prior, differ by less than Options.Distance are one cause: at 5 the readings favour the
// better one by exp(5/2) = 12 to 1 at most.
//
// Hypotheses come best first. Each joins the first group whose lead it cannot be told from, or
// leads a new one, which costs some 100 comparisons at most. This is no equivalence: members 4
// above and 4 below their lead can be told from each other, and stand in one class all the same,
// which is what cannot be told from the best explanation.

import (
	"math"
	"slices"
)

// group is a cause: hypotheses that the readings cannot tell apart.
type group struct {
	hypotheses  []*hypothesis // best first
	probability float64
}

// leadShare is the part of the probability of a group that its lead has.
func (g *group) leadShare() float64 {
	lead, sum := g.hypotheses[0], 0.0
	for _, h := range g.hypotheses {
		// Relative to the lead, as in groups: exp of the scores themselves would be 0.
		sum += math.Exp((lead.score-h.score)/2) * (1 + h.hides)
	}
	return (1 + lead.hides) / sum
}

const (
	// Behind the best score: hypotheses that lead no cause of their own. Odds of 5·10⁸ to 1.
	farBehind  = 40
	mostCauses = 100 // causes in the answer
	// Score behind the lead: two faults that stand in its class. Odds of 33 to 1.
	mixedUntil = 7
)

// groups joins hypotheses whose best fits differ by less than the distance, and shares
// out the probability: exp(−score/2), to a sum of 1. No single fault is left out of a class that
// the readings do not tell from its lead, however little is to be said for it beforehand; but
// two at once stand in a class only where the odds against them are not long: there is always
// a second fault that a first hides, and there are always two rare faults that say what two
// common ones do.
//
// Hypotheses of the same faults that differ in a scatter only are one: the best stands for
// them.
func (s *search) groups(list []*hypothesis) []*group {
	// Relative to the best: exp of the scores themselves would all be 0 beyond 1,500.
	weight := func(h *hypothesis) float64 {
		return math.Exp((list[0].score-h.score)/2) * (1 + h.hides)
	}
	total := 0.0
	for _, h := range list {
		total += weight(h)
	}
	var out []*group
	of := make(map[[2]Fault]*group)
	healthy := false
	for _, h := range list {
		p := weight(h) / total
		if g := of[h.placesOf()]; g != nil {
			g.probability += p
			continue
		}
		g := s.groupOf(out, h)
		switch {
		// Left out, though its weight is in the total: the others do not gain by that. The healthy
		// box is never left out, since its probability is stated whatever it is.
		case g == nil && (len(out) >= mostCauses || h.score > list[0].score+farBehind) &&
			(healthy || len(h.faults) > 0):
			continue
		case g == nil:
			g = &group{}
			out = append(out, g)
		}
		healthy = healthy || len(h.faults) == 0
		of[h.placesOf()] = g
		g.hypotheses = append(g.hypotheses, h)
		g.probability += p
	}
	slices.SortStableFunc(out,
		func(a, b *group) int { return compareScores(b.probability, a.probability) })
	return out
}

// hideNested takes the pairs out of a list, best first, of which one fault alone is better: it
// is there either way, and the second adds nothing. The weight of the pair goes to it. A pair that
// scores better than either of its faults alone stays, and so does the fault. The list is used for
// the result.
func hideNested(list []*hypothesis) []*hypothesis {
	of := make(map[[2]Fault]*hypothesis)
	out := list[:0]
	for _, h := range list {
		var one *hypothesis // the better of its two faults, alone
		if len(h.faults) == 2 {
			for _, f := range h.faults {
				x := of[(&hypothesis{faults: []Fault{f}}).placesOf()]
				if x != nil && (one == nil || x.score < one.score) {
					one = x
				}
			}
		}
		if one != nil {
			// A weight in its own, since the scores are −2·ln of weights.
			one.hides += math.Exp((one.score - h.score) / 2)
			continue
		}
		if k := h.placesOf(); len(h.faults) == 1 && of[k] == nil {
			of[k] = h
		}
		out = append(out, h)
	}
	return out
}

// groupOf is the group that a hypothesis joins; nil where it is to lead one.
func (s *search) groupOf(groups []*group, h *hypothesis) *group {
	// A healthy box, and what nothing explains, are answers of their own: neither is a place to
	// look at.
	if len(h.faults) == 0 || h.firstKind() == KindUnexplained {
		return nil
	}
	for _, g := range groups {
		lead := g.hypotheses[0]
		// By the fit and not by the score: what the readings tell apart, not what one expects.
		if len(lead.faults) == 0 || lead.firstKind() == KindUnexplained ||
			math.Abs(lead.fit-h.fit) >= s.options.Distance {
			continue
		}
		// One common fault hides any second one that does nothing where readings are: of these
		// pairs only the probable ones.
		if len(lead.faults) == 1 && len(h.faults) == 1 || h.score < lead.score+mixedUntil {
			return g
		}
	}
	return nil
}
