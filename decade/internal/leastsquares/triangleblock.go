// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package leastsquares

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// Rows without structure are neighbours that begin with the same column, and that to the
// last. They are reduced as one block, by the routines for dense matrices.

// block reports whether the rows that begin with column j are all that are left, many, and
// neighbours from the first on, as in a matrix without structure: then there is nothing to
// be gained by envelopes, and whole blocks are quicker.
//
// first is the first of them. −1 ends the list of a column; a list that is not of neighbours, or
// leaves rows out, is left to reflect.
func (t *triangle) block(j int) (first int, ok bool) {
	const many = 5
	n, last := 0, t.head[j]-1
	for i := t.head[j]; i >= 0; i = t.next[i] {
		if i != last+1 {
			return 0, false
		}
		n, last = n+1, i
	}
	return t.head[j], n >= many && n == t.rows-j-len(t.rest)
}

// reduceBlock reduces the rows from the first on, which are all that are left, and the
// columns from j on; false where a column depends on those before it. Its pivots are exchanged
// into the first row of what is left, so that the block stays one piece; the rows after the last
// pivot are the rest.
func (t *triangle) reduceBlock(first, j int) bool {
	w, end := t.columns+t.sides, first+t.rows-j-len(t.rest)
	for ; j < t.columns; j++ {
		if first == end {
			return false
		}
		u, top := t.u[:0], 0
		for at := first*w + j; at < end*w; at += w {
			u = append(u, t.data[at])
			if math.Abs(t.data[at]) > math.Abs(u[top]) {
				top = len(u) - 1
			}
		}
		if u[top] == 0 { // mirror would divide by it
			return false
		}
		t.swap(first, first+top)
		u[0], u[top] = u[top], u[0]
		norm := mirror(u, 0)
		t.reflectBlock(first, j, u)
		t.row(first)[j] = -norm
		t.pivot[j], t.end[first] = first, t.columns
		if !t.independent(first, j) {
			return false
		}
		first++
	}
	for ; first < end; first++ {
		t.rest = append(t.rest, first)
	}
	return true
}

// swap exchanges two rows with their sides.
func (t *triangle) swap(i, k int) {
	if i == k {
		return
	}
	a, b := t.row(i), t.row(k)
	copy(t.sum, a)
	copy(a, b)
	copy(b, t.sum)
}

// reflectBlock takes u·(uᵀ·B)/u[0] from the block B of rows, to the right of column j. B is
// read once for uᵀ·B and once for the product of a column and a row that is taken off.
func (t *triangle) reflectBlock(first, j int, u []float64) {
	w := t.columns + t.sides
	block := blas64.General{Rows: len(u), Cols: w - j - 1, Stride: w, Data: t.data[first*w+j+1:]}
	if block.Cols == 0 {
		return
	}
	by, sum := blas64.Vector{N: len(u), Inc: 1, Data: u}, blas64.Vector{N: block.Cols, Inc: 1,
		Data: t.sum}
	blas64.Gemv(blas.Trans, 1, block, by, 0, sum)
	blas64.Ger(-1/u[0], by, sum, block)
}
