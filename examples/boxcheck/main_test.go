// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/examples/internal/golden"
	"example.com/ohmwright/uncertainty/conformity"
)

func output(t *testing.T, args ...string) string {
	t.Helper()
	var out strings.Builder
	if err := run(args, &out); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// demonstration is the report of the demonstration.
func demonstration(t *testing.T) *verify.Report {
	t.Helper()
	report, err := files.OpenReport(files.New("boxcheck", demo), "", "", "", "readings.csv")
	if err != nil {
		t.Fatal(err)
	}
	return report
}

// The demonstration shows what was put into it: an element that drifted, a contact that
// is never the same, and settings that this meter cannot decide; and it ends in its
// diagnosis, next step and repair. Each form says the same, on the terminal and in a folder.
func TestDemonstration(t *testing.T) {
	golden.Check(t, "output.txt", output(t))
	report := demonstration(t)
	folder := filepath.Join(t.TempDir(), "new")
	if told := output(t, "-out", folder); strings.Count(told, "written:") != 4 {
		t.Errorf("told %q; expected four files", told)
	}
	form := func(ending string) string {
		text, err := os.ReadFile(filepath.Join(folder, "boxcheck."+ending))
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	golden.Check(t, "output.txt", form("txt"))
	golden.Check(t, "output.md", form("md"))
	rows, err := csv.NewReader(strings.NewReader(form("csv"))).ReadAll()
	if err != nil || len(rows) != 1+69 {
		t.Errorf("CSV of %d rows, error %v; expected the head and 69 diallings", len(rows), err)
	}
	var parsed struct {
		Verdict   string
		Diagnosis fault.Diagnosis
	}
	if err := json.Unmarshal([]byte(form("json")), &parsed); err != nil || parsed.Verdict != "does not conform" {
		t.Fatalf("JSON verdict %q, error %v", parsed.Verdict, err)
	}
	var places []string
	for _, f := range parsed.Diagnosis.Causes[0].Faults {
		places = append(places, f.A.In(report.Box))
	}
	slices.Sort(places)
	if !slices.Equal(places, []string{"element 1 of dial 1 kΩ", "position 6 of dial 0.1 Ω"}) {
		t.Errorf("diagnosed %v", places)
	}
}

// A fact of the trade, common practice: with all six dials at zero a sound box shows
// some milliohms, 5 to 50, of wiring, terminals and one closed contact for each dial.
func TestPublishedResidual(t *testing.T) {
	report := demonstration(t)
	zeros := report.At(report.Box.Zero())
	if len(zeros) == 0 {
		t.Fatal("no reading at zero")
	}
	for _, row := range zeros {
		if r := row.Measured.Estimate(); r < 0.005 || r > 0.05 || row.Verdict != conformity.VerdictConforms {
			t.Errorf("dialling %d: %v Ω at zero, %v; expected 5 mΩ to 50 mΩ that conform",
				row.Reading.Dialling, r, row.Verdict)
		}
	}
}

// The sheet of the plan, filled in, is a file of readings that determines every element.
func TestPlan(t *testing.T) {
	sheet := output(t, "-plan")
	if !strings.HasPrefix(sheet,
		"setting,dialling,range,temperature (°C),value 1 (Ω),value 2 (Ω),value 3 (Ω)\n0-0-0-0-0-0,1,,,,,\n") {
		t.Errorf("sheet begins %.200q", sheet)
	}
	if european := output(t, "-plan", "-decimal", "comma"); !strings.HasPrefix(european, "\ufeffsetting;dialling;") {
		t.Errorf("sheet with decimal commas begins %.200q", european)
	}
	box := demonstration(t).Box
	readings, err := verify.ReadReadings(strings.NewReader(strings.ReplaceAll(sheet, ",,,,,\n", ",,,1,1,1\n")), box)
	if err != nil {
		t.Fatal(err)
	}
	var settings []decade.Setting
	for _, r := range readings {
		settings = append(settings, r.Setting)
	}
	if d, err := verify.Determine(box, settings...); err != nil || !d.Complete() {
		t.Errorf("%d readings: %v, %v", len(readings), d, err)
	}
}

func TestOwnFiles(t *testing.T) {
	args := []string{"-box", "demo/box.json", "-meter", "demo/meter.json", "-readings", "demo/readings.csv"}
	golden.Check(t, "output.txt", output(t, args...)) // as the demonstration
}

func TestRefuses(t *testing.T) {
	bad := filepath.Join(t.TempDir(), "bad.csv")
	if err := os.WriteFile(bad, []byte("setting,value\n0-0-0-0-0-11,1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		args []string
		says string
	}{
		{[]string{"-plan", "-decimal", "period"}, "expected point or comma"},
		{[]string{"-format", "pdf"}, "expected one of text, markdown, csv, json"},
		{[]string{"-box", "demo/box.json"}, "expected -box, -meter, -readings together"},
		{[]string{"box.json"}, "expected flags only"},
		{[]string{"-boks", "demo/box.json"}, "-boks"},
		{[]string{"-plan", "-format", "csv"}, "-format with -plan"},
		{[]string{"-decimal", "comma"}, "-decimal without -plan"},
		{[]string{"-box", "absent.json", "-meter", "demo/meter.json", "-readings", "demo/readings.csv"}, "absent.json"},
		{[]string{"-box", "demo/box.json", "-meter", "demo/meter.json", "-readings", bad}, "bad.csv: line 2"},
		{[]string{"-box", "demo/meter.json", "-meter", "demo/meter.json", "-readings", "demo/readings.csv"}, "demo/meter.json"},
	} {
		var out strings.Builder
		if err := run(test.args, &out); err == nil || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%v: error %v does not say %q", test.args, err, test.says)
		}
	}
}

func TestHelp(t *testing.T) {
	help := output(t, "-h")
	for _, want := range []string{"go run ./examples/boxcheck -box mybox/box.json -plan",
		"-readings mybox/readings.csv", "-out folder", "-decimal mark"} {
		if !strings.Contains(help, want) {
			t.Errorf("the help does not say %q:\n%s", want, help)
		}
	}
}
