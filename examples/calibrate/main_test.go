// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"strings"
	"testing"

	"example.com/ohmwright/examples/internal/golden"
)

// The lesson shows what was put into the data: one element that changed by 30 mΩ.
func TestDemonstration(t *testing.T) {
	var out strings.Builder
	if err := run(&out); err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "output.txt", out.String())
	for line := range strings.Lines(out.String()) {
		if strings.HasPrefix(line, "×100") && strings.Contains(line, "*") != strings.HasPrefix(line, "×100 element 7 ") {
			t.Errorf("star: %s", line)
		}
	}
}
