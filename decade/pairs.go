// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import "sort"

// pairs are sorted tables of all sums of the last groups of a finder, in two halves: for a
// sum of the upper half the best partners in the lower half are found at once (meeting in
// the middle, E. Horowitz and S. Sahni, J. ACM 21, 1974).
//
// With n sums in each half it costs n looks at most instead of n² sums, and fewer where the target
// is found early: sums of the upper half are tried from the middle outward, until what they leave
// lies beyond the lower half by more than what has been found. Groups before first are tried one
// after the other by the finder. A pairs is not changed once it is made.
type pairs struct {
	first, middle int     // groups [first, middle) are the upper half, the rest the lower
	upper, lower  sums    // ascending, in the integers of the finder
	start         []int32 // by bucket: the first sum of the lower half in it, or behind it
	shift         uint    // of a value above the lowest to its bucket
}

// largestHalf bounds a table; four dials of 0 to 10 make 14 641 sums.
const largestHalf = 1 << 15

// newPairs makes the tables: the last groups that fit are the lower half, those before the
// upper. Two tables of largestHalf sums take 1.5 MB.
func newPairs(f *finder) pairs {
	var p pairs
	p.middle = f.tail(len(f.groups))
	p.first = f.tail(p.middle)
	p.upper, p.lower = f.sums(p.first, p.middle), f.sums(p.middle, len(f.groups))
	low, high := p.lower.lowest(), p.lower.highest()
	// One to two buckets a sum, so that a lookup is one read and a step or two.
	// A shift finds the bucket: sums of equal steps are spread evenly enough.
	for (high-low)>>p.shift > 2*int64(len(p.lower.totals)) {
		p.shift++
	}
	p.start = make([]int32, (high-low)>>p.shift+2)
	i := 0
	for b := range p.start {
		for i < len(p.lower.totals) && (p.lower.totals[i]-low)>>p.shift < int64(b) {
			i++
		}
		p.start[b] = int32(i)
	}
	return p
}

// tail returns the first of the groups before end whose combinations fit a table, end itself where
// the last of them does not fit.
func (f *finder) tail(end int) int {
	n := 1
	for end > 0 && n*len(f.groups[end-1].totals) <= largestHalf {
		end--
		n *= len(f.groups[end].totals)
	}
	return end
}

// sums makes the sorted table of all sums of the groups from and before to.
func (f *finder) sums(from, to int) sums {
	list := []combination{{}}
	for _, g := range f.groups[from:to] {
		next := make([]combination, 0, len(list)*len(g.totals))
		for _, x := range list {
			for i, v := range g.totals {
				next = append(next, combination{x.total + v, x.positions.and(g.positions[i])})
			}
		}
		list = next
	}
	return newSums(list)
}

// find offers the pairs nearest to the target; before has the dials of the groups before.
// Sums of the upper half are tried outward from the one that wants the middle of the lower
// half. It returns false where the work exceeds its bound, most.
func (p *pairs) find(target int64, before positions, q *candidates, most int) bool {
	u := p.upper.totals
	low, high := p.lower.lowest(), p.lower.highest()
	// Twice the distance from the middle, so that the middle of two integers is one. Upper sums
	// ascend, what they leave descends: left of right it lies above the middle.
	right := sort.Search(len(u), func(i int) bool { return 2*(target-u[i]) <= low+high })
	for left := right - 1; left >= 0 || right < len(u); {
		i := right
		if right == len(u) || left >= 0 &&
			2*(target-u[left])-(low+high) < (low+high)-2*(target-u[right]) {
			i = left
		}
		rest := target - u[i]
		// Upper sums farther out leave even more than the lower half can make up for.
		if max(low-rest, rest-high) > q.worst {
			return true
		}
		q.near(rest, &p.lower, p.firstNotBelow(rest), before.and(p.upper.positions[i]))
		if q.countWork(most) {
			return false
		}
		if i == left {
			left--
		} else {
			right++
		}
	}
	return true
}

// firstNotBelow returns the first sum of the lower half that is not below x; their number where
// all are. The bucket of x tells where to begin.
func (p *pairs) firstNotBelow(x int64) int {
	l := p.lower.totals
	switch {
	case x <= l[0]:
		return 0
	case x > l[len(l)-1]:
		return len(l)
	}
	i := int(p.start[(x-l[0])>>p.shift])
	for l[i] < x {
		i++
	}
	return i
}
