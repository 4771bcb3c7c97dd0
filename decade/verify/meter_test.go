// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

const meterFile = `{"name": "m", "serial": "7", "wiring": "two-wire", "leads": {"null": "leads joined", "nullTolerance": "5 mΩ"},
 "ideal": true, "thermometer": "0.3 K", "temperature": "23 °C", "band": 5, "thermalEMF": "2 µV", "insulation": "10 GΩ",
 "ranges": [{"name": "1 kΩ", "fullScale": "1 kΩ", "overRange": 1.2, "ofReading": "0.003 %", "ofRange": "8 ppm", "k": 2,
  "resolution": "1 mΩ", "current": "1 mA", "ofReadingPerKelvin": "2 ppm/K", "ofRangePerKelvin": 1e-6, "reference": "A"},
 {"name": "1 MΩ", "fullScale": "1 MΩ", "ofReading": "0.01 %", "ofRange": "3 ppm + 2 counts", "combine": "two limits", "linearity": "2 ppm", "noise": "0.3 Ω", "resolution": "1 Ω",
  "shortTerm": {"ofReading": "20 ppm", "ofRange": "1 digit"},
  "calibration": {"date": "2026-03-17", "points": [{"reading": 0, "error": "0.1 Ω", "U": "0.2 Ω"}, {"reading": "1 MΩ", "error": "-12 Ω", "U": "8 Ω", "k": 2.1}], "independent": true, "stability": {"ofReading": "5 ppm"}}}]}`

func TestReadMeter(t *testing.T) {
	want := &Meter{
		Name: "m", Serial: "7", Wiring: WiringTwoWire,
		Leads: Leads{Null: NullLeadsJoined, NullTolerance: 0.005}, Ideal: true,
		Thermometer: 0.3,
		Temperature: new(23.0), Band: 5, ThermalEMF: 2e-6, Insulation: 1e10,
		Ranges: []Range{{Name: "1 kΩ", FullScale: 1000, OverRange: 1.2, OfReading: 3e-5,
			OfRange: 8e-6, K: 2, Resolution: 0.001, Current: 0.001, OfReadingPerKelvin: 2e-6,
			OfRangePerKelvin: 1e-6, Reference: "A"},
			{Name: "1 MΩ", FullScale: 1e6, OfReading: 1e-4, OfRange: 3e-6, Digits: 2, Combine: CombineTwoLimits, Linearity: 2, Noise: 0.3, Resolution: 1,
				ShortTerm: &Limits{OfReading: 2e-5, Digits: 1},
				Calibration: &RangeCalibration{Date: time.Date(2026, 3, 17, 0, 0, 0, 0, time.UTC), Points: []CalibrationPoint{{0, 0.1, 0.2, 0}, {1e6, -12, 8, 2.1}},
					Independent: true, Stability: &Limits{OfReading: 5e-6}}}},
	}
	got, err := ReadMeter(strings.NewReader(meterFile))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
	text, err := json.Marshal(got)
	if err != nil {
		t.Fatal(err)
	}
	back, err := ReadMeter(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, back); diff != "" {
		t.Errorf("written and read back: -want +got:\n%s", diff)
	}
}

