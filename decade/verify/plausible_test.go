// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/conformity"
)

// sixDials is a box of six ladders of 0.02 %.
func sixDials(t testing.TB) *decade.Box {
	t.Helper()
	spec := decade.Spec{Name: "six dials", Residual: 0.012, ResidualTolerance: 0.003, Contact: 1e-4}
	for _, step := range []float64{10e3, 1e3, 100, 10, 1, 0.1} {
		spec.Decades = append(spec.Decades, decade.Decade{Step: step, Tolerance: 2e-4, Floor: 1e-3})
	}
	b, err := decade.New(spec)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// wideMeter has ranges of a decade each up to 1 MΩ.
func wideMeter() *Meter {
	m := &Meter{Name: "wide", Serial: "W1", Wiring: WiringFourWire, OffsetCompensated: true}
	for _, fs := range []struct {
		name string
		ohms float64
	}{{"10 Ω", 10}, {"100 Ω", 100}, {"1 kΩ", 1e3}, {"10 kΩ", 1e4}, {"100 kΩ", 1e5}, {"1 MΩ", 1e6}} {
		m.Ranges = append(m.Ranges, Range{Name: fs.name, FullScale: fs.ohms, OverRange: 1.2, OfReading: 2e-5, OfRange: 5e-6, Resolution: 1e-6 * fs.ohms})
	}
	return m
}

// sound is a table of readings of a sound box: zero and every position of each dial.
func sound(t testing.TB, b *decade.Box, change func(s decade.Setting, v float64) float64) []Reading {
	t.Helper()
	p, err := NewPlan(b, ExtentFull)
	if err != nil {
		t.Fatal(err)
	}
	var out []Reading
	for i, s := range p.Settings() {
		v := s.Value()
		if change != nil {
			v = change(s, v)
		}
		out = append(out, Reading{Setting: s, Values: []float64{math.Round(1e6*v) / 1e6}, Line: i + 2})
	}
	return out
}

func at(t testing.TB, b *decade.Box, text string) decade.Setting {
	t.Helper()
	s, err := b.ParseSetting(text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func valueAt(t testing.TB, rs []Reading, text string, values ...float64) {
	t.Helper()
	i := slices.IndexFunc(rs, func(r Reading) bool { return r.Setting.String() == text })
	rs[i].Values = values
}

// implausible wants one finding of a kind with its settings, whose verdicts are withheld
// while all others stand.
func implausible(t *testing.T, r *Report, kind FindingKind, settings, says string) {
	t.Helper()
	if len(r.Implausible) != 1 {
		t.Fatalf("%d findings; want one: %v", len(r.Implausible), r.Implausible)
	}
	f := r.Implausible[0]
	var got []string
	for _, s := range f.Settings {
		got = append(got, s.String())
	}
	if f.Kind != kind || strings.Join(got, " ") != settings || !strings.Contains(f.String(), says) {
		t.Errorf("%v at %v: %v; want %v at %s that says %q", f.Kind, got, f, kind, settings, says)
	}
	for _, i := range f.Rows {
		row := &r.Rows[i]
		if row.Discarded != (kind != FindingSwapped && kind != FindingNull) {
			t.Errorf("%v: discarded %v", row.Setting, row.Discarded)
		}
		if !row.Withheld || row.Judged || row.Verdict != conformity.VerdictUndecided || !strings.HasPrefix(row.Note, "withheld: ") {
			t.Errorf("%v: withheld %v, judged %v, %v, %q", row.Setting, row.Withheld, row.Judged, row.Verdict, row.Note)
		}
	}
	if v := r.Verdict(); v == conformity.VerdictConforms {
		t.Error("a box with withheld verdicts conforms")
	}
	if !strings.Contains(r.String(), "Not plausible: verdicts withheld\n") {
		t.Errorf("the report does not say it:\n%v", r)
	}
}

func judge(t *testing.T, b *decade.Box, m *Meter, rs []Reading) *Report {
	t.Helper()
	return evaluated(t, b, m, rs, conformity.Guarded(1))
}

// Two rows of one dial exchanged, and both dialled again with the values that they should have: no
// exchange of wires inside the box explains that, so that the values are of no use for causes.
func TestSwappedRowsDialledAgain(t *testing.T) {
	b := sixDials(t)
	rs := sound(t, b, exchanged)
	once := judge(t, b, wideMeter(), rs)
	again := judge(t, b, wideMeter(), append(slices.Clone(rs), sound(t, b, nil)...))
	for _, c := range []struct {
		r         *Report
		discarded bool
	}{{once, false}, {again, true}} {
		if len(c.r.Implausible) != 1 || c.r.Implausible[0].Kind != FindingSwapped {
			t.Fatalf("%v", c.r.Implausible)
		}
		for _, i := range c.r.Implausible[0].Rows {
			if c.r.Rows[i].Discarded != c.discarded {
				t.Errorf("%v of %d rows: discarded %v, want %v", c.r.Rows[i].Setting, len(c.r.Rows),
					c.r.Rows[i].Discarded, c.discarded)
			}
		}
	}
}

// A sound box is plausible, and conforms.
func TestPlausibleBox(t *testing.T) {
	b := sixDials(t)
	r := judge(t, b, wideMeter(), sound(t, b, nil))
	if len(r.Implausible) > 0 || !r.Conforms() {
		t.Errorf("%v, %v", r.Verdict(), r.Implausible)
	}
	if h := r.Headline(StageAsFound); h.Judged != 62 || h.Planned != 62 || h.Withheld != 0 || h.NotRead != nil || h.String() != "62 of 62 settings judged" {
		t.Errorf("headline %+v: %v", h, h)
	}
}

// No resistor reads negative beyond its uncertainty; a little below zero is noise.
func TestNegative(t *testing.T) {
	b := sixDials(t)
	rs := sound(t, b, nil)
	valueAt(t, rs, "0-0-4-0-0-0", -400.012)
	implausible(t, judge(t, b, wideMeter(), rs), FindingNegative, "0-0-4-0-0-0", "sign lost")

	// A zero below zero by a little more than U is one sound reading in forty.
	rs = sound(t, b, nil)
	u := judge(t, b, wideMeter(), rs).At(b.Zero())[0].Expanded.U
	valueAt(t, rs, "0-0-0-0-0-0", -1.2*u)
	if r := judge(t, b, wideMeter(), rs); len(r.Implausible) > 0 {
		t.Errorf("%v; want none", r.Implausible)
	}
	valueAt(t, rs, "0-0-0-0-0-0", -1.7*u)
	implausible(t, judge(t, b, wideMeter(), rs), FindingNegative, "0-0-0-0-0-0", "sign lost")

	m := wideMeter()
	m.Leads.Null = NullBoxAtZero
	rs = sound(t, b, func(s decade.Setting, v float64) float64 { return s.Nominal() })
	valueAt(t, rs, "0-0-0-0-0-0", -1e-5)
	if r := judge(t, b, m, rs); len(r.Implausible) > 0 {
		t.Errorf("-10 µΩ after a null: %v", r.Implausible)
	}
}

// A whole dial in kΩ that were taken for Ω, and one value in mΩ.
func TestUnitLost(t *testing.T) {
	b := sixDials(t)
	rs := sound(t, b, func(s decade.Setting, v float64) float64 {
		if d, _ := onlyDialOffZero(s); d == 1 {
			return v / 1000
		}
		return v
	})
	r := judge(t, b, wideMeter(), rs)
	implausible(t, r, FindingUnitLost, "0-1-0-0-0-0 0-2-0-0-0-0 0-3-0-0-0-0 0-4-0-0-0-0 0-5-0-0-0-0 0-6-0-0-0-0 0-7-0-0-0-0 0-8-0-0-0-0 0-9-0-0-0-0 0-10-0-0-0-0", "(all of the ×1 kΩ dial)")
	if s := r.Summary(StageAsFound); s.Withheld != 10 || s.DoNotConform != 0 {
		t.Errorf("%v; want the ten withheld, none failed", s)
	}
	rs = sound(t, b, nil)
	valueAt(t, rs, "0-0-0-0-0-7", 712)
	implausible(t, judge(t, b, wideMeter(), rs), FindingUnitLost, "0-0-0-0-0-7", "1000 times too large")
}

// A value 1000 times too large is above every range of the meter, or above the one that is
// named: no reason to stop, but a finding. What no lost unit explains is refused as before.
func TestUnitLostAboveEveryRange(t *testing.T) {
	b := sixDials(t)
	for _, name := range []string{"", "100 kΩ"} {
		for _, values := range [][]float64{{80000011}, {80000011, 80000012}, {83000011}, {80000.011e6}} {
			rs := sound(t, b, nil)
			valueAt(t, rs, "8-0-0-0-0-0", values...)
			for i := range rs {
				if rs[i].Setting.String() == "8-0-0-0-0-0" {
					rs[i].Range = name
				}
			}
			r := judge(t, b, wideMeter(), rs)
			implausible(t, r, FindingUnitLost, "8-0-0-0-0-0", "times too large")
			if got := row(t, r, "8-0-0-0-0-0"); got.Range != "100 kΩ" || !got.Discarded {
				t.Errorf("range %q, values %v: %+v", name, values, got)
			}
		}
	}
	// One of the repeats only.
	rs := sound(t, b, nil)
	valueAt(t, rs, "8-0-0-0-0-0", 80000.012, 80000012, 80000.011)
	implausible(t, judge(t, b, wideMeter(), rs), FindingContradiction, "8-0-0-0-0-0", "contradict each other")
	valueAt(t, rs, "8-0-0-0-0-0", 5e6)
	if _, err := Evaluate(b, wideMeter(), rs, conformity.Guarded(1)); !errors.Is(err, ErrNoRange) {
		t.Errorf("5 MΩ at 80 kΩ: %v; want %v", err, ErrNoRange)
	}
}

// A shorted element leaves the residual, which at 10 Ω is about a thousandth: a fault, no slip.
// All of a dial in kΩ is a slip, even where its first position looks like that.
func TestShortedElementIsNoLostUnit(t *testing.T) {
	b := sixDials(t)
	rs := sound(t, b, func(s decade.Setting, v float64) float64 {
		if d, _ := onlyDialOffZero(s); d == 3 {
			return v - 10 // the first element of the 10 Ω dial
		}
		return v
	})
	valueAt(t, rs, "0-0-0-1-0-0", 0.0101) // a little less than the residual
	r := judge(t, b, wideMeter(), rs)
	if len(r.Implausible) > 0 {
		t.Fatalf("%v", r.Implausible)
	}
	if got := row(t, r, "0-0-0-1-0-0"); got.Withheld || got.Discarded || got.Verdict != conformity.VerdictDoesNotConform {
		t.Errorf("%+v", got)
	}
	rs = sound(t, b, func(s decade.Setting, v float64) float64 {
		if d, _ := onlyDialOffZero(s); d == 3 {
			return v / 1000
		}
		return v
	})
	r = judge(t, b, wideMeter(), rs)
	if len(r.Implausible) != 1 || len(r.Implausible[0].Rows) != 10 || r.Implausible[0].Kind != FindingUnitLost {
		t.Errorf("a dial in kΩ: %v", r.Implausible)
	}
}

// 49.98 kΩ and 9.999 kΩ as repeats of one dialling are no 30 kΩ.
func TestContradictingRepeats(t *testing.T) {
	b := sixDials(t)
	rs := sound(t, b, nil)
	valueAt(t, rs, "3-0-0-0-0-0", 49980, 9999)
	implausible(t, judge(t, b, wideMeter(), rs), FindingContradiction, "3-0-0-0-0-0", "9.999 kΩ to 49.98 kΩ")

	// As noisy as the other diallings of the range are, they do not contradict each other.
	rs = sound(t, b, nil)
	for i := range rs {
		v := rs[i].Values[0]
		rs[i].Values = []float64{v * 0.9999, v * 1.0001}
	}
	if r := judge(t, b, wideMeter(), rs); len(r.Implausible) > 0 {
		t.Errorf("repeats that scatter: %v", r.Implausible)
	}
}

// A contradiction is withheld with its row: it widens the budget of no other row of its range, by
// noise or by contacts.
func TestContradictionStaysInItsRow(t *testing.T) {
	b := sixDials(t)
	repeated := func() []Reading {
		rs := sound(t, b, nil)
		for i := range rs {
			v := rs[i].Values[0]
			rs[i].Values = []float64{v, v * (1 + 1e-7), v * (1 - 1e-7)}
		}
		return rs
	}
	rs := repeated()
	rs = append(rs, Reading{Setting: at(t, b, "0-0-0-0-4-0"), Values: []float64{4.012, 4.012, 4.012}})
	good := judge(t, b, wideMeter(), rs)
	valueAt(t, rs, "0-4-0-0-0-0", 4000.012, 400.0012)
	valueAt(t, rs, "0-0-0-0-4-0", 4.012, 3.012)
	r := judge(t, b, wideMeter(), rs)
	if len(r.Implausible) != 1 || len(r.Implausible[0].Rows) != 2 {
		t.Fatalf("%v", r.Implausible)
	}
	for i := range r.Rows {
		row, was := &r.Rows[i], &good.Rows[i]
		if !row.Withheld && (row.Expanded.U > 1.001*was.Expanded.U || row.Verdict != was.Verdict) {
			t.Errorf("%v: U = %v, %v; without the contradictions %v, %v", row.Setting, row.Expanded.U, row.Verdict, was.Expanded.U, was.Verdict)
		}
	}
}

// Repeats in a wrong unit scatter by as much more: a unit is lost, nothing contradicts, and no
// other row is wider for it.
func TestUnitLostWithRepeats(t *testing.T) {
	b := sixDials(t)
	for _, factor := range []float64{1000, 0.001} {
		rs := sound(t, b, nil)
		for i := range rs {
			v := rs[i].Values[0]
			if d, _ := onlyDialOffZero(rs[i].Setting); d == 1 {
				v *= factor
			}
			rs[i].Values = []float64{v, v * (1 + 2e-6)}
		}
		r := judge(t, b, wideMeter(), rs)
		if len(r.Implausible) != 1 || r.Implausible[0].Kind != FindingUnitLost || len(r.Implausible[0].Rows) != 10 {
			t.Errorf("× %v: %v", factor, r.Implausible)
		}
		if got := row(t, r, "1-0-0-0-0-0"); got.UncertaintyRatio < 3 {
			t.Errorf("× %v: test uncertainty ratio of another dial %v", factor, got.UncertaintyRatio)
		}
	}
}

// Two lines far apart in the record, of two dials, exchanged: no fault of the box, so that their
// values are of no use for causes.
func TestSwappedRowsFarApart(t *testing.T) {
	b := sixDials(t)
	rs := sound(t, b, nil)
	valueAt(t, rs, "0-0-3-0-0-0", 7000.012)
	valueAt(t, rs, "0-7-0-0-0-0", 300.012)
	r := judge(t, b, wideMeter(), rs)
	if len(r.Implausible) != 1 || r.Implausible[0].Kind != FindingSwapped || len(r.Implausible[0].Rows) != 2 {
		t.Fatalf("%v", r.Implausible)
	}
	for _, text := range []string{"0-7-0-0-0-0", "0-0-3-0-0-0"} {
		if got := row(t, r, text); !got.Withheld || !got.Discarded {
			t.Errorf("%s: withheld %v, kept from causes %v", text, got.Withheld, got.Discarded)
		}
	}
}

// exchanged are the values of two settings of the 1 Ω dial in each other's place.
func exchanged(s decade.Setting, v float64) float64 {
	switch s.String() {
	case "0-0-0-0-4-0":
		return 5.012
	case "0-0-0-0-5-0":
		return 4.012
	}
	return v
}

// A slip in one of two diallings makes a scatter of the setting, in which it must not hide.
func TestSlipInOneOfTwoDiallings(t *testing.T) {
	b := sixDials(t)
	twice := func(change func(s decade.Setting, v float64) float64) *Report {
		rs := append(sound(t, b, change), sound(t, b, nil)...)
		return judge(t, b, wideMeter(), rs)
	}
	r := twice(exchanged)
	if len(r.Implausible) != 1 || r.Implausible[0].Kind != FindingSwapped || len(r.Implausible[0].Rows) != 2 {
		t.Errorf("exchanged in the first round: %v", r.Implausible)
	}
	r = twice(func(s decade.Setting, v float64) float64 {
		if s.String() == "0-0-0-0-7-0" {
			return -v
		}
		return v
	})
	if len(r.Implausible) != 1 || r.Implausible[0].Kind != FindingNegative || len(r.Implausible[0].Rows) != 1 {
		t.Errorf("sign lost in the first round: %v", r.Implausible)
	}
}

// Two lines exchanged; dialled again with the same values they are no recording error.
func TestSwappedRows(t *testing.T) {
	b := sixDials(t)
	rs := sound(t, b, nil)
	valueAt(t, rs, "0-0-4-0-0-0", 500.012)
	valueAt(t, rs, "0-0-5-0-0-0", 400.012)
	implausible(t, judge(t, b, wideMeter(), rs), FindingSwapped, "0-0-4-0-0-0 0-0-5-0-0-0", "Two lines or two settings swapped?")
	for text, v := range map[string]float64{"0-0-4-0-0-0": 500.012, "0-0-5-0-0-0": 400.012} {
		rs = append(rs, Reading{Setting: at(t, b, text), Values: []float64{v}})
	}
	r := judge(t, b, wideMeter(), rs)
	if len(r.Implausible) > 0 || r.Verdict() != conformity.VerdictDoesNotConform {
		t.Errorf("read twice alike: %v, %v", r.Verdict(), r.Implausible)
	}
	// A first step that is shorted makes each position read as the one before: no exchange.
	rs = sound(t, b, func(s decade.Setting, v float64) float64 {
		if d, _ := onlyDialOffZero(s); d == 2 {
			return v - 100
		}
		return v
	})
	if r := judge(t, b, wideMeter(), rs); len(r.Implausible) > 0 {
		t.Errorf("a shorted step: %v", r.Implausible)
	}
}

// A box at 210 °C is one at 21.0 °C; 73 °F and 296 K are told, too.
func TestTemperatureOfNoRoom(t *testing.T) {
	b := sixDials(t)
	for degrees, says := range map[float64]string{210: "(21 °C, its decimal mark lost?)", 73: "(22.8 °C, written in °F?)", 296.15: "(23 °C, written in K?)", -4: "the box at -4 °C in 1 reading"} {
		rs := sound(t, b, nil)
		rs[3].Temperature = new(degrees)
		implausible(t, judge(t, b, wideMeter(), rs), FindingTemperature, rs[3].Setting.String(), says)
	}
	rs := sound(t, b, nil)
	for i := range rs {
		rs[i].Temperature, rs[i].MeterTemperature = new(23.0), new(23.0)
	}
	rs[5].MeterTemperature = new(50.5)
	implausible(t, judge(t, b, wideMeter(), rs), FindingTemperature, rs[5].Setting.String(), "the meter at 50.5 °C")
}

// 12 mΩ at zero after a null with the box at zero: what rests on the null is withheld where
// 12 mΩ matter, and judged where they do not.
func TestZeroAgainstNull(t *testing.T) {
	b := sixDials(t)
	m := wideMeter()
	m.Leads.Null = NullBoxAtZero
	r := judge(t, b, m, sound(t, b, nil))
	implausible(t, r, FindingNull, "0-0-0-0-0-0", "12 mΩ after a null with the box at zero")
	for text, withheld := range map[string]bool{"0-0-0-0-0-1": true, "0-0-5-0-0-0": true, "0-0-6-0-0-0": false, "10-0-0-0-0-0": false} {
		if got := row(t, r, text); got.Withheld != withheld {
			t.Errorf("%s, limit %v Ω: withheld %v", text, got.Limits.Upper, got.Withheld)
		}
	}
	m = wideMeter()
	m.Leads.Null = NullLeadsJoined
	rs := sound(t, b, func(s decade.Setting, v float64) float64 { return s.Nominal() })
	implausible(t, judge(t, b, m, rs), FindingNull, "0-0-0-0-0-0", "where the residual is 9 mΩ or more")
}

// One zero reading is no conforming box.
func TestHeadlineCountsWhatWasJudged(t *testing.T) {
	b := sixDials(t)
	r := judge(t, b, wideMeter(), sound(t, b, nil)[:1])
	h := r.Headline(StageAsFound)
	if h.Judged != 1 || h.Planned != 62 || len(h.NotRead) != 6 {
		t.Errorf("%+v", h)
	}
	if want := "1 of 62 settings judged; 6 dials not read: ×10 kΩ, ×1 kΩ, ×100 Ω, ×10 Ω, ×1 Ω, ×0.1 Ω"; h.String() != want {
		t.Errorf("%v; want %s", h, want)
	}
	if r.Verdict() != conformity.VerdictUndecided || !strings.Contains(r.String(), "The box cannot be decided: nothing was judged of 6 dials.") {
		t.Errorf("%v:\n%v", r.Verdict(), r)
	}
}

// A tolerance of 0.02 where 0.02 % was meant is pointed out; 1 % is not.
func TestUnusualTolerance(t *testing.T) {
	for tolerance, warned := range map[float64]bool{0.02: true, 0.01: false, 2e-4: false} {
		b, err := decade.New(decade.Spec{Name: "one dial", Decades: []decade.Decade{{Step: 100, Tolerance: tolerance}}})
		if err != nil {
			t.Fatal(err)
		}
		r := judge(t, b, wideMeter(), sound(t, b, nil))
		got := slices.ContainsFunc(r.Warnings, func(err error) bool { return errors.Is(err, ErrUnusual) })
		if got != warned {
			t.Errorf("tolerance %v: warned %v", tolerance, got)
		}
	}
}

// A meter that says it is ideal is pointed out.
func TestIdealMeter(t *testing.T) {
	b := sixDials(t)
	m := wideMeter()
	m.Ideal = true
	for i := range m.Ranges {
		m.Ranges[i].OfReading, m.Ranges[i].OfRange = 0, 0
	}
	r := judge(t, b, m, sound(t, b, nil))
	if !slices.ContainsFunc(r.Warnings, func(err error) bool { return errors.Is(err, ErrUnusual) }) {
		t.Errorf("warnings %v", r.Warnings)
	}
}

// The heading echoes class, level, unit and limits, with or without a residual.
func TestClassAndLimitsAreEchoed(t *testing.T) {
	b := sixDials(t)
	r := judge(t, b, wideMeter(), sound(t, b, nil)[:1])
	want := "±(0.02 % + 1 mΩ) (×10 kΩ, ×1 kΩ, ×100 Ω, ×10 Ω, ×1 Ω, ×0.1 Ω) of the dialled value of each dial; residual 12 mΩ ± 3 mΩ, not included; limits in Ω"
	if got := r.Heading()[1][1]; got != want {
		t.Errorf("class %q; want %q", got, want)
	}
	if got := r.Heading()[3][1]; got != "10 Ω: ±(20 ppm of reading + 5 ppm of range), one limit" {
		t.Errorf("limits %q", got)
	}
	plain, err := decade.New(decade.Spec{Name: "plain", Tolerance: 1e-3, Floor: 0.01, ResidualIncluded: true, Decades: []decade.Decade{{Step: 100}, {Step: 10, Tolerance: 5e-3, Spread: decade.LevelElement}}})
	if err != nil {
		t.Fatal(err)
	}
	r = judge(t, plain, wideMeter(), sound(t, plain, nil))
	want = "±0.5 % of each element (×10 Ω); ±(0.1 % + 10 mΩ) of the setting (box); residual not stated, included; limits in Ω"
	if got := r.Heading()[1][1]; got != want {
		t.Errorf("class %q; want %q", got, want)
	}
}
