// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// tenKilohm is a box of one 10 kΩ resistor and a meter of ±(30 ppm of reading + 6 ppm of
// range) that has no noise and no steps.
func tenKilohm(t testing.TB) (*decade.Box, *Meter) {
	t.Helper()
	b, err := decade.New(decade.Spec{Name: "one resistor", ResidualIncluded: true,
		Decades: []decade.Decade{{Name: "×10k", Step: 1e4, Positions: 1, Tolerance: 1e-4}}})
	if err != nil {
		t.Fatal(err)
	}
	return b, &Meter{Name: "m", Wiring: WiringFourWire, OffsetCompensated: true,
		Ranges: []Range{{Name: "10 kΩ", FullScale: 1e4, OverRange: 1.2, OfReading: 3e-5,
			OfRange: 6e-6}}}
}

// terminalsAt are the values of readings, each an own session if asked for.
func terminalsAt(t testing.TB, b *decade.Box, m *Meter, sessions bool, values ...float64) []uncertainty.Quantity {
	t.Helper()
	var rs []Reading
	for i, v := range values {
		s := b.Zero()
		if v > 5000 {
			s, _ = b.Max()
		}
		rd := Reading{Setting: s, Values: []float64{v}}
		if sessions {
			rd.Session = fmt.Sprint("s", i+1)
		}
		rs = append(rs, rd)
	}
	r := evaluated(t, b, m, rs, conformity.Rule{})
	var out []uncertainty.Quantity
	for _, row := range r.Rows {
		out = append(out, row.Measured)
	}
	return out
}

func u(t testing.TB, q uncertainty.Quantity) float64 {
	t.Helper()
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		t.Fatal(err)
	}
	return b.StandardUncertainty
}

// What the model of one limit says, by hand; none of it is published.
func TestOneLimit(t *testing.T) {
	b, m := tenKilohm(t)
	limit := 3e-5*1e4 + 6e-6*1e4
	q := terminalsAt(t, b, m, false, 10000, 10000)
	if got, want := u(t, q[0]), limit/math.Sqrt(3); math.Abs(got-want) > 1e-12 {
		t.Errorf("u of one reading %v, want %v", got, want)
	}
	// Two equal readings: nothing is left beside noise and resolution.
	if got := u(t, q[0].Sub(q[1])); got > 1e-12 {
		t.Errorf("u of the difference of two equal readings %v, want 0", got)
	}
	// Values apart: the linearity of each, and what is in proportion.
	q = terminalsAt(t, b, m, false, 10000, 9000)
	e := 0.06 / 4
	want := math.Sqrt((2*e*e + math.Pow(3e-5*1000, 2) + 2*3e-5*0.06*math.Pow(math.Sqrt(10000)-math.Sqrt(9000), 2)) / 3)
	if got := u(t, q[0].Sub(q[1])); math.Abs(got-want) > 1e-12 {
		t.Errorf("u of the difference of 10 kΩ and 9 kΩ %v, want %v", got, want)
	}
	// Values of one per mille of the range are one for the linearity.
	for values, want := range map[[2]float64]int{{10000, 10009}: 1, {10000, 10011}: 2} {
		q = terminalsAt(t, b, m, false, values[:]...)
		budget, err := uncertainty.Evaluate(q[0].Sub(q[1]))
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, c := range budget.Components {
			if strings.HasPrefix(c.Name, linearityName) {
				n++
			}
		}
		if n != want {
			t.Errorf("%v: %d errors of linearity, want %d", values, n, want)
		}
	}
}

// Substitution: a standard with U = 1 mΩ, k = 2, read as the box: 0.98 mΩ at 95 %.
func TestOneLimitSubstitution(t *testing.T) {
	b, m := tenKilohm(t)
	top, _ := b.Max()
	r := evaluated(t, b, m, []Reading{{Setting: top, Values: []float64{10000}}}, conformity.Rule{})
	out, err := r.Substitute(
		Standard{Name: "S", Value: uncertainty.Input("standard",
			uncertainty.Certificate(10000, 1e-3, 2)), Reading: Reading{Values: []float64{10000}}})
	if err != nil {
		t.Fatal(err)
	}
	if got := out.Rows[0].Expanded.U; math.Abs(got-0.98e-3) > 0.005e-3 {
		t.Errorf("U %v, want 0.98 mΩ", got)
	}
}

