// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package determination

import "math/bits"

// Rank is computed exactly, in the integers modulo a prime: the coefficients of the
// readings are 0 and 1, and a rank is lost only where a determinant is a multiple of
// the prime, which none is that is formed from a few hundred such rows unless by an
// accident of one in 10^18.

// prime is 2^61 − 1.
const prime = 1<<61 - 1

func mulMod(a, b uint64) uint64 {
	hi, lo := bits.Mul64(a, b)
	// a·b = hi·2^64 + lo, and 2^61 is 1 modulo the prime.
	return reduce(lo&prime + (lo>>61 | hi<<3))
}

func reduce(a uint64) uint64 {
	if a >= prime {
		a -= prime
	}
	return a
}

// inverse is a^(p−2), the inverse of a ≠ 0.
func inverse(a uint64) uint64 {
	out := uint64(1)
	for e := uint64(prime - 2); e > 0; e >>= 1 {
		if e&1 == 1 {
			out = mulMod(out, a)
		}
		a = mulMod(a, a)
	}
	return out
}

// A Space is the space spanned by rows of coefficients, in reduced echelon form: each
// row has a 1 at its pivot, where all other rows have 0.
type Space struct {
	n    int
	rows map[int]spaceRow // by pivot
}

// spaceRow is a row from its pivot to its last coefficient that is not 0.
type spaceRow struct {
	pivot int
	c     []uint64
}

func (r spaceRow) at(j int) uint64 {
	if j < r.pivot || j >= r.pivot+len(r.c) {
		return 0
	}
	return r.c[j-r.pivot]
}

// NewSpace is the space of no rows, for n unknowns.
func NewSpace(n int) *Space { return &Space{n: n, rows: make(map[int]spaceRow)} }

// Add extends the space by a row with ones at the given places; false where it is in
// the space already.
func (s *Space) Add(ones []int) bool {
	row := make([]uint64, s.n)
	for _, j := range ones {
		row[j] = 1
	}
	for j := range row {
		if r, ok := s.rows[j]; ok && row[j] != 0 {
			subtract(row[j:], row[j], r.c)
		}
	}
	pivot, last := -1, -1
	for j, v := range row {
		if v != 0 {
			if pivot < 0 {
				pivot = j
			}
			last = j
		}
	}
	if pivot < 0 {
		return false
	}
	added := spaceRow{pivot, row[pivot : last+1]}
	scale := inverse(row[pivot])
	for i, v := range added.c {
		added.c[i] = mulMod(v, scale)
	}
	s.clear(added)
	s.rows[pivot] = added
	return true
}

// clear takes the pivot of a new row out of the rows before it.
func (s *Space) clear(added spaceRow) {
	for p, r := range s.rows {
		f := r.at(added.pivot)
		if f == 0 {
			continue
		}
		if need := added.pivot + len(added.c) - r.pivot; need > len(r.c) {
			r.c = append(r.c, make([]uint64, need-len(r.c))...)
		}
		subtract(r.c[added.pivot-r.pivot:], f, added.c)
		for r.c[len(r.c)-1] == 0 {
			r.c = r.c[:len(r.c)-1]
		}
		s.rows[p] = r
	}
}

// subtract takes f·c from the beginning of row.
func subtract(row []uint64, f uint64, c []uint64) {
	for i, v := range c {
		row[i] = reduce(row[i] + prime - mulMod(f, v))
	}
}

// determines reports whether the unknown j follows from the rows: then the row with this
// pivot has nothing else in it.
func (s *Space) determines(j int) bool {
	r, ok := s.rows[j]
	return ok && len(r.c) == 1
}

// Rank is the number of rows that are independent.
func (s *Space) Rank() int { return len(s.rows) }

// Undetermined lists the unknowns that do not follow from the rows.
func (s *Space) Undetermined() []int {
	var out []int
	for j := range s.n {
		if !s.determines(j) {
			out = append(out, j)
		}
	}
	return out
}

// Groups splits the undetermined unknowns into those that rows link with each other and
// those that are in no row.
func (s *Space) Groups(open []int) (linked [][]int, missing []int) {
	group := make(map[int]int, len(open)) // smallest member found so far
	for _, j := range open {
		group[j] = j
	}
	find := func(j int) int {
		for group[j] != j {
			j = group[j]
		}
		return j
	}
	used := make(map[int]bool)
	for pivot, r := range s.rows {
		for i, v := range r.c {
			if j := pivot + i; v != 0 && len(r.c) > 1 {
				used[j] = true
				a, b := find(pivot), find(j)
				group[max(a, b)] = min(a, b)
			}
		}
	}
	members := make(map[int][]int)
	for _, j := range open {
		if !used[j] {
			missing = append(missing, j)
			continue
		}
		members[find(j)] = append(members[find(j)], j)
	}
	for _, j := range open {
		if m := members[j]; m != nil {
			linked = append(linked, m)
		}
	}
	return linked, missing
}
