// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
)

// A value says "about" from where its expanded uncertainty is as large as the value, and
// stands alone without an uncertainty.
func TestAmount(t *testing.T) {
	for _, c := range []struct {
		v, u float64
		want string
	}{
		{1, 0.5, "about 1 Ω (U = 1 Ω)"},
		{-1, 0.5, "about -1 Ω (U = 1 Ω)"},
		{1.1, 0.5, "1.1 Ω (U = 1 Ω)"},
		{-1.1, 0.5, "-1.1 Ω (U = 1 Ω)"},
		{1.234, 0, "1.23 Ω"},
		{1.234, math.NaN(), "1.23 Ω"},
		{1.234, math.Inf(1), "1.23 Ω"},
	} {
		if got := amount(c.v, c.u); got != c.want {
			t.Errorf("%v, %v: %q; expected %q", c.v, c.u, got, c.want)
		}
	}
}

// A new element is within its class where the box has one, that of the dial or of the box.
func TestReplacementStatesTheClass(t *testing.T) {
	for _, c := range []struct {
		ofDial, ofBox float64
		want          string // empty: no class is named
	}{
		{0, 0, ""},
		{0.001, 0, "within 0.1 % (its class)"},
		{0, 0.002, "within 0.2 % (its class)"},
		{0.001, 0.002, "within 0.3 % (its class)"},
	} {
		b := box(t, decade.Spec{Tolerance: c.ofBox, Decades: dials(c.ofDial, 100)})
		r := &repairing{box: b}
		got := r.replacement(Place{PartElement, 0, 3})
		if strings.Contains(got, "class") != (c.want != "") || !strings.Contains(got, c.want) {
			t.Errorf("%v and %v: %q; expected %q", c.ofDial, c.ofBox, got, c.want)
		}
	}
}

// A bridge below half an ohm is bare metal, from there on it is flux or dirt.
func TestAdviceOnShortBridges(t *testing.T) {
	b := box(t, decade.Spec{Decades: dials(0.001, 100)})
	for v, metal := range map[float64]bool{0.49: true, 0.5: false, 0.51: false} {
		f := Fault{Kind: KindElementLeak, A: Place{PartElement, 0, 3}, Value: v}
		if got := f.advice(b); strings.Contains(got, "almost 0 Ω") != metal {
			t.Errorf("%v Ω: %q; expected bare metal: %v", v, got, metal)
		}
	}
}
