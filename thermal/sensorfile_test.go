// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"strings"
	"testing"
)

func TestReadSensor(t *testing.T) {
	s, err := ReadSensor(strings.NewReader(
		`{"name": "tank 3", "unit": "%", "points": [{"value": 100, "resistance": 33}, {"value": 0, "resistance": "0.24 kΩ"}]}`))
	if err != nil || !strings.HasPrefix(s.String(), "tank 3") {
		t.Fatalf("%v, %v", s, err)
	}
	if r := must(t, "half")(s.Resistance(50)); r != 136.5 {
		t.Errorf("half: %v Ω", r)
	}
	for text, want := range map[string]string{
		`{}`:            "points",
		`{"points": 3}`: "points",
		`{"points": [{"value": 0, "resistance": 3}]}`:                                                                               "points: 1; expected 2",
		`{"points": [{"value": 0}, {"value": 1, "resistance": 3}]}`:                                                                 "resistance",
		`{"points": [{"value": "0 %", "resistance": 2}, {"value": 1, "resistance": 3}]}`:                                            "expected a number, in the unit of the file",
		`{"points": [{"value": 0, "resistance": "2 V"}, {"value": 1, "resistance": 3}]}`:                                            "V",
		`{"points": [{"value": 0, "resistance": -2}, {"value": 1, "resistance": 3}]}`:                                               "-2; expected ohms from 0 up",
		`{"points": [{"value": 1, "resistance": 2}, {"value": 1, "resistance": 3}]}`:                                                "given twice",
		`{"unit": "furlong", "points": [{"value": 0, "resistance": 2}, {"value": 1, "resistance": 3}]}`:                             "unit: ",
		`{"interpolation": "cubic", "points": [{"value": 0, "resistance": 2}, {"value": 1, "resistance": 3}]}`:                      "interpolation",
		`{"callendarVandusen": {"r0": 100}}`:                                                                                        `did you mean "callendarVanDusen"`,
		`{"callendarVanDusen": {"r0": 100, "a": 3.9e-3}}`:                                                                           "b",
		`{"callendarVanDusen": {"r0": 100, "a": 3.9e-3, "b": 0, "e": 1}}`:                                                           `unknown key "e"`,
		`{"callendarVanDusen": {"r0": 100, "a": 39, "b": 0}}`:                                                                       "A: 39; expected 0.003 to 0.005 per kelvin",
		`{"beta": {"resistance": "10 kΩ"}}`:                                                                                         "beta",
		`{"beta": {"resistance": "10 kΩ", "beta": 3977}, "points": [{"value": 0, "resistance": 2}, {"value": 1, "resistance": 3}]}`: `beside "points"; expected one of them`,
		`{"unit": "°C", "beta": {"resistance": "10 kΩ", "beta": 3977}}`:                                                             `unknown key "unit"`,
		`{"pionts": [{"value": 0, "resistance": 2}, {"value": 1, "resistance": 3}]}`:                                                `did you mean "points"`,
		`{"unit": "mm", "interpolation": "thermistor", "points": [{"value": 0, "resistance": 2}, {"value": 1, "resistance": 3}]}`:   "expected °C",
	} {
		if _, err := ReadSensor(strings.NewReader(text)); err == nil ||
			!strings.Contains(err.Error(), want) ||
			!strings.HasPrefix(err.Error(), "thermal.ReadSensor") {
			t.Errorf("%s: %v; want %q", text, err, want)
		}
	}
}

// What a file says by coefficients is what the types make of them.
func TestReadSensorCoefficients(t *testing.T) {
	low, high := -50.0, 60.0
	for text, want := range map[string]interface{ Sensor() (Sensor, error) }{
		`{"callendarVanDusen": {"r0": "100.021 Ω", "a": 3.90802e-3, "b": -5.8019e-7, "c": -4.2735e-12}}`: CallendarVanDusen{R0: 100.021, A: 3.90802e-3, B: -5.8019e-7, C: -4.2735e-12},
		`{"its90": {"r001": "25.51 Ω", "below": {"a": 1.2e-4, "b": 2e-5}, "above": {"a": -2e-4, "b": 1e-5, "c": -1e-6}}}`: ITS90{R001: 25.51,
			Below: Deviation{A: 1.2e-4, B: 2e-5}, Above: Deviation{A: -2e-4, B: 1e-5, C: -1e-6}},
		`{"steinhartHart": {"a": 1.129e-3, "b": 2.341e-4, "c": 8.775e-8, "low": "-50 °C", "high": 60}}`: SteinhartHart{A: 1.129e-3, B: 2.341e-4, C: 8.775e-8, Low: low, High: high},
		`{"name": "bead", "beta": {"resistance": "10 kΩ", "at": 20, "beta": 3977}}`:                     BetaThermistor{R: 10e3, At: 20, Beta: 3977},
	} {
		s, err := ReadSensor(strings.NewReader(text))
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		w := made(t, text)(want.Sensor())
		for _, x := range []float64{-40, 0, 25} {
			if x < 0 && strings.Contains(text, "beta") {
				x = 5
			}
			got, want := must(t, text)(s.Resistance(x)), must(t, text)(w.Resistance(x))
			if got != want {
				t.Errorf("%s at %v: %v Ω; want %v", text, x, got, want)
			}
		}
	}
	s, err := ReadSensor(strings.NewReader(`{"name": "bead", "beta": {"resistance": "10 kΩ", "beta": 3977}}`))
	if err != nil || !strings.HasPrefix(s.String(), "bead (") {
		t.Errorf("%v, %v; want the name first", s, err)
	}
}

// A stranger's file is refused or makes a sensor; it never panics.
func FuzzReadSensor(f *testing.F) {
	// Good.
	f.Add(`{"unit": "%", "points": [{"value": 100, "resistance": 33}, {"value": 0, "resistance": "240 Ω"}]}`)
	// At the ends.
	f.Add(`{"unit": "°C", "interpolation": "thermistor", "points": [{"value": -273.15, "resistance": 1}, {"value": 1, "resistance": 1e-320}]}`)
	// Beyond float64.
	f.Add(`{"interpolation": "smooth", "points": [{"value": -1e308, "resistance": 1}, {"value": 1e308, "resistance": 1e308}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ReadSensor(strings.NewReader(text))
		if err != nil {
			return
		}
		low, high := s.Range()
		for _, x := range []float64{low, low/2 + high/2, high} {
			if r, err := s.Resistance(x); err == nil && s.Monotone() {
				_, _ = s.Value(r)
			}
		}
	})
}
