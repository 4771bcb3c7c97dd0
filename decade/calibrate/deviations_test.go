// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

import (
	"encoding/csv"
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// certified is a box of two dials with a calibration: every element 0.1 % high, U =
// 2 mΩ (k = 2), the residual 12 mΩ.
func certified(t testing.TB, included bool) *decade.Box {
	t.Helper()
	b, err := decade.New(decade.Spec{Name: "certified", Serial: "3", Residual: 0.01,
		ResidualTolerance: 0.005, ResidualIncluded: included, Decades: []decade.Decade{
			{Name: "×10", Step: 10, Positions: 2, Tolerance: 0.002}, {Name: "×1", Step: 1, Positions: 1, Floor: 0.01},
		}})
	if err != nil {
		t.Fatal(err)
	}
	c := &decade.Calibration{Box: "certified", Serial: "3",
		Date: time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC),
		Values: uncertainty.Record{ID: "certificate 3", Quantities: []uncertainty.Quantity{
			certificate("residual", 0.012, 0.001), certificate("×10 element 1", 10.01, 0.002), certificate("×10 element 2", 10.01, 0.002), certificate("×1 element 1", 1.001, 0.002),
		}}}
	out, err := b.With(c)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestDeviations(t *testing.T) {
	d, err := Deviations(certified(t, false), 0.9545)
	if err != nil {
		t.Fatal(err)
	}
	two := d.Dials[0].Rows[1]
	if math.Abs(two.Value-20.02) > 1e-12 || math.Abs(two.Deviation-0.02) > 1e-12 ||
		math.Abs(two.Expanded.U-0.002*math.Sqrt2) > 1e-6 || two.Limit != 0.04 || two.Position != 2 {
		t.Errorf("position 2: %+v", two)
	}
	var s strings.Builder
	if err := d.WriteText(&s); err != nil {
		t.Fatal(err)
	}
	const want = `Box: certified, serial 3
Record: certificate 3
Date: 2026-03-01
Residual, all dials at zero: 12.0 ± 1.0 mΩ
Values are above the zero setting: the residual is not in them. Deviation is measured minus nominal, at reference conditions, without switching variation.
U has a coverage probability of 95.5 %.

Dial ×10
Position  Nominal/Ω  Value/Ω  Deviation/mΩ  U/mΩ  Deviation/ppm  U/ppm  Class/mΩ
1         10         10.0100  +10.0         2.0   +1000          200    ±20
2         20         20.0200  +20.0         2.8   +1000          140    ±40

Dial ×1
Position  Nominal/Ω  Value/Ω  Deviation/mΩ  U/mΩ  Deviation/ppm  U/ppm  Class/mΩ
1         1          1.0010   +1.0          2.0   +1000          2000   ±10
`
	if diff := cmp.Diff(want, s.String()); diff != "" {
		t.Error(diff)
	}
	s.Reset()
	if err := d.WriteMarkdown(&s); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(s.String(), "\n| 2 | 20 | 20.0200 | +20.0 | 2.8 | +1000 | 140 | ±40 |\n") {
		t.Errorf("%s", s.String())
	}
	s.Reset()
	if err := d.WriteCSV(&s); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(s.String())).ReadAll()
	if err != nil || len(rows) != 1+1+3 || rows[1][0] != "residual" || rows[1][4] != "0.012" || rows[3][2] != "2-0" {
		t.Errorf("%v, %v", rows, err)
	}
}

// Where the box is stated with its residual, values are at the terminals.
func TestDeviationsAtTheTerminals(t *testing.T) {
	d, err := Deviations(certified(t, true), 0)
	if err != nil {
		t.Fatal(err)
	}
	if got := d.Dials[0].Rows[0].Value; math.Abs(got-10.022) > 1e-12 || d.Coverage != 0.95 {
		t.Errorf("value %v with coverage %v; want 10.022, 0.95", got, d.Coverage)
	}
	if !strings.Contains(strings.Join(d.head(), " "), "at the terminals") {
		t.Error(d.head())
	}
}

func TestDeviationsRefuses(t *testing.T) {
	if _, err := Deviations(oneStep(t), 0); !errors.Is(err, ErrEmpty) {
		t.Errorf("no calibration: %v", err)
	}
	if _, err := Deviations(nil, 0); !errors.Is(err, ErrEmpty) {
		t.Errorf("no box: %v", err)
	}
	for _, p := range []float64{-1, 1, math.NaN()} {
		if _, err := Deviations(certified(t, false), p); err == nil || !strings.Contains(err.Error(), "coverage") {
			t.Errorf("coverage %v: %v", p, err)
		}
	}
}

