// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"context"
	"math"
	"slices"
)

// One search answers every question for a setting: dials with the highest steps first,
// each from its highest position down, in integers of any size. So the first of settings
// equally near is the one with the highest dials. What is left out is proved to be no
// nearer than what is kept: by what the other dials reach, by the common divisor of their
// steps, and by having been at the same remainder before. The work has a bound, and a
// search that meets it says so. It is branch and bound (A. H. Land and A. G. Doig, Econometrica
// 28, 1960; from memory), depth first.
//
// Three questions are asked of it: which setting is nearest (first), which n are nearest
// (nearest), and which lie within a distance (within). They differ in when the limit falls and in
// whether an answer ends the search.
//
// For decades the bound leaves one or two positions of each dial, and a search costs some multiple
// of the number of dials. Steps without a common divisor, 1 Ω, π Ω and 10 Ω say,
// make the number of combinations the cost: there the states remembered, the table of tail.go and
// in the end mostSteps come in.

// ladder is what the search runs on: the values of every dial and position as integers,
// dials in the order of the search.
type ladder struct {
	search    *search              // order of the dials, and which share a switch
	value     [maxDials][]wide     // by dial of the search and position; 0 at position 0
	excluded  [maxDials][]bool     // positions that a condition excludes; nil: none
	low, high [maxDials + 1]wide   // of the sums of the dials from here on
	common    [maxDials + 1]uint64 // a common divisor of their values; 0 where none is known
	ascending [maxDials]bool       // each value above the one before
	measured  bool                 // else quarters of the decimal unit, see search
	power     int                  // of two in an ohm, of measured values
}

// setBounds completes a ladder, from the last dial to the first: what the dials from k on reach is
// what those from k + 1 on reach, and the ends of dial k. Missing positions do not count.
func (l *ladder) setBounds() {
	for k := l.search.n - 1; k >= 0; k-- {
		var low, high wide // both 0 where conditions leave no position: prepare refuses those
		first := true
		l.ascending[k] = true
		for p, v := range l.value[k] {
			// Measured values may fall from one position to the next; binary search needs them
			// to rise.
			if p > 0 && !l.value[k][p-1].less(v) {
				l.ascending[k] = false
			}
			if l.excluded[k] != nil && l.excluded[k][p] {
				continue
			}
			if first || v.less(low) {
				low = v
			}
			if first || high.less(v) {
				high = v
			}
			first = false
		}
		if l.search.sameSwitch[k] != 0 { // another dial of the switch may keep this one at zero
			low, high = smaller(low, wide{}), larger(high, wide{})
		}
		l.low[k], l.high[k] = l.low[k+1].plus(low), l.high[k+1].plus(high)
	}
}

func smaller(a, b wide) wide {
	if b.less(a) {
		return b
	}
	return a
}

func larger(a, b wide) wide {
	if a.less(b) {
		return b
	}
	return a
}

// side restricts a search to sums at or below, or at or above the target.
type side uint8

const (
	either side = iota
	below
	above
)

// wideMatch is a setting with its distance from the target, 0 or more.
type wideMatch struct {
	distance  wide
	positions positions
}

// descent is a search in progress, depth first: dialled holds the dials before the current one,
// and zeros behind it. Distances below limit are of interest; the limit never rises, so that what
// was of no interest once never is again, which spent relies on.
type descent struct {
	ladder *ladder
	ctx    context.Context // nil: none
	side   side
	limit  wide
	work   int // calls of dial and settings of the table; countWork
	budget int // from which work on the search gives up

	// found takes a setting whose distance is below the limit. It may lower the limit; it
	// returns whether the setting counts, and whether to go on. nil: the nearest, in best.
	found   func(wideMatch) (counts, more bool)
	once    bool // a remainder that has been looked at has nothing more to give
	best    wideMatch
	hasBest bool // there is one

	stop, exhausted bool // no more is wanted; no more work is allowed
	dialled         positions
	spent           map[state]struct{} // what has nothing of interest any more
	table           *tail
}

// state is all that decides what the dials from k on make of a remainder: bit i of off says that
// dial i of the search left zero, which closes the others of its switch.
type state struct {
	k, off    uint16
	remainder wide
}

