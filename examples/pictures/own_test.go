// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// reported runs the program and returns what it said and its page.
func reported(t *testing.T, arguments ...string) (said, page string) {
	t.Helper()
	to := t.TempDir()
	var out strings.Builder
	if err := run(append(arguments, "-out", to, "-format", "svg"), &out); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(to, "report.html"))
	if err != nil {
		t.Fatal(err)
	}
	return out.String(), string(text)
}

func ownBox(t *testing.T, old, replacement string) string {
	t.Helper()
	text, err := os.ReadFile("../boxcheck/demo/box.json")
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "box.json")
	if err := os.WriteFile(file, bytes.Replace(text, []byte(old), []byte(replacement), 1), 0o666); err != nil {
		t.Fatal(err)
	}
	return file
}

// The page says the verdict first, has its pictures inside, and asks nothing of anybody
// else; a name is text whatever is in it.
func TestReportOfBox(t *testing.T) {
	box := ownBox(t, `"bench box"`, `"<script>alert(1)</script> & box"`)
	said, page := reported(t, "-box", box, "-meter", "../boxcheck/demo/meter.json", "-readings",
		"../boxcheck/demo/readings.csv", "-setting", "1-2-3-4-5-7")
	at := -1
	for _, want := range []string{
		"<h1>Inspection of &lt;script&gt;", "settings judged", "The box does not conform", "What is wrong", "Next step", "Cautions",
		"<title>Deviations of", "<title>What may be wrong", "<title>Shares of the budget", "<title>Distribution of",
		"Uncertainty budget: deviation of 1-2-3-4-5-7", "does not conform", "Not drawn", "impedance: ",
	} {
		i := strings.Index(page[at+1:], want)
		if i < 0 {
			t.Errorf("the page lacks %q, or has it too early", want)
			continue
		}
		at += 1 + i
	}
	for _, never := range []string{"<script", "<link", "<img", "src=", "url(", "@import", "decade."} {
		if strings.Contains(page, never) {
			t.Errorf("the page holds %q", never)
		}
	}
	addresses := regexp.MustCompile(`https?://[^"]*`).FindAllString(page, -1)
	for _, a := range addresses {
		if !strings.HasPrefix(a, "http://www.w3.org/") { // names of XML, which nobody loads
			t.Errorf("address %q", a)
		}
	}
	if strings.Count(page, "<svg ") != 4 || strings.Count(said, ".svg") != 4 {
		t.Errorf("%d pictures in the page, said:\n%s", strings.Count(page, "<svg "), said)
	}
}

func TestReportOfModel(t *testing.T) {
	_, page := reported(t, "-model", "../formats/files/model.json")
	for _, want := range []string{"Uncertainty of R", "coverage probability 95 %",
		"<title>Distribution of R", "Degrees of freedom"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

// records writes calibrations of the demonstration box, a year apart and drifting.
func records(t *testing.T, box string, n int) (files []string) {
	t.Helper()
	f, err := os.Open(box)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	b, err := decade.ReadBox(f)
	if err != nil {
		t.Fatal(err)
	}
	for year := range n {
		c := decade.Calibration{Box: b.Name(), Serial: b.Spec().Serial,
			Date: time.Date(2024+year, 3, 1, 0, 0, 0, 0, time.UTC)}
		c.Values.ID = "record " + c.Date.Format("2006")
		add := func(name string, ohms float64) {
			q := uncertainty.Input("reading of "+name, uncertainty.Normal(ohms, 2e-6*ohms+1e-5))
			c.Values.Quantities = append(c.Values.Quantities, q.Named(name))
		}
		add(decade.ResidualName, 0.012)
		for i, d := range b.Decades() {
			for e := 1; e <= d.NumElements(); e++ {
				add(b.ElementName(i, e), d.Step*(1+20e-6*float64(year)))
			}
		}
		text, err := json.Marshal(&c)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Join(t.TempDir(), "record.json")
		if err := os.WriteFile(name, text, 0o666); err != nil {
			t.Fatal(err)
		}
		files = append(files, name)
	}
	return files
}

func TestReportOfRecords(t *testing.T) {
	const box = "../boxcheck/demo/box.json"
	list := records(t, box, 3)
	_, page := reported(t, "-box", box, "-record", list[2], "-earlier", list[1], "-earlier", list[0])
	for _, want := range []string{"3 calibrations from 2024-03-01 to 2026-03-01", "<title>Drift of setting", "Due in"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	_, page = reported(t, "-box", box, "-record", list[0])
	if !strings.Contains(page, "Uncertainty budget: resistance of 1-0-0-0-0-0") {
		t.Error("the page of one record lacks the budget of a setting")
	}
}

// New readings are their own record: the drift to them is drawn without -record.
func TestReportOfNextYear(t *testing.T) {
	const walk = "../internal/life/testdata/"
	said, page := reported(t, "-box", walk+"01-sheet/files/mybox/box.json",
		"-meter", walk+"01-sheet/files/mybox/meter.json",
		"-readings", walk+"10-next-year/files/mybox/readings-2027.csv",
		"-earlier", walk+"06-record/output/mybox/2026/record.json")
	if !strings.Contains(page, "<title>Drift of setting") || strings.Contains(said, "not drawn: drift") {
		t.Errorf("no drift from the earlier record to the readings:\n%s", said)
	}
}

func TestOwnFilesRefused(t *testing.T) {
	const box = "../boxcheck/demo/box.json"
	for want, arguments := range map[string][]string{
		"-box alone; expected -meter and -readings": {"-box", box},
		"-meter or -readings alone":                 {"-box", box, "-meter", "../boxcheck/demo/meter.json"},
		"no -box; expected":                         {"-readings", "../boxcheck/demo/readings.csv"},
		"-model and -box":                           {"-box", box, "-model", "../formats/files/model.json"},
		"absent.json":                               {"-model", "absent.json"},
		"-setting: 2 positions":                     {"-box", box, "-record", "absent.json", "-setting", "1-1"},
	} {
		if want == "-setting: 2 positions" {
			arguments[3] = records(t, box, 1)[0]
		}
		if err := run(append(arguments, "-out", t.TempDir()), io.Discard); err == nil ||
			!strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v; want %q", arguments, err, want)
		}
	}
}
