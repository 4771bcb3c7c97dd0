// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/ohmwright/examples/internal/golden"
)

func TestRun(t *testing.T) {
	for file, arguments := range map[string][]string{
		"output.txt":     {},
		"twowires.txt":   {"-from", "-50", "-to", "250", "-step", "50", "-wires", "2", "-lead", "0.15"},
		"threewires.txt": {"-box", "testdata/box.json", "-wires", "3", "-unequal", "20m", "-current", "1m", "-rth", "30", "-step", "25"},
		"thermistor.txt": {"-sensor", "NTC 10 kΩ 3977 K", "-step", "20"},
		"sender.txt":     {"-sensor", "240 Ω at 0 %, 33 Ω at 100 %", "-step", "25"},
		"gauge.txt":      {"-sensor", "gauge 350 Ω 2.05", "-from", "-2000", "-to", "2000", "-step", "1000"},
		"coarse.txt":     {"-sensor", "Pt1000", "-box", "../formats/files/box.json", "-step", "50"},
		"table.txt":      {"-curve", "../formats/files/sensor.json"},
		"help.txt":       {"-h"},
		"own.csv":        {"-box", "testdata/box.json", "-curve", "testdata/probe.json", "-step", "25", "-format", "csv"},
		"own.json":       {"-box", "testdata/box.json", "-step", "50", "-format", "json", "-current", "1m"},
	} {
		var out strings.Builder
		if err := run(&out, arguments); err != nil {
			t.Fatal(file, err)
		}
		golden.Check(t, file, out.String())
	}
}

// A box whose dials leave a gap is not too coarse.
func TestGap(t *testing.T) {
	box := filepath.Join(t.TempDir(), "box.json")
	err := os.WriteFile(box, []byte(`{"decades": [{"step": "100 Ω"}, {"step": "10 Ω", "positions": 6}, {"step": 1}, {"step": 0.01}]}`), 0o666)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	if err := run(&out, []string{"-box", box, "-from", "-50", "-to", "0"}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(out.String(), "No setting of the box comes nearer") || strings.Contains(out.String(), "too coarse") {
		t.Errorf("a gap of the box:\n%s", out.String())
	}
}

func TestRefuses(t *testing.T) {
	for want, arguments := range map[string][]string{
		"expected a sensor such as Pt100":   {"-sensor", "thermo"},
		"Beta: 0":                           {"-sensor", "NTC 10 kΩ 0 K"},
		"expected 2, 3 or 4":                {"-wires", "5"},
		"expected it with three wires only": {"-unequal", "0.1"},
		"none.json":                         {"-curve", "none.json"},
		"expected one of them":              {"-curve", "none.json", "-sensor", "Pt100"},
		"absent.json":                       {"-box", "absent.json"},
		"main.go":                           {"-box", "main.go"},
		"-record without -box":              {"-record", "main.go"},
		"expected one of text, csv, json":   {"-format", "pdf"},
		"expected flags only":               {"Pt100"},
		"-200 to 850 °C":                    {"-to", "900"},
		"-from -300; expected":              {"-from", "-300"},
		"only a thermometer":                {"-sensor", "gauge 350 Ω 2", "-rth", "30"},
		"expected the lower first":          {"-from", "50", "-to", "0", "-step", "1"},
		"invalid value":                     {"-current", "1 V"},
	} {
		if err := run(io.Discard, arguments); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v; want %q", arguments, err, want)
		}
	}
}
