// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// anyMeter invents a meter: every field is sometimes there, with all its digits.
func anyMeter(r *rand.Rand) *Meter {
	some := func(scale float64) float64 {
		if r.IntN(3) == 0 {
			return 0
		}
		return scale * r.Float64()
	}
	m := &Meter{
		Name: "meter \"µ\"", Serial: "7", Certificate: "17/2026", Due: "2027-03",
		Specification: "1 year, 23 °C ± 5 °C", Wiring: Wiring(1 + r.IntN(2)),
		Thermometer: some(1), OffsetCompensated: r.IntN(2) == 0, ThermalEMF: some(1e-5), Insulation: some(1e11),
	}
	if r.IntN(2) == 0 {
		m.Temperature, m.Band = new(20+5*r.Float64()), some(5)
	}
	m.Ideal = r.IntN(2) == 0
	if m.Wiring == WiringTwoWire {
		m.Leads = Leads{Resistance: 0.1 + r.Float64(), Tolerance: some(0.1)}
		if r.IntN(2) == 0 {
			m.Leads = Leads{Null: Null(1 + r.IntN(2)), NullTolerance: some(0.01)}
		}
	}
	scale := 10.0
	for i := range 1 + r.IntN(5) {
		m.Ranges = append(m.Ranges, Range{
			Name: fmt.Sprintf("range %d", i+1), FullScale: scale * (1 + r.Float64()),
			OverRange: 1 + some(0.2), OfReading: some(1e-4), OfRange: 1e-6 + some(1e-5),
			K: float64(r.IntN(3)), Resolution: some(1e-6) * scale, Current: some(0.01),
			OfReadingPerKelvin: some(1e-6), OfRangePerKelvin: some(1e-6),
			Reference: []string{"", "A"}[r.IntN(2)],
		})
		rg := &m.Ranges[i]
		rg.Combine, rg.Noise = Combination(r.IntN(3)), some(1e-6)*scale
		if rg.Combine != CombineIndependent {
			rg.Linearity = some(1e-6) * scale
		}
		if rg.Resolution > 0 {
			rg.Digits = float64(r.IntN(4))
		}
		if r.IntN(2) == 0 {
			rg.ShortTerm = &Limits{OfReading: rg.OfReading * r.Float64(),
				OfRange: rg.OfRange * r.Float64(), Digits: rg.Digits}
		}
		if r.IntN(2) == 0 {
			rg.Calibration = &RangeCalibration{Independent: r.IntN(2) == 0, Points: []CalibrationPoint{
				{scale / 100 * r.Float64(), some(1e-5), some(1e-5), some(3)}, {scale * (0.5 + 0.5*r.Float64()), -some(1e-4), some(1e-4), 0}}}
			if r.IntN(2) == 0 {
				rg.Calibration.Date = time.Date(2026, time.Month(1+r.IntN(12)), 1+r.IntN(28), 0, 0, 0, 0, time.UTC)
				rg.Calibration.Stability = &Limits{OfReading: some(1e-5), OfRange: some(1e-6)}
			}
		}
		scale *= 10
	}
	return m
}

func TestMetersRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		want := anyMeter(r)
		text, err := json.Marshal(map[string]any{"Meter": want})
		if err != nil {
			t.Fatalf("%v: %+v", err, want)
		}
		var got struct{ Meter Meter }
		if err := json.Unmarshal(text, &got); err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if diff := cmp.Diff(want, &got.Meter); diff != "" {
			t.Fatalf("written and read (-, +):\n%s\n%s", diff, text)
		}
	}
}

func TestMeterKeptOnError(t *testing.T) {
	m := Meter{Name: "kept"}
	if err := json.Unmarshal([]byte(`{"name":"m","wiring":"five-wire","ranges":[]}`),
		&m); !errors.Is(err, ErrUnknown) || m.Name != "kept" {
		t.Errorf("error %v, meter %q", err, m.Name)
	}
}