// A shorted reading informs the zero, never the gain: U at 10 kΩ stays.
func TestShortedReadingLeavesTheGain(t *testing.T) {
	b, m := tenKilohm(t)
	top, _ := b.Max()
	r := evaluated(t, b, m, []Reading{{Setting: top, Values: []float64{10000}}}, conformity.Rule{})
	out, err := r.Substitute(Standard{Name: "short", Value: uncertainty.Exact(0),
		Reading: Reading{Values: []float64{0.01}}})
	if err != nil {
		t.Fatal(err)
	}
	if got := u(t, out.Rows[0].Measured); got < 0.17 || got > 0.21 {
		t.Errorf("u after a shorted reading %v, want 0.17 to 0.21 Ω", got)
	}
}

// The mean over ten sessions keeps what is common to them.
func TestSessionsKeepTheCertificate(t *testing.T) {
	b, m := tenKilohm(t)
	q := terminalsAt(t, b, m, true, 10000, 10000, 10000, 10000, 10000, 10000, 10000, 10000, 10000, 10000)
	one := u(t, q[0])
	if got := u(t, uncertainty.Sum(q...).Scale(0.1)) / one; got < 0.71 || got > 0.75 {
		t.Errorf("ten sessions leave %v of u, want 0.71 to 0.75", got)
	}
	if got, want := one, 0.36/math.Sqrt(3); math.Abs(got-want) > 1e-12 {
		t.Errorf("u of one reading %v, want %v", got, want)
	}
	// The 24-hour figures are the session's.
	m.Ranges[0].ShortTerm = &Limits{OfReading: 1e-5, OfRange: 2e-6}
	q = terminalsAt(t, b, m, true, 10000, 10000)
	if got, want := u(t, q[0]), 0.36/math.Sqrt(3); math.Abs(got-want) > 1e-12 {
		t.Errorf("with 24-hour figures u %v, want %v", got, want)
	}
	e := 0.015
	want := math.Sqrt(2 * (0.12*0.12 - e*e) / 3)
	if got := u(t, q[0].Sub(q[1])); math.Abs(got-want) > 1e-12 {
		t.Errorf("difference of sessions %v, want %v", got, want)
	}
}

// Two limits lack the cross term, independent readings have nothing in common.
func TestOtherCombinations(t *testing.T) {
	for _, c := range []struct {
		combine   Combination
		one, diff float64
	}{
		{CombineTwoLimits, math.Hypot(0.3, 0.06) / math.Sqrt(3), 0},
		{CombineIndependent, 0.36 / math.Sqrt(3), 0.36 * math.Sqrt(2./3)},
	} {
		b, m := tenKilohm(t)
		m.Ranges[0].Combine = c.combine
		q := terminalsAt(t, b, m, false, 10000, 10000)
		if got := u(t, q[0]); math.Abs(got-c.one) > 1e-12 {
			t.Errorf("%v: u %v, want %v", c.combine, got, c.one)
		}
		if got := u(t, q[0].Sub(q[1])); math.Abs(got-c.diff) > 1e-12 {
			t.Errorf("%v: u of the difference %v, want %v", c.combine, got, c.diff)
		}
	}
}