const (
	manyTries = 1 << 10 // work from where states are remembered
	mostSpent = 1 << 18 // states that are remembered, of 32 bytes each
	mostSteps = 1 << 21 // after which a search is given up, a fraction of a second
	perLook   = 1 << 12 // work between two looks at the context
)

// farthest is a distance that every setting is nearer than.
var farthest = wide{high: math.MaxInt64}

// bound is a distance that no choice of the dials from k on can beat. With low and high the ends of
// their sums, all cases and an example of dials that reach 0 to 110 in tens:
//
//	remainder at or below low:   sums lie above by low − remainder or more     −3: 3 above
//	remainder at or above high:  sums lie below by remainder − high or more    114: 4 below
//	between, common divisor c:   below by remainder mod c, above by the rest   57: 7 and 3
//	between, none known:         0
//
// A search restricted to one side takes the distance on that side alone.
func (d *descent) bound(k int, remainder wide) wide {
	l := d.ladder
	under, over := remainder.minus(l.high[k]), l.low[k].minus(remainder) // distances of the ends
	lower, upper := farthest, farthest                                   // of sums on either side
	// Resistances in series add, so that the smallest and the largest sum of the dials that
	// follow bound what they can still make of the remainder.
	switch {
	case !over.negative():
		upper = over
		if over == (wide{}) {
			lower = over
		}
	case !under.negative():
		lower = under
		if under == (wide{}) {
			upper = under
		}
	case l.common[k] == 0:
		return wide{}
	default:
		// Sums of multiples of a common divisor are multiples of it (Bézout): the remainder of
		// the division is the least that is left below, its complement the least above.
		rest := remainder.mod(l.common[k]) // between the ends, the lower of which is 0
		lower, upper = wide{low: rest}, wide{low: (l.common[k] - rest) % l.common[k]}
	}
	switch d.side {
	case below:
		return lower
	case above:
		return upper
	}
	return smaller(lower, upper)
}

// run searches from a target; false where the work met its bound, or the context is done. A target
// that no sum comes near enough to costs one look.
func (d *descent) run(target wide) bool {
	if d.bound(0, target).less(d.limit) {
		d.dial(0, target, 0)
	}
	return !d.exhausted
}

// dial goes on with the dials from k, whose bound is of interest; off has the dials that
// left zero, a bit for each. It returns whether anything counted: a setting below the limit that
// found took.
func (d *descent) dial(k int, remainder wide, off uint16) (counted bool) {
	l := d.ladder
	if k == l.search.n {
		return d.offer(wideMatch{remainder.abs(), d.dialled})
	}
	if d.countWork(); d.stop {
		return false
	}
	// The same remainder at the same dial has the same continuations. Remembering begins only
	// when a search has become long: for decades the map would cost more than the search.
	here := state{uint16(k), off, remainder}
	if d.work > manyTries {
		if _, ok := d.spent[here]; ok {
			return false
		}
		if t := d.useTable(); t != nil && t.from == k {
			return t.find(d, remainder)
		}
	}
	counted = d.positions(k, remainder, off)
	// A state that led to an answer must stay open where all answers are wanted.
	if d.work > manyTries && len(d.spent) < mostSpent && !d.stop && (!counted || d.once) {
		if d.spent == nil {
			d.spent = make(map[state]struct{})
		}
		d.spent[here] = struct{}{}
	}
	return counted
}

// positions tries those of a dial, highest first. remainder is what the dials from k on are to
// make; dialled has zero at this dial again when it returns.
func (d *descent) positions(k int, remainder wide, off uint16) (counted bool) {
	l := d.ladder
	dial := l.search.dial[k]
	p := len(l.value[k]) - 1
	// Another dial of the same switch is off zero: this one has no choice but its zero.
	if !l.search.free(k, off) {
		p = 0
	} else if l.ascending[k] {
		p = d.start(k, remainder)
	}
	for ; p >= 0 && !d.stop; p-- {
		if l.excluded[k] != nil && l.excluded[k][p] {
			continue
		}
		rest := remainder.minus(l.value[k][p])
		if !d.bound(k+1, rest).less(d.limit) {
			if l.ascending[k] && !rest.minus(l.high[k+1]).less(d.limit) {
				break // lower positions are farther away
			}
			continue
		}
		next := off
		if p > 0 {
			next |= 1 << k
		}
		d.dialled.set(dial, p)
		counted = d.dial(k+1, rest, next) || counted
	}
	d.dialled.set(dial, 0)
	return counted
}

