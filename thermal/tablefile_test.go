// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"strings"
	"testing"
)

func TestReadTable(t *testing.T) {
	table, err := ReadTable(strings.NewReader(`{"name": "tank 3", "unit": "%", "points": [{"value": 100, "resistance": 33}, {"value": 0, "resistance": "0.24 kΩ"}]}`))
	if err != nil || table.Name != "tank 3" || table.Interpolation != InterpolationLinear {
		t.Fatalf("%+v, %v", table, err)
	}
	s := made(t, "tank")(table.Sensor())
	if r := must(t, "half")(s.Resistance(50)); r != 136.5 {
		t.Errorf("half: %v Ω", r)
	}
	for text, want := range map[string]string{
		`{}`:            "points",
		`{"points": 3}`: "points",
		`{"points": [{"value": 0, "resistance": 3}]}`:                                                                             "points: 1; expected 2",
		`{"points": [{"value": 0}, {"value": 1, "resistance": 3}]}`:                                                               "resistance",
		`{"points": [{"value": "0 %", "resistance": 2}, {"value": 1, "resistance": 3}]}`:                                          "expected a number, in the unit of the file",
		`{"points": [{"value": 0, "resistance": "2 V"}, {"value": 1, "resistance": 3}]}`:                                          "V",
		`{"points": [{"value": 0, "resistance": -2}, {"value": 1, "resistance": 3}]}`:                                             "-2; expected ohms from 0 up",
		`{"points": [{"value": 1, "resistance": 2}, {"value": 1, "resistance": 3}]}`:                                              "given twice",
		`{"unit": "furlong", "points": [{"value": 0, "resistance": 2}, {"value": 1, "resistance": 3}]}`:                           "unit: ",
		`{"interpolation": "cubic", "points": [{"value": 0, "resistance": 2}, {"value": 1, "resistance": 3}]}`:                    "interpolation",
		`{"pionts": [{"value": 0, "resistance": 2}, {"value": 1, "resistance": 3}]}`:                                              `did you mean "points"`,
		`{"unit": "mm", "interpolation": "thermistor", "points": [{"value": 0, "resistance": 2}, {"value": 1, "resistance": 3}]}`: "expected °C",
	} {
		if _, err := ReadTable(strings.NewReader(text)); err == nil || !strings.Contains(err.Error(), want) || !strings.HasPrefix(err.Error(), "thermal.ReadTable") {
			t.Errorf("%s: %v; want %q", text, err, want)
		}
	}
}

// A stranger's file is refused or makes a sensor; it never panics.
func FuzzReadTable(f *testing.F) {
	f.Add(`{"unit": "%", "points": [{"value": 100, "resistance": 33}, {"value": 0, "resistance": "240 Ω"}]}`)                                   // good
	f.Add(`{"unit": "°C", "interpolation": "thermistor", "points": [{"value": -273.15, "resistance": 1}, {"value": 1, "resistance": 1e-320}]}`) // at the ends
	f.Add(`{"interpolation": "smooth", "points": [{"value": -1e308, "resistance": 1}, {"value": 1e308, "resistance": 1e308}]}`)                 // beyond float64
	f.Fuzz(func(t *testing.T, text string) {
		table, err := ReadTable(strings.NewReader(text))
		if err != nil {
			return
		}
		s, err := table.Sensor()
		if err != nil {
			t.Fatalf("read and refused: %v", err)
		}
		low, high := s.Range()
		for _, x := range []float64{low, low/2 + high/2, high} {
			if r, err := s.Resistance(x); err == nil && s.Monotone() {
				_, _ = s.Value(r)
			}
		}
	})
}
