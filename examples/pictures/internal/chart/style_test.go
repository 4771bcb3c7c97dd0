// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package chart

import (
	"fmt"
	"image/color"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/plot"
)

// luminance is the relative luminance of W3C, Web Content Accessibility Guidelines 2.1
// (formula from memory).
func luminance(c color.Color) float64 {
	linear := func(v uint32) float64 {
		s := float64(v) / 0xffff
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	r, g, b, _ := c.RGBA()
	return 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
}

func contrast(c, d color.Color) float64 {
	l, m := luminance(c), luminance(d)
	return (max(l, m) + 0.05) / (min(l, m) + 0.05)
}

// Success criterion 1.4.11 of the guidelines asks 3:1 of graphical objects against what
// they stand on (from memory); black on white is 21:1 by definition.
func TestLinesStandOutFromPaper(t *testing.T) {
	if got := contrast(black, color.White); math.Abs(got-21) > 1e-9 {
		t.Fatalf("black on white %v:1, want 21:1", got)
	}
	for _, n := range pens {
		if got := contrast(n.colour, color.White); got < 3 {
			t.Errorf("colour %v on white %.2f:1, want 3:1", n.colour, got)
		}
	}
}

func TestPensDifferWithoutColour(t *testing.T) {
	dashes, shapes := map[string]bool{}, map[string]bool{}
	for _, n := range pens {
		dashes[fmt.Sprint(n.dashes)] = true
		shapes[fmt.Sprintf("%#v", n.shape)] = true
	}
	if len(dashes) != len(pens) || len(shapes) != len(pens) {
		t.Errorf("%d pens with %d kinds of dashes and %d shapes", len(pens), len(dashes), len(shapes))
	}
}

func labels(ticks []plot.Tick) string {
	var s []string
	for _, t := range ticks {
		if !t.IsMinor() {
			s = append(s, t.Label)
		}
	}
	return strings.Join(s, " ")
}

func TestTicks(t *testing.T) {
	tests := []struct {
		ticks     plot.Ticker
		low, high float64
		want      string
		all       int
	}{
		{linearTicks, -23, 23, "−20 −10 0 10 20", 23},
		{linearTicks, 0, 1.1, "0.0 0.2 0.4 0.6 0.8 1.0", 12},
		{linearTicks, 2017, 2036, "2018 2020 2022 2024 2026 2028 2030 2032 2034 2036", 20},
		{linearTicks, -300, 300, "−300 −200 −100 0 100 200 300", 31},
		{linearTicks, 0, 0.039, "0.000 0.005 0.010 0.015 0.020 0.025 0.030 0.035", 40},
		{decadeTicks, -1, 1, "0.1 1 10", 19},
	}
	for _, test := range tests {
		ticks := test.ticks.Ticks(test.low, test.high)
		if got := labels(ticks); got != test.want || len(ticks) != test.all {
			t.Errorf("from %v to %v: %q and %d ticks in all; want %q and %d", test.low, test.high,
				got, len(ticks), test.want, test.all)
		}
	}
}
