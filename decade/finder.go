// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"cmp"
	"math"
	"slices"
	"sync"
)

// The search for the settings nearest to a resistance among all, nominal or measured.
//
// Values are integers: of a nominal box quarters of its decimal unit (see search.go), of a
// measured one multiples of a power of two, about 4e-18 of the largest resistance. So sums
// are exact and do not depend on the order of adding. Where int64 does not hold the values,
// the search of descent.go takes its place. The dials of one switch form a group
// that chooses one of its values; groups are independent of each other, and the question
// is which choice of one value from each comes nearest to the target.
//
// First comes branch and bound, groups with the largest span first, values outward from
// the one that leaves the others in the middle of what they reach. It visits a handful of
// nodes for decades, and very many for dials of like steps; after a budget of nodes the
// tables of pairs.go take over. Both are exact: what they leave out is proved to be
// farther away than what is kept.
//
// The proof is one inequality. With T still to be made by the groups from k on, whose sums lie
// between L and H, no choice of theirs comes nearer than max(L − T, T − H). Where that exceeds
// the distance of the worst that is kept, the branch is left; and since values are tried outward
// from the middle (L + H)/2, all that would follow are left with it. On four decades that are
// measured to 0.1 % the nearest setting takes three steps, of nodes and settings looked at, and
// the ten nearest take thirteen. Most of the ten come from one stretch of the last table, in their
// order (take), so that they cost half as much again as the nearest alone.

// finder is a prepared search. It is not changed, but for tables made when first needed.
//
// Low[k] and high[k] bound what the groups from k on add up to; behind the last group they are 0.
type finder struct {
	groups    []group // largest span first
	low, high [maxDials + 1]int64
	search    *search // for the order of settings equally near
	scale     scale

	// Tables of a megabyte, which boxes of decades never need.
	once  sync.Once
	pairs pairs
}

// group is a switch and the values that it can take, ascending, or two switches and the sums of
// their values. Usually a switch has one dial; with two ranges it has the values of both.
type group struct {
	sums
	density float64 // values in a unit, on average: for a first guess, see first
}

// scale turns ohms into the integers of a search.
type scale struct {
	decimal *search // of a nominal box
	power   int     // of two, else
	factor  float64 // 2 to this power
}

// measuredBits bounds sums and their doubled differences within int64: targets are held at 2⁶¹,
// and 2·(2⁶¹ + 2⁵⁸) is below 2⁶³.
const measuredBits = 58

// newScale chooses the grid for a table of values.
func newScale(b *Box) scale {
	if b.measured == nil && b.search.small {
		return scale{decimal: b.search}
	}
	// The residual counts, too: it is taken off the target on the same grid, and that of a box of
	// milliohms may be many times what the dials reach.
	total := max(math.Abs(b.values.off), math.Abs(b.values.zero))
	for _, dial := range b.values.dials {
		most := 0.0
		for _, v := range dial {
			most = max(most, math.Abs(v))
		}
		total += most
	}
	// The largest sum gets measuredBits bits, whatever the size of the box: one grid for
	// milliohms and one for gigohms.
	_, exponent := math.Frexp(max(total, math.SmallestNonzeroFloat64))
	power := measuredBits - exponent
	return scale{power: power, factor: math.Ldexp(1, power)}
}

// of returns a measured resistance as an integer. Each value is rounded once, by half a unit at
// most, so that a sum of n dials is off by n/2 units: of 2⁵⁸, 1.7e-18·n of the largest resistance.
func (s scale) of(ohms float64) int64 {
	// A power of two: scaling by it rounds nothing.
	v := math.RoundToEven(ohms * s.factor)
	// A target may lie far beyond the values; held at 2⁶¹ its distances still fit an int64.
	return int64(max(-0x1p61, min(0x1p61, v)))
}

// ohms is the inverse.
func (s scale) ohms(v int64) float64 { return math.Ldexp(float64(v), -s.power) }