// anyReadings invents a table: repeats, both polarities, overloads, diallings, stages.
func anyReadings(r *rand.Rand, b *decade.Box) []Reading {
	var out []Reading
	values := func() (v []float64) {
		for range 1 + r.IntN(4) {
			v = append(v, math.Ldexp(r.NormFloat64(), r.IntN(40)-20))
		}
		return v
	}
	counts := make(map[dialled]int)
	for range 1 + r.IntN(30) {
		s, err := b.At(r.IntN(3), r.IntN(3), r.IntN(11))
		if err != nil {
			continue
		}
		rd := Reading{Setting: s, Stage: Stage(r.IntN(2)),
			Range:    []string{"", "1 kΩ", "a \"range\", 2; 3"}[r.IntN(3)],
			Session:  []string{"", "morning"}[r.IntN(2)],
			Approach: []string{"", "up", "down"}[r.IntN(3)]}
		switch r.IntN(4) {
		case 0:
			rd.Overload = true
		case 1:
			rd.Reversed = values()
		case 2:
			rd.Values, rd.Reversed = values(), values()
		default:
			rd.Values = values()
		}
		if r.IntN(2) == 0 {
			rd.Temperature = new(20 + r.NormFloat64())
		}
		if r.IntN(2) == 0 {
			rd.MeterTemperature = new(20 + r.NormFloat64())
		}
		if r.IntN(2) == 0 {
			rd.Time = time.Date(2026, 3, 1, r.IntN(24), r.IntN(60), r.IntN(60), r.IntN(1e9),
				time.FixedZone("", 3600*r.IntN(5)))
		}
		rd.Remarks = []string{"", "unsteady; \"again\", later"}[r.IntN(2)]
		of := dialled{rd.Setting, "", rd.Stage}
		counts[of] += 1 + r.IntN(2)
		rd.Dialling = counts[of]
		out = append(out, rd)
	}
	return out
}

func TestReadingsRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	b := threeDials(t)
	same := []cmp.Option{
		cmpopts.IgnoreFields(Reading{}, "Line"), cmpopts.IgnoreUnexported(Reading{}), cmpopts.EquateEmpty(), cmpopts.EquateComparable(decade.Setting{}),
	}
	for range 300 {
		want := anyReadings(r, b)
		if len(want) == 0 {
			continue
		}
		for form, write := range map[string]func(io.Writer, []Reading) error{
			"program":        WriteReadings,
			"decimal points": Sheet{}.WriteReadings,
			"decimal commas": Sheet{DecimalComma: true}.WriteReadings,
		} {
			var file bytes.Buffer
			if err := write(&file, want); err != nil {
				t.Fatal(err)
			}
			text := file.String()
			got, err := ReadReadings(&file, b)
			if err != nil {
				t.Fatalf("%s: %v\n%s", form, err, text)
			}
			if diff := cmp.Diff(want, got, same...); diff != "" {
				t.Fatalf("%s: written and read (-, +):\n%s\n%s", form, diff, text)
			}
		}
	}
}

// Diallings without a number are counted, and what would be read as something else is
// refused.
func TestWriteReadingsRefuses(t *testing.T) {
	b := threeDials(t)
	s := b.Zero()
	one := []float64{1}
	var file bytes.Buffer
	if err := WriteReadings(&file, []Reading{{Setting: s, Values: one}, {Setting: s, Values: one}}); err != nil {
		t.Fatal(err)
	}
	const want = "setting,dialling,value 1 (Ω)\n0-0-0,1,1\n0-0-0,2,1\n"
	if file.String() != want {
		t.Errorf("written %q; expected %q", file.String(), want)
	}
	for name, c := range map[string]struct {
		readings []Reading
		err      error
	}{
		"nothing":      {nil, ErrEmpty},
		"no setting":   {[]Reading{{Values: one}}, ErrEmpty},
		"no value":     {[]Reading{{Setting: s}}, ErrEmpty},
		"both":         {[]Reading{{Setting: s, Values: one, Overload: true}}, ErrContradiction},
		"NaN":          {[]Reading{{Setting: s, Values: []float64{math.NaN()}}}, ErrNotFinite},
		"temperature":  {[]Reading{{Setting: s, Values: one, Temperature: new(math.Inf(1))}}, ErrNotFinite},
		"blanks":       {[]Reading{{Setting: s, Values: one, Session: " a"}}, ErrSyntax},
		"two lines":    {[]Reading{{Setting: s, Values: one, Range: "a\nb"}}, ErrSyntax},
		"dialling":     {[]Reading{{Setting: s, Values: one, Dialling: -1}}, ErrDomain},
		"stage":        {[]Reading{{Setting: s, Values: one, Stage: 7}}, ErrUnknown},
		"approach":     {[]Reading{{Setting: s, Values: one, Approach: "left"}}, ErrUnknown},
		"many":         {[]Reading{{Setting: s, Values: make([]float64, 1001)}}, ErrTooLong},
		"same twice":   {[]Reading{{Setting: s, Values: one, Dialling: 1}, {Setting: s, Values: one, Dialling: 1}}, ErrContradiction},
		"second box":   {[]Reading{{Setting: s, Values: one}, {Setting: threeDials(t).Zero(), Values: one}}, ErrContradiction},
		"above number": {[]Reading{{Setting: s, Values: one, Dialling: 1_000_001}}, ErrDomain},
		"sent above":   {[]Reading{{Setting: s, Values: []float64{9.9e37}}}, ErrDomain},
		"sent invalid": {[]Reading{{Setting: s, Reversed: []float64{-9.91e37}}}, ErrDomain},
		"spreadsheet":  {[]Reading{{Setting: s, Values: one, Remarks: "#N/A"}}, ErrSyntax},
		"lost letter":  {[]Reading{{Setting: s, Values: one, Session: "caf\ufffd"}}, ErrSyntax},
	} {
		if err := WriteReadings(&file, c.readings); !errors.Is(err, c.err) {
			t.Errorf("%s: %v; expected %v", name, err, c.err)
		}
	}
}

