// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"context"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/internal/orderstat"
	"example.com/ohmwright/uncertainty/internal/tape"
)

// The choice of a twin, for each output by itself:
//
//	a constant                            none, nothing to correct
//	linear, its law is known              the law itself: [TwinExact], no trials needed
//	linear, its law is not known          one candidate, the linear twin
//	bent                                  up to three: linear, main effects, logarithmic
//	no input moves it, a corner           none, with the reason
//
// The candidates of all outputs run together for 1024 trials, in one tape. Where none of them shows
// a gain, that is the end, and the run is plain. Else after 4096 trials the one of the greatest
// gain is taken whose law can be convolved. Those trials are made again by the run: they cost 0.4 %
// of a million. A choice by chance is no bias: the correction is right on average for any twin.

// twinChoice is what was decided for an output.
type twinChoice struct {
	kind    TwinKind
	reason  string   // for none
	law     twinLaw  // of an exact one, about its estimate
	origin  float64  // its output at the estimates, in the unit of the output
	control *control // of one that is not exact
}

const (
	// scoutTrials choose among the twins: whole blocks, of which at 95 % 102 lie beyond each end.
	scoutTrials = 16 * tape.BlockSize
	// firstTrials of these, after which the pilot ends where surely nothing helps.
	firstTrials = 4 * tape.BlockSize
	// hopefulGain is what the first must show: a twin of leastGain shows less in 1 of 1000 runs.
	hopefulGain = 1.4
	// leastGain is what scoutTrials must show: a twin costs up to half of the trials.
	leastGain = 2
	// curvedGain is that with curves: their laws cost more than the trials of a short run.
	curvedGain = 6
	// preference is how many times more gain a twin must show than one that costs less.
	preference = 1.2
)

// chooseTwins gives each output its twin: none, the whole law where the model is linear,
// else that whose trials go best with those of the output among the first. The tape of the
// run gets the twins as outputs after those of the measurands. The errors are those of a run: of
// the context, and of trials.
func (r *run) chooseTwins(ctx context.Context) error {
	if r.Twin == TwinOff {
		for i := range r.twins {
			r.twins[i].reason = reasonOff
		}
		return nil
	}
	var all []twinModel                   // candidates
	owners := make([]int, 0, 3*len(r.ys)) // of all: the output of each
	for i, root := range r.roots {
		if r.tape.Outputs[i].IsFixed() {
			continue // a constant
		}
		models := r.model.twinModels(root)
		switch {
		case len(models) == 1 && models[0].kind == TwinExact:
			r.chooseExact(i, root, models[0])
			if r.twins[i].kind == TwinExact {
				continue
			}
			models[0].kind = TwinLinear
		case len(models) == 0:
			r.twins[i].reason = reasonFlat
			// Of the last backward pass, which is that of this output.
			if slices.ContainsFunc(r.model.sensitivities, math.IsNaN) {
				r.twins[i].reason = reasonCorner
			}
			continue
		}
		// Fewer trials beyond an end say little of how the two go together there.
		if float64(r.Trials)*min(1-r.Coverage, r.Coverage)/2 < leastTail {
			r.twins[i].reason = reasonFew
			continue
		}
		for _, t := range models {
			all, owners = append(all, t.without(negligible)), append(owners, i)
		}
	}
	if len(all) == 0 {
		return nil
	}
	gains, err := r.scout(ctx, all, owners)
	if err != nil {
		return err
	}
	return r.settleTwins(all, owners, gains)
}

// curved reports whether an effect is not a straight line: its term of the law then is integrated
// numerically, some thousand values of a quantile function.
func (t twinModel) curved() bool {
	return slices.ContainsFunc(t.effects, func(e twinEffect) bool { return e.Curve != nil })
}

// chooseExact takes the law of a linear model in place of trials, if it can be told.
func (r *run) chooseExact(i int, root *node, t twinModel) {
	if law, ok := r.model.law(t); ok {
		r.twins[i] = twinChoice{kind: TwinExact, law: law, origin: root.value}
	}
}

// allExact reports whether no output needs trials: of constants nothing varies, of exact ones the
// law is known. The choice of twins has been made.
func (r *run) allExact() bool {
	if r.Twin == TwinOff {
		return false
	}
	for i, t := range r.twins {
		if t.kind != TwinExact && !r.tape.Outputs[i].IsFixed() {
			return false
		}
	}
	return true
}

