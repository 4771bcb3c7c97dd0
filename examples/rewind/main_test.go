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
	for file, arguments := range map[string][]string{
		"output.txt":  nil,
		"fast.txt":    {"-ohms", "100", "-tau", "20 ns", "-tcr", "20 ppm/K", "-plans", "2"},
		"old.txt":     {"-ohms", "1k", "-card", "30", "-covering", "double silk", "-gauges", "AWG", "-construction", "bifilar"},
		"trimmed.txt": {"-ohms", "100", "-measured", "7.1", "-reading", "100.31", "-plans", "1", "-construction", "bifilar", "-material", "manganin"},
		"own.json":    {"-ohms", "100", "-format", "json", "-plans", "1"},
		"help.txt":    {"-h"},
		"shunt.txt":   {"-ohms", "0.01", "-plans", "1"}, // the default power does not go
	} {
		var out strings.Builder
		if err := run(&out, arguments); err != nil {
			t.Fatal(file, err)
		}
		golden.Check(t, file, out.String())
	}
}

// No resistance needs a flag more, and no wire is thicker than the former takes.
func TestEveryDecade(t *testing.T) {
	for _, ohms := range []string{"10m", "0.1", "1", "10", "100", "1k", "10k", "100k", "1M"} {
		if err := run(io.Discard, []string{"-ohms", ohms}); err != nil {
			t.Errorf("%s Ω: %v", ohms, err)
		}
	}
	for _, material := range []string{"constantan", "manganin", "nickel-chromium 80/20", "nickel silver", "copper"} {
		if err := run(io.Discard, []string{"-material", material}); err != nil {
			t.Errorf("%s: %v", material, err)
		}
	}
	// A megohm of these does not fit the space that nobody asked for.
	for _, material := range []string{"constantan", "manganin"} {
		var out strings.Builder
		err := run(&out, []string{"-material", material, "-ohms", "1 MΩ"})
		if err != nil || !strings.Contains(out.String(), "with 80 mm to wind on") {
			t.Errorf("1 MΩ of %s: %v\n%.300s", material, err, out.String())
		}
	}
}

func TestRefuses(t *testing.T) {
	for want, arguments := range map[string][]string{
		`did you mean "manganin"`:                            {"-material", "mangannin"},
		"-ohms -1; expected more than 0":                     {"-ohms", "-1"},
		"tin-lead solder":                                    {"-material", "unknown"},
		"limit not met: temperature rise":                    {"-power", "2", "-ohms", "100", "-length", "40 mm"},
		"; to widen it: -rise or -power":                     {"-power", "2", "-ohms", "100", "-length", "40 mm"},
		"limit not met: time constant":                       {"-tau", "10 ps"},
		"limit not met: thickest wire that the former takes": {"-ohms", "1m"},
		"limit not met: thinnest wire":                       {"-ohms", "10M"},
		`unknown unit "turns"`:                               {"-ohms", "10 turns"},
		`"paper"; expected one of`:                           {"-covering", "paper"},
		`"Welsh"`:                                            {"-gauges", "Welsh"},
		`construction: "braided"; expected one of`:           {"-construction", "braided"},
		"plans: 0; expected 1 or more":                       {"-plans", "0"},
		"reading: -1; expected more than 0":                  {"-reading", "-1"},
		`argument "10"; expected flags only`:                 {"10"},
		"absent.json":                                        {"-materials", "absent.json"},
		"main.go: line 1":                                    {"-materials", "main.go"},
	} {
		var out strings.Builder
		if err := run(&out, arguments); err == nil || !strings.Contains(err.Error(), want) || out.Len() > 0 {
			t.Errorf("%q: %v, printed %q", arguments, err, out.String())
		}
	}
}

func TestOwnMaterials(t *testing.T) {
	var out strings.Builder
	err := run(&out, []string{"-materials", "../formats/files/materials.json", "-material", "spool 3"})
	if err != nil || !strings.Contains(out.String(), "1. spool 3 ") {
		t.Errorf("%v, printed %q", err, out.String())
	}
}
