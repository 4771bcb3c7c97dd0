// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// rangeOf is the range of the wide meter that shows a value.
func rangeOf(v float64) string {
	for _, rg := range wideMeter().Ranges {
		if v <= rg.Reach() {
			return rg.Name
		}
	}
	return ""
}

// ruling lists what rules in a report.
func ruling(r *Report) []Common {
	var out []Common
	for _, c := range r.Common {
		if c.Rules {
			out = append(out, c)
		}
	}
	return out
}

// One thing that is common is found at its own scope and no other, with its size, what can
// explain it and the ranges concerned.
func TestCommonShift(t *testing.T) {
	b := sixDials(t)
	for name, c := range map[string]struct {
		change func(s decade.Setting, v float64) float64
		scope  CommonScope
		of     string
		shift  float64
		says   string
		ranges int // to read a known resistor on
	}{
		"all": {func(_ decade.Setting, v float64) float64 { return 1.0012 * v }, CommonAll, "", 1.2e-3,
			"All readings deviate by +0.12 % in common", 5},
		"range": {func(_ decade.Setting, v float64) float64 {
			if rangeOf(v) == "100 Ω" {
				return 1.003 * v
			}
			return v
		}, CommonRange, "100 Ω", 3e-3, "Readings on range 100 Ω deviate by +0.3 % in common", 1},
		"dial": {func(s decade.Setting, v float64) float64 { return v + 3*float64(s.Position(1)) }, CommonDial, "×1 kΩ", 3e-3,
			"The steps of the ×1 kΩ dial deviate by +0.3 % in common", 2},
	} {
		r := judge(t, b, wideMeter(), sound(t, b, c.change))
		list := ruling(r)
		if len(list) != 1 {
			t.Errorf("%s: %d rule: %v", name, len(list), list)
			continue
		}
		got := list[0]
		if of := got.Range + got.Name; got.Scope != c.scope || of != c.of ||
			math.Abs(got.Shift-c.shift) > got.U || got.U > 1e-4 ||
			!strings.Contains(got.String(), c.says) {
			t.Errorf("%s: %v %q %v ± %v: %v", name, got.Scope, of, got.Shift, got.U, got)
		}
		if n := len(got.Ranges()); n != c.ranges || c.ranges == 1 && got.Ranges()[0] != "100 Ω" {
			t.Errorf("%s: ranges %v", name, got.Ranges())
		}
		if got.Meter < 1e-5 || got.Meter > 4e-5 || got.Temperature != 0 || got.Box < 2e-4 {
			t.Errorf("%s: explained by meter %v, temperature %v, box %v", name, got.Meter, got.Temperature, got.Box)
		}
		if !strings.Contains(strings.Join(strings.Fields(r.String()), " "), c.says) {
			t.Errorf("%s: not in the report", name)
		}
	}
}

// Nothing rules in sound boxes, whose dials lie anywhere inside their class, nor where one
// element is off.
func TestNothingCommon(t *testing.T) {
	b := sixDials(t)
	rnd := rand.New(rand.NewPCG(5, 6))
	flat := func() float64 { return 2*rnd.Float64() - 1 }
	often, boxes := 0, 15
	if uncertaintytest.Long() {
		boxes = 40
	}
	for range boxes {
		var dial [6]float64
		var element [6][11]float64
		for d := range dial {
			dial[d] = 1.4e-4 * flat()
			for e := range element[d] {
				element[d][e] = 6e-5 * flat()
			}
		}
		spec := b.Spec()
		r := judge(t, b, wideMeter(), sound(t, b, func(s decade.Setting, v float64) float64 {
			for d, p := range s.Positions() {
				for e := 1; e <= p; e++ {
					v += spec.Decades[d].Step * (dial[d] + element[d][e])
				}
			}
			return v
		}))
		if len(ruling(r)) > 0 {
			often++
			t.Logf("a sound box: %v", ruling(r))
		}
	}
	if often > 1 {
		t.Errorf("something rules in %d of %d sound boxes", often, boxes)
	}
	r := judge(t, b, wideMeter(), sound(t, b, func(s decade.Setting, v float64) float64 {
		if s.Position(2) >= 3 {
			v += 0.5
		}
		return v
	}))
	if list := ruling(r); len(list) > 0 {
		t.Errorf("one element off: %v", list)
	}
}

