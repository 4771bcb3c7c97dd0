// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// full is a description with every field in use.
func full() decade.Spec {
	return decade.Spec{
		Name: "laboratory \"box\" <1>", Serial: "17/2026", Residual: 0.02, ResidualTolerance: 0.005,
		ResidualIncluded: true,
		Tolerance:        0.0001, Floor: 0.003, Contact: 0.0005, ReferenceTemperature: new(23.0),
		ResidualLaw: thermal.NewLaw(20, 3.93e-3, 0),
		Decades: []decade.Decade{
			{
				Name: "thousands", Step: 1000, Positions: 9, Tolerance: 0.0005, Floor: 0.001, Spread: decade.LevelElement, Switch: "A",
				WiperFirst: true, Law: thermal.NewLaw(23, 8e-6, -0.5e-6), AlphaTolerance: 2e-6, ElementPower: 0.5, MaxVoltage: 500,
				Inductance: 3e-6, Capacitance: 8e-12,
			},
			{Name: "hundreds", Step: 100, Positions: 9, Tolerance: 20e-6, Spread: decade.LevelBox, Switch: "A", AlphaTolerance: 1e-6},
			{Name: "tens", Step: 10, Positions: 10, Code: decade.Code1225()},
			{Name: "ones", Step: 1, Positions: 9, Code: decade.Code1332()},
			{Name: "third of a tenth", Step: 0.1 / 3, Positions: 255, Tolerance: 1.0 / 30},
		},
	}
}

// What MarshalJSON writes, Read reads: the same description, to the last bit.
func TestJSONRoundTrip(t *testing.T) {
	for name, spec := range map[string]decade.Spec{"bench": bench(), "school": school(),
		"full": full(), "warm": warm()} {
		b := box(t, spec)
		data, err := json.Marshal(b)
		if err != nil {
			t.Fatal(err)
		}
		again, err := decade.ReadBox(bytes.NewReader(data))
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, data)
		}
		if diff := cmp.Diff(b.Spec(), again.Spec(),
			cmp.Comparer(func(a, b thermal.Law) bool { return a == b })); diff != "" {
			t.Errorf("%s: written and read (-, +):\n%s", name, diff)
		}
	}
}