// newFinder prepares the search among the settings that allowed admits; nil admits all.
func newFinder(b *Box, allowed func(dial, position int) bool) *finder {
	f := &finder{search: b.search, scale: newScale(b)}
	for i := range b.spec.Decades {
		if b.earlier[i] == 0 {
			f.addGroup(b, i, allowed)
		}
	}
	// Large spans first: they narrow what the smaller ones have to reach.
	slices.SortStableFunc(f.groups, func(a, b group) int { return cmp.Compare(b.span(), a.span()) })
	if allowed == nil {
		f.mergeLast()
	}
	for k := len(f.groups) - 1; k >= 0; k-- {
		f.low[k], f.high[k] = f.low[k+1], f.high[k+1]
		if g := &f.groups[k]; len(g.totals) > 0 {
			g.density = float64(len(g.totals)-1) / max(1, float64(g.span()))
			f.low[k], f.high[k] = f.low[k+1]+g.lowest(), f.high[k+1]+g.highest()
		}
	}
	return f
}

// mergeLast makes one group of the last two: a table of 121 sums, in which the last step of a
// search has all that is near side by side. It is for the search that a box keeps; one with
// conditions would make it for a single question. Where the last group reaches less than half
// way from one value of the other to the next, sums lie in clumps, and first would guess wrong.
func (f *finder) mergeLast() {
	n := len(f.groups) - 2
	if n < 0 {
		return
	}
	upper, lower := &f.groups[n], &f.groups[n+1]
	if len(upper.totals)*len(lower.totals) <= largestMerged &&
		lower.span() > upper.span()/int64(2*len(upper.totals)) {
		f.groups = append(f.groups[:n], group{sums: f.sums(n, n+2)})
	}
}

// largestMerged bounds the table of the last two groups: it is made with every box.
const largestMerged = 256

// span is the distance between the lowest and the highest value of a group.
func (g group) span() int64 {
	if len(g.totals) == 0 {
		return 0
	}
	return g.highest() - g.lowest()
}

// addGroup collects the choices of the switch of a dial and of those after it on the same.
func (f *finder) addGroup(b *Box, first int, allowed func(dial, position int) bool) {
	same := []int{first}
	for i := first + 1; i < b.NumDecades(); i++ {
		if b.earlier[i]&(1<<first) != 0 {
			same = append(same, i)
		}
	}
	admits := func(dial, position int) bool {
		// A dial off zero needs the others of its switch at zero, which one that is held
		// elsewhere does not allow.
		return allowed == nil || !slices.ContainsFunc(same, func(i int) bool {
			return i == dial && !allowed(i, position) || i != dial && !allowed(i, 0)
		})
	}
	var list []combination
	for _, i := range same {
		for p := range b.spec.Decades[i].Positions + 1 {
			if p == 0 && i != first || !b.spec.Decades[i].HasPosition(p) {
				continue // the common zero, and what the switch does not have
			}
			if admits(i, p) {
				list = append(list, combination{f.value(b, i, p), positions{}.with(i, p)})
			}
		}
	}
	f.groups = append(f.groups, group{sums: newSums(list)})
}

// value is what a position adds, as an integer of the search: on a nominal box in quarter units,
// for dials in the order of the box.
func (f *finder) value(b *Box, dial, position int) int64 {
	if f.scale.decimal == nil {
		return f.scale.of(b.values.dials[dial][position])
	}
	for k := range b.search.n {
		if b.search.dial[k] == dial {
			return b.search.ladder.value[k][position].narrow()
		}
	}
	return 0
}

// end returns the positions with the smallest (0) or the largest (1) sum: each group at its own
// end, since groups do not depend on each other.
func (f *finder) end(which int) positions {
	var p positions
	for _, g := range f.groups {
		p = p.and(g.positions[which*(len(g.positions)-1)])
	}
	return p
}

// secondLowest returns the positions with the smallest sum but that of end(0): one group is at its
// next value. It is false where no group has another.
func (f *finder) secondLowest() (p positions, ok bool) {
	least, at := int64(math.MaxInt64), -1
	for k, g := range f.groups {
		if len(g.totals) > 1 && g.totals[1]-g.totals[0] < least {
			least, at = g.totals[1]-g.totals[0], k
		}
	}
	for k, g := range f.groups {
		i := 0
		if k == at {
			i = 1
		}
		p = p.and(g.positions[i])
	}
	return p, at >= 0
}