// A step repaired: found 2 % high, left inside; the meter's gain is not in the change.
func TestAdjustment(t *testing.T) {
	box := oneDial(t)
	found := simulate(t, box, elements(map[int]float64{3: 102}), nil)
	left := simulate(t, box, elements(nil), nil)
	var rs []verify.Reading
	for i := range found {
		found[i].Session, left[i].Session = "1", "1"
		left[i].Stage = verify.StageAsLeft
		rs = append(rs, found[i])
	}
	again := found[4]
	again.Dialling, again.Values = 2, []float64{999}
	rs = append(rs, again)
	rs = append(rs, left[:len(left)-1]...)
	r := evaluated(t, box, fourWire(), rs, conformity.Guarded(1))
	a, err := NewAdjustment(r)
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Rows) != 11 {
		t.Fatalf("%d rows", len(a.Rows))
	}
	for i, row := range a.Rows {
		p := row.Setting.Position(0)
		switch {
		case row.Setting == left[len(left)-1].Setting:
			if row.Left != nil || row.Change != nil {
				t.Errorf("%v was not read as left: %+v", row.Setting, row)
			}
		case row.Changed() != (p >= 3):
			t.Errorf("row %d, %v: change %v ± %v", i, row.Setting, row.Change.Estimate, row.Change.Expanded.U)
		case p >= 3 && math.Abs(row.Change.Estimate+2) > row.Change.Expanded.U:
			t.Errorf("%v: change %v, want −2", row.Setting, row.Change.Estimate)
		}
		if row.Found.Reading.Dialling != 1 {
			t.Errorf("%v: dialling %d counts as found", row.Setting, row.Found.Reading.Dialling)
		}
	}
	// The gain of 0.01 % acts on the change of 2 Ω alone, not on the resistance.
	for _, c := range a.Rows[4].Change.Components {
		if strings.HasPrefix(c.Name, "meter gain") && math.Abs(math.Abs(c.Contribution)-2e-4/math.Sqrt(3)) > 1e-6 {
			t.Errorf("gain contributes %v to the change at %v", c.Contribution, a.Rows[4].Setting)
		}
	}
	var text, md, table strings.Builder
	for _, err := range []error{a.WriteText(&text), a.WriteMarkdown(&md), a.WriteCSV(&table)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, want := range []string{"As found: 11 settings", "As left: 10 settings",
		"7 settings changed", "earlier work with it may be affected", "not read", "-2.00"} {
		if !strings.Contains(text.String(), want) || !strings.Contains(md.String(), want) {
			t.Errorf("no %q in\n%s", want, text.String())
		}
	}
	rows, err := csv.NewReader(strings.NewReader(table.String())).ReadAll()
	if err != nil || len(rows) != 12 || rows[5][4] != "does not conform" || rows[5][7] != "conforms" {
		t.Errorf("%v, %v", rows, err)
	}
}

func TestAdjustmentOfAnOpenElement(t *testing.T) {
	box := newBox(t, decade.Decade{Name: "×1", Step: 1, Positions: 1, Tolerance: 0.01})
	rs := []verify.Reading{{Setting: settings(t, box, "1")[0], Overload: true}}
	rs = append(rs, verify.Reading{Setting: rs[0].Setting, Values: []float64{1.001}, Stage: verify.StageAsLeft})
	a, err := NewAdjustment(evaluated(t, box, fourWire(), rs, conformity.Guarded(1)))
	if err != nil {
		t.Fatal(err)
	}
	var s strings.Builder
	if err := a.WriteText(&s); err != nil || !strings.Contains(s.String(), "open") || a.Rows[0].Changed() {
		t.Errorf("%v\n%s", err, s.String())
	}
}

func TestAdjustmentRefuses(t *testing.T) {
	box := oneDial(t)
	r := evaluated(t, box, fourWire(), simulate(t, box, elements(nil), nil), conformity.Guarded(1))
	if _, err := NewAdjustment(r); !errors.Is(err, ErrEmpty) || !strings.Contains(err.Error(), "as left") {
		t.Errorf("no readings as left: %v", err)
	}
	if _, err := NewAdjustment(&verify.Report{}); !errors.Is(err, ErrEmpty) {
		t.Errorf("empty report: %v", err)
	}
	if _, err := NewAdjustment(nil); !errors.Is(err, ErrEmpty) {
		t.Errorf("nil report: %v", err)
	}
}

// The table of an adjustment holds full digits, the sentences a plain count.
func TestAdjustmentDigits(t *testing.T) {
	box := oneDial(t)
	rs := simulate(t, box, elements(map[int]float64{3: 102}), nil)
	for _, rd := range simulate(t, box, elements(nil), nil) {
		rd.Stage = verify.StageAsLeft
		rs = append(rs, rd)
	}
	a, err := NewAdjustment(evaluated(t, box, fourWire(), rs, conformity.Guarded(1)))
	if err != nil {
		t.Fatal(err)
	}
	if got := a.Summary(); len(got) != 4 || !strings.HasPrefix(got[2], "8 settings changed") {
		t.Errorf("summary %q; want 8 settings changed", got)
	}
	var s strings.Builder
	if err := a.WriteCSV(&s); err != nil {
		t.Fatal(err)
	}
	table, err := csv.NewReader(strings.NewReader(s.String())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i := range a.Rows {
		for column, want := range map[int]float64{
			2: a.Rows[i].Found.Budget().Estimate, 3: a.Rows[i].Found.Expanded.U, 5: a.Rows[i].Left.Budget().Estimate, 6: a.Rows[i].Left.Expanded.U, 8: a.Rows[i].Change.Estimate,
		} {
			if got, err := strconv.ParseFloat(table[i+1][column], 64); err != nil || got != want {
				t.Errorf("line %d, %s: %v, %v; want %v", i+2, table[0][column], got, err, want)
			}
		}
	}
}
