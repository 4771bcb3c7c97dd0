// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package orderstat

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// Sort sorts finite numbers in place, using room of the same length. The order
// of +0 and −0 is that of their signs, so that the result does not depend on the order
// before. It gives up halfway, with x in any state, when stop tells it to; a nil stop
// never does.
//
// It is a radix sort, least significant digits first, of the leading bits by which the
// numbers differ: two digits tell apart nearly all numbers of one sign, three those of
// both signs. The few that share these bits are neighbours then, and compared.
func Sort(x, room []float64, stop func() bool) {
	// Short lists are sorted faster by comparison.
	if len(x) < 256 {
		slices.SortFunc(x, byKey)
		return
	}
	low, high := keyRange(x)
	passes := 2
	// Both signs: the leading bit alone costs a pass.
	if low>>63 != high>>63 {
		passes = 3
	}
	// Bits below the digits are left to sortRuns.
	d := digits{low: low, drop: max(0, bits.Len64(high-low)-passes*digitBits)}
	from, to := x, room[:len(x)]
	for pass := range passes {
		if !d.distribute(from, to, pass, stop) {
			return
		}
		from, to = to, from
	}
	// After an odd number of passes the numbers are in the other slice.
	if &from[0] != &x[0] {
		copy(x, from)
	}
	d.sortRuns(x)
}

// digits cuts the distance of a key from the lowest, without its last bits.
type digits struct {
	low  uint64
	drop int
}

const (
	digitBits = 11
	digitMask = 1<<digitBits - 1
)

// of is the key above the lowest one, cut to the digits that are sorted by.
func (d digits) of(v float64) uint64 { return (sortKey(v) - d.low) >> uint(d.drop) }

// distribute moves the numbers to the places that a digit gives them, equal ones in
// their order. It is false when it was stopped.
func (d digits) distribute(from, to []float64, digit int, stop func() bool) bool {
	const stride = 1 << 18 // between looks at stop
	var place [1 << digitBits]int
	shift := uint(digit * digitBits)
	for _, v := range from {
		place[d.of(v)>>shift&digitMask]++
	}
	// From counts to the first place of each digit.
	next := 0
	for i, n := range place {
		place[i] = next
		next += n
	}
	for at := 0; at < len(from); at += stride {
		if stop != nil && stop() {
			return false
		}
		for _, v := range from[at:min(len(from), at+stride)] {
			p := &place[d.of(v)>>shift&digitMask]
			to[*p] = v
			*p++
		}
	}
	return true
}

// sortRuns sorts those that share all digits.
func (d digits) sortRuns(x []float64) {
	if d.drop == 0 {
		return
	}
	// Runs of equal digits stand side by side, and are short.
	first, digits := 0, d.of(x[0])
	for i, v := range x {
		k := d.of(v)
		if k == digits {
			continue
		}
		if i-first > 1 {
			slices.SortFunc(x[first:i], byKey)
		}
		first, digits = i, k
	}
	slices.SortFunc(x[first:], byKey)
}

// keyRange is the range of the keys.
func keyRange(x []float64) (low, high uint64) {
	low, high = ^uint64(0), 0
	for _, v := range x {
		k := sortKey(v)
		low, high = min(low, k), max(high, k)
	}
	return low, high
}

// byKey orders by the same key as the digits, so that both ways of sorting agree.
func byKey(a, b float64) int { return cmp.Compare(sortKey(a), sortKey(b)) }

// sortKey maps numbers to words of the same order: negative ones have all bits turned
// round, others the sign.
func sortKey(v float64) uint64 {
	// The sign bit, spread over all bits: negative numbers fall as their bits rise.
	b := math.Float64bits(v)
	return b ^ (uint64(int64(b)>>63) | 1<<63)
}
