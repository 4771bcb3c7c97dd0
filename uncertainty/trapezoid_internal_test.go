// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"testing"
)

// The excess kurtosis of the trapezoids: −3/5 for the triangle and −6/5 for the rectangle
// (textbook), and between them that of the quantiles, summed over equal probabilities.
func TestFlatnessAgainstQuantiles(t *testing.T) {
	checked := 0
	for _, c := range []struct {
		name string
		d    Distribution
		want float64
	}{
		{"triangle", Trapezoidal(0, 1, 0), -0.6},
		{"rectangle", Trapezoidal(0, 1, 1), -1.2},
		{"trapezoid", Trapezoidal(0, 3, 0.4), math.NaN()},
		{"exact limits", CurvilinearTrapezoidal(0, 1, 0), -1.2},
		{"inexact limits", CurvilinearTrapezoidal(0, 2, 0.8), math.NaN()},
		{"most inexact limits", CurvilinearTrapezoidal(0, 1, 1), math.NaN()},
	} {
		l, ok := c.d.(law)
		if !ok || l.kind != trapezoidal && l.kind != curvilinear {
			continue // simplified to a law of another kind
		}
		checked++
		const n = 20_000
		var second, fourth float64
		for k := range n {
			x := l.Quantile((float64(k) + 0.5) / n)
			second += x * x / n
			fourth += x * x * x * x / n
		}
		if got, want := l.flatness(), fourth/(second*second)-3; math.Abs(got-want) > 1e-4 {
			t.Errorf("%s: excess kurtosis %v; want %v", c.name, got, want)
		}
		if got := l.flatness(); !math.IsNaN(c.want) && math.Abs(got-c.want) > 1e-14 {
			t.Errorf("%s: excess kurtosis %v; want %v", c.name, got, c.want)
		}
	}
	if checked < 4 {
		t.Errorf("%d laws are trapezoids; want 4 or more", checked)
	}
}
