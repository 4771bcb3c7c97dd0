// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
)

// Faults that the linear account of the healthy box misjudges are the first cause, alone: no
// second fault is named that they do not need.
func TestLargeFaultsAlone(t *testing.T) {
	list := constructions(t)
	terminals := Fault{Kind: KindTerminalLeak, A: Place{PartTerminal, 0, 1}, B: Place{PartTerminal, 0, 2}, Value: 0.001}
	for _, c := range []struct {
		name  string
		of    *construction
		seed  uint64
		fault Fault
	}{
		{"a knob of a code two back", list[1], 161, Fault{Kind: KindSlip, A: Place{PartDial, 0, 0}, Value: -2}},
		{"a knob of a code one back, turning all round", list[2], 162, Fault{Kind: KindSlip, A: Place{PartDial, 1, 0}, Value: -1, Wraps: true}},
		{"a knob of two ranges", list[3], 563, Fault{Kind: KindSlip, A: Place{PartDial, 0, 0}, Value: 3}},
		{"terminals that touch", list[0], 585, terminals},
		{"dirt with two draws alike", list[3], 148, Fault{Kind: KindContact, A: Place{PartPosition, 0, 4}, Value: 54.4, Scatter: 27.2}},
		{"scatter in series", list[1], 441, Fault{Kind: KindSeries, A: Place{Part: PartBox}, Value: 1.02, Scatter: 0.511}},
	} {
		d, err := c.of.run(c.seed, Options{}, []Fault{c.fault})
		if err != nil {
			t.Fatal(err)
		}
		if d.Healthy || len(d.Causes[0].Faults) != 1 || c.of.rank(d, []Fault{c.fault}) != 1 {
			t.Errorf("%s: healthy %v, first %v; want %s alone", c.name, d.Healthy, d.Causes[0], c.fault.In(c.of.box))
		}
	}
}

// Of a dial that no reading tells anything of, the elements keep what they have in common
// beforehand: m variances of one element, and the square of their sum.
func TestIndependenceUnseen(t *testing.T) {
	list := constructions(t)
	m := list[0].model
	q := len(m.classLimit)
	none := mat.NewDense(1, q, nil) // no covariance with the one reading
	share, sd := m.independence(m.elementSD(none, none), none, none)
	// 2·c²/3 each of m; together m·c²/3 + (m·c)²/3: 2/(1 + m).
	for d, dec := range m.layout.decades {
		n := float64(dec.NumElements())
		if want := 2 / (1 + n); relative(share[d], want) > 1e-9 {
			t.Errorf("dial %d: %v; want %v", d, share[d], want)
		}
		c := m.classLimit[m.layout.firstElement[d]] / math.Sqrt(3)
		if want := c * math.Sqrt(n+n*n) / (n * dec.Step); relative(sd[d], want) > 1e-9 {
			t.Errorf("dial %d: standard deviation %v; want %v", d, sd[d], want)
		}
	}
	if share[len(share)-1] != 1 {
		t.Errorf("the residual: %v; want 1", share[len(share)-1])
	}
}

// A draw that must be above 0 is worth 1/Φ(μ/τ) more than one that may be below; one that is
// read below 0 is hardly possible.
func TestNeverBelow(t *testing.T) {
	v := mat.NewSymDense(1, []float64{1e-8})
	if got, want := neverBelow([]float64{1}, v, 1, 1), 2*math.Log(0.8413447460685429); relative(got, want) > 1e-9 {
		t.Errorf("well above: %v; want %v", got, want)
	}
	if got := neverBelow([]float64{-0.01}, v, 1, 1); got < 1e4 {
		t.Errorf("100 standard uncertainties below 0: %v; want no less than 10⁴", got)
	}
	h := []Fault{{Kind: KindSeries, A: Place{Part: PartBox}, Value: -0.001, Scatter: 0.1}}
	l := newLayout(pairBox(t, decade.Code{}))
	if l.possible(h) {
		t.Error("scatter about less than nothing is possible")
	}
	h[0].Value = 0.001
	if !l.possible(slices.Clone(h)) {
		t.Error("scatter about a milliohm is not possible")
	}
}
