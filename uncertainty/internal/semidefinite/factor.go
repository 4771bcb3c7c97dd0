// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package semidefinite

import "math"

// leastPivot ends the factorisation: a quantity of which less than that part of its variance is
// left unexplained is determined by those before it. Rounding leaves some n·1e-16, correlations
// stated to a few digits far more, which the factor then follows as a source of its own.
const leastPivot = 1e-12

// Factor returns L with L·Lᵀ = c, for a covariance matrix that may be
// singular (r = ±1) or, from rounded correlations, indefinite by a little: the
// largest pivot is taken first, no element exceeds what its pivot allows, and the
// variances are kept exactly. One row for each quantity, one column for each pivot.
//
// The columns are as many as the rank: none for a matrix of zeros. The cost is n²·rank products.
func Factor(c [][]float64) [][]float64 {
	n := len(c)
	// rest[i] is what the columns so far leave of the variance of quantity i, as a part of it: the
	// diagonal of the Schur complement of the correlation matrix. 1 before the first column.
	rest := make([]float64, n)
	u := make([]float64, n) // standard uncertainties
	for i := range n {
		u[i], rest[i] = math.Sqrt(c[i][i]), 1
		// A quantity without uncertainty has no row, and no pivot.
		if u[i] == 0 {
			rest[i] = 0
		}
	}
	l := make([][]float64, n)
	used := make([]bool, n)
	for range n {
		p := largestPivot(rest, used)
		used[p] = true
		if rest[p] < leastPivot {
			break // and so are all others: p is the largest
		}
		column := pivotColumn(c, l, u, rest, used, p)
		for i := range n {
			l[i] = append(l[i], column[i])
			rest[i] -= float64(column[i] * column[i])
		}
	}
	restoreVariances(l, u)
	return l
}

// largestPivot returns the quantity of which most is left unexplained among those not yet used, of
// equal ones the first. Taken first, it keeps the divisors of the elimination large.
func largestPivot(rest []float64, used []bool) int {
	p := -1
	for i := range rest {
		if !used[i] && (p < 0 || rest[i] > rest[p]) {
			p = i
		}
	}
	return p
}

// pivotColumn is the next column of the factor of the correlation matrix R, for the pivot p:
//
//	l_pp = √rest_p,  l_ip = (R_ip − Σ_k l_ik·l_pk)/l_pp
//
// and 0 for the quantities that were pivots before, which have nothing left.
func pivotColumn(c, l [][]float64, u, rest []float64, used []bool, p int) []float64 {
	root := math.Sqrt(rest[p])
	column := make([]float64, len(rest))
	column[p] = root
	for i := range column {
		if used[i] || u[i] == 0 {
			continue
		}
		v := c[i][p] / (u[i] * u[p])
		for k := range l[i] {
			v -= float64(l[i][k] * l[p][k])
		}
		// A rounded correlation could ask for more than is left of the variance.
		limit := math.Sqrt(max(0, rest[i]))
		column[i] = max(-limit, min(limit, v/root))
	}
	return column
}

// restoreVariances gives each row the length of its standard uncertainty: what the last pivots and
// the limits cut off is made up for along the row, so that correlations move, variances do not.
func restoreVariances(l [][]float64, u []float64) {
	for i := range l {
		var square float64
		for _, v := range l[i] {
			square += float64(v * v)
		}
		for k := range l[i] {
			if square > 0 {
				l[i][k] *= u[i] / math.Sqrt(square)
			}
		}
	}
}