// Where the range changes between two positions, the jump is told with the step.
func TestJumpBetweenRanges(t *testing.T) {
	b := sixDials(t)
	r := judge(t, b, wideMeter(), sound(t, b, func(_ decade.Setting, v float64) float64 {
		if rangeOf(v) == "10 kΩ" {
			return v + 3
		}
		return v
	}))
	found := false
	for _, f := range r.Findings {
		found = found || f.Kind == FindingStep &&
			strings.Contains(f.String(),
				"The range changes there, from 1 kΩ to 10 kΩ: read both positions on one range.")
	}
	jump := false
	for _, c := range r.Common {
		// 3 Ω, of the 1 kΩ below.
		jump = jump || c.Scope == CommonJump && c.From == "1 kΩ" && c.Range == "10 kΩ" &&
			math.Abs(c.Shift-3e-3) < 1e-4 && strings.Contains(c.String(), "jumps by +0.3 %")
	}
	if !found || !jump {
		t.Errorf("finding %v, jump %v: %v\n%v", found, jump, r.Findings, r.Common)
	}
}

// A meter that is off by 0.3 % on one range: after a known resistor was read, the report
// says so and the values are right.
func TestKnownResistor(t *testing.T) {
	b := sixDials(t)
	off := func(_ decade.Setting, v float64) float64 {
		if rangeOf(v) == "100 Ω" {
			return 1.003 * v
		}
		return v
	}
	rs := sound(t, b, off)
	known := &Known{Name: "standard 100 Ω", Value: 100.0008, U: 0.0010}
	rs = append(rs, Reading{Known: known, Values: []float64{100.3008}, Range: "100 Ω"})
	r := judge(t, b, wideMeter(), rs)
	if len(r.MeterErrors) != 1 || len(r.Rows) != len(rs)-1 || len(r.Standards) != 1 {
		t.Fatalf("%d errors of the meter, %d rows, %d standards", len(r.MeterErrors), len(r.Rows), len(r.Standards))
	}
	m := r.MeterErrors[0]
	// U: half of 1 mΩ of the standard and a display of 0.1 mΩ, by hand.
	if math.Abs(m.Error-0.3) > 1e-9 ||
		math.Abs(m.U-1.96*math.Hypot(0.5e-3, 1e-4/math.Sqrt(12))) > 1e-6 || !m.Outside() ||
		m.Range != "100 Ω" || math.Abs(m.Limit-(2e-5*100.3008+5e-4)) > 1e-9 {
		t.Errorf("%+v", m)
	}
	if want := "Range 100 Ω reads standard 100 Ω high by 0.3 Ω at 100 Ω, U = 982 µΩ, where its " +
		"limits are ±2.51 mΩ: outside its limits. The readings of the range are corrected " +
		"by it."; m.String() != want {
		t.Errorf("%v; want %s", m, want)
	}
	if list := ruling(r); len(list) > 0 {
		t.Errorf("still rules: %v", list)
	}
	before := judge(t, b, wideMeter(), rs[:len(rs)-1])
	for _, text := range []string{"0-0-1-0-0-0", "0-0-0-10-0-0", "0-0-0-8-0-0"} {
		was, is := row(t, before, text).Deviation.Estimate(), row(t, r, text).Deviation.Estimate()
		if math.Abs(is) > 0.05*math.Abs(was) {
			t.Errorf("%s: deviation %v Ω before, %v Ω after", text, was, is)
		}
	}
	if !strings.Contains(strings.Join(strings.Fields(r.String()), " "),
		"outside its limits. The readings of the range are corrected by it.") {
		t.Errorf("not in the report:\n%v", r)
	}
}

