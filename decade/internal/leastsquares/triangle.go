// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package leastsquares

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
)

// triangle finds the triangle R of a QR decomposition A = Q·R from the rows of A, within
// the envelope of each: from its first entry that is not 0 to its last.
//
// Readings of a box make most of the work void. A dial turned up by one position adds
// one element to the reading before: with the columns in the order in which they are
// first met, last first, every such row begins a column of its own and is a row of R as
// it stands, whatever the covariance of the readings. The few rows that begin together
// are reduced by one Householder reflection, with the largest entry as pivot (Golub and
// Van Loan, Matrix Computations, on sparse and row-wise QR; from memory).
//
// A dial of three, whose rows are 1, 11 and 111 for its elements 1, 2 and 3: with the columns in
// the order 3, 2, 1 they are ..1, .11 and 111, and the triangle stands there upside down.
//
// So a box that is read once at each position costs no reflection at all, and only what is read
// beyond does; without gaps the cost is that of any QR, 2·rows·columns².
//
// Further columns, the sides, take part in the reflections: S becomes Qᵀ·S. The memory
// is kept for the next decomposition; one goroutine at a time.
type triangle struct {
	rows, columns, sides int

	data  []float64 // by row: columns in their order, then sides
	order []int     // by place: the column of A; the caller's order returns with solve
	end   []int     // by row: the place after the last of its envelope
	pivot []int     // by place: the row of data that holds this row of R
	rest  []int     // rows that A does not reach: what checks the others

	head, next []int     // by place and by row: lists of rows that begin there; −1 ends one
	list       []int     // the rows that begin at one place
	u          []float64 // their entries at that place
	met        []int     // by column: the first row with an entry; rows where there is none
	size       []float64 // by column: its largest entry, before any reflection
	sum        []float64 // scratch, as wide as a row
	c          []float64 // the covariance in the order of places, row by row
}

// reset makes room for a matrix and clears it. The caller writes the rows, columns in the order of
// A and the sides behind them, and calls reduce.
func (t *triangle) reset(rows, columns, sides int) {
	t.rows, t.columns, t.sides = rows, columns, sides
	t.data = room(t.data, rows*(columns+sides))
	clear(t.data)
	t.u = room(t.u, rows)
	t.sum, t.size, t.c = room(t.sum, columns+sides), room(t.size, columns), room(t.c,
		columns*columns)
	for _, s := range []*[]int{&t.order, &t.pivot, &t.head, &t.met} {
		*s = room(*s, columns)
	}
	for _, s := range []*[]int{&t.end, &t.next, &t.rest, &t.list} {
		*s = room(*s, rows)
	}
}

// room returns a slice of n elements, in the memory of s if that is enough. What stands in it is
// of the matrix before: only data relies on zeros, and reset clears it.
func room[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}

// row is row i: columns, then sides.
func (t *triangle) row(i int) []float64 {
	w := t.columns + t.sides
	return t.data[i*w : (i+1)*w : (i+1)*w]
}

// side is the part of row i that belongs to the sides.
func (t *triangle) side(i int) []float64 { return t.row(i)[t.columns:] }

// reduce turns the rows into R. It returns false where the columns depend on each other.
func (t *triangle) reduce() bool {
	t.arrange()
	t.rest = t.rest[:0]
	for j := range t.head {
		t.head[j] = -1
	}
	// Backwards, since file puts a row in front: every list is in ascending order, as block wants
	// it and as the same sums on every run do.
	for i := t.rows - 1; i >= 0; i-- {
		t.file(i, 0)
	}
	for j := range t.columns {
		// No row is left that begins here: this column is a combination of those before it.
		if t.head[j] < 0 {
			return false
		}
		if first, ok := t.block(j); ok {
			return t.reduceBlock(first, j)
		}
		p := t.reflect(j)
		t.pivot[j] = p
		if !t.independent(p, j) {
			return false
		}
	}
	return true
}

// negligible is what may be left of a column that depends on others, as a part of its largest
// entry: some nine roundings of 2⁻⁵³. A larger bound would refuse columns that only readings of
// little weight tell apart.
const negligible = 1e-15

