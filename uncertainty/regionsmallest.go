// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"slices"

	"example.com/ohmwright/uncertainty/elementary"
)

// A Region is an approximation to the smallest coverage region of two outputs, made
// of small rectangles: those with the most trials, taken until they hold the wanted share of all
// (JCGM 102 7.7.4). It need not be connected.
type Region struct {
	P     float64  // coverage probability
	X, Y  Interval // range of the trials, cut into Cells × Cells rectangles
	Cells int      // in each direction
	Used  int      // rectangles that belong to the region

	inside []bool // by row of Y
}

// Area returns the content of the region in the product of the units of both outputs:
// that of Used rectangles. It depends on the seed to a few per cent.
func (r *Region) Area() float64 {
	r = cmp.Or(r, &Region{})
	if r.Cells <= 0 {
		return 0
	}
	return float64(r.Used) * r.X.Width() / float64(r.Cells) * r.Y.Width() / float64(r.Cells)
}

// Contains reports whether a point lies in the region: in one of its rectangles.
func (r *Region) Contains(x, y float64) bool {
	r = cmp.Or(r, &Region{})
	if !r.X.Contains(x) || !r.Y.Contains(y) || len(r.inside) == 0 {
		return false
	}
	return r.inside[r.cell(x, y)]
}

// cell is the place of a point in the list of rectangles, row by row.
func (r *Region) cell(x, y float64) int {
	place := func(v float64, i Interval) int {
		w := i.Width()
		if w == 0 {
			return 0
		}
		// The upper end belongs to the last rectangle.
		return min(r.Cells-1, int((v-i.Lower)/w*float64(r.Cells)))
	}
	return place(y, r.Y)*r.Cells + place(x, r.X)
}

// smallest makes the region that holds q of the trials. With a number of rectangles
// of the order of √M the noise of their counts stays small. For a million trials that is 63 × 63,
// with 250 trials in each on average; the limits, 5 and 200, are those of a region that still has a
// shape, and of one that takes 40 000 counts. The cost is one look at each trial and a sort of the
// counts.
func smallest(x, y []float64, q int, p float64) *Region {
	// 2·M^(1/4) in each direction are 4·√M rectangles.
	cells := max(5, min(200, int(2*elementary.Pow(float64(len(x)), 0.25))))
	r := &Region{P: p, X: Interval{Lower: slices.Min(x), Upper: slices.Max(x)},
		Y: Interval{Lower: slices.Min(y), Upper: slices.Max(y)}, Cells: cells}
	count := make([]int, cells*cells)
	for t := range x {
		count[r.cell(x[t], y[t])]++
	}
	order := make([]int, len(count))
	for i := range order {
		order[i] = i
	}
	// Stable, so that equal counts keep their order and the region its bits.
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(count[b], count[a]) })
	r.inside = make([]bool, len(count))
	// It takes rectangles until q trials are inside: at least the probability p.
	for held, i := 0, 0; held < q; i++ {
		r.inside[order[i]] = true
		held += count[order[i]]
		r.Used++
	}
	return r
}
