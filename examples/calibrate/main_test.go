// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"strings"
	"testing"
)

// The lesson shows what was put into the data: one element that changed by 30 mΩ.
func TestDemonstration(t *testing.T) {
	var out strings.Builder
	if err := run(&out); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"39 readings, 14 degrees of freedom", "3-4-7, nominal 347 Ω", "meter gain 1 kΩ", "Dial ×10", "7-0-0 stays inside its class",
	} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("no %q in\n%s", want, out.String())
		}
	}
	for line := range strings.Lines(out.String()) {
		if strings.HasPrefix(line, "×100") && strings.Contains(line, "*") != strings.HasPrefix(line, "×100 element 7 ") {
			t.Errorf("star: %s", line)
		}
	}
}