// start returns the highest position of interest: the first whose value is above all that
// is left for this dial, and those above it as far as several answers are wanted.
func (d *descent) start(k int, remainder wide) int {
	v, most := d.ladder.value[k], remainder.minus(d.ladder.low[k+1])
	i, j := 0, len(v)-1
	for i < j {
		// Unsigned, as in package sort: the sum of two indices cannot overflow.
		if m := int(uint(i+j) / 2); most.less(v[m]) {
			j = m
		} else {
			i = m + 1
		}
	}
	for x := d.ladder.excluded[k]; x != nil && x[i] && i < len(v)-1; {
		i++ // the one above all that is left is the first that can be dialled
	}
	// Positions above the first that is too high overshoot, by more and more; they still count
	// as long as the overshoot is below the limit.
	for !d.once && i < len(v)-1 && v[i+1].minus(most).less(d.limit) {
		i++
	}
	return i
}

// offer hands over a setting below the limit.
func (d *descent) offer(x wideMatch) (counted bool) {
	if d.found == nil {
		d.best, d.hasBest, d.limit = x, true, x.distance
		// Nothing is nearer than an exact fit.
		d.stop = d.limit == wide{}
		return true
	}
	counted, more := d.found(x)
	d.stop = d.stop || !more
	return counted
}

// countWork counts the work, and ends the search where it is too much or not wanted any more.
func (d *descent) countWork() {
	d.work++
	// A context is asked once in perLook steps: asking costs more than a step.
	if d.work > d.budget || d.work%perLook == 0 && d.ctx != nil && d.ctx.Err() != nil {
		d.stop, d.exhausted = true, true
	}
}

// first finds the nearest setting, of several the one with the highest dials; ok is false
// where there is none on that side, done where the work met its bound.
func (l *ladder) first(target wide, on side) (best wideMatch, ok, done bool) {
	// once: the first setting met at a distance is the one with the highest dials, and nothing at a
	// remainder that was looked at before is nearer.
	d := descent{ladder: l, side: on, limit: farthest, budget: mostSteps, once: true}
	done = d.run(target)
	return d.best, d.hasBest, done
}

// nearest finds the n nearest settings, nearest first, of equally near ones those with the
// highest dials first. done is false where the work met its bound: the list is then what was found
// so far, and proves nothing.
func (l *ladder) nearest(ctx context.Context, target wide, n int) (list []wideMatch, done bool) {
	d := descent{ladder: l, ctx: ctx, limit: farthest, budget: mostSteps, once: n == 1}
	d.found = func(x wideMatch) (bool, bool) {
		// After its equals: the search meets settings in the order of the highest dials first.
		i, _ := slices.BinarySearchFunc(list, x, func(a, b wideMatch) int {
			if a.distance == b.distance {
				return -1
			}
			return a.distance.compare(b.distance)
		})
		if list = slices.Insert(list, i, x); len(list) > n {
			list = list[:n]
		}
		// Full: from now on only what is nearer than the last of the list is of interest, and of
		// equally near ones none that comes later.
		if len(list) == n {
			d.limit = list[n-1].distance
		}
		return true, d.limit != wide{}
	}
	done = d.run(target)
	return list, done
}

// within finds all settings not farther than a distance, at most so many: full where there
// are more.
func (l *ladder) within(ctx context.Context, target, distance wide,
	most int) (list []wideMatch, full, done bool) {
	// In integers, not farther than a distance is nearer than the next one.
	d := descent{ladder: l, ctx: ctx, limit: distance.plus(wideOf(1)), budget: mostSteps}
	d.found = func(x wideMatch) (bool, bool) {
		if full = len(list) == most; !full {
			list = append(list, x)
		}
		return true, !full
	}
	done = d.run(target)
	return list, full, done
}
