// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/internal/bench"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// identified reads a box at an independent bench and identifies it: the two have the text of
// readings and meter in common, and nothing of the box.
func identified(t *testing.T, box *decade.Box, meter bench.Meter, seed uint64,
	faults ...bench.Fault) *calibrate.Identification {
	t.Helper()
	b, err := bench.New(box, meter, seed, bench.Options{}, faults...)
	if err != nil {
		t.Fatal(err)
	}
	return fromTable(t, bench.ReadingsCSV(b.ReadAll(bench.Plan(box, bench.Full, 1), 3)), meter)
}

func fromTable(t *testing.T, table string, meter bench.Meter) *calibrate.Identification {
	t.Helper()
	readings, err := verify.ReadUnidentified(strings.NewReader(table))
	if err != nil {
		t.Fatal(err)
	}
	m, err := verify.ReadMeter(strings.NewReader(bench.MeterJSON(meter)))
	if err != nil {
		t.Fatal(err)
	}
	id, err := calibrate.Identify(readings, m)
	if err != nil {
		t.Fatalf("%v\n%s", err, table)
	}
	return id
}

// codeNames are the words for the constructions of the bench.
var codeNames = map[bench.Construction]string{
	bench.Codes1225: "1-2-2-5", bench.Codes1234: "1-2-3-4", bench.Codes1242: "1-2-4-2", bench.Codes1125: "1-1-2-5",
}

// Boxes of the bench: every step is found; a code is named where the readings show it, and
// hardly ever a wrong one.
func TestIdentifyAtTheBench(t *testing.T) {
	boxes := 30
	if uncertaintytest.Long() {
		boxes = 600
	}
	if testing.Short() {
		boxes = 14
	}
	rng := rand.New(rand.NewPCG(31, 0))
	dials, named, wrong, unclear := 0, 0, 0, 0
	for i := range boxes {
		c := bench.Construction(i % int(bench.NumConstructions))
		box, err := bench.DrawBox(c, rng, 3, 6)
		if err != nil {
			t.Fatal(err)
		}
		id := identified(t, box, bench.Meters()[1+i%2], uint64(i))
		want := box.Decades()
		if len(id.Dials) != len(want) {
			t.Errorf("box %d (%v): %d dials; want %d\n%v", i, c, len(id.Dials), len(want), id.Doubts)
			continue
		}
		for k, d := range id.Dials {
			dials++
			if d.Step != want[k].Step || id.Box.Decades()[k].Positions != want[k].Positions || d.Off > 0 {
				t.Errorf("box %d (%v), dial %d: %+v; want step %v, %d positions\n%v", i, c, k, d,
					want[k].Step, want[k].Positions, id.Doubts)
			}
			code := codeNames[c]
			if code == "" {
				code = "equal steps"
			}
			switch {
			case d.Probability < 0.95:
				unclear++
			case d.Code == code || slices.Contains(d.Alike, code):
				named++
			default:
				wrong++
			}
		}
	}
	t.Logf("%d dials: code named %d, left open %d, wrong %d", dials, named, unclear, wrong)
	if 20*wrong > dials || 3*named < dials {
		t.Errorf("of %d dials %d have a wrong code and %d the right one; want at most a "+
			"twentieth and at least a third", dials, wrong, named)
	}
}

// What the identification says of odd boxes, by a part of its doubts and its dials.
func TestIdentifyOddBoxes(t *testing.T) {
	meter := bench.Meters()[1]
	two := func(dials ...decade.Decade) *decade.Box {
		box, err := decade.New(decade.Spec{Residual: 0.01, ResidualTolerance: 0.002, Decades: dials})
		if err != nil {
			t.Fatal(err)
		}
		return box
	}
	hundred, ten := decade.Decade{Step: 100, Tolerance: 5e-4}, decade.Decade{Step: 10, Tolerance: 1e-3}
	p := func(part bench.Part, dial, number int) bench.Place {
		return bench.Place{Part: part, Dial: dial, Number: number}
	}
	quarter, gap := hundred, hundred
	quarter.Step = 25
	gap.Missing = []int{7}
	for _, c := range []struct {
		name  string
		box   *decade.Box
		fault *bench.Fault
		says  string
		steps []float64
	}{
		{"a step that is no power of ten", two(quarter, ten), nil, "The step of ×25 Ω is no power of ten", []float64{25, 10}},
		{"a missing position", two(gap, ten), nil, "×100 Ω was not read at 7", []float64{100, 10}},
		{"a shorted element", two(hundred, ten), &bench.Fault{Kind: bench.ShortElement, A: p(bench.Element, 0, 4)}, "×100 Ω does not fit its step at 4 (3", []float64{100, 10}},
		{"a dial 8 % high", two(hundred, ten), &bench.Fault{Kind: bench.DialDrift, A: p(bench.Dial, 1, 0), Value: 0.08}, "All of ×10 Ω is off by +8", []float64{100, 10}},
		{"an open element", two(hundred, ten), &bench.Fault{Kind: bench.OpenElement, A: p(bench.Element, 1, 9)}, "Dial 2 at position 9 is above the range", []float64{100, 10}},
		{"dials that touch", two(hundred, ten), &bench.Fault{Kind: bench.BridgeDials, A: p(bench.Tap, 0, 3), B: p(bench.Tap, 1, 4), Value: 20000}, "not the sum of the dials alone", []float64{100, 10}},
		{"a dirty contact of 30 mΩ", two(hundred, ten), &bench.Fault{Kind: bench.Contact, A: p(bench.Position, 1, 3), Value: 0.03}, "", []float64{100, 10}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var faults []bench.Fault
			if c.fault != nil {
				faults = append(faults, *c.fault)
			}
			id := identified(t, c.box, meter, 9, faults...)
			var steps []float64
			for _, d := range id.Dials {
				steps = append(steps, d.Step)
			}
			if text := strings.Join(id.Doubts, "\n"); !strings.Contains(text, c.says) || !slices.Equal(steps, c.steps) {
				t.Errorf("steps %v, doubts\n%s\nwant %v and %q", steps, text, c.steps, c.says)
			}
		})
	}
}