func TestReadMeterRefuses(t *testing.T) {
	for _, test := range []struct{ name, text, says string }{
		{"empty", "", "empty file"},
		{"not JSON", "{", "JSON"},
		{"trailing data", `{"wiring":"four-wire","ranges":[{"name":"a","fullScale":1}]} x`, "JSON"},
		{"unknown key", `{"wiring":"four-wire","colour":1,"ranges":[{"name":"a","fullScale":1}]}`, `"colour"`},
		{"unknown key of a range", `{"wiring":"four-wire","ranges":[{"name":"a","fullScale":1,"ofRading":1}]}`, `"ofRading"`},
		{"key twice", `{"name":"a","name":"b"}`, "twice"},
		{"no wiring", `{"ranges":[{"name":"a","fullScale":1}]}`, "wiring"},
		{"unknown wiring", `{"wiring":"three-wire","ranges":[{"name":"a","fullScale":1}]}`, "three-wire"},
		{"no ranges", `{"wiring":"four-wire"}`, "ranges"},
		{"unit of another dimension", `{"wiring":"four-wire","ranges":[{"name":"a","fullScale":"1 V"}]}`, "ranges[0].fullScale"},
		{"unknown null", `{"wiring":"two-wire","leads":{"null":"sometimes"},"ranges":[{"name":"a","fullScale":1}]}`, "sometimes"},
		{"negative limit", `{"wiring":"four-wire","ranges":[{"name":"a","fullScale":1,"ofRange":-1}]}`, "ofRange"},
		{"a key that is gone", `{"wiring":"four-wire","zeroShare":0.5,"ranges":[{"name":"a","fullScale":1,"ofReading":1e-4}]}`, "linearity"},
		{"no limits", `{"wiring":"four-wire","ranges":[{"name":"a","fullScale":1}]}`, `"ideal": true`},
		{"unknown combination", `{"wiring":"four-wire","ranges":[{"name":"a","fullScale":1,"ofReading":1e-4,"combine":"both"}]}`, "two limits"},
		{"digits without a resolution", `{"wiring":"four-wire","ranges":[{"name":"a","fullScale":1,"ofRange":"3 digits"}]}`, "resolution"},
		{"two terms of one kind", `{"wiring":"four-wire","ranges":[{"name":"a","fullScale":1,"ofRange":"3 digits + 2 counts","resolution":1e-6}]}`, "one number of digits"},
		{"range part in ohms", `{"wiring":"four-wire","ranges":[{"name":"a","fullScale":1,"ofRange":"3 Ω"}]}`, "3 digits"},
		{"linearity above the range part", `{"wiring":"four-wire","ranges":[{"name":"a","fullScale":1,"ofRange":"3 ppm","linearity":"4 ppm"}]}`, "linearity"},
		{"points that fall", `{"wiring":"four-wire","ranges":[{"name":"a","fullScale":1,"ofReading":1e-4,"calibration":{"points":[{"reading":1,"error":0,"U":0},{"reading":0,"error":0,"U":0}]}}]}`, "rising"},
		{"no date", `{"wiring":"four-wire","ranges":[{"name":"a","fullScale":1,"ofReading":1e-4,"calibration":{"date":"17.3.2026","points":[{"reading":1,"error":0,"U":0}]}}]}`, "2026-03-17"},
		{"per cent as a number", `{"wiring":"four-wire","ranges":[{"name":"a","fullScale":1,"ofReading":0.5}]}`, "0.01 %"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := ReadMeter(strings.NewReader(test.text))
			if err == nil || !strings.Contains(err.Error(), test.says) {
				t.Errorf("error %v does not say %q", err, test.says)
			}
			if _, ok := errors.AsType[*Error](err); !ok {
				t.Errorf("error %T, want *Error", err)
			}
		})
	}
}

func TestMarshalRefusesABadMeter(t *testing.T) {
	if _, err := json.Marshal(&Meter{}); err == nil {
		t.Error("a meter without wiring was written")
	}
}

func FuzzReadMeter(f *testing.F) {
	f.Add(meterFile)
	f.Add(`{"wiring":"four-wire","ranges":[{"name":"a","fullScale":1e308,"overRange":1e308}]}`)
	f.Add(`{"wiring":"four-wire","ranges":[{"name":"a","fullScale":"1 ohm","ofReading":"20 %"}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		m, err := ReadMeter(strings.NewReader(text))
		if err != nil {
			return
		}
		out, err := json.Marshal(m)
		if err != nil {
			t.Fatalf("read but not written: %v", err)
		}
		back, err := ReadMeter(bytes.NewReader(out))
		if err != nil {
			t.Fatalf("written but not read: %v\n%s", err, out)
		}
		if diff := cmp.Diff(m, back); diff != "" {
			t.Errorf("not the same when read back:\n%s", diff)
		}
	})
}