// independent reports whether what is left of column j in its pivot is more than rounding.
func (t *triangle) independent(pivot, j int) bool {
	return math.Abs(t.row(pivot)[j]) > negligible*t.size[t.order[j]]
}

// arrange puts the columns in order, last met first, and finds the envelopes. Columns that are met
// in one row keep their order. It looks at each entry twice.
func (t *triangle) arrange() {
	clear(t.size)
	for k := range t.order {
		t.order[k], t.met[k] = k, t.rows
	}
	for i := t.rows - 1; i >= 0; i-- {
		for k, v := range t.row(i)[:t.columns] {
			if v != 0 {
				t.met[k] = i
				t.size[k] = max(t.size[k], math.Abs(v))
			}
		}
	}
	slices.SortFunc(t.order, func(a, b int) int { return cmp.Or(t.met[b]-t.met[a], a-b) })
	// Nothing to exchange in a matrix without gaps, whose columns are all met in the first row.
	inOrder := slices.IsSorted(t.order)
	for i := range t.rows {
		row := t.row(i)[:t.columns]
		if !inOrder {
			copy(t.sum, row)
			for j, k := range t.order {
				row[j] = t.sum[k]
			}
		}
		t.end[i] = t.columns
		for t.end[i] > 0 && row[t.end[i]-1] == 0 {
			t.end[i]--
		}
	}
}

// file puts row i, which is 0 before the given place, on the list of where it begins.
func (t *triangle) file(i, from int) {
	row := t.row(i)
	for from < t.end[i] && row[from] == 0 {
		from++
	}
	if from >= t.end[i] {
		t.rest = append(t.rest, i)
		return
	}
	t.next[i], t.head[from] = t.head[from], i
}

// reflect takes column j out of all but one of the rows that begin there, and returns
// that one. The rows may stand anywhere: they are gathered as a list, and only their envelopes
// are touched. What begins later after it is filed anew; a single row needs no reflection.
func (t *triangle) reflect(j int) int {
	list, u := t.list[:0], t.u[:0]
	top, end := 0, 0
	for i := t.head[j]; i >= 0; i = t.next[i] {
		v := t.row(i)[j]
		list, u = append(list, i), append(u, v)
		if math.Abs(v) > math.Abs(u[top]) {
			top = len(u) - 1
		}
		end = max(end, t.end[i])
	}
	pivot := list[top]
	if len(list) == 1 {
		return pivot
	}
	// After it all these rows have an entry wherever one of them had one.
	norm := mirror(u, top)
	t.reflectRows(list, j, end, u, top)
	for n, i := range slices.Backward(list) {
		t.row(i)[j], t.end[i] = 0, end
		if n != top {
			t.file(i, j+1)
		}
	}
	t.row(pivot)[j] = -norm
	return pivot
}

// mirror turns a column u into that of the reflection 1 − u·uᵀ/u[top] which leaves −norm of
// it in the pivot at top, and nothing else: Householder's with v = x/norm + e_top, where
// vᵀ·v = 2·(1 + x_top/norm) = 2·v_top, so that 1 − 2·v·vᵀ/(vᵀ·v) needs only v_top. norm has the
// sign of x_top: the two terms of v_top are positive and no digits cancel.
func mirror(u []float64, top int) (norm float64) {
	norm = math.Copysign(length(u, u[top]), u[top])
	for n := range u {
		u[n] /= norm
	}
	u[top]++
	return norm
}

// reflectRows takes u·(uᵀ·B)/u[top] from rows B wherever they are, within their envelopes.
func (t *triangle) reflectRows(list []int, j, end int, u []float64, top int) {
	// sum becomes uᵀ·B, one row after the other: rows lie together in memory, columns do not.
	clear(t.sum[j:end])
	clear(t.sum[t.columns:])
	for n, i := range list {
		t.combine(t.sum, u[n], t.row(i), j+1, t.end[i])
	}
	scale := -1 / u[top]
	for n, i := range list {
		t.combine(t.row(i), float64(u[n]*scale), t.sum, j+1, end)
	}
}

