// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"io"
	"strings"
	"testing"

	"example.com/ohmwright/examples/internal/golden"
)

func TestDemonstration(t *testing.T) {
	var out strings.Builder
	if err := plan(&out, 10, "manganin"); err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "output.txt", out.String())
}

func TestOtherResistors(t *testing.T) {
	for material, ohms := range map[string]float64{"constantan": 100, "manganin": 1, "nickel-chromium 80/20": 1000} {
		if err := plan(io.Discard, ohms, material); err != nil {
			t.Errorf("%v Ω of %s: %v", ohms, material, err)
		}
	}
}

func TestRefuses(t *testing.T) {
	for _, c := range []struct {
		ohms           float64
		material, want string
	}{
		{10, "mangannin", `did you mean "manganin"`},
		{-1, "manganin", "expected more than 0 Ω"},
		{1e9, "manganin", "longer than MaxLength"},
	} {
		var out strings.Builder
		if err := plan(&out, c.ohms, c.material); err == nil || !strings.Contains(err.Error(), c.want) || out.Len() > 0 {
			t.Errorf("%v Ω of %s: %v, printed %q", c.ohms, c.material, err, out.String())
		}
	}
}
