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

// The dials of a box stand three in a row, and seven of them leave two places empty.
func TestShortLastRow(t *testing.T) {
	f := &Figure{width: pageWidth, height: pageWidth}
	for _, names := range [][]string{{"a / Ω", "b / Ω", "c / Ω"}, {"d / Ω"}} {
		var row []*plot.Plot
		for _, name := range names {
			p := panel("x / Ω", name)
			p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 1, 0, 1
			row = append(row, p)
		}
		f.panels = append(f.panels, row)
	}
	picture, err := f.Encode("svg")
	if err != nil || !strings.Contains(string(picture), "d / Ω") {
		t.Errorf("four panels in rows of three: error %v, or the last is not drawn", err)
	}
}