// match is a setting with its distance from the target.
type match struct {
	distance  int64
	positions positions
}

// candidates holds the best that have been seen, nearest first; of equally near ones those
// with the highest dials, dial by dial from the highest step.
type candidates struct {
	finder *finder
	list   []match // capacity: how many are wanted
	worst  int64   // distance up to which one is still of interest
	work   int
	done   <-chan struct{} // of a context; nil: none
	full   bool            // in all: more than the capacity lie within worst
	all    bool            // keep everything within worst, in any order
}

// near offers the values nearest to x with the positions of other groups, nearest first, as
// long as they are of interest; right is the first of them not below x.
func (q *candidates) near(x int64, s *sums, right int, others positions) {
	v, left := s.totals, right-1
	if cap(q.list) > 1 && len(q.list) == 0 && !q.all {
		left, right = q.take(x, s, left, right, others)
	}
	for left >= 0 || right < len(v) {
		i := right
		// On a tie the upper one goes first; offer puts equal distances in the order of the
		// dials.
		if right == len(v) || left >= 0 && x-v[left] < v[right]-x {
			i = left
			left--
		} else {
			right++
		}
		distance := max(x-v[i], v[i]-x)
		if distance > q.worst {
			return
		}
		q.offer(distance, others.and(s.positions[i]))
	}
}

// take fills an empty list with the values about x, as near does, as long as it can do without
// comparing them with what is kept: up to the first two that are equally near, to the end of the
// values on either side, or until the list is full. It returns where near goes on.
func (q *candidates) take(x int64, s *sums, left, right int, others positions) (int, int) {
	v := s.totals
	p, list := s.positions[:len(v)], q.list[:cap(q.list)]
	n, last := 0, int64(-1)
	for n < len(list) && uint(left) < uint(len(v)) && uint(right) < uint(len(v)) {
		lower, upper := x-v[left], v[right]-x
		// −1 where the lower one is nearer, else 0. Which it is changes at random, and a jump that
		// the processor guesses wrong half of the time costs more than all the rest.
		below := (lower - upper) >> 63
		distance := upper + (lower-upper)&below
		if distance == last {
			break
		}
		i := right + (left-right)&int(below)
		list[n] = match{distance, others.and(p[i])}
		n, last = n+1, distance
		left, right = left+int(below), right+1+int(below)
	}
	q.list = q.list[:n]
	q.work += n
	if n == len(list) {
		q.worst = last
	}
	return left, right
}

func (q *candidates) offer(distance int64, p positions) {
	q.work++
	n := len(q.list)
	// Unsorted: there may be thousands, and preferences will put them in order.
	if q.all {
		if n == cap(q.list) {
			q.full, q.worst = true, -1 // nothing is of interest any more
			return
		}
		q.list = q.list[:n+1]
		q.list[n] = match{distance, p}
		return
	}
	if n == cap(q.list) {
		if !q.before(distance, p, &q.list[n-1]) {
			return
		}
		n--
	} else {
		q.list = q.list[:n+1]
	}
	list := q.list
	// Insertion from the end: most settings that are offered belong there, or nowhere.
	for ; n > 0 && q.before(distance, p, &list[n-1]); n-- {
		list[n] = list[n-1]
	}
	list[n] = match{distance, p}
	if len(list) == cap(list) {
		q.worst = list[len(list)-1].distance
	}
}

// before reports whether a setting goes before one that is kept.
func (q *candidates) before(distance int64, p positions, other *match) bool {
	return distance < other.distance || distance == other.distance &&
		q.finder.search.compare(p, other.positions) < 0
}

// countWork counts the work; it reports whether the search ends, by its bound or its context.
func (q *candidates) countWork(most int) bool {
	q.work++
	return q.work > most || q.work%perLook == 0 && q.ended()
}

