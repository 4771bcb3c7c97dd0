// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"cmp"
	"slices"
	"sort"
)

// pairs are sorted tables of all sums of the last groups of a finder, in two halves: for a
// sum of the upper half the best partners in the lower half are found at once (meeting in
// the middle, E. Horowitz and S. Sahni, J. ACM 21, 1974).
type pairs struct {
	first, middle int // groups [first, middle) are the upper half, the rest the lower
	upper, lower  sums
	start         []int32 // by bucket, where the lower half begins
	shift         uint    // of a value above the lowest to its bucket
}

// sums is a table of sums, ascending, with the choices that make them.
type sums struct {
	totals []int64
	codes  []uint32 // number of the choice, the last group counting fastest
}

// largestHalf bounds a table; four dials of 0 to 10 make 14 641 sums.
const largestHalf = 1 << 15

func newPairs(f *finder) pairs {
	var p pairs
	p.middle = f.tail(len(f.groups))
	p.first = f.tail(p.middle)
	p.upper, p.lower = f.sums(p.first, p.middle), f.sums(p.middle, len(f.groups))
	low, high := p.lower.totals[0], p.lower.totals[len(p.lower.totals)-1]
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

// tail returns the first of the groups before end whose combinations fit a table.
func (f *finder) tail(end int) int {
	n := 1
	for end > 0 && n*len(f.groups[end-1].values) <= largestHalf {
		end--
		n *= len(f.groups[end].values)
	}
	return end
}

func (f *finder) sums(from, to int) sums {
	type entry struct {
		total int64
		code  uint32
	}
	entries := []entry{{}}
	for _, g := range f.groups[from:to] {
		next := make([]entry, 0, len(entries)*len(g.values))
		for _, e := range entries {
			for i, v := range g.values {
				next = append(next, entry{e.total + v, e.code*uint32(len(g.values)) + uint32(i)})
			}
		}
		entries = next
	}
	slices.SortStableFunc(entries, func(a, b entry) int { return cmp.Compare(a.total, b.total) })
	s := sums{make([]int64, len(entries)), make([]uint32, len(entries))}
	for i, e := range entries {
		s.totals[i], s.codes[i] = e.total, e.code
	}
	return s
}

// chosen sets the dials of a sum of the groups [from, to).
func (f *finder) chosen(p positions, code uint32, from, to int) positions {
	for k := to - 1; k >= from; k-- {
		n := uint32(len(f.groups[k].choices))
		p = p.with(f.groups[k].choices[code%n])
		code /= n
	}
	return p
}

// find offers the pairs nearest to the target; before has the dials of the groups before. Sums of the upper half are tried outward from the one that wants the middle of
// the lower half. It returns false where the work exceeds its bound.
func (p *pairs) find(target int64, before positions, q *keeper, most int) bool {
	u := p.upper.totals
	low, high := p.lower.totals[0], p.lower.totals[len(p.lower.totals)-1]
	right := sort.Search(len(u), func(i int) bool { return 2*(target-u[i]) <= low+high })
	for left := right - 1; left >= 0 || right < len(u); {
		i := right
		if right == len(u) || left >= 0 && 2*(target-u[left])-(low+high) < (low+high)-2*(target-u[right]) {
			i = left
		}
		rest := target - u[i]
		if max(low-rest, rest-high) > q.worst {
			return true
		}
		p.partners(rest, i, before, q)
		if q.work++; q.work > most {
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

// partners offers the sums of the lower half nearest to x with one of the upper half.
func (p *pairs) partners(x int64, upper int, before positions, q *keeper) {
	l := p.lower.totals
	i := p.at(x)
	for j := i; j < len(l) && l[j]-x <= q.worst; j++ {
		p.offer(l[j]-x, upper, j, before, q)
	}
	for j := i - 1; j >= 0 && x-l[j] <= q.worst; j-- {
		p.offer(x-l[j], upper, j, before, q)
	}
}

// at returns the first sum of the lower half that is not below x.
func (p *pairs) at(x int64) int {
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

func (p *pairs) offer(distance int64, upper, lower int, before positions, q *keeper) {
	f := q.finder
	before = f.chosen(before, p.upper.codes[upper], p.first, p.middle)
	before = f.chosen(before, p.lower.codes[lower], p.middle, len(f.groups))
	q.offer(distance, before)
}
