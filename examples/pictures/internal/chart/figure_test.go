// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot"
)

func TestRefusesEmptyAxes(t *testing.T) {
	for _, high := range []float64{math.NaN(), math.Inf(1), 0} {
		p := panel("x / Ω", "y / Ω")
		p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 1, 0, high
		f := &Figure{width: pageWidth, height: pageWidth, panels: [][]*plot.Plot{{p}}}
		if _, err := f.Encode("svg"); err == nil || !strings.Contains(err.Error(), "y / Ω") {
			t.Errorf("range 0 to %v: error %v; want one that names the axis", high, err)
		}
	}
}
