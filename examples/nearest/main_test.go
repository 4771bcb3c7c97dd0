// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"encoding/json"
	"io"
	"math"
	"os"
	"path/filepath"
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

// At a temperature the settings, what they differ by from the wanted value, and U are those of the
// budget below them, and the choice is made there: the law of one dial moves it to other dials.
func TestAtTemperature(t *testing.T) {
	hot := filepath.Join(t.TempDir(), "box.json")
	const law = `"temperature": {"reference": 20, "alpha": "1 %/K"}`
	text := `{"residual": 0.5, "decades": [{"step": 1000, "positions": 3, "tolerance": "0.1 %", ` + law +
		`}, {"step": 10, "tolerance": "0.1 %"}]}`
	if err := os.WriteFile(hot, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for target, residual := range map[string]float64{"usual value": 0, "total at the terminals": 0.5, "increment over zero": 0} {
		var out strings.Builder
		if err := run(&out, []string{"-box", hot, "-ohms", "1130", "-temperature", "30", "-format", "json", "-target", target}); err != nil {
			t.Fatal(err)
		}
		var a struct {
			Best []struct {
				Setting          string
				Value, Deviation float64
			}
			U95    float64 `json:"u95"`
			Budget struct {
				Estimate float64
			}
		}
		if err := json.Unmarshal([]byte(out.String()), &a); err != nil {
			t.Fatal(err)
		}
		// 1000 Ω are 1100 Ω at 30 °C, so that 3 steps of 10 Ω are missing; the class of 0.1 %
		// is a rectangle of 1 Ω.
		if b := a.Best[0]; b.Setting != "1-3" || math.Abs(b.Value-1130.5) > 1e-9 ||
			math.Abs(b.Deviation-residual) > 1e-9 || b.Value != a.Budget.Estimate || math.Abs(a.U95-0.95) > 0.01 {
			t.Errorf("%s: %+v; want 1-3 with 1130.5 Ω", target, a)
		}
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
