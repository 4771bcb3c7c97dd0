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
	"example.com/ohmwright/decade/internal/jsonread"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty/unit"
)

// full is a description with every field in use.
func full() decade.Spec {
	return decade.Spec{
		Name: "laboratory \"box\" <1>", Serial: "17/2026", Residual: 0.02, ResidualTolerance: 0.005, ResidualIncluded: true,
		Tolerance: 0.0001, Floor: 0.003, Contact: 0.0005, ReferenceTemperature: new(23.0),
		ResidualLaw: thermal.NewLaw(20, 3.93e-3, 0),
		Decades: []decade.Decade{
			{
				Name: "thousands", Step: 1000, Positions: 9, Tolerance: 0.0005, Floor: 0.001, Spread: decade.PerElement, Switch: "A",
				WiperFirst: true, Law: thermal.NewLaw(23, 8e-6, -0.5e-6), AlphaTolerance: 2e-6, ElementPower: 0.5, MaxVoltage: 500,
				Inductance: 3e-6, Capacitance: 8e-12,
			},
			{Name: "hundreds", Step: 100, Positions: 9, Tolerance: 20e-6, Spread: decade.PerBox, Switch: "A", AlphaTolerance: 1e-6},
			{Name: "tens", Step: 10, Positions: 10, Code: decade.Code1225()},
			{Name: "ones", Step: 1, Positions: 9, Code: decade.Code1332()},
			{Name: "third of a tenth", Step: 0.1 / 3, Positions: 255, Tolerance: 1.0 / 30},
		},
	}
}