// Two ranges of one switch, noted as one dial: the second rises, or falls back to zero.
func TestIdentifyTwoRanges(t *testing.T) {
	meter := bench.Meters()[1]
	for _, falling := range []bool{false, true} {
		var table strings.Builder
		table.WriteString("setting,value\n0-0,0.01\n")
		for p := 1; p <= 18; p++ {
			v := float64(p)
			if p > 9 {
				v = 10 * float64(p-9)
				if falling {
					v = 10 * float64(19-p)
				}
			}
			fmt.Fprintf(&table, "%d-0,%.4f\n", p, 0.01+v*(1+1e-5*float64(p%4)))
		}
		for p := 1; p <= 10; p++ {
			fmt.Fprintf(&table, "0-%d,%.3f\n", p, 0.01+100*float64(p))
		}
		table.WriteString("9-10,1009.010\n")
		id := fromTable(t, table.String(), meter)
		d := id.Box.Decades()
		if len(d) != 3 || d[0].Step != 1 || d[1].Step != 10 || d[2].Step != 100 ||
			d[0].Switch == "" || d[0].Switch != d[1].Switch || d[2].Switch != "" ||
			d[0].Positions != 9 || d[1].Positions != 9 || d[2].Positions != 10 {
			t.Fatalf("falling %v: %+v\n%v", falling, d, id.Doubts)
		}
		first, last := id.Dials[1].First, id.Dials[1].Last
		if falling && (first != 18 || last != 10) || !falling && (first != 10 || last != 18) {
			t.Errorf("falling %v: the second range goes from %d to %d", falling, first, last)
		}
	}
}

func TestIdentifyRefuses(t *testing.T) {
	meter, err := verify.ReadMeter(strings.NewReader(bench.MeterJSON(bench.Meters()[1])))
	if err != nil {
		t.Fatal(err)
	}
	read := func(table string) []verify.Reading {
		list, err := verify.ReadUnidentified(strings.NewReader(table))
		if err != nil {
			t.Fatal(err)
		}
		return list
	}
	sound := read("setting,value\n0-0,0.01\n1-0,1.01\n2-0,2.01\n0-1,10.01\n")
	endless := slices.Clone(sound)
	endless[1].Values = []float64{math.Inf(1)}
	for name, c := range map[string]struct {
		readings []verify.Reading
		meter    *verify.Meter
		says     string
	}{
		"no meter":          {sound, nil, "no meter"},
		"no readings":       {nil, meter, "no readings of a box"},
		"no zero":           {read("setting,value\n1-0,1\n2-0,2\n"), meter, "no value with all dials at zero"},
		"zero alone":        {read("setting,value\n0-0,0.01\n1-1,11\n"), meter, "no dial of which a position was read alone"},
		"settings of boxes": {append(read("setting,value\n0-0,0.01\n1-0,1\n"), sound...), meter, "expected settings of one box"},
		"not finite":        {endless, meter, "expected a finite number"},
		"no setting":        {[]verify.Reading{{Values: []float64{1}}}, meter, "expected settings of one box"},
	} {
		if id, err := calibrate.Identify(c.readings, c.meter); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, %v; want an error with %q", name, id, err, c.says)
		}
	}
	if id, err := calibrate.Identify(sound, meter); err != nil || id.Dials[0].Step != 1 || id.Dials[1].Step != 10 {
		t.Errorf("three positions: %v, %v", id, err)
	}
	if got := (*calibrate.Identification)(nil).String(); !strings.HasPrefix(got, "0 dials") {
		t.Errorf("no identification: %q", got)
	}
}

// The file that is written for the box is read back, and its readings are inside its class.
func TestIdentifiedBoxIsAFile(t *testing.T) {
	box, err := bench.MakeBox(bench.Ladders, 0, 4, 5e-4)
	if err != nil {
		t.Fatal(err)
	}
	id := identified(t, box, bench.Meters()[2], 3)
	text, err := json.Marshal(id.Box)
	if err != nil {
		t.Fatal(err)
	}
	again, err := decade.ReadBox(bytes.NewReader(text))
	if err != nil || again.NumDecades() != 4 {
		t.Fatalf("%v\n%s", err, text)
	}
	if v := id.Report.Verdict(); v == conformity.VerdictDoesNotConform {
		t.Errorf("the readings do not conform to the class they met: %v", id.Report)
	}
	for k, d := range id.Dials {
		if stated := box.Decades()[k].Tolerance; !(d.Class > 0) || d.Class > 2.5*stated {
			t.Errorf("dial %d: class %v; the bench made it within %v", k, d.Class, stated)
		}
	}
	if r := id.Residual; math.Abs(r-box.Spec().Residual) > 0.01 || !(id.ResidualU > 0) {
		t.Errorf("residual %v Ω, U = %v Ω; the box states %v Ω", r, id.ResidualU, box.Spec().Residual)
	}
}
