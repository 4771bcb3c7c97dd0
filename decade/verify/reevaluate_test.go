// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// everything is all that a report says.
func everything(t *testing.T, r *Report) string {
	t.Helper()
	var out bytes.Buffer
	text, err := json.MarshalIndent(r, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	out.Write(text)
	if err := r.WriteText(&out); err != nil {
		t.Fatal(err)
	}
	if err := r.WriteCSV(&out); err != nil {
		t.Fatal(err)
	}
	for i := range r.Rows {
		row := &r.Rows[i]
		fmt.Fprintln(&out, i, row.StatedScatter, row.Expanded, row.Probability,
			row.UncertaintyRatio, row.Withheld, row.Discarded, row.Judged, row.u, row.dof)
	}
	for _, s := range r.Settings {
		fmt.Fprintln(&out, s, s.Next.Budget, s.Mean.Budget, s.ThisDialling.Budget)
	}
	for _, i := range r.Increments {
		fmt.Fprintln(&out, i.Stage, i.Dial, i.Position, i.Limit, i.Budget)
	}
	fmt.Fprintln(&out, r.Common, r.Shared, r.ClassMet, r.Switching, r.Standards, r.MeterErrors)
	return out.String()
}

// allSorts are readings of all sorts for a box of three dials: repeats or none, both polarities,
// warm and at reference temperature, zeros, diallings that scatter, sessions, ranges by
// name, overloads, slips, both stages, known resistors.
func allSorts(r *rand.Rand, b *decade.Box, n int) []Reading {
	var out []Reading
	dims := []string{"", "", "", "later"}
	for i := range n {
		s := b.Zero()
		for d := range b.NumDecades() {
			if r.IntN(3) > 0 {
				continue
			}
			s, _ = s.With(d, r.IntN(4))
		}
		v := s.Nominal()*(1+5e-5*r.NormFloat64()) + 0.02 + 0.003*r.NormFloat64()
		rd := Reading{Setting: s, Session: dims[r.IntN(4)], Approach: []string{"", "up"}[r.IntN(2)], Line: i + 2}
		for range 1 + r.IntN(4) {
			rd.Values = append(rd.Values, v+0.0005*r.NormFloat64())
		}
		switch r.IntN(12) {
		case 0:
			rd.Overload, rd.Values = true, nil
		case 1:
			rd.Reversed = []float64{v - 0.001}
		case 2:
			rd.Values = []float64{1000 * v}
			if v > 5000 {
				rd.Values = []float64{v / 1000}
			}
		case 3:
			rd.Temperature = new(20 + 4*r.Float64())
		case 4:
			rd.MeterTemperature = new(17 + 20*r.Float64())
		case 5:
			if v < 1000 {
				rd.Range = "10 kΩ"
			}
		case 6:
			rd.Turned = []int{r.IntN(3)}
		case 7:
			if r.IntN(4) == 0 && i > 3 {
				rd = Reading{Known: &Known{Name: "standard", Value: 100, U: 0.001},
					Values: []float64{100 + 0.01*r.NormFloat64()}, Session: out[0].Session,
					Range: "100 Ω"}
			}
		}
		if rd.Known == nil && i > 2*n/3 {
			rd.Stage = StageAsLeft
		}
		out = append(out, rd)
	}
	return out
}

func growingBox(t *testing.T) (*decade.Box, *Meter) {
	t.Helper()
	law := thermal.NewLaw(23, 8e-6, -4e-7)
	b, err := decade.New(decade.Spec{Name: "grows", Residual: 0.02, ResidualTolerance: 0.01,
		Contact: 0.001, Decades: []decade.Decade{
			{Step: 1000, Tolerance: 2e-4, Law: law, AlphaTolerance: 2e-6}, {Step: 100, Tolerance: 5e-4, Law: law}, {Step: 10, Tolerance: 1e-3, Floor: 0.002, Law: law},
		}})
	if err != nil {
		t.Fatal(err)
	}
	temperature := 23.0
	m := &Meter{Name: "m", Serial: "7", Certificate: "1", Wiring: WiringFourWire,
		OffsetCompensated: true, Thermometer: 0.2, Temperature: &temperature, Band: 5}
	for _, scale := range []float64{100, 1e3, 1e4, 1e5} {
		m.Ranges = append(m.Ranges,
			Range{Name: map[float64]string{100: "100 Ω", 1e3: "1 kΩ", 1e4: "10 kΩ",
				1e5: "100 kΩ"}[scale], FullScale: scale, OverRange: 1.2,
				OfReading: 1e-4, OfRange: 2e-5, Resolution: scale * 1e-6, OfReadingPerKelvin: 5e-6})
	}
	m.Ranges[0].Noise = 5e-4
	return b, m
}

// However readings come, one by one or in groups, with some taken back on the way: the report is
// the one that Evaluate makes of all of them.
func TestReevaluateAgainstEvaluate(t *testing.T) {
	b, m := growingBox(t)
	rounds := 1 // of seconds
	if uncertaintytest.Long() {
		rounds = 12
	}
	for seed := range uint64(rounds) {
		r := rand.New(rand.NewPCG(seed, 16))
		readings := allSorts(r, b, 36)
		rule := []conformity.Rule{conformity.Guarded(1), conformity.Simple(), conformity.BySpecificRisk(0.05)}[seed%3]
		readings[0] = Reading{Setting: b.Zero(), Values: []float64{0.021}}
		report, err := Evaluate(b, m, readings[:1], rule)
		if err != nil {
			t.Fatal(seed, err)
		}
		n := 1
		for n < len(readings) {
			switch r.IntN(5) {
			case 0:
				n = max(1, n-1-r.IntN(2))
			case 1:
				n = min(len(readings), n+3)
			default:
				n++
			}
			next, err := report.Reevaluate(readings[:n])
			want, wanted := Evaluate(b, m, readings[:n], rule)
			if (err == nil) != (wanted == nil) || err != nil && err.Error() != wanted.Error() {
				t.Fatalf("seed %d, %d readings: error %v; expected %v", seed, n, err, wanted)
			}
			if err != nil {
				break
			}
			if got, want := everything(t, next), everything(t, want); got != want {
				t.Fatalf("seed %d, %d readings:\n%.3000s", seed, n, cmp.Diff(want, got))
			}
			report = next
		}
	}
}

// What does not change is not made again.
func TestReevaluateTakesOver(t *testing.T) {
	b, m := growingBox(t)
	var readings []Reading
	for _, text := range []string{"0-0-0", "1-0-0", "2-0-0", "0-1-0", "0-2-0", "0-3-0", "0-0-1"} {
		s := at(t, b, text)
		readings = append(readings, Reading{Setting: s, Values: []float64{s.Nominal() + 0.02}})
	}
	before, err := Evaluate(b, m, readings[:6], conformity.Guarded(1))
	if err != nil {
		t.Fatal(err)
	}
	after, err := before.Reevaluate(readings)
	if err != nil {
		t.Fatal(err)
	}
	for i := range before.Rows {
		if before.Rows[i].Deviation != after.Rows[i].Deviation {
			t.Errorf("row %d is made again", i)
		}
	}
	for i := range before.Increments {
		if before.Increments[i].Budget != after.Increments[i].Budget {
			t.Errorf("step %d is made again", i)
		}
	}
	if after.from.before != nil {
		t.Error("the earlier report is held")
	}
	// Another zero changes all.
	zero, err := after.Reevaluate(append(readings, Reading{Setting: b.Zero(), Values: []float64{0.025}}))
	if err != nil {
		t.Fatal(err)
	}
	if zero.Rows[1].Deviation == after.Rows[1].Deviation {
		t.Error("another reading at zero, and a row stays")
	}
}

func TestReevaluateRefuses(t *testing.T) {
	for _, r := range []*Report{nil, {}} {
		if _, err := r.Reevaluate(nil); err == nil {
			t.Error("no report: no error")
		}
	}
	b, m := growingBox(t)
	r, err := Evaluate(b, m, []Reading{{Setting: b.Zero(), Values: []float64{0.02}}}, conformity.Simple())
	if err != nil {
		t.Fatal(err)
	}
	if _, err := r.Reevaluate(nil); err == nil {
		t.Error("no readings: no error")
	}
	if _, err := r.Reevaluate([]Reading{{Setting: b.Zero(), Range: "1 Ω", Values: []float64{0.02}}}); err == nil {
		t.Error("an unknown range: no error")
	}
}

// Readings are compared in everything that they are.
func TestReadingsAreComparedWhole(t *testing.T) {
	b, _ := growingBox(t)
	full := Reading{
		Setting: at(t, b, "1-0-0"), Dialling: 1, Values: []float64{1}, Reversed: []float64{1},
		Overload: true, Turned: []int{1}, Range: "r", Session: "s", Stage: StageAsLeft,
		Temperature: new(20.0), MeterTemperature: new(21.0), Approach: "up", Time: time.Unix(1, 0),
		Remarks: "m", Line: 3, Known: &Known{Name: "k"}, object: "o", copied: 4,
	}
	v := reflect.ValueOf(&full).Elem()
	for i := range v.NumField() {
		name := v.Type().Field(i).Name
		if v.Field(i).IsZero() {
			t.Errorf("%s is not tried", name)
		}
		other := full
		if f := reflect.ValueOf(&other).Elem().Field(i); f.CanSet() {
			f.SetZero()
		} else if name == "object" {
			other.object = ""
		} else {
			other.copied = 0
		}
		if full.equal(&other) || other.equal(&full) {
			t.Errorf("readings that differ in %s are the same", name)
		}
	}
	if other := full; !full.equal(&other) {
		t.Error("a reading is not the same as itself")
	}
}

// What a caller changes after a report is made changes nothing in it, and a reading that was
// corrected in its place is evaluated again.
func TestReportIsNotItsCallers(t *testing.T) {
	b := sixDials(t)
	m := wideMeter()
	m.Temperature, m.Band = new(23.0), 5
	for i := range m.Ranges {
		r := &m.Ranges[i]
		r.OfReadingPerKelvin, r.ShortTerm = 1e-6, &Limits{OfReading: 1e-5}
		r.Calibration = &RangeCalibration{
			Points: []CalibrationPoint{{Reading: 0, U: 1e-6 * r.FullScale},
				{Reading: 1.2 * r.FullScale, U: 1e-6 * r.FullScale}},
			Stability: &Limits{OfReading: 1e-5}}
	}
	readings := sound(t, b, nil)
	for i := range readings {
		rd := &readings[i]
		rd.Reversed = append(rd.Reversed, rd.Values[0])
		rd.MeterTemperature, rd.Turned = new(30.0), []int{0, 1, 2, 3, 4}
	}
	r := judge(t, b, m, readings)
	want := everything(t, r)
	*m.Temperature = 99
	for i := range m.Ranges {
		m.Ranges[i].ShortTerm.OfReading, m.Ranges[i].Calibration.Stability.OfReading = 0, 0.1
		m.Ranges[i].Calibration.Points[0].U = 1
	}
	for i := range readings {
		readings[i].Reversed[0] *= 1.001
		readings[i].Turned[0] = 5
		*readings[i].MeterTemperature = 20
	}
	if everything(t, r) != want {
		t.Error("the report has changed with what its caller holds")
	}
	again, err := r.Reevaluate(readings)
	if err != nil {
		t.Fatal(err)
	}
	fresh := judge(t, b, &r.Meter, readings)
	if everything(t, again) != everything(t, fresh) {
		t.Error("readings that were corrected in their place are not evaluated again")
	}
}
