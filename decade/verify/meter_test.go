// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const meterFile = `{"name": "m", "serial": "7", "wiring": "two-wire", "leads": {"null": "leads joined", "nullTolerance": "5 mΩ"},
 "zeroShare": "25 %", "thermometer": "0.3 K", "temperature": "23 °C", "band": 5, "thermalEMF": "2 µV", "insulation": "10 GΩ",
 "ranges": [{"name": "1 kΩ", "fullScale": "1 kΩ", "overRange": 1.2, "ofReading": "0.003 %", "ofRange": "8 ppm", "k": 2,
  "resolution": "1 mΩ", "current": "1 mA", "ofReadingPerKelvin": "2 ppm/K", "ofRangePerKelvin": 1e-6, "reference": "A"}]}`

func TestReadMeter(t *testing.T) {
	want := &Meter{
		Name: "m", Serial: "7", Wiring: WiringTwoWire, Leads: Leads{Null: NullLeadsJoined, NullTolerance: 0.005}, ZeroShare: new(0.25), Thermometer: 0.3,
		Temperature: new(23.0), Band: 5, ThermalEMF: 2e-6, Insulation: 1e10,
		Ranges: []Range{{Name: "1 kΩ", FullScale: 1000, OverRange: 1.2, OfReading: 3e-5, OfRange: 8e-6, K: 2, Resolution: 0.001, Current: 0.001, OfReadingPerKelvin: 2e-6, OfRangePerKelvin: 1e-6, Reference: "A"}},
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
