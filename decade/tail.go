// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"slices"
	"sort"
)

// tail is a sorted table of all sums of the last dials of a search; of equal sums the one
// with the highest dials comes first. It answers at once what they make of a remainder: a search in
// n sums costs log n looks instead of the n leaves below the dial. A search that has become long
// makes one for itself.
type tail struct {
	from int         // dials of the search from here on; their number where no dial fits
	sums []wideMatch // distance is the sum itself; positions are 0 for the dials before
}

// largestTail bounds a table; four dials of 0 to 10 make 14 641 sums, of 40 bytes each.
const largestTail = 1 << 15

// useTable makes the table where the search has become long.
func (d *descent) useTable() *tail {
	if d.table == nil {
		d.table = d.ladder.tail()
	}
	return d.table
}

// tail makes the table, dial by dial from the last one: the sums of one dial more are the old ones
// with each of its values, which multiplies their number by its positions.
func (l *ladder) tail() *tail {
	f := l.search
	t := &tail{from: f.n, sums: []wideMatch{{}}}
	// Only dials that choose for themselves: what a shared switch or a condition leaves depends
	// on the dials before.
	for k := f.n - 1; k >= 0 && f.sameSwitch[k] == 0 && l.excluded[k] == nil; k-- {
		if len(t.sums)*len(l.value[k]) > largestTail {
			break
		}
		next := make([]wideMatch, 0, len(t.sums)*len(l.value[k]))
		for p := len(l.value[k]) - 1; p >= 0; p-- { // highest dials first
			for _, x := range t.sums {
				next = append(next, wideMatch{x.distance.plus(l.value[k][p]),
					x.positions.with(f.dial[k], p)})
			}
		}
		t.from, t.sums = k, next
	}
	// Stable: equal sums keep the order of the dials.
	slices.SortStableFunc(t.sums,
		func(a, b wideMatch) int { return a.distance.compare(b.distance) })
	return t
}

// find offers the sums nearest to a remainder, outward, as long as they are of interest. Among
// sums that are equally near, below and above the target, the order of the dials decides. It
// returns whether any of them counted.
func (t *tail) find(d *descent, remainder wide) (counted bool) {
	s := t.sums
	right := sort.Search(len(s), func(i int) bool { return !s[i].distance.less(remainder) })
	if d.limit == wideOf(1) { // only those that fit, in their order
		for ; right < len(s) && s[right].distance == remainder && !d.stop; right++ {
			counted = t.offer(d, remainder, s[right]) || counted
		}
		return counted
	}
	for _, x := range t.near(d, remainder, right) {
		if d.stop {
			break
		}
		// The limit may have fallen since the sum was taken.
		if remainder.minus(x.distance).abs().less(d.limit) {
			counted = t.offer(d, remainder, x) || counted
		}
	}
	return counted
}

// near lists the sums of interest about a remainder, the highest dials first; right is the first
// sum not below it.
func (t *tail) near(d *descent, remainder wide, right int) []wideMatch {
	s := t.sums
	var near []wideMatch
	for left := right - 1; left >= 0; left-- {
		if d.side == above || !remainder.minus(s[left].distance).less(d.limit) {
			break
		}
		near = append(near, s[left])
		// One answer is wanted: the nearest sum below, with all that are equal to it, is enough.
		if d.once && left > 0 && s[left-1].distance != s[left].distance {
			break
		}
	}
	for i := right; i < len(s); i++ {
		// A sum that fits is on either side.
		if d.side == below && s[i].distance != remainder ||
			!s[i].distance.minus(remainder).less(d.limit) {
			break
		}
		near = append(near, s[i])
		if d.once {
			break
		}
	}
	slices.SortFunc(near,
		func(a, b wideMatch) int { return d.ladder.search.compare(a.positions, b.positions) })
	return near
}

// offer hands over a setting of the table together with the dials before it.
func (t *tail) offer(d *descent, remainder wide, x wideMatch) bool {
	if d.countWork(); d.stop {
		return false
	}
	return d.offer(wideMatch{remainder.minus(x.distance).abs(), d.dialled.and(x.positions)})
}
