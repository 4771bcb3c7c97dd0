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
	if err := run(&out, 10, "manganin", ""); err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "output.txt", out.String())
}

func TestOtherResistors(t *testing.T) {
	for material, ohms := range map[string]float64{"constantan": 100, "manganin": 1, "nickel-chromium 80/20": 1000} {
		if err := run(io.Discard, ohms, material, ""); err != nil {
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
		if err := run(&out, c.ohms, c.material, ""); err == nil || !strings.Contains(err.Error(), c.want) || out.Len() > 0 {
			t.Errorf("%v Ω of %s: %v, printed %q", c.ohms, c.material, err, out.String())
		}
	}
}

func TestOwnMaterials(t *testing.T) {
	const file = "../formats/files/materials.json"
	var out strings.Builder
	if err := run(&out, 10, "spool 3", file); err != nil || !strings.HasPrefix(out.String(), "10 Ω of spool 3 (Cu 86 Mn 12 Ni 2), ") {
		t.Errorf("%v, printed %q", err, out.String())
	}
	for path, want := range map[string]string{"absent.json": "absent.json", "main.go": "main.go: material.Read: line 1"} {
		if err := run(io.Discard, 10, "manganin", path); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v; want it to say %q", path, err, want)
		}
	}
}
