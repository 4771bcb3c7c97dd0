// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"math"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// All trials of a constant lie in one place: the density there is infinite, and nowhere
// else is it not a number.
func TestHistogramOfAConstant(t *testing.T) {
	h := simulate(t, uncertainty.MonteCarlo{Trials: 1000, Bins: 3}, uncertainty.Exact(3)).Outputs[0].Histogram
	var got []float64
	for bin, density := range h.Bins() {
		if !bin.Contains(3) {
			t.Errorf("bin %v does not hold the constant", bin)
		}
		got = append(got, density)
	}
	if len(got) != 3 || !math.IsInf(got[0], 1) || got[1] != 0 || got[2] != 0 {
		t.Errorf("densities %v; want [+Inf 0 0]", got)
	}
}