// length is the Euclidean norm of x, whose largest element is given: divided by it no square
// overflows, and none that counts is lost below the smallest float64.
func length(x []float64, largest float64) float64 {
	sum := 0.0
	for _, v := range x {
		v /= largest
		sum += float64(v * v)
	}
	return math.Abs(largest) * math.Sqrt(sum)
}

// combine adds f times the envelope of row s, from a place to its end, and the sides to row d. An
// envelope that ends with the columns and the sides behind it are one piece.
func (t *triangle) combine(d []float64, f float64, s []float64, from, end int) {
	if end == t.columns {
		floats.AddScaled(d[from:], f, s[from:])
		return
	}
	floats.AddScaled(d[from:end], f, s[from:end])
	floats.AddScaled(d[t.columns:], f, s[t.columns:])
}

// solve turns the sides of the rows of R into the solution R⁻¹·Qᵀ·S: after it, the side
// of row pivot[j] belongs to column order[j]. It is back substitution, x_j = (s_j − Σ_{k>j}
// R_jk·x_k)/R_jj from the last row up, for all sides at once. It overwrites the sides.
func (t *triangle) solve() {
	if t.sides == 1 {
		t.solveOne()
		return
	}
	for j := t.columns - 1; j >= 0; j-- {
		i := t.pivot[j]
		row, side := t.row(i), t.side(i)
		for k := j + 1; k < t.end[i]; k++ {
			// Rows that no reflection has touched have zeros inside their envelopes.
			if row[k] != 0 {
				floats.AddScaled(side, -row[k], t.side(t.pivot[k]))
			}
		}
		for k := range side {
			side[k] /= row[j]
		}
	}
}

// solveOne does the same for one side, a plain number in each row: the solution stands together in
// sum, where the inner loop finds it, and not one in each row.
func (t *triangle) solveOne() {
	m, x := t.columns, t.sum
	for j := m - 1; j >= 0; j-- {
		i := t.pivot[j]
		row := t.row(i)
		v := row[m]
		for k := j + 1; k < t.end[i]; k++ {
			v -= float64(row[k] * x[k])
		}
		x[j] = v / row[j]
		row[m] = x[j]
	}
}

// covariance writes C = (Aᵀ·A)⁻¹ = R⁻¹·R⁻ᵀ, row by row, to dst. It follows from
// R·C = R⁻ᵀ, of which all above the diagonal is 0, from the last row of C up: no inverse
// of R is formed. Row i of it says R_ii·C_ik = −Σ_{j>i} R_ij·C_jk for k > i, and R_ii·C_ii =
// 1/R_ii − Σ_{k>i} R_ik·C_ki; C is symmetric. The sums end with the envelope of row i.
func (t *triangle) covariance(dst []float64) {
	m := t.columns
	c := t.c
	for i := m - 1; i >= 0; i-- {
		row, own := t.row(t.pivot[i]), c[i*m:(i+1)*m]
		clear(own[i:])
		if n := t.end[t.pivot[i]] - i - 1; n > 0 {
			// −R_ii·C_ik for all k at once: the rows of C that the envelope reaches, already known,
			// times the row of R.
			below := blas64.General{Rows: n, Cols: m - i - 1, Stride: m, Data: c[(i+1)*m+i+1:]}
			blas64.Gemv(blas.Trans, 1, below, blas64.Vector{N: n, Inc: 1, Data: row[i+1:]}, 0,
				blas64.Vector{N: m - i - 1, Inc: 1, Data: own[i+1:]})
		}
		diagonal := 1 / row[i]
		for k := i + 1; k < m; k++ {
			own[k] /= -row[i]
			c[k*m+i] = own[k]
			diagonal -= float64(row[k] * own[k])
		}
		own[i] = diagonal / row[i]
	}
	// From the order of places back to that of the columns of A.
	for i, a := range t.order {
		for k, b := range t.order {
			dst[a*m+b] = c[i*m+k]
		}
	}
}