// A file as one is written by hand, with numbers and with text.
func TestReadByHand(t *testing.T) {
	f, err := os.Open("testdata/school-box.json")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	b, err := decade.ReadBox(f)
	if err != nil {
		t.Fatal(err)
	}
	want := decade.Spec{
		Name: "school box", Residual: 0.02, ResidualTolerance: 0.005, Contact: 0.001,
		Decades: []decade.Decade{
			{Name: "×1 kΩ", Step: 1000, Positions: 9, Tolerance: 0.001, Switch: "A", Law: thermal.NewLaw(20, 8e-6, -0.5e-6)},
			{Name: "×100 Ω", Step: 100, Positions: 9, Tolerance: 0.001, Switch: "A"},
			{Name: "tens", Step: 10, Positions: 10, Tolerance: 0.001, Code: decade.Code1225()},
			{Name: "×1 Ω", Step: 1, Positions: 3, Tolerance: 0.005, Code: decade.Code{Weights: []int{2, 1}, InCircuit: [][]int{nil, {2}, {1}, {1, 2}}}},
			{Name: "×0.1 Ω", Step: 0.1, Positions: 10, Tolerance: 0.05, ElementPower: 0.5},
		},
	}
	equalLaws := cmp.Comparer(func(a, b thermal.Law) bool { return a == b })
	if diff := cmp.Diff(want, b.Spec(), equalLaws); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// Limits as plates and data sheets state them.
func TestReadLimits(t *testing.T) {
	for text, want := range map[string][4]float64{ // tolerance, floor; residual and its limit
		`"tolerance": "0.05 % + 5 mΩ"`:                          {0.0005, 0.005, 0, 0},
		`"tolerance": "±(0.05 % + 5 mΩ)"`:                       {0.0005, 0.005, 0, 0},
		`"tolerance": "±0.05%+5mOhm"`:                           {0.0005, 0.005, 0, 0},
		`"tolerance": "5e-1 ‰ + 5e+0 mΩ"`:                       {0.0005, 0.005, 0, 0},
		`"tolerance": "±500 ppm"`:                               {0.0005, 0, 0, 0},
		`"tolerance": "0.05 %", "floor": "5 mR"`:                {0.0005, 0.005, 0, 0},
		`"residual": "max 30 mΩ"`:                               {0, 0, 0.015, 0.015},
		`"residual": "≤ 30 mΩ"`:                                 {0, 0, 0.015, 0.015},
		`"residual": "<=30 mohm", "tolerance": "0.1 %"`:         {0.001, 0, 0.015, 0.015},
		`"residual": "20 mΩ", "residualTolerance": "0.005 V/A"`: {0, 0, 0.02, 0.005},
	} {
		b, err := decade.ReadBox(strings.NewReader(`{` + text + `, "decades": [{"step": "1 kOhm"}]}`))
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		s := b.Spec()
		if got := [4]float64{s.Tolerance, s.Floor, s.Residual, s.ResidualTolerance}; got != want {
			t.Errorf("%s: %v; want %v", text, got, want)
		}
	}
	b, err := decade.ReadBox(strings.NewReader(`{"decades": [{"step": 100, "tolerance": "0.02 % + 2 mΩ"}]}`))
	if err != nil || b.Spec().Decades[0].Tolerance != 0.0002 || b.Spec().Decades[0].Floor != 0.002 {
		t.Errorf("tolerance of a decade: %v", err)
	}
}

func TestReadRefuses(t *testing.T) {
	dial := func(fields string) string { return `{"decades":[{"step":1},{"step":"10 Ω",` + fields + `}]}` }
	for _, c := range []struct {
		file, contains string
		err            error
	}{
		{"", "decade.ReadBox: empty file; expected a JSON object", decade.ErrSyntax},
		{"box", "line 1, column 1", decade.ErrSyntax},
		{`{"decades":[{"step":1}]} {}`, "line 1, column 26", decade.ErrSyntax},
		{`[]`, "[]; expected a JSON object", decade.ErrSyntax},
		{`{}`, "decades: missing", decade.ErrNotStated},
		{`{"decades":[]}`, "0 decades; expected 1 to 16", decade.ErrDomain},
		{`{"decades":[` + strings.Repeat(`{"step":1},`, 16) + `{"step":1}]}`, "decades: 17 entries; expected at most 16", file.ErrSize},
		{`{"decades":[{"step":1}],"colour":"red"}`, "colour: unknown key \"colour\"; expected one of name, serial", unit.ErrUnknown},
		{`{"decades":[{"step":1}],"decades":[{"step":1}]}`, "key \"decades\" twice", decade.ErrSyntax},
		{`{"decades":[{"step":1,"Step":2}]}`, "decades[0].Step: unknown key", unit.ErrUnknown},
		{`{"decades":[{"positions":10}]}`, "decades[0].step: missing", decade.ErrNotStated},
		{dial(`"name":7`), "decades[1].name: 7; expected a string", decade.ErrSyntax},
		{dial(`"positions":0`), "decades[1].positions: 0; expected 1 to 255", decade.ErrDomain},
		{dial(`"positions":2.5`), "decades[1].positions: 2.5; expected a whole number", decade.ErrSyntax},
		{dial(`"positions":256`), "decades[1]: positions: 256; expected 1 to 255", decade.ErrDomain},
		{dial(`"tolerance":5`), `decades[1].tolerance: 5, that is 500 %; expected a fraction of at most 0.2 (write "0.05 %" or 0.0005)`, decade.ErrDomain},
		{dial(`"tolerance":"0.05"`), "decades[1].tolerance: \"0.05\": no unit; expected %, ‰, ppm or ppb", unit.ErrUnit},
		{dial(`"tolerance":-0.1`), "tolerance: -0.1; expected 0 or more", decade.ErrDomain},
		{dial(`"floor":"1 V"`), "unit \"V\" is not one of resistance; expected Ω, ohm or R", unit.ErrUnitMismatch},
		{dial(`"floor":1e999`), "too large", unit.ErrRange},
		{dial(`"spread":"mine"`), `"mine"; expected one of per decade, per element, per box`, unit.ErrUnknown},
		{dial(`"code":"1-2-3"`), `"1-2-3"; expected one of 1-1-2-5`, decade.ErrCode},
		{dial(`"code":{"weights":[1]}`), "decades[1].code.inCircuit: missing", decade.ErrNotStated},
		{dial(`"code":{"weights":[],"inCircuit":[]}`), "no elements", decade.ErrCode},
		{dial(`"code":{"weights":[1],"inCircuit":[[],[1]],"x":1}`), "decades[1].code.x: unknown key", unit.ErrUnknown},
		{dial(`"code":{"weights":[1],"inCircuit":[[],[2]]}`), "position 1: element 2; expected 1 to 1", decade.ErrCode},
		{dial(`"code":"1-2-2-5","positions":9`), "9, and a code with 10", decade.ErrCode},
		{dial(`"temperature":{"alpha":"8 ppm/K"}`), "decades[1].temperature.reference: missing", decade.ErrNotStated},
		{dial(`"temperature":{"reference":"20 °C","alpha":"8 ppm"}`), "unit \"ppm\" is not one of temperature coefficient", unit.ErrUnitMismatch},
		{dial(`"temperature":{"reference":"20 °C","alpha":"8 ppm/K","gamma":1}`), "temperature.gamma: unknown key", unit.ErrUnknown},
		{`{"decades":[{"stp":"1 kΩ"}]}`, `line 1, column 14: decades[0].stp: unknown key "stp"; did you mean "step"?`, unit.ErrUnknown},
		{dial(`"spread":"per elment"`), `"per elment"; did you mean "per element"?`, unit.ErrUnknown},
		{dial(`"floor":"0,1 Ω"`), `"0,1 Ω": a decimal comma; expected a decimal point: "0.1 Ω"`, decade.ErrSyntax},
		{dial(`"floor":"5 cΩ"`), `unknown unit "cΩ"; prefix c goes with m, g and Pa alone`, unit.ErrUnit},
		{dial(`"tolerance":"5 mΩ"`), `5 mΩ is a resistance; expected a fraction such as "0.05 %" or "0.05 % + 5 mΩ" (a resistance alone is the key floor)`, unit.ErrUnitMismatch},
		{dial(`"tolerance":"0.05 % + 5 mV"`), `expected a fraction and a resistance, such as "0.05 % + 5 mΩ"`, unit.ErrUnitMismatch},
		{dial(`"tolerance":"0.05 % + 5 mΩ","floor":"5 mΩ"`), "expected one of the two", uncertainty.ErrContradiction},
		{dial(`"tolerance":"0.05 % + -5 mΩ"`), "a negative floor", decade.ErrDomain},
		{dial(`"tolerance":"50 % + 5 mΩ"`), "that is 50 %", decade.ErrDomain},
		{`{"residual":"max 30 mV","decades":[{"step":1}]}`, `unit "mV" is not one of resistance`, unit.ErrUnitMismatch},
		{`{"residual":"maximum 30 mΩ","decades":[{"step":1}]}`, `(write a limit as "max 30 mΩ" or "≤ 30 mΩ")`, decade.ErrSyntax},
		{`{"residual":"max 30 mΩ","residualTolerance":"1 mΩ","decades":[{"step":1}]}`, "expected one of the two", uncertainty.ErrContradiction},
		{`{"residual":"20 mΩ ± 5 mΩ","decades":[{"step":1}]}`, `expected "residual": "20 mΩ" and "residualTolerance": "5 mΩ"`, decade.ErrSyntax},
		{dial(`"step":2`), "decades[1].step: key \"step\" twice", decade.ErrSyntax},
		{`{"tolerance":"30 %","decades":[{"step":1}]}`, "tolerance: 0.3, that is 30 %", decade.ErrDomain},
		{`{"name":"` + strings.Repeat("a", 17<<20) + `"}`, "more than 16777216 bytes", file.ErrSize},
		{`{"` + strings.Repeat("a", 1<<20) + `":1,"decades":[{"step":1}]}`, "unknown key", unit.ErrUnknown},
		{strings.Repeat(`{"decades":[`, 5000), "expected one JSON object", decade.ErrSyntax},
	} {
		b, err := decade.ReadBox(strings.NewReader(c.file))
		if b != nil || !errors.Is(err, c.err) || !strings.Contains(err.Error(), c.contains) || len(err.Error()) > 400 {
			t.Errorf("%.60s: error %.400v; want %v with %q", c.file, err, c.err, c.contains)
			continue
		}
		if e, ok := errors.AsType[*decade.Error](err); !ok || e.Op != "decade.ReadBox" {
			t.Errorf("%.60s: error %T; want *decade.Error of Read", c.file, err)
		}
	}
	if _, err := decade.ReadBox(nil); err == nil {
		t.Error("nil reader: want an error")
	}
}

// FuzzReadBox checks that a file that is accepted is written and read as the same box,
// and that nothing in it makes a method panic.
func FuzzReadBox(f *testing.F) {
	for _, s := range []decade.Spec{bench(), school(), full()} {
		data, err := json.Marshal(box(f, s))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(`{"decades":[{"step":"0.1 Ω","code":"1-3-3-2"}]}`)) // preset
	f.Add([]byte(`{"decades":[{"step":1e300},{"step":1e-300}]}`))    // no common unit
	f.Add([]byte(`{"decades":[{"step":1}]}{`))                       // behind the object
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := decade.ReadBox(bytes.NewReader(data))
		if err != nil {
			return
		}
		text, err := json.Marshal(b)
		if err != nil {
			t.Fatal(err)
		}
		again, err := decade.ReadBox(bytes.NewReader(text))
		if err != nil {
			t.Fatalf("%v: %s", err, text)
		}
		if a, b := b.Spec(), again.Spec(); len(a.Decades) != len(b.Decades) || a.Decades[0].Step != b.Decades[0].Step {
			t.Errorf("written and read: %+v became %+v", a, b)
		}
		n := 0
		for s := range b.Settings() {
			if l := s.Limits(); !(l.Lower <= s.Value() && s.Value() <= l.Upper) {
				t.Errorf("%v: value %v outside %v", s, s.Value(), l)
			}
			if err := s.Resistance().Err(); err != nil {
				t.Errorf("%v: %v", s, err)
			}
			if n++; n == 100 {
				break
			}
		}
	})
}
