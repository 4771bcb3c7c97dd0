// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"context"
	"math"

	"example.com/ohmwright/uncertainty"
)

// Candidate is a setting with its deviation from the wanted resistance. Any number of goroutines
// may read one at once.
type Candidate struct {
	Setting   Setting
	Deviation float64 // Ω, of the compared resistance from the wanted one
	// Indistinguishable marks a setting other than the first that lies within the U of the
	// [Selection] of it: what is known of the box does not say which is nearer.
	Indistinguishable bool
}

// Selection is the answer of [Box.Choose]: the settings nearest to a wanted resistance, and how
// well that is known. Any number of goroutines may read one at once.
type Selection struct {
	Wanted float64 // Ω
	Target Target  // which resistance was compared
	Best   []Candidate
	// U is the expanded uncertainty in ohms, at a coverage probability of 95 %, of the
	// compared resistance of the best setting, by the laws of its inputs
	// ([uncertainty.Budget.BestInterval]).
	U float64
	// Within are the other settings that lie within U of the best one: farther from the wanted
	// resistance by no more than that. What is known of the box does not distinguish them from
	// the best. Nearest first, at most 100.
	Within []Candidate
	More   bool // there are more of them than that
}

// mostWithin bounds Selection.Within: more settings than that are a count and not a choice.
const mostWithin = 100

// Choose finds settings as [Box.NearestN] does, and returns with them how good the choice is: the
// deviations, the uncertainty of the best setting, and the settings that cannot be distinguished
// from it.
func (b *Box) Choose(ctx context.Context, ohms float64, s Search) (*Selection, error) {
	const op = "decade.Box.Choose"
	h := nearestSearch{box: b, ctx: ctx, op: op, ohms: ohms, search: s}
	if err := h.prepare(); err != nil {
		return nil, err
	}
	best, err := h.best()
	if err != nil {
		return nil, err
	}
	out := &Selection{Wanted: ohms, Target: s.Target}
	for _, c := range best {
		out.Best = append(out.Best, h.candidate(c))
	}
	budget, err := uncertainty.Evaluate(h.quantity(best[0]))
	if err != nil {
		return nil, &Error{Op: op, Name: "uncertainty", Err: err}
	}
	interval, err := budget.BestInterval(0.95)
	if err != nil {
		return nil, &Error{Op: op, Name: "uncertainty", Err: err}
	}
	out.U = interval.Width() / 2
	// Where k·u gives the interval, U is that of the budget in every digit.
	if interval == budget.Expanded.Interval {
		out.U = budget.Expanded.U
	}
	// Those among the best count too, and one more shows whether the list ends there.
	near, err := h.nearest(min(len(best)+mostWithin+1, mostEqual))
	if err != nil {
		return nil, err
	}
	// U is about the resistance of the best setting: whatever lies nearer to the wanted one than
	// the best one may lie, at the far end of its interval, could be the better choice.
	bound := math.Abs(out.Best[0].Deviation) + out.U
	for i := range out.Best[1:] {
		x := &out.Best[1+i]
		x.Indistinguishable = math.Abs(x.Deviation) <= bound
	}
	for _, c := range near {
		x := h.candidate(c)
		if math.Abs(x.Deviation) > bound || out.holds(c) {
			continue
		}
		if len(out.Within) == mostWithin {
			out.More = true
			break
		}
		x.Indistinguishable = true
		out.Within = append(out.Within, x)
	}
	return out, nil
}

// candidate is a setting with its deviation from the wanted resistance.
func (h *nearestSearch) candidate(s Setting) Candidate {
	return Candidate{Setting: s, Deviation: h.value(s) - h.ohms}
}

// holds reports whether a setting is among the best.
func (c *Selection) holds(s Setting) bool {
	for _, b := range c.Best {
		if b.Setting == s {
			return true
		}
	}
	return false
}
