// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// twoDials is a box with a stated contact, and an ideal meter.
func dialledBox(t testing.TB, contact float64) (*decade.Box, *Meter) {
	t.Helper()
	b, err := decade.New(decade.Spec{Name: "two dials", ResidualIncluded: true, Residual: 0.02, ResidualTolerance: 0.02, Contact: contact, Decades: []decade.Decade{
		{Name: "×10", Step: 10, Tolerance: 1e-3}, {Name: "×1", Step: 1, Tolerance: 1e-3}}})
	if err != nil {
		t.Fatal(err)
	}
	return b, &Meter{Name: "m", Ideal: true, Wiring: WiringFourWire, OffsetCompensated: true, Ranges: []Range{{Name: "100 Ω", FullScale: 100, OverRange: 1.2}}}
}

// of reads settings, each value a dialling.
func of(t testing.TB, b *decade.Box, values map[string][]float64) []Reading {
	t.Helper()
	var out []Reading
	for _, text := range []string{"0-0", "1-0", "5-0", "0-1", "0-3", "0-7"} {
		for _, v := range values[text] {
			out = append(out, Reading{Setting: settings(t, b, text)[0], Values: []float64{v}})
		}
	}
	return out
}

// Five diallings 2.4 mΩ apart: U contains the scatter, in the row, the mean of the setting and
// the next dialling, with Student's factor for four degrees of freedom.
func TestDiallingsAreInEveryBudget(t *testing.T) {
	b, m := dialledBox(t, 0)
	r := evaluated(t, b, m, of(t, b, map[string][]float64{"0-1": {1.0200, 1.0224, 1.0209, 1.0213, 1.0204}}), conformity.Guarded(1))
	s := math.Sqrt((1e-3*1e-3 + 1.4e-3*1.4e-3 + 0.1e-3*0.1e-3 + 0.3e-3*0.3e-3 + 0.6e-3*0.6e-3) / 4) // about 1.0210
	k := 2.7764                                                                                     // t, 95 %, 4 degrees of freedom
	for i, row := range r.Rows {
		if math.Abs(row.Expanded.U-k*s) > 1e-4*k*s || row.UncertaintyRatio > 1 {
			t.Errorf("dialling %d: U %v, ratio %v; want %v and a ratio below 1", i+1, row.Expanded.U, row.UncertaintyRatio, k*s)
		}
	}
	if len(r.Settings) != 1 || r.Settings[0].Diallings != 5 {
		t.Fatalf("results %v", r.Settings)
	}
	x := r.Settings[0]
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"mean of the setting", x.Mean.Expanded.U, k * s / math.Sqrt(5)}, {"next dialling", x.Next.Expanded.U, k * s * math.Sqrt(1.2)},
		{"this dialling", x.ThisDialling.Expanded.U, k * s}, // its noise is not known apart
	} {
		if math.Abs(c.got-c.want) > 1e-4*c.want {
			t.Errorf("%s: U %v, want %v", c.name, c.got, c.want)
		}
	}
	if got := x.Mean.Deviation.Estimate(); math.Abs(got-0.0210) > 1e-12 {
		t.Errorf("mean %v, want 0.0210", got)
	}
	if !strings.Contains(x.String(), "next dialling +21 mΩ, U = ") {
		t.Errorf("%v", x)
	}
	// With the noise stated, this dialling is known as it stands.
	m.Ranges[0].Noise = 1e-5
	r = evaluated(t, b, m, of(t, b, map[string][]float64{"0-1": {1.0200, 1.0224, 1.0209, 1.0213, 1.0204}}), conformity.Guarded(1))
	if got := r.Settings[0].ThisDialling.Expanded.U; math.Abs(got-1.96e-5) > 1e-8 {
		t.Errorf("this dialling: U %v, want 1.96e-5", got)
	}
}

// The stated contact stays until χ² of the diallings is above its 95 % point.
func TestStatedContactIsReplacedByMore(t *testing.T) {
	for _, c := range []struct {
		contact float64
		used    bool
	}{{0.8e-3, false}, {0.2e-3, true}} {
		b, m := dialledBox(t, c.contact)
		r := evaluated(t, b, m, of(t, b, map[string][]float64{"0-0": {0.0200, 0.0214, 0.0206}, "5-0": {50.0224, 50.0209, 50.0213}}), conformity.Guarded(1))
		warned := 0
		for _, w := range r.Warnings {
			if errors.Is(w, ErrInconsistent) {
				warned++
			}
		}
		if r.Switching.Used != c.used || r.Switching.DOF != 4 || (warned == 1) != c.used || len(r.Switching.Dials) != 0 {
			t.Errorf("contact %v: %v, %d warnings", c.contact, r.Switching, warned)
		}

		if c.used && math.Abs(r.Switching.Estimated*math.Sqrt2-math.Sqrt((variance(0.0200, 0.0214, 0.0206)+variance(0.0224, 0.0209, 0.0213))/2)) > 1e-9 {
			t.Errorf("%v, want the root of the mean variance over two contacts", r.Switching.Estimated)
		}
	}
}

