// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"example.com/ohmwright/decade"
)

func TestReadingJSON(t *testing.T) {
	b := newBox(t, decade.Decade{Step: 100}, decade.Decade{Step: 10})
	warm, cold := 23.25, 22.0
	for _, want := range []Reading{
		{Setting: at(t, b, "3-4"), Values: []float64{340.0123, 340.0125}, Reversed: []float64{340.01}, Dialling: 2, Range: "1 kΩ", Session: "monday",
			Stage: StageAsLeft, Turned: []int{1, 0}, Temperature: &warm, MeterTemperature: &cold, Approach: "up", Remarks: "steady after a minute", Time: time.Date(2026, 3, 2, 9, 30, 0, 0, time.UTC), Line: 7},
		{Setting: b.Zero(), Overload: true},
		{Known: &Known{Name: "standard", Value: 100.0012, U: 0.0004, K: 2}, Values: []float64{100.003}, Range: "100 Ω"},
	} {
		text, err := json.Marshal(want)
		if err != nil {
			t.Fatal(err)
		}
		got := Reading{Setting: b.Zero()}
		if err := json.Unmarshal(text, &got); err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s reads as %+v; expected %+v", text, got, want)
		}
		list, err := json.Marshal([]Reading{want})
		if err != nil || string(list) != "["+string(text)+"]" {
			t.Errorf("in a list: %s, %v", list, err)
		}
	}
}

func TestReadingJSONRefuses(t *testing.T) {
	b := newBox(t, decade.Decade{Step: 100}, decade.Decade{Step: 10})
	for text, says := range map[string]string{
		`{"setting":"3-4","vales":[1]}`:                                 `"values"`,
		`{"setting":"3-44","values":[1]}`:                               "setting",
		`{"setting":"3-4"}`:                                             "no value",
		`{"values":[1]}`:                                                "no setting",
		`{"setting":"3-4","values":[1],"aboveRange":true}`:              "above range",
		`{"setting":"3-4","values":[1],"turned":[0]}`:                   "dials from 1",
		`{"setting":"3-4","values":[1],"stage":"later"}`:                "later",
		`{"setting":"3-4","values":["1 Ω"]}`:                            "a number",
		`{"setting":"3-4","values":[1],"known":{"name":"s","value":1}}`: "one of the two",
		`{"known":{"name":"s","value":-1},"values":[1]}`:                "0 or more",
		`[]`: "object",
	} {
		got := Reading{Setting: b.Zero()}
		if err := json.Unmarshal([]byte(text), &got); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: error %v does not say %q", text, err, says)
		}
		if !reflect.DeepEqual(got, Reading{Setting: b.Zero()}) {
			t.Errorf("%s: left %+v behind", text, got)
		}
	}
	var homeless Reading
	if err := json.Unmarshal([]byte(`{"setting":"3-4","values":[1]}`), &homeless); err == nil ||
		!strings.Contains(err.Error(), "Box.Zero") {
		t.Errorf("without a box: %v", err)
	}
	if err := (*Reading)(nil).UnmarshalJSON(nil); err == nil {
		t.Error("nil is read into")
	}
	for _, bad := range []Reading{{}, {Setting: b.Zero()}, {Setting: b.Zero(), Values: []float64{math.NaN()}}} {
		if _, err := json.Marshal(bad); err == nil {
			t.Errorf("%+v is written", bad)
		}
	}
}