// ended reports whether the context is done. A channel alone is kept of it, since calling
// its methods would move the list of the candidates to the heap.
func (q *candidates) ended() bool {
	select {
	case <-q.done:
		return true
	default:
		return false
	}
}

// reset empties the list for another search; worst is what is of interest at its start.
func (q *candidates) reset(worst int64) {
	q.list, q.worst, q.full = q.list[:0], worst, false
}

// Work is counted in nodes visited and settings looked at.
const (
	// For branch and bound before the tables, and as much more for each setting that is wanted:
	// some ten times what eight decades take, a hundredth of what the tables take to make.
	fewNodes, nodesEach = 500, 100

	mostWork = 1 << 24 // after which a search is given up, about a second

	noLeaf = maxDials + 1
)

// find fills the candidates with the settings nearest to the target; false where the work is
// beyond all bounds.
func (f *finder) find(target int64, q *candidates) bool {
	worst := q.worst
	budget := fewNodes + nodesEach*min(cap(q.list), 1000)
	w := walk{finder: f, candidates: q, budget: budget, leaf: noLeaf}
	w.from(0, target, positions{})
	// Branch and bound came to its end: its answer is proved.
	if !w.exhausted {
		return true
	}
	if q.ended() {
		return false
	}
	f.once.Do(func() { f.pairs = newPairs(f) })
	// The tables start afresh: what was found may not be offered a second time.
	q.reset(worst)
	w = walk{finder: f, candidates: q, budget: mostWork, leaf: f.pairs.first}
	w.from(0, target, positions{})
	return !w.exhausted
}

// walk is a branch-and-bound search.
type walk struct {
	finder     *finder
	candidates *candidates
	leaf       int // group from where on tables do it; beyond the last: none
	budget     int
	exhausted  bool
}

// from goes on with the groups from k; p has the dials of those before.
func (w *walk) from(k int, remainder int64, p positions) {
	switch {
	// The tables answer for all groups from here on.
	case k == w.leaf:
		w.exhausted = !w.finder.pairs.find(remainder, p, w.candidates, w.budget)
	// The last group: its values near the remainder, side by side.
	case k == len(w.finder.groups)-1:
		g := &w.finder.groups[k]
		w.candidates.near(remainder, &g.sums, g.first(2*remainder), p)
	default:
		w.group(k, remainder, p)
	}
}

// group tries the values of a group, nearest to the middle first: to the one that would
// leave the others the middle of what they reach.
func (w *walk) group(k int, remainder int64, p positions) {
	f, q := w.finder, w.candidates
	if q.countWork(w.budget) {
		w.exhausted = true
		return
	}
	g := &f.groups[k]
	v, low, high := g.totals, f.low[k+1], f.high[k+1]
	// Doubled, since the middle of two integers may be half of one.
	middle := 2*remainder - low - high // twice the value
	right := g.first(middle)
	for left := right - 1; (left >= 0 || right < len(v)) && !w.exhausted; {
		i := right
		if right == len(v) || left >= 0 && middle-2*v[left] < 2*v[right]-middle {
			i = left
			left--
		} else {
			right++
		}
		rest := remainder - v[i]
		if max(low-rest, rest-high) > q.worst {
			// Nothing farther from the middle comes nearer.
			return
		}
		w.from(k+1, rest, p.and(g.positions[i]))
	}
}

// first returns the index of the first value not below half of twice, starting where equal steps
// would have it; len(totals) where all values are below. Values of a dial are equal steps but for
// its errors, so that the guess beats a binary search; clumps cost a step for each value between.
func (g *group) first(twice int64) int {
	v := g.totals
	switch {
	case twice <= 2*g.lowest():
		return 0
	case twice > 2*g.highest():
		return len(v)
	}
	// A guess by the average spacing, then steps of one: for equal steps the guess is right at
	// once.
	i := min(len(v)-1, int(float64(twice/2-v[0])*g.density))
	for i > 0 && 2*v[i-1] >= twice {
		i--
	}
	for 2*v[i] < twice {
		i++
	}
	return i
}
