// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault_test

import (
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/internal/bench"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// gapped is a box whose first dial lacks position 7, and two ranges on one switch, the second
// of which lacks 3 and 4.
func gapped(t *testing.T) *decade.Box {
	t.Helper()
	b, err := decade.New(decade.Spec{
		Residual: 0.012, ResidualTolerance: 0.003, Contact: 2e-4, Decades: []decade.Decade{
			{Name: "A", Step: 1000, Missing: []int{7}, Tolerance: 5e-4},
			{Name: "B", Step: 100, Positions: 9, Tolerance: 5e-4, Switch: "S"},
			{Name: "C", Step: 10, Positions: 9, Missing: []int{3, 4}, Tolerance: 1e-3, Switch: "S"},
		},
	})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Boxes with missing positions at an independent bench: the plan determines every element, the
// least squares find the true ones, sound boxes are sound, and faults at the gaps are found.
func TestMissingPositionsAtTheBench(t *testing.T) {
	box := gapped(t)
	p := func(part bench.Part, dial, number int) bench.Place {
		return bench.Place{Part: part, Dial: dial, Number: number}
	}
	for _, c := range []struct {
		name  string
		fault bench.Fault
		place string // in the sentence
	}{
		{"sound", bench.Fault{}, ""},
		{"the element across the gap drifted", bench.Fault{Kind: bench.Drift, A: p(bench.Element, 0, 7), Value: 25}, "between positions 6 and 8"},
		{"the element across the gap is shorted", bench.Fault{Kind: bench.ShortElement, A: p(bench.Element, 2, 3)}, "between positions 2 and 5"},
		{"an element behind the gap is open", bench.Fault{Kind: bench.OpenElement, A: p(bench.Element, 0, 8)}, "between positions 8 and 9"},
		{"a dirty contact behind the gap", bench.Fault{Kind: bench.Contact, A: p(bench.Position, 0, 8), Value: 30}, "position 8"},
		{"wiper on both sides of the gap", bench.Fault{Kind: bench.Overlap, A: p(bench.Position, 0, 8)}, "position 8"},
		{"tap wires beside the gap exchanged", bench.Fault{Kind: bench.Taps, A: p(bench.Position, 0, 6), B: p(bench.Position, 0, 8)}, "positions 6 and 8"},
		{"knob off by one", bench.Fault{Kind: bench.Slip, A: p(bench.Dial, 0, 0), Value: 1}, "+1 position "},
		{"a bridge over the gap", bench.Fault{Kind: bench.BridgeInDial, A: p(bench.Tap, 0, 5), B: p(bench.Tap, 0, 8), Value: 2000}, "8"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var faults []bench.Fault
			if c.fault.Kind != bench.Healthy {
				faults = append(faults, c.fault)
			}
			b, err := bench.New(box, bench.Meters()[1], 5, bench.Options{}, faults...)
			if err != nil {
				t.Fatal(err)
			}
			k := &bench.Case{Bench: b}
			k.Readings = b.ReadAll(bench.Plan(box, bench.Full, 1), 3)
			meter, err := verify.ReadMeter(strings.NewReader(bench.MeterJSON(b.Meter)))
			if err != nil {
				t.Fatal(err)
			}
			d, err := diagnoseReadings(k, meter)
			if err != nil {
				t.Fatal(err)
			}
			if len(faults) == 0 {
				if !d.Healthy {
					t.Errorf("%s; want a sound box", first(d))
				}
				return
			}
			if d.Healthy || !slices.Contains(keysOf(k, d), bench.Key(box, faults)) || !strings.Contains(d.Causes[0].String(), c.place) {
				t.Errorf("%s; want %v with %q in\n%v", first(d), c.fault, c.place, d.Causes[0])
			}
		})
	}
}

// The record of a box with missing positions has the true elements, and the table of its
// deviations the positions that there are.
func TestMissingPositionsCalibrated(t *testing.T) {
	box := gapped(t)
	b, err := bench.New(box, bench.Meters()[2], 6, bench.Options{})
	if err != nil {
		t.Fatal(err)
	}
	plan, err := verify.NewPlan(box, verify.ExtentRecommended)
	if err != nil {
		t.Fatal(err)
	}
	if d, err := plan.Determination(); err != nil || !d.Complete() {
		t.Fatalf("the plan determines %v, %v; want everything", d, err)
	}
	var positions [][]int
	for _, s := range plan.Settings() {
		positions = append(positions, s.Positions())
	}
	meter, err := verify.ReadMeter(strings.NewReader(bench.MeterJSON(b.Meter)))
	if err != nil {
		t.Fatal(err)
	}
	readings, err := verify.ReadReadings(strings.NewReader(bench.ReadingsCSV(b.ReadAll(positions, 3))), box)
	if err != nil {
		t.Fatal(err)
	}
	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
	if err != nil {
		t.Fatal(err)
	}
	c, err := calibrate.NewCalibration(report, "bench")
	if err != nil {
		t.Fatal(err)
	}
	for dial, d := range box.Decades() {
		for e := 1; e <= d.NumElements(); e++ {
			got, want := c.Values.Quantity(box.ElementName(dial, e)).Estimate(), b.Element(dial, e)
			if diff := got - want; diff > 2e-3+3e-5*want || diff < -2e-3-3e-5*want {
				t.Errorf("%s: %v Ω; the bench has %v Ω", box.ElementName(dial, e), got, want)
			}
		}
	}
	measured, err := box.With(c)
	if err != nil {
		t.Fatal(err)
	}
	table, err := calibrate.Deviations(measured, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	var at []int
	for _, row := range table.Dials[2].Rows {
		at = append(at, row.Position)
	}
	if want := []int{1, 2, 5, 6, 7, 8, 9}; !slices.Equal(at, want) {
		t.Errorf("deviations at %v; want %v", at, want)
	}
	if lines := strings.Count(report.String(), "\n"); lines < 20 {
		t.Errorf("a report of %d lines", lines)
	}
}
