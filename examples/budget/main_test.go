// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"io"
	"strings"
	"testing"

	"example.com/ohmwright/examples/internal/golden"
)

// The lesson says what its title promises: in the first case the law of propagation
// stands, in the second it does not, and both say why.
func TestLesson(t *testing.T) {
	var out strings.Builder
	if err := run(&out, nil); err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "output.txt", out.String())
	first, second, ok := strings.Cut(out.String(), "SECOND CASE")
	if !ok {
		t.Fatal("no second case")
	}
	for _, want := range []string{"Rx = (10000.169 ± 0.019) Ω", "drift", "It does: report y ± U."} {
		if !strings.Contains(first, want) {
			t.Errorf("the first case does not say %q:\n%s", want, first)
		}
	}
	for _, want := range []string{"not normally distributed", "u = 0.01732 at first order", "It does not: report"} {
		if !strings.Contains(second, want) {
			t.Errorf("the second case does not say %q:\n%s", want, second)
		}
	}
}

const modelFile = "../formats/files/model.json"

func TestModel(t *testing.T) {
	for file, arguments := range map[string][]string{
		"own.txt":    {"-model", modelFile, "-vary", "I", "-trials", "100000"},
		"wide.txt":   {"-model", "testdata/wide.json", "-coverage", "95.45 %", "-digits", "2", "-trials", "100000"},
		"own.md":     {"-model", modelFile, "-format", "markdown", "-trials", "20000"},
		"own.csv":    {"-model", modelFile, "-format", "csv", "-trials", "20000"},
		"own.tex":    {"-model", modelFile, "-format", "latex", "-trials", "20000"},
		"help.txt":   {"-h"},
		"gum-h1.txt": {"-worked", "gum-h1", "-trials", "100000"},
	} {
		var out strings.Builder
		if err := run(&out, arguments); err != nil {
			t.Fatal(file, err)
		}
		golden.Check(t, file, out.String())
	}
	var out strings.Builder
	if err := run(&out, []string{"-model", modelFile, "-format", "json", "-trials",
		"20000"}); err != nil || !strings.Contains(out.String(), `"comparison"`) {
		t.Errorf("%v, %q", err, &out)
	}
}

func TestRefuses(t *testing.T) {
	for want, arguments := range map[string][]string{
		"no -model; expected":                 {"-trials", "5"},
		"-model and -worked":                  {"-model", modelFile, "-worked", "gum-h1"},
		"not one of the models here":          {"-worked", "gum-h9"},
		"absent.json":                         {"-model", "absent.json"},
		"main.go: line 1":                     {"-model", "main.go"},
		`argument "model.json"`:               {"model.json"},
		"not defined: -trails":                {"-model", modelFile, "-trails", "5"},
		`unknown input "J"`:                   {"-model", modelFile, "-vary", "J"},
		"-trials -5; expected 0":              {"-model", modelFile, "-trials", "-5"},
		`"95": no unit; expected %`:           {"-model", modelFile, "-coverage", "95"},
		"2; expected more than 0":             {"-model", modelFile, "-coverage", "200 %"},
		"digits":                              {"-model", modelFile, "-digits", "0"},
		`-format "xml"; expected one of text`: {"-model", modelFile, "-format", "xml"},
	} {
		if err := run(io.Discard, arguments); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v; want %q", arguments, err, want)
		}
	}
}
