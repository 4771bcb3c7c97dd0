// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package semidefinite

import (
	"math"
	"testing"
)

func TestFactor(t *testing.T) {
	for name, c := range map[string][][]float64{
		"full":          {{4, 1, 0.5}, {1, 9, -2}, {0.5, -2, 1}},
		"r = 1":         {{4, 6}, {6, 9}},
		"r = -1":        {{4, -6, 0}, {-6, 9, 0}, {0, 0, 1}},
		"no variance":   {{0, 0}, {0, 1}},
		"none at all":   {{0}},
		"three of rank": {{1, 1, 0}, {1, 2, 1}, {0, 1, 1}},
	} {
		l := Factor(c)
		for i := range c {
			for k := range c {
				sum := 0.0
				for j := range l[i] {
					sum += l[i][j] * l[k][j]
				}
				if math.Abs(sum-c[i][k]) > 1e-12*math.Sqrt(c[i][i]*c[k][k]) {
					t.Errorf("%s: element %d, %d of L·Lᵀ is %v, want %v", name, i, k, sum, c[i][k])
				}
			}
		}
	}
	// Indefinite by rounding: variances stay, correlations move a little.
	c := [][]float64{{1, 0.9, 0.44}, {0.9, 1, 0.79}, {0.44, 0.79, 1}}
	l := Factor(c)
	for i := range c {
		for k := range c {
			sum := 0.0
			for j := range l[i] {
				sum += l[i][j] * l[k][j]
			}
			if math.Abs(sum-c[i][k]) > 0.03 || i == k && math.Abs(sum-1) > 1e-14 {
				t.Errorf("element %d, %d is %v, want about %v", i, k, sum, c[i][k])
			}
		}
	}
}