// ±(0.01 % of reading + 0.004 % of range), 100 Ω on 100 Ω.
func TestPublishedOneLimit(t *testing.T) {
	b, err := decade.New(decade.Spec{Name: "b", ResidualIncluded: true,
		Decades: []decade.Decade{{Name: "×100", Step: 100, Positions: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	m := &Meter{Wiring: WiringFourWire, OffsetCompensated: true,
		Ranges: []Range{{Name: "100 Ω", FullScale: 100, OfReading: 1e-4, OfRange: 4e-5}}}
	top, _ := b.Max()
	r := evaluated(t, b, m, []Reading{{Setting: top, Values: []float64{100}}}, conformity.Rule{})
	p := uncertaintytest.Published{Name: "u of one reading in mΩ",
		Source: "common practice: a limit without coverage is a rectangle",
		Place:  "a of reading + b of range over √3", Printed: "8.08",
		Provenance: uncertaintytest.CommonPractice}
	p.Run(t, 1e3*u(t, r.Rows[0].Measured))
}

// Ranges of one reference share the gain error of the best of them, and nothing else.
func TestSharedReference(t *testing.T) {
	b, err := decade.New(decade.Spec{Name: "b", ResidualIncluded: true,
		Decades: []decade.Decade{{Name: "×1k", Step: 1000, Positions: 10}}})
	if err != nil {
		t.Fatal(err)
	}
	m := &Meter{Wiring: WiringFourWire, OffsetCompensated: true, Ranges: []Range{
		{Name: "1 kΩ", FullScale: 1e3, OfReading: 2e-5, OfRange: 4e-6, Reference: "A"}, {Name: "10 kΩ", FullScale: 1e4, OfReading: 3e-5, OfRange: 6e-6, Reference: "A"}}}
	one, _ := b.At(1)
	top, _ := b.Max()
	r := evaluated(t, b, m, []Reading{{Setting: one, Values: []float64{1000}},
		{Setting: top, Values: []float64{1e4}}}, conformity.Rule{})
	x, y := r.Rows[0].Measured, r.Rows[1].Measured
	all, err := uncertainty.EvaluateAll(x, y)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := all.Covariance.At(0, 1), 2e-5*1000*2e-5*1e4/3; math.Abs(got-want) > 1e-12*want {
		t.Errorf("covariance %v, want %v", got, want)
	}
	if got, want := u(t, y), 0.36/math.Sqrt(3); math.Abs(got-want) > 1e-12 {
		t.Errorf("u %v, want %v", got, want)
	}
}

// Noise is a standard deviation per value, unless repeats show more.
func TestNoise(t *testing.T) {
	b, m := tenKilohm(t)
	m.Ranges[0].Noise = 0.01
	top, _ := b.Max()
	for _, c := range []struct {
		values []float64
		want   float64
	}{
		{[]float64{10000}, 0.01},
		{[]float64{10000, 10000.002, 9999.999, 10000}, 0.005},
		{[]float64{10000, 10001, 9999, 10000}, math.Sqrt(2./3) / 2},
	} {
		r := evaluated(t, b, m, []Reading{{Setting: top, Values: c.values}}, conformity.Rule{})
		if !hasComponent(r.Rows[0].Budget(), "repeatability at 1, 10 kΩ", c.want) {
			t.Errorf("values %v: want a contribution of %v in\n%v", c.values, c.want, r.Rows[0].Budget())
		}
	}
}

// A certificate corrects between its points and replaces the limits on its day.
func TestRangeCalibration(t *testing.T) {
	b, m := tenKilohm(t)
	top, _ := b.Max()
	day := time.Date(2026, 3, 17, 0, 0, 0, 0, time.UTC)
	c := &RangeCalibration{Date: day,
		Points: []CalibrationPoint{{0, 0.01, 0.004, 2}, {5000, 0.05, 0.02, 2},
			{11000, 0.17, 0.08, 2}}}
	m.Ranges[0].Calibration = c
	e := 0.015 / math.Sqrt(3)
	for _, x := range []struct {
		name        string
		at          time.Time
		independent bool
		stability   *Limits
		reading     float64
		value, u    float64
	}{
		{"on the day, between points", day.Add(9 * time.Hour), false, nil, 9800, 9800 - 0.146, math.Hypot(0.01*0.2+0.04*0.8, e)},
		{"independent points", day, true, nil, 9800, 9800 - 0.146, math.Sqrt(0.002*0.002 + 0.032*0.032 + e*e)},
		{"at a point", day, false, nil, 11000, 11000 - 0.17, 0.04},
		{"later, with a stability", day.AddDate(0, 1, 0), false, &Limits{OfReading: 1e-5}, 9800, 9800 - 0.146, math.Sqrt(0.034*0.034 + e*e + 0.098*0.098/3)},
		{"later, without one", day.AddDate(0, 1, 0), false, nil, 9800, 9800 - 0.146, math.Hypot(0.034, (3e-5*9800+0.06)/math.Sqrt(3))},
		{"without a time", time.Time{}, false, nil, 9800, 9800 - 0.146, math.Hypot(0.034, (3e-5*9800+0.06)/math.Sqrt(3))},
		{"beyond the points", day, false, nil, 11500, 11500, (3e-5*11500 + 0.06) / math.Sqrt(3)},
	} {
		c.Independent, c.Stability = x.independent, x.stability
		r := evaluated(t, b, m, []Reading{{Setting: top, Values: []float64{x.reading}, Time: x.at}}, conformity.Rule{})
		got := r.Rows[0].Measured
		if math.Abs(got.Estimate()-x.value) > 1e-9 || math.Abs(u(t, got)-x.u) > 1e-9 {
			t.Errorf("%s: %v, u %v; want %v, u %v", x.name, got.Estimate(), u(t, got), x.value, x.u)
		}
	}
}

// A verdict that rests on the assumed linearity says so; one that does not, or where the
// linearity is stated, does not.
func TestVerdictThatRestsOnLinearity(t *testing.T) {
	b, err := decade.New(decade.Spec{Name: "b", Contact: 1e-9,
		Decades: []decade.Decade{{Name: "×1k", Step: 1000, Positions: 1, Floor: 0.1}}})
	if err != nil {
		t.Fatal(err)
	}
	top, _ := b.Max()
	for _, c := range []struct {
		value     float64
		linearity float64
		noted     bool
	}{
		// U of the difference is 43 mΩ with 25 mΩ of linearity twice, 18 mΩ with 5 mΩ.
		{1000.065, 0, true}, {1000.0, 0, false}, {1000.065, 0.025, false}, {1000.2, 0, false},
	} {
		m := &Meter{Wiring: WiringFourWire, OffsetCompensated: true,
			Ranges: []Range{{Name: "10 kΩ", FullScale: 1e4, OfReading: 1e-6, OfRange: 1e-5,
				Linearity: c.linearity}}}
		r := evaluated(t, b, m,
			[]Reading{{Setting: b.Zero(), Values: []float64{0}},
				{Setting: top, Values: []float64{c.value}}}, conformity.Guarded(1))
		known := evaluated(t, b, m, []Reading{
			{Setting: b.Zero(), Values: []float64{0}}, {Setting: top, Values: []float64{c.value}},
			{Known: &Known{Name: "500 Ω", Value: 500, U: 1e-4}, Values: []float64{500.001}},
		}, conformity.Guarded(1))
		for how, row := range map[string]Row{"": r.Rows[1], ", corrected by a known resistor": known.Rows[1]} {
			if noted := strings.Contains(row.Note, "with a linearity of 5 % of the range part"); noted != c.noted {
				t.Errorf("%+v%s: %v, U %v, note %q", c, how, row.Verdict, row.Expanded.U, row.Note)
			}
		}
	}
}

// What one limit bounds is one rectangle in every combination of readings: U of a difference is
// 0.95 times the root of the sum of squares of what is left of gain and cross term, and the
// linearity comes in by convolution.
func TestDifferenceIsARectangle(t *testing.T) {
	b, err := decade.New(decade.Spec{Name: "b", ResidualIncluded: true,
		Decades: []decade.Decade{{Name: "×1k", Step: 1000, Tolerance: 1e-3}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, serial := range []string{"", "7"} { // one source, or a certificate and a session
		m := &Meter{Name: "m", Serial: serial, Certificate: serial, Wiring: WiringFourWire,
			OffsetCompensated: true, Ranges: []Range{
				{Name: "10 kΩ", FullScale: 1e4, OfReading: 3e-5, OfRange: 6e-6, Linearity: 1e-7}}}
		var rs []Reading
		for _, p := range []int{2, 8} {
			s, err := b.At(p)
			if err != nil {
				t.Fatal(err)
			}
			rs = append(rs, Reading{Setting: s, Values: []float64{s.Nominal()}, Session: "1"})
		}
		r := evaluated(t, b, m, rs, conformity.Guarded(1))
		c, err := r.comparison(&r.Rows[1], &r.Rows[0])
		if err != nil {
			t.Fatal(err)
		}
		want := 0.95 * math.Hypot(3e-5*6000, math.Sqrt(2*3e-5*0.06)*(math.Sqrt(8000)-math.Sqrt(2000)))
		if math.Abs(c.Expanded.U-want) > 1e-3*want {
			t.Errorf("serial %q: U of the difference %v, want %v", serial, c.Expanded.U, want)
		}
		for i, ohms := range []float64{2000, 8000} {
			if got, want := r.Rows[i].Expanded.U, 0.95*(3e-5*ohms+0.06); math.Abs(got-want) > 1e-3*want {
				t.Errorf("serial %q: U of %v Ω alone %v, want %v", serial, ohms, got, want)
			}
		}
	}
}

// What a known resistor of another session leaves has parts of two sessions, which are bounded
// each by itself: every row has a law.
func TestLawOfTwoSessions(t *testing.T) {
	b, err := decade.New(decade.Spec{Name: "b", ResidualIncluded: true,
		Decades: []decade.Decade{{Name: "×1k", Step: 1000, Tolerance: 1e-3}}})
	if err != nil {
		t.Fatal(err)
	}
	m := &Meter{Name: "m", Wiring: WiringFourWire, OffsetCompensated: true,
		Ranges: []Range{{Name: "10 kΩ", FullScale: 1e4, OfReading: 3e-5, OfRange: 6e-6}}}
	s, err := b.At(5)
	if err != nil {
		t.Fatal(err)
	}
	r := evaluated(t, b, m, []Reading{
		{Setting: s, Values: []float64{5000}, Session: "1"}, {Setting: s, Values: []float64{5000}, Session: "2"},
		{Known: &Known{Name: "5 kΩ", Value: 5000, U: 1e-3}, Values: []float64{5000.01}, Session: "2"},
	}, conformity.Guarded(1))
	for i := range r.Rows {
		q, ok := r.from.lawOf(i)
		if !ok {
			t.Fatalf("row %d: nothing is bounded together", i)
		}
		joint, err := uncertainty.Evaluate(q)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(joint.StandardUncertainty-r.Rows[i].u) > 1e-9 {
			t.Errorf("row %d: u %v of the law, %v of the budget", i, joint.StandardUncertainty, r.Rows[i].u)
		}
	}
	// The certificate's half of the other session's error is known: the rest is as large as before.
	if one, two := r.Rows[0].Expanded.U, r.Rows[1].Expanded.U; one < 0.15 || two > 0.005 {
		t.Errorf("U %v in the session without the resistor, %v in that with it", one, two)
	}
}

// A value as far from two others as values of one linearity may be takes that of the one read
// first, and values a step apart in decimals are near each other on every range.
func TestLinearityOfTies(t *testing.T) {
	for _, scale := range []float64{1, 10, 100, 1000, 1e6} {
		rg := Range{Name: "r", FullScale: 100 * scale}
		for _, order := range [][2]float64{{50, 50.2}, {50.2, 50}} {
			s := &sources{anchors: make(map[anchorKey]anchor)}
			var at []float64
			for i, v := range []float64{order[0], order[1], 50.1} {
				s.current = i
				at = append(at, s.anchor(rg, v*scale))
			}
			if at[2] != at[0] || at[1] == at[0] {
				t.Errorf("full scale %v Ω, %v: linearity near %v", rg.FullScale, order, at)
			}
		}
	}
}
