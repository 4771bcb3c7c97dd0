// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"strings"
	"testing"

	"example.com/ohmwright/examples/internal/golden"
)

// The lesson says what its title promises: in the first case the law of propagation
// stands, in the second it does not, and both say why.
func TestLesson(t *testing.T) {
	var out strings.Builder
	if err := run(&out); err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "output.txt", out.String())
	first, second, ok := strings.Cut(out.String(), "SECOND CASE")
	if !ok {
		t.Fatal("no second case")
	}
	for _, want := range []string{"Rx = (10000.169 ± 0.019) Ω", "drift", "It stands: report y ± U."} {
		if !strings.Contains(first, want) {
			t.Errorf("the first case does not say %q:\n%s", want, first)
		}
	}
	for _, want := range []string{"not normally distributed", "u = 0.01732 at first order", "It does not stand"} {
		if !strings.Contains(second, want) {
			t.Errorf("the second case does not say %q:\n%s", want, second)
		}
	}
}