// Three decimals behind a comma may be thousands: a sheet of such numbers alone is read as it was
// written, whatever they are near.
func TestSheetOfThreeDecimals(t *testing.T) {
	b := threeDials(t)
	s, err := b.At(1, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	want := []Reading{
		{Setting: s, Dialling: 1, Values: []float64{12.345, -12.345}},
		{Dialling: 1, Values: []float64{100.017}, Known: &Known{Name: "standard", Value: 100.002}},
	}
	for _, readings := range [][]Reading{want, want[1:], {want[1], want[0]}} {
		var sheet bytes.Buffer
		if err := (Sheet{DecimalComma: true}).WriteReadings(&sheet, readings); err != nil {
			t.Fatal(err)
		}
		text := sheet.String()
		got, err := ReadReadings(&sheet, b)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		if diff := cmp.Diff(readings, got, cmpopts.IgnoreFields(Reading{}, "Line"), cmpopts.IgnoreUnexported(Reading{}),
			cmpopts.EquateEmpty(), cmpopts.EquateComparable(decade.Setting{})); diff != "" {
			t.Errorf("written and read (-, +):\n%s\n%s", diff, text)
		}
	}
}

// An error names the function that was called, whoever shares its work.
func TestErrorsNameTheCall(t *testing.T) {
	b := threeDials(t)
	rg := Range{Name: "1 kΩ", FullScale: 1000, OfReading: 1e-5, OfRange: 1e-6}
	m := &Meter{Wiring: WiringFourWire, Ranges: []Range{rg}}
	good := Reading{Setting: b.Zero(), Values: []float64{0.01}}
	report, err := Evaluate(b, m, []Reading{good}, conformity.Simple())
	if err != nil {
		t.Fatal(err)
	}
	bad := good
	bad.Values = []float64{math.NaN()}
	known := Reading{Values: []float64{100}, Session: "another", Known: &Known{Name: "standard", Value: 100}}
	for want, call := range map[string]func() error{
		"verify.Evaluate": func() error {
			_, err := Evaluate(b, m, []Reading{good, known}, conformity.Simple())
			return err
		},
		"verify.Report.Reevaluate": func() error {
			_, err := report.Reevaluate([]Reading{bad})
			return err
		},
		"verify.Report.Substitute": func() error {
			_, err := report.Substitute(Standard{Value: uncertainty.Exact(100), Reading: bad})
			return err
		},
		"verify.Sheet.WriteReadings": func() error { return Sheet{}.WriteReadings(io.Discard, nil) },
		"verify.WriteReadings":       func() error { return WriteReadings(io.Discard, nil) },
		"verify.ReadUnidentified": func() error {
			_, err := ReadUnidentified(strings.NewReader("setting,value\n1,x\n"))
			return err
		},
		"verify.ReadReadings": func() error {
			_, err := ReadReadings(strings.NewReader("setting,value\n1,x\n"), b)
			return err
		},
	} {
		var e *Error
		if err := call(); !errors.As(err, &e) || e.Op != want {
			t.Errorf("%v; expected an error of %s", err, want)
		}
	}
}

// Types that write themselves as text read themselves.
func TestWordsRoundTrip(t *testing.T) {
	type words struct {
		Kind   FindingKind
		Stage  Stage
		Wiring Wiring
		Null   Null
		Extent Extent
	}
	want := words{FindingPosition, StageAsLeft, WiringFourWire, NullBoxAtZero, ExtentRecommended}
	text, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	const written = `{"Kind":"position","Stage":"as left","Wiring":"four-wire","Null":"box at zero","Extent":"recommended"}`
	if string(text) != written {
		t.Errorf("written %s; expected %s", text, written)
	}
	var got words
	if err := json.Unmarshal(text, &got); err != nil || got != want {
		t.Errorf("read %+v, %v; expected %+v", got, err, want)
	}
	for name, v := range map[string]any{"Kind": FindingKind(19), "Stage": Stage(9),
		"Wiring": Wiring(9), "Null": Null(9), "Extent": Extent(9)} {
		if _, err := json.Marshal(v); !errors.Is(err, ErrDomain) {
			t.Errorf("%s beyond the last is written: %v", name, err)
		}
		if err := json.Unmarshal([]byte(`{"`+name+`":"sideways"}`), &got); !errors.Is(err, ErrUnknown) {
			t.Errorf("%s sideways is read: %v", name, err)
		}
	}
}