// Readings of known resistors are written and read.
func TestKnownRoundTrip(t *testing.T) {
	b := sixDials(t)
	rs := []Reading{
		{Setting: b.Zero(), Dialling: 1, Values: []float64{0.012}},
		{Known: &Known{Name: "standard 100 Ω", Value: 100.0008, U: 0.001, K: 2}, Dialling: 1, Range: "100 Ω", Values: []float64{100.001, 100.002}},
		{Known: &Known{Name: "standard 10 kΩ", Value: 10000.07}, Dialling: 1, Values: []float64{10000.1}},
	}
	var file strings.Builder
	if err := WriteReadings(&file, rs); err != nil {
		t.Fatal(err)
	}
	back, err := ReadReadings(strings.NewReader(file.String()), b)
	if err != nil {
		t.Fatalf("%v in\n%s", err, file.String())
	}
	for i := range rs {
		if rs[i].Known != nil && (back[i].Known == nil || *back[i].Known != *rs[i].Known) ||
			back[i].Setting != rs[i].Setting || len(back[i].Values) != len(rs[i].Values) {
			t.Errorf("row %d: %+v; want %+v", i, back[i], rs[i])
		}
	}
	table := "setting; standard; standard value; standard U (mΩ); standard k; value\n0-0-0-0-0-0; ; ; ; ; 0,012\n; S1; 1,00002 kΩ; 4; 2; 1000,1\n"
	back, err = ReadReadings(strings.NewReader(table), b)
	if err != nil || *back[1].Known != (Known{"S1", 1000.02, 0.004, 2}) {
		t.Errorf("%+v, %v", back, err)
	}
	for text, says := range map[string]string{
		"setting,standard,standard value,value\n0-0-0-0-0-1,S1,100,100\n":  "expected one of the two",
		"setting,standard,standard value,value\n,S1,,100\n":                "expected a number",
		"setting,standard,standard value,value\n,S1,-5,100\n":              "expected 0 or more",
		"setting,standard,standard value,value\n0-0-0-0-0-1,,100,100\n":    "without a name",
		"setting,standard,standard value,standard k,value\n,S,5,0.5,100\n": "expected 1 or more",
	} {
		if _, err := ReadReadings(strings.NewReader(text), b); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v; want %q", text, err, says)
		}
	}
	two := []Reading{rs[0], rs[1], {Known: &Known{Name: "standard 100 Ω", Value: 101}, Values: []float64{101}}}
	if _, err := Evaluate(b, wideMeter(), two, conformity.Guarded(1)); !errors.Is(err, ErrContradiction) {
		t.Errorf("two values of one resistor: %v", err)
	}
	if _, err := Evaluate(b, wideMeter(), rs[1:], conformity.Guarded(1)); !errors.Is(err, ErrEmpty) {
		t.Errorf("known resistors only: %v", err)
	}
}

// Where the meter is too coarse the comparisons inside the box are in the report, unasked;
// where it is good enough they are not.
func TestComparedWhereTooCoarse(t *testing.T) {
	b := tensBox(t)
	rs := read(t, b, map[string]float64{"0-0": 0, "1-0": 10.001, "0-10": 10.0008})
	m := coarseMeter()
	r := judge(t, b, m, rs)
	if len(r.Compared) != 1 ||
		!strings.Contains(r.String(), "Compared inside the box, where the meter is too coarse\n") {
		t.Errorf("%v in\n%v", r.Compared, r)
	}
	text, err := json.Marshal(r)
	if err != nil || !strings.Contains(string(text), `"compared":[{"stage":"as found"`) {
		t.Errorf("%v, no comparison in the JSON", err)
	}
	if r := judge(t, b, wideMeter(), rs); len(r.Compared) != 0 {
		t.Errorf("a good meter: %v", r.Compared)
	}
}

// Two results near their limits on one range share its gain: not independent evidence.
func TestSharedErrors(t *testing.T) {
	b := tensBox(t)
	r := judge(t, b, coarseMeter(), read(t, b, map[string]float64{"0-0": 0, "8-0": 80.03, "9-0": 90.03}))
	if len(r.Shared) != 1 || r.Shared[0].Correlation < 0.9 ||
		!strings.Contains(r.Shared[0].String(), "8-0, 9-0 share the errors of range 100 Ω") {
		t.Errorf("%v", r.Shared)
	}
	if r := judge(t, b, coarseMeter(),
		read(t, b, map[string]float64{"0-0": 0, "8-0": 80, "9-0": 95})); len(r.Shared) != 0 {
		t.Errorf("far from their limits: %v", r.Shared)
	}
}
