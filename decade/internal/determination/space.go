// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package determination

import "math/bits"

// Rank is computed exactly, in the integers modulo a prime: the coefficients of the
// readings are 0 and 1, and a rank is lost only where a determinant is a multiple of
// the prime, which none is that is formed from a few hundred such rows unless by an
// accident of one in 10^18. In float64 the rank of some hundred such rows would hang on a
// threshold, and in fractions the terms would grow with every row.
//
// A row of n coefficients costs n·r products for a space of r rows at most, and less for the rows
// of a box, which end soon after they begin. Rank and which unknowns are determined do not depend
// on the order of the rows.

// prime is 2^61 − 1, the largest Mersenne prime in a word: 2^61 ≡ 1, so that a remainder needs no
// division.
const prime = 1<<61 - 1

// mulMod is a·b modulo the prime, of factors below it.
func mulMod(a, b uint64) uint64 {
	hi, lo := bits.Mul64(a, b)
	// a·b = hi·2^64 + lo = (8·hi + ⌊lo/2^61⌋)·2^61 + lo mod 2^61, and 2^61 is 1 modulo the prime.
	// Either part is below 2^61, their sum below twice the prime.
	return reduce(lo&prime + (lo>>61 | hi<<3))
}

// reduce takes the prime off a number below twice the prime, once at most.
func reduce(a uint64) uint64 {
	if a >= prime {
		a -= prime
	}
	return a
}

// inverse is a^(p−2), the inverse of a ≠ 0 (Fermat's little theorem: a^(p−1) = 1).
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
// row has a 1 at its pivot, its first coefficient that is not 0, where all other rows have 0. So
// one look at its row says whether an unknown follows: the columns are the unknowns, numbered as
// in [Unknowns].
type Space struct {
	n    int              // unknowns
	rows map[int]spaceRow // by pivot, as many as the rank
}

// spaceRow is a row from its pivot to its last coefficient that is not 0.
type spaceRow struct {
	pivot int
	c     []uint64 // below the prime; the first is 1, the last is not 0
}

// at is the coefficient of an unknown, wherever it lies.
func (r spaceRow) at(j int) uint64 {
	if j < r.pivot || j >= r.pivot+len(r.c) {
		return 0
	}
	return r.c[j-r.pivot]
}

// NewSpace is the space of no rows, for n unknowns.
func NewSpace(n int) *Space { return &Space{n: n, rows: make(map[int]spaceRow)} }

// Add extends the space by a row with ones at the given places; false where it is in
// the space already. The readings of a box add up a residual and elements, each once: all their
// coefficients are 1.
func (s *Space) Add(ones []int) bool {
	row := make([]uint64, s.n)
	for _, j := range ones {
		row[j] = 1
	}
	// Forward elimination. What a subtraction leaves behind its pivot are coefficients of unknowns
	// without a row, since the rows are reduced: the order of the subtractions does not matter.
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
	// Divided by its first coefficient the row has its 1 there, and is kept without the zeros on
	// either side.
	added := spaceRow{pivot, row[pivot : last+1]}
	scale := inverse(row[pivot])
	for i, v := range added.c {
		added.c[i] = mulMod(v, scale)
	}
	s.clear(added)
	s.rows[pivot] = added
	return true
}

// clear takes the pivot of a new row out of the rows that are there, which keeps the form reduced.
// Rows grow where the new one goes farther, and lose what becomes 0 at their end.
func (s *Space) clear(added spaceRow) {
	// The order of a map is not defined; no row depends on another here.
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

// subtract takes f·c from the beginning of row. The prime is added first, since words have no
// sign.
func subtract(row []uint64, f uint64, c []uint64) {
	for i, v := range c {
		row[i] = reduce(row[i] + prime - mulMod(f, v))
	}
}

// determines reports whether the unknown j follows from the rows: then the row with this
// pivot has nothing else in it. An unknown without a pivot is free: no combination of the rows
// gives it alone.
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
// those that are in no row. open is what Undetermined lists. Two dials of which only zero and
// the full scale were read, for example, are two groups of ten elements each: linked unknowns can
// be found once one or more of their group are read alone, missing ones were never in circuit.
// Members and groups are in ascending order, the smallest member stands for its group.
func (s *Space) Groups(open []int) (linked [][]int, missing []int) {
	group := make(map[int]int, len(open)) // smallest member found so far
	for _, j := range open {
		group[j] = j
	}
	// Union of sets by their smallest member; chains stay short, as groups do.
	find := func(j int) int {
		for group[j] != j {
			j = group[j]
		}
		return j
	}
	used := make(map[int]bool) // in a row with others
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