// What MarshalJSON writes, Read reads: the same description, to the last bit.
func TestJSONRoundTrip(t *testing.T) {
	for name, spec := range map[string]decade.Spec{"bench": bench(), "school": school(), "full": full(), "warm": warm()} {
		b := box(t, spec)
		data, err := json.Marshal(b)
		if err != nil {
			t.Fatal(err)
		}
		again, err := decade.Read(bytes.NewReader(data))
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, data)
		}
		if diff := cmp.Diff(b.Spec(), again.Spec(), cmp.Comparer(func(a, b thermal.Law) bool { return a == b })); diff != "" {
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
	b, err := decade.Read(f)
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

func TestReadRefuses(t *testing.T) {
	dial := func(fields string) string { return `{"decades":[{"step":1},{"step":"10 Ω",` + fields + `}]}` }
	for _, c := range []struct {
		file, contains string
		err            error
	}{
		{"", "decade.Read: empty file; expected a JSON object", jsonread.ErrSyntax},
		{"box", "line 1, column 1", jsonread.ErrSyntax},
		{`{"decades":[{"step":1}]} {}`, "line 1, column 26", jsonread.ErrSyntax},
		{`[]`, "[]; expected a JSON object", jsonread.ErrSyntax},
		{`{}`, "decades: missing", jsonread.ErrMissing},
		{`{"decades":[]}`, "0 decades; expected 1 to 16", decade.ErrDomain},
		{`{"decades":[` + strings.Repeat(`{"step":1},`, 16) + `{"step":1}]}`, "decades: 17 entries; expected at most 16", jsonread.ErrSize},
		{`{"decades":[{"step":1}],"colour":"red"}`, "colour: unknown key \"colour\"; expected one of name, serial", jsonread.ErrKey},
		{`{"decades":[{"step":1}],"decades":[{"step":1}]}`, "key \"decades\" twice", jsonread.ErrKey},
		{`{"decades":[{"step":1,"Step":2}]}`, "decades[0].Step: unknown key", jsonread.ErrKey},
		{`{"decades":[{"positions":10}]}`, "decades[0].step: missing", jsonread.ErrMissing},
		{dial(`"name":7`), "decades[1].name: 7; expected a string", jsonread.ErrSyntax},
		{dial(`"positions":0`), "decades[1].positions: 0; expected 1 to 255", decade.ErrDomain},
		{dial(`"positions":2.5`), "decades[1].positions: 2.5; expected a whole number", jsonread.ErrSyntax},
		{dial(`"positions":256`), "decades[1]: positions: 256; expected 1 to 255", decade.ErrDomain},
		{dial(`"tolerance":5`), `decades[1].tolerance: 5, that is 500 %; expected a fraction of at most 0.2 (write "0.05 %" or 0.0005)`, decade.ErrDomain},
		{dial(`"tolerance":"0.05"`), "decades[1].tolerance: \"0.05\": no unit; expected %, ‰, ppm or ppb", unit.ErrUnit},
		{dial(`"tolerance":-0.1`), "tolerance: -0.1; expected 0 or more", decade.ErrDomain},
		{dial(`"floor":"1 V"`), "unit \"V\" is not one of resistance; expected Ω, ohm or R", unit.ErrUnitMismatch},
		{dial(`"floor":1e999`), "too large", unit.ErrRange},
		{dial(`"spread":"mine"`), `"mine"; expected one of per decade, per element, per box`, decade.ErrDomain},
		{dial(`"code":"1-2-3"`), `"1-2-3"; expected one of 1-1-2-5`, decade.ErrCode},
		{dial(`"code":{"weights":[1]}`), "decades[1].code.inCircuit: missing", jsonread.ErrMissing},
		{dial(`"code":{"weights":[],"inCircuit":[]}`), "no elements", decade.ErrCode},
		{dial(`"code":{"weights":[1],"inCircuit":[[],[1]],"x":1}`), "decades[1].code.x: unknown key", jsonread.ErrKey},
		{dial(`"code":{"weights":[1],"inCircuit":[[],[2]]}`), "position 1: element 2; expected 1 to 1", decade.ErrCode},
		{dial(`"code":"1-2-2-5","positions":9`), "9, and a code with 10", decade.ErrCode},
		{dial(`"temperature":{"alpha":"8 ppm/K"}`), "decades[1].temperature.reference: missing", jsonread.ErrMissing},
		{dial(`"temperature":{"reference":"20 °C","alpha":"8 ppm"}`), "unit \"ppm\" is not one of temperature coefficient", unit.ErrUnitMismatch},
		{dial(`"temperature":{"reference":"20 °C","alpha":"8 ppm/K","gamma":1}`), "temperature.gamma: unknown key", jsonread.ErrKey},
		{dial(`"step":2`), "decades[1].step: key \"step\" twice", jsonread.ErrKey},
		{`{"tolerance":"30 %","decades":[{"step":1}]}`, "tolerance: 0.3, that is 30 %", decade.ErrDomain},
		{`{"name":"` + strings.Repeat("a", 17<<20) + `"}`, "more than 16777216 bytes", jsonread.ErrSize},
		{`{"` + strings.Repeat("a", 1<<20) + `":1,"decades":[{"step":1}]}`, "unknown key", jsonread.ErrKey},
		{strings.Repeat(`{"decades":[`, 5000), "expected one JSON object", jsonread.ErrSyntax},
	} {
		b, err := decade.Read(strings.NewReader(c.file))
		if b != nil || !errors.Is(err, c.err) || !strings.Contains(err.Error(), c.contains) || len(err.Error()) > 400 {
			t.Errorf("%.60s: error %.400v; want %v with %q", c.file, err, c.err, c.contains)
			continue
		}
		if e, ok := errors.AsType[*decade.Error](err); !ok || e.Op != "decade.Read" {
			t.Errorf("%.60s: error %T; want *decade.Error of Read", c.file, err)
		}
	}
	if _, err := decade.Read(nil); err == nil {
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
		b, err := decade.Read(bytes.NewReader(data))
		if err != nil {
			return
		}
		text, err := json.Marshal(b)
		if err != nil {
			t.Fatal(err)
		}
		again, err := decade.Read(bytes.NewReader(text))
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
