// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// A search goes from the cheap to the dear, and each step takes from the one before it what need
// not be looked at closely:
//
//   1. single faults by the linear account of the healthy circuit, a few sums over settings each;
//   2. the best of these by their own circuit, some ten solutions of every setting each (refit);
//   3. pairs, which begin with the best of these (pairs.go);
//   4. what no fault explains (unexplained.go).
//
// The score is −2·ln of a posterior probability but for a constant: the likelihood of the
// readings at the best fit, the Occam factor of what was fitted (D. J. C. MacKay, Information
// Theory, Inference, and Learning Algorithms, chapter 28, from memory), and the prior weight of
// the kind. Less is better; 2 more are a factor e in the odds, 9.2 more a factor 100.

import (
	"context"
	"slices"
)

const (
	// 14 is a factor 1,100 in the odds.
	closeBehind = 14 // behind the best score: hypotheses fitted with their circuit
	mostPatient = 24 // bridges fitted in a row without one that comes so close
	bestMoves   = 4  // of a kind that moves a wiper: fitted in any case
)

// rankAll finds and ranks hypotheses, best first. Where there is no error the list holds the
// healthy box at least; an error is that of the context.
func (s *search) rankAll(ctx context.Context) ([]*hypothesis, error) {
	return s.rankWithin(newWork(ctx, s.options.Progress))
}

// rankWithin is rankAll with a work that is watched already.
func (s *search) rankWithin(w *work) ([]*hypothesis, error) {
	s.work = w
	// Single faults first: the search for two begins with the best of them.
	s.addSingles()
	s.addBridges()
	if err := w.stopped(); err != nil {
		return nil, err
	}
	pr := newProbe(s.model.layout)
	if err := s.refitWithCircuit(pr); err != nil {
		return nil, err
	}
	planned := 1
	// How many firsts there are is known when the single faults are.
	if s.options.Faults >= 2 {
		planned = 2
	}
	if !w.step(1, planned) {
		return nil, w.stopped()
	}
	if s.options.Faults >= 2 {
		if err := s.addPairs(pr); err != nil {
			return nil, err
		}
	}
	// The search for pairs may end before all that it planned; the last report has both numbers
	// equal.
	if planned = max(planned, w.done); !w.step(planned, planned) {
		return nil, w.stopped()
	}
	slices.SortStableFunc(s.found, byScore)
	// A pair whose second fault adds nothing says no more than its first.
	s.found = hideNested(s.found)
	return s.addUnexplained(s.found), nil
}

// refitWithCircuit fits the leaders of the single faults with their own circuit. What no box can
// be, by its circuit, leaves the list: the linear account knows no bounds but those of one
// value.
func (s *search) refitWithCircuit(pr *probe) error {
	slices.SortStableFunc(s.found, byScore)
	if len(s.found) == 0 {
		return nil
	}
	if err := s.refit(pr, s.found, s.found[0].score); err != nil {
		return err
	}
	s.found = slices.DeleteFunc(s.found, func(h *hypothesis) bool { return !finite(h.score) })
	slices.SortStableFunc(s.found, byScore)
	return nil
}

// refit fits hypotheses with their own circuit, those first that look best without it, down to
// a limit behind the best of them that is set before any is fitted: what was fitted scores
// lower by all that the linear account had wrong, and says nothing of the others. A large
// fault shifts the readings by more than the linear account of the class allows for, so
// that the limit grows with the size of the fault. Of bridges and pairs, of which there are
// thousands, no more are fitted when so many in a row have not come close to the best, or of
// pairs have not been better. A knob off by some positions brings other elements into the
// path, with errors as large as what it takes out: the linear account misjudges it by more
// than any limit, and all others of its kind by far more, so that the best few are fitted.
//
// best is the score that counts as the best so far. The hypotheses of the list are changed in
// place, and come out in their old order; one that cannot be has the score +Inf.
func (s *search) refit(pr *probe, list []*hypothesis, best float64) error {
	order := slices.Clone(list)
	slices.SortStableFunc(order, byScore)
	if len(order) == 0 {
		return nil
	}
	// One limit for all: an allowance for each by its own size would let the largest faults
	// through, which are those that the linear account has least right.
	limit := order[0].score + s.errorOfLines(order[0])
	behind := 0
	moves := make(map[Kind]int)
	for _, h := range order {
		if !h.wantsCircuit() {
			continue
		}
		// The lines err by no more than this, so the circuit cannot bring it to the front.
		if among := h.isBestMove(moves); h.score > limit && !among {
			continue
		}
		many := len(h.faults) == 2 || slices.ContainsFunc(h.faults, Fault.logarithmic)
		// The order is that of the lines: after so many without an improvement none follows.
		if many && behind >= mostPatient {
			continue
		}
		if err := s.fitCircuit(pr, h); err != nil {
			return err
		}
		if err := s.work.stopped(); err != nil {
			return err
		}
		if many {
			behind++
		}
		if h.score < best || len(h.faults) == 1 && h.score < best+closeBehind {
			behind = 0
		}
		best = min(best, h.score)
	}
	return nil
}

// isBestMove counts a single fault that moves a wiper, and reports whether it is among the first
// of its kind.
func (h *hypothesis) isBestMove(count map[Kind]int) bool {
	k := h.firstKind()
	if len(h.faults) != 1 || !k.movesWiper() {
		return false
	}
	count[k]++
	return count[k] <= bestMoves
}

// movesWiper reports whether a fault of this kind takes a wiper to another tap.
func (k Kind) movesWiper() bool {
	return k == KindSlip || k == KindTapsExchanged || k == KindOverlap
}

// errorOfLines is by how much the linear account may misjudge a hypothesis against another: what
// its effect is in class deviations of the largest class. The linear account has every element
// in the path as the healthy circuit has it; a circuit with a fault has them there with other
// shares, and with another variance of the class in the readings. With a class of 5 % on the
// smallest dial and 10⁵ of χ² explained the allowance is 1,000, with 0.05 % on all dials it is
// 0.1 beside closeBehind.
func (s *search) errorOfLines(h *hypothesis) float64 {
	largest := 0.0
	for i, e := range s.model.layout.elements {
		// A bridge or slip as large as a dial carries the class of what it takes along.
		largest = max(largest, s.model.classLimit[i]/e.ohms)
	}
	// Of second order in the class: a part of a part of what the fault explains.
	return closeBehind + 4*largest*largest*max(0, s.byDialling.chiSquared-h.fit)
}