func variance(values ...float64) float64 {
	_, s, err := uncertainty.MeanStdDev(values)
	if err != nil {
		return math.NaN()
	}
	return s * s
}

// One dial scatters a hundred times more than the others: it gets its own.
func TestDialApart(t *testing.T) {
	b, m := dialledBox(t, 0)
	values := map[string][]float64{
		"0-0": {0.0200, 0.0201, 0.0199, 0.0200}, "1-0": {10.0200, 10.0201, 10.0199, 10.0202}, "5-0": {50.0200},
		"0-1": {1.0200, 1.0310, 1.0250, 1.0190}, "0-3": {3.0200, 3.0390, 3.0280}, "0-7": {7.02},
	}
	r := evaluated(t, b, m, of(t, b, values), conformity.Guarded(1))
	if len(r.Switching.Dials) != 1 || r.Switching.Dials[0].Dial != 1 || r.Switching.Dials[0].DOF != 5 || r.Switching.DOF != 6 {
		t.Fatalf("%v", r.Switching)
	}
	quiet, loud := u(t, row(t, r, "5-0").Measured), u(t, row(t, r, "0-7").Measured)
	if quiet > 0.3e-3 || loud < 5e-3 {
		t.Errorf("u of the quiet dial %v, of the other %v", quiet, loud)
	}
}

// Only the dials that were turned made their contacts anew.
func TestTurnedDials(t *testing.T) {
	b, m := dialledBox(t, 0)
	rs := of(t, b, map[string][]float64{"0-1": {1.0200, 1.0224, 1.0209, 1.0213, 1.0204}})
	all := evaluated(t, b, m, rs, conformity.Guarded(1)).Switching.Estimated
	for i := range rs {
		rs[i].Turned = []int{1}
	}
	r := evaluated(t, b, m, rs, conformity.Guarded(1))
	if math.Abs(r.Switching.Estimated/all-math.Sqrt2) > 1e-9 {
		t.Errorf("one of two contacts turned: %v, both %v", r.Switching.Estimated, all)
	}
	// Both contacts are in what a dialling of all is worth.
	if got := u(t, r.Rows[0].Measured); math.Abs(got-r.Switching.Estimated*math.Sqrt2) > 1e-9 {
		t.Errorf("u %v, want that of two contacts", got)
	}
	for _, turned := range [][]int{{}, {2}, {-1}, {0, 0}} {
		rs[0].Turned = turned
		if _, err := Evaluate(b, m, rs, conformity.Guarded(1)); err == nil {
			t.Errorf("dials %v turned: no error", turned)
		}
	}
	text := "setting,turned,value\n0-1,2,1.02\n0-1,1 2,1.03\n0-1,all,1.02\n"
	_, err := ReadReadings(strings.NewReader(strings.Replace(text, "1 2", "3", 1)), b)
	if err == nil || !strings.Contains(err.Error(), "numbers of dials from 1 to 2") {
		t.Errorf("dial 3 of 2: %v", err)
	}
}

// The mean of zeros is one source of every row, whose degrees of freedom are those of the pool.
func TestMeanOfZeros(t *testing.T) {
	b, err := decade.New(decade.Spec{Name: "b", Decades: []decade.Decade{{Name: "×1", Step: 1, Tolerance: 1e-3}}})
	if err != nil {
		t.Fatal(err)
	}
	_, m := dialledBox(t, 0)
	var rs []Reading
	for _, v := range []float64{0.0200, 0.0224, 0.0209, 0.0213, 0.0204} {
		rs = append(rs, Reading{Setting: b.Zero(), Values: []float64{v}})
	}
	one, _ := b.At(1)
	rs = append(rs, Reading{Setting: one, Values: []float64{1.0210}})
	r := evaluated(t, b, m, rs, conformity.Guarded(1))
	last := r.Rows[5]
	s := math.Sqrt(variance(0.0200, 0.0224, 0.0209, 0.0213, 0.0204))
	if math.Abs(last.Budget().DOF-4) > 1e-9 || math.Abs(last.Budget().StandardUncertainty-s*math.Sqrt(1.2)) > 1e-9 || len(last.Budget().Components) != 2 {
		t.Errorf("u %v with %v degrees of freedom, want %v with 4:\n%v", last.Budget().StandardUncertainty, last.Budget().DOF, s*math.Sqrt(1.2), last.Budget())
	}
}
