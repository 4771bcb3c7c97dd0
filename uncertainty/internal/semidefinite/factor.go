// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package semidefinite

import "math"

// Factor returns L with L·Lᵀ = c, for a covariance matrix that may be
// singular (r = ±1) or, from rounded correlations, indefinite by a little: the
// largest pivot is taken first, no element exceeds what its pivot allows, and the
// variances are kept exactly. One row for each quantity, one column for each pivot.
func Factor(c [][]float64) [][]float64 {
	n := len(c)
	rest := make([]float64, n) // of the correlation matrix
	u := make([]float64, n)
	for i := range n {
		u[i], rest[i] = math.Sqrt(c[i][i]), 1
		// A quantity without uncertainty has no row, and no pivot.
		if u[i] == 0 {
			rest[i] = 0
		}
	}
	l := make([][]float64, n)
	used := make([]bool, n)
	// Each round takes the quantity of which most is left unexplained.
	for range n {
		p := -1
		for i := range n {
			if !used[i] && (p < 0 || rest[i] > rest[p]) {
				p = i
			}
		}
		// Below 1e-12 only rounding is left.
		used[p] = true
		if rest[p] < 1e-12 {
			break
		}
		root := math.Sqrt(rest[p])
		column := make([]float64, n)
		column[p] = root
		for i := range n {
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
		for i := range n {
			l[i] = append(l[i], column[i])
			rest[i] -= float64(column[i] * column[i])
		}
	}
	// The variances exactly: what was cut off is made up for along each row.
	for i := range n {
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
	return l
}
