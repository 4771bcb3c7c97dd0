// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault_test

import (
	"encoding/json"
	"errors"
	"testing"

	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/uncertainty/unit"
)

// Weights, keyed by kind, go through a file in words and come back equal.
func TestWeightsRoundTrip(t *testing.T) {
	want := fault.DefaultWeights()
	text, err := json.Marshal(want)
	if err != nil {
		t.Fatal(err)
	}
	var got fault.Weights
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if got.String() != want.String() {
		t.Errorf("read %v; expected %v", got, want)
	}
	var k fault.Kind
	if err := json.Unmarshal([]byte(`"rust"`), &k); !errors.Is(err, unit.ErrUnknown) {
		t.Errorf("rust is read: %v", err)
	}
	if _, err := json.Marshal(fault.Kind(200)); !errors.Is(err, fault.ErrDomain) {
		t.Errorf("kind 200 is written: %v", err)
	}
}

// Weights that are all 0 have shares of 0 %, in place of 0/0.
func TestWeightsOfNothing(t *testing.T) {
	if got := (fault.Weights{fault.KindDrift: 0}).String(); got != "drifted element 0 %" {
		t.Errorf("%q", got)
	}
}
