// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"cmp"
	"slices"
)

// sums are values that some groups can have together, ascending, and the positions that
// make them.
type sums struct {
	totals    []int64
	positions []positions
}

// combination is one of them.
type combination struct {
	total     int64
	positions positions
}

// newSums sorts combinations by their sum; equal sums keep the order in which they were made.
func newSums(list []combination) sums {
	slices.SortStableFunc(list, func(a, b combination) int { return cmp.Compare(a.total, b.total) })
	s := sums{make([]int64, len(list)), make([]positions, len(list))}
	for i, x := range list {
		s.totals[i], s.positions[i] = x.total, x.positions
	}
	return s
}

func (s *sums) lowest() int64  { return s.totals[0] }
func (s *sums) highest() int64 { return s.totals[len(s.totals)-1] }
