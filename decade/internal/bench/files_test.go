// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package bench_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/bench"
	"example.com/ohmwright/decade/verify"
)

// What is written is read by package verify as it was meant.
func TestFiles(t *testing.T) {
	two := bench.Meters()[0]
	two.TwoWire, two.Leads, two.LeadsTolerance = true, 0.3, 0.1
	nulled := bench.Meters()[2]
	nulled.TwoWire, nulled.Nulled, nulled.NullTolerance = true, true, 0.01
	for _, m := range []bench.Meter{bench.Meters()[1], two, nulled} {
		meter, err := verify.ReadMeter(strings.NewReader(bench.MeterJSON(m)))
		if err != nil {
			t.Fatal(err)
		}
		if len(meter.Ranges) != len(m.Ranges) || meter.Name != m.Name || (meter.Wiring == verify.WiringTwoWire) != m.TwoWire ||
			meter.Leads.Tolerance != m.LeadsTolerance && !m.Nulled || meter.Leads.NullTolerance != m.NullTolerance {
			t.Errorf("%+v read as %+v", m, meter)
		}
		for i, r := range meter.Ranges {
			want := m.Ranges[i].OfReading*5 + m.Ranges[i].OfRange*r.FullScale + m.Ranges[i].Digits*m.Ranges[i].Resolution
			if got := r.Limit(5, 0); got < want*(1-1e-12) || got > want*(1+1e-12) {
				t.Errorf("range %s: limit %v Ω at 5 Ω; expected %v", r.Name, got, want)
			}
		}
	}
	box, err := bench.MakeBox(bench.SharedSwitches, 0, 4, 0.001)
	if err != nil {
		t.Fatal(err)
	}
	b, err := bench.New(box, bench.Meters()[1], 4, bench.Options{Temperature: 3, Thermometer: 0.1}, bench.Fault{Kind: bench.OpenElement, A: bench.Place{Part: bench.Element, Dial: 1, Number: 5}})
	if err != nil {
		t.Fatal(err)
	}
	plan := bench.Plan(box, bench.Full, 2)
	rows := b.ReadAll(plan[:40], 2)
	b.NewSession()
	rows = append(rows, b.ReadAll(plan[40:], 2)...)
	readings, err := verify.ReadReadings(strings.NewReader(bench.ReadingsCSV(rows)), box)
	if err != nil {
		t.Fatal(err)
	}
	if len(readings) != len(rows) {
		t.Fatalf("%d readings of %d", len(readings), len(rows))
	}
	var open int
	for i, r := range readings {
		w := rows[i]
		if !slices.Equal(r.Setting.Positions(), w.Positions) || !slices.Equal(r.Values, w.Values) && len(w.Values) > 0 || r.Range != w.Range ||
			r.Overload != (len(w.Values) == 0) || r.Dialling != w.Dialling || r.Session != fmt.Sprint(w.Session) || r.Temperature == nil {
			t.Errorf("row %d: %+v of %+v", i, r, w)
		}
		if r.Overload {
			open++
		}
	}
	if open == 0 {
		t.Error("no row above all ranges")
	}
	var _ decade.Setting = readings[0].Setting
}