// scout runs the first trials with all twins and returns the gain that each shows, all 0 where the
// first of them leave no hope. The tape and the team of the run are as before when it returns; its
// trials are no part of the result, and are reported to nobody.
func (r *run) scout(ctx context.Context, all []twinModel, owners []int) ([]float64, error) {
	plain := r.tape
	defer func() { r.tape, r.team = plain, nil }()
	var err error
	if r.tape, err = assemble(r.model, r.roots, all...); err != nil {
		return nil, err
	}
	silent := r.silent
	r.silent, r.team = true, nil
	defer func() { r.silent = silent }()
	var gains []float64
	var values [][]float64
	// A quarter of the pilot is enough to see that nothing helps. Else the whole of it chooses,
	// which costs little beside what a twin saves.
	for done := 0; done < min(r.Trials, scoutTrials); {
		end := min(r.Trials, scoutTrials)
		if done == 0 {
			end = min(end, firstTrials)
		}
		s, err := r.keep(ctx, done, end, scoutTrials)
		if err != nil {
			return nil, err
		}
		if values == nil {
			values = s.values
		} else {
			for i, v := range s.values {
				values[i] = append(values[i], v...)
			}
		}
		gains = r.gainsOf(values, len(all), owners)
		if done = end; slices.Max(gains) < hopefulGain {
			return make([]float64, len(all)), nil
		}
	}
	return gains, nil
}

// gainsOf is the gain that each twin shows in the trials of the outputs and, after them, the twins.
// Candidates of one output share its sorted trials.
func (r *run) gainsOf(values [][]float64, twins int, owners []int) []float64 {
	gains := make([]float64, twins)
	n := len(values[0])
	// Nearly all trials were invalid: no gain of any.
	if n < leastTail {
		return gains
	}
	room := make([]float64, n)
	sorted := make(map[int][]float64, len(r.ys))
	for k, i := range owners {
		y, z := values[i], values[len(r.ys)+k]
		if sorted[i] == nil {
			sorted[i] = slices.Clone(y)
			orderstat.Sort(sorted[i], room, nil)
		}
		zs := slices.Clone(z)
		orderstat.Sort(zs, room, nil)
		gains[k] = agreement(y, z, sorted[i], zs, (1-r.Coverage)/2)
	}
	return gains
}

// agreement is the gain, on average over both ends and levels next to them, that counts
// below order statistics of output and twin show. The ends alone have few trials beyond. ys and zs
// are y and z in rising order, tail is (1 − p)/2.
//
// At a level k both counts have the same mean p = k/n, so that their correlation is r = (j/n − p²)/
// (p(1 − p)) with j trials below both, and a correction leaves 1 − r² of the variance. The part
// left is averaged, not the gain: one level at which the two disagree by chance of few trials would
// else not count.
func agreement(y, z, ys, zs []float64, tail float64) float64 {
	n := len(y)
	left, levels := 0.0, 0.0
	for _, times := range [...]float64{1, 2, 4} {
		m := min(n/4, max(leastTail/2, int(times*tail*float64(n))))
		for _, k := range [...]int{m, n - m} {
			both := 0
			for i, v := range y {
				both += oneIf(v <= ys[k-1]) & oneIf(z[i] <= zs[k-1])
			}
			p := float64(k) / float64(n)
			// The correlation of the two counts; 1 − r² of the variance is left.
			r := (float64(both)/float64(n) - float64(p*p)) / float64(p*(1-p))
			// Half a trial of the m is in doubt where all agree: a perfect score of few trials
			// is no proof of a gain above 2·m. A negative r is none: b is not below 0.
			left += 1 - float64(r*max(0, r)) + 0.5/float64(m)
			levels++
		}
	}
	return levels / left
}

// bestOf takes the best out of a list of candidates, by their numbers in gains. What comes first
// costs least: another must show a fifth more.
func bestOf(list []int, gains []float64) (best int, rest []int) {
	at := 0
	for i, k := range list {
		if gains[k] > preference*gains[list[at]] {
			at = i
		}
	}
	best = list[at]
	return best, slices.Delete(list, at, at+1)
}

// settleTwins takes for each output the twin of the greatest gain whose distribution is
// known, and writes the tape. A law is looked for after the trials and not before, since it costs
// as much as thousands of them; the next best is tried where it cannot be told.
func (r *run) settleTwins(all []twinModel, owners []int, gains []float64) error {
	var chosen []twinModel // in the order of the columns behind the outputs
	for i := range r.ys {
		var mine []int // candidates of this output, as numbers in all
		for k, owner := range owners {
			if owner == i {
				mine = append(mine, k)
			}
		}
		if len(mine) == 0 {
			continue
		}
		c := &r.twins[i]
		c.reason = reasonNoGain
		for len(mine) > 0 {
			var k int
			k, mine = bestOf(mine, gains)
			t := all[k]
			if gains[k] < leastGain || t.curved() && gains[k] < curvedGain {
				continue
			}
			law, ok := r.model.law(t)
			if !ok { // a few small effects may be what is hard to convolve
				fewer := t.without(100 * negligible)
				if len(fewer.effects) < len(t.effects) {
					t = fewer
					law, ok = r.model.law(t)
				}
			}
			if !ok {
				c.reason = reasonUnknown
				continue
			}
			c.control = newControl(t, len(r.ys)+len(chosen), law, r.Coverage, r.Quantiles)
			c.kind, c.reason = t.kind, ""
			chosen = append(chosen, t)
			break
		}
	}
	if len(chosen) == 0 {
		return nil
	}
	var err error
	r.tape, err = assemble(r.model, r.roots, chosen...)
	return err
}
