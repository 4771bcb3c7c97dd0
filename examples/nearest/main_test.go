// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"io"
	"strings"
	"testing"

	"example.com/ohmwright/examples/internal/golden"
)

const box = "testdata/box.json"

func TestRun(t *testing.T) {
	for file, arguments := range map[string][]string{
		"output.txt":  nil,
		"own.txt":     {"-box", box, "-ohms", "990", "-dials-at", "1-0-0-0", "-voltage", "12 V", "-series", "10"},
		"warm.txt":    {"-box", box, "-ohms", "1.2345 kΩ", "-temperature", "30 °C", "-count", "2", "-hold", "1, ×10 Ω", "-dials-at", "1-0-3-0"},
		"own.csv":     {"-box", box, "-ohms", "990", "-format", "csv"},
		"own.json":    {"-box", box, "-ohms", "990", "-format", "json", "-voltage", "1.5"},
		"unrated.txt": {"-box", "../boxcheck/demo/box.json", "-ohms", "1.234 kΩ", "-voltage", "5"},
		"help.txt":    {"-h"},
	} {
		var out strings.Builder
		if err := run(&out, arguments); err != nil {
			t.Fatal(file, err)
		}
		golden.Check(t, file, out.String())
	}
}

// The table of a certificate on paper serves as a record.
func TestPaper(t *testing.T) {
	var out strings.Builder
	err := run(&out, []string{"-box", "../formats/files/box.json", "-record",
		"../formats/files/earlier.json", "-ohms", "1 kΩ"})
	if err != nil || !strings.Contains(out.String(), "as calibrated on 1987-05-04") {
		t.Errorf("%v\n%s", err, out.String())
	}
}

// As many rows of the budget as -rows says, and the others by number and share.
func TestRows(t *testing.T) {
	for rows, want := range map[string]string{"1": "and 2 more, together", "0": ""} {
		var out strings.Builder
		if err := run(&out, []string{"-box", box, "-ohms", "990", "-rows", rows}); err != nil {
			t.Fatal(err)
		}
		if got := out.String(); strings.Contains(got, " more, together") != (want != "") ||
			!strings.Contains(got, want) {
			t.Errorf("-rows %s: want %q in\n%s", rows, want, got)
		}
	}
}

func TestRefuses(t *testing.T) {
	for want, arguments := range map[string][]string{
		"no -box; expected":              {"-ohms", "5"},
		"no -ohms; expected":             {"-box", box},
		"absent.json":                    {"-box", "absent.json", "-ohms", "5"},
		"expected flags only":            {"-box", box, "-ohms", "5", "5"},
		`-hold "5"; expected numbers`:    {"-box", box, "-ohms", "5", "-hold", "5"},
		"-dials-at: 2 positions":         {"-box", box, "-ohms", "5", "-dials-at", "1-0"},
		"not defined: -range":            {"-box", box, "-range", "5"},
		`"soonest"`:                      {"-box", box, "-ohms", "5", "-prefer", "soonest"},
		"expected a decimal number":      {"-box", box, "-ohms", "NaN"},
		"main.go":                        {"-box", "main.go", "-ohms", "5"},
		`-format "pdf"; expected one of`: {"-box", box, "-ohms", "5", "-format", "pdf"},
		"looks like the file of -box":    {"-box", box, "-record", box, "-ohms", "5"},
	} {
		if err := run(io.Discard, arguments); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v; want %q", arguments, err, want)
		}
	}
}
