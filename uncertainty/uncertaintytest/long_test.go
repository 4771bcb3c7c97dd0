// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertaintytest_test

import (
	"fmt"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func ExampleLong() {
	benches := 20
	if uncertaintytest.Long() {
		benches = 3000
	}
	fmt.Println("at least 20 simulated benches:", benches >= 20)
	// Output: at least 20 simulated benches: true
}

func ExampleWhole() {
	boxes := 300
	if uncertaintytest.Whole() {
		boxes = 2000
	}
	fmt.Println("at least 300 simulated boxes:", boxes >= 300)
	// Output: at least 300 simulated boxes: true
}

func TestLongFollowsTheEnvironment(t *testing.T) {
	for value, want := range map[string]bool{"": false, "1": true, "whole": true} {
		t.Setenv("OHMWRIGHT_LONG", value)
		if got := uncertaintytest.Long(); got != want {
			t.Errorf("OHMWRIGHT_LONG=%q: %v, want %v", value, got, want)
		}
		if got := uncertaintytest.Whole(); got != (value == "whole") {
			t.Errorf("OHMWRIGHT_LONG=%q: whole %v", value, got)
		}
	}
}
