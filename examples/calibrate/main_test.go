// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/certificate"
	"example.com/ohmwright/examples/internal/golden"
)

// The lesson shows what was put into the data: one element that changed by 30 mΩ.
func TestDemonstration(t *testing.T) {
	var out strings.Builder
	if err := run(&out, nil); err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "output.txt", out.String())
	for line := range strings.Lines(out.String()) {
		if strings.HasPrefix(line, "×100") && strings.Contains(line, "*") != strings.HasPrefix(line,
			"×100 element 7 ") {
			t.Errorf("star: %s", line)
		}
	}
}

// The demonstration as somebody's own files, and a small box before and after a repair.
const (
	own   = "-box demo/box.json -meter demo/meter.json -readings demo/readings-2027.csv"
	small = "-box ../formats/files/box.json -meter ../formats/files/meter.json -readings " +
		"../formats/files/readings.csv"
)

func output(t *testing.T, arguments string) string {
	t.Helper()
	var out strings.Builder
	if err := run(&out, strings.Fields(arguments)); err != nil {
		t.Fatalf("%s: %v", arguments, err)
	}
	return out.String()
}

func opened[T any](t *testing.T, name string, read func(io.Reader) (T, error)) T {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	v, err := read(f)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return v
}

// One folder carries the box over two years: record, drift, prediction, certificate.
func TestOwnFiles(t *testing.T) {
	dir := t.TempDir()
	first, second := filepath.Join(dir, "2026"), filepath.Join(dir, "2027")
	output(t, strings.Replace(own, "2027", "2026", 1)+" -out "+first)
	record := filepath.Join(first, "record.json")
	xml := filepath.Join(second, "certificate.xml")
	said := output(t, own+" -earlier "+record+" -date 2027-10-01 -parties demo/parties.json "+
		"-certificate "+xml+" -out "+second)
	for _, name := range []string{"calibration.txt", "calibration.md", "record.json",
		"deviations.csv", "drift.csv", "expected.csv", "certificate.xml"} {
		if _, err := os.Stat(filepath.Join(second, name)); err != nil ||
			!strings.Contains(said, name) {
			t.Errorf("%s: %v; said\n%s", name, err, said)
		}
	}
	text, err := os.ReadFile(filepath.Join(second, "calibration.txt"))
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "own.txt", string(text))
	c := opened(t, xml, certificate.Read)
	if len(c.Results) != 1 || len(c.Results[0].Rows) != 31 || c.Begin.Year() != 2027 {
		t.Errorf("certificate of %d rows from %v; want the residual and 30 positions in 2027",
			len(c.Results[0].Rows), c.Begin)
	}

	// The records in the place of the readings say the same.
	again := output(t, "-box demo/box.json -record "+filepath.Join(second,
		"record.json")+" -earlier "+record+" -date 2027-10-01")
	_, want, _ := strings.Cut(string(text), "Box: ")
	_, got, _ := strings.Cut(again, "Box: ")
	if got != want {
		t.Errorf("by the record:\n%s\nby the readings:\n%s", got, want)
	}
	if got := output(t, "-box demo/box.json -record "+record+" -format json"); got != string(read(t,
		record)) {
		t.Errorf("a record read and written differs")
	}
}

func read(t *testing.T, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// The record is one of the box as left; as found and as left stand side by side, and the drift
// ends with the box as found.
func TestRepaired(t *testing.T) {
	dir := t.TempDir()
	golden.Check(t, "repaired.txt", output(t, small))
	earlier := filepath.Join(dir, "earlier.json")
	text := string(read(t, "../formats/files/calibration.json"))
	text = strings.Replace(text, "2026-03-02T", "2025-03-04T", 1)
	if err := os.WriteFile(earlier, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "repaired.md", output(t, small+" -earlier "+earlier+" -format markdown"))
	output(t, small+" -out "+dir+" -format csv")
	if _, err := os.Stat(filepath.Join(dir, "adjustment.csv")); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(filepath.Join(dir, "record.json")); err == nil {
		t.Error("-format csv wrote JSON")
	}
	output(t, small+" -out "+dir+" -format json")
	record := opened(t, filepath.Join(dir, "record.json"), decade.ReadCalibration)
	if v := record.Values.Quantity("×1 kΩ element 1").Estimate(); v < 1000 || v > 1000.1 {
		t.Errorf("element 1 as left %v Ω; want it repaired", v)
	}
	xml := filepath.Join(dir, "certificate.xml")
	output(t, small+" -parties ../formats/files/parties.json -certificate "+xml)
	if c := opened(t, xml, certificate.Read); len(c.Results) != 2 || len(c.Repair) == 0 {
		t.Errorf("%d results, repair %q; want as found and as left", len(c.Results), c.Repair)
	}
}

// A certificate on paper, in the ohm of its time, becomes a record, and the first of a drift.
func TestPaper(t *testing.T) {
	const paper = "../formats/files/earlier.json"
	text := output(t, "-box ../formats/files/box.json -record "+paper+" -format json")
	c, err := decade.ReadCalibration(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if got := c.Values.Quantity("×1 kΩ element 1").Estimate(); got < 1000.0192 || got > 1000.0194 {
		t.Errorf("%.5f Ω; want 1000.021 Ω less 1.69 ppm", got)
	}
	later := "-box ../formats/files/box.json -record ../formats/files/calibration.json -earlier " +
		paper
	if text := output(t, later); !strings.Contains(text, "from 1987-05-04 to 2026-03-02") {
		t.Error(text)
	}
}

// With -certificate alone it is that of the demonstration.
func TestCertificateOfDemonstration(t *testing.T) {
	name := filepath.Join(t.TempDir(), "folder", "certificate.xml")
	if said := output(t, "-certificate "+name); !strings.Contains(said, "not signed") {
		t.Error(said)
	}
	c := opened(t, name, certificate.Read)
	if c.Serial != "T-0093" || c.Accreditation != "" ||
		!strings.Contains(strings.Join(c.Remarks, " "), "Invented") {
		t.Errorf("serial %q, accreditation %q, remarks %q", c.Serial, c.Accreditation, c.Remarks)
	}
}

func TestHelp(t *testing.T) {
	golden.Check(t, "help.txt", output(t, "-h"))
}

func TestRefuses(t *testing.T) {
	for arguments, want := range map[string]string{
		"-bx x":                               "-bx; calibrate -h lists the flags",
		"box.json":                            "expected flags only",
		"-format pdf":                         "expected one of text, markdown, csv, json",
		"-meter demo/meter.json":              "no -box",
		"-box demo/box.json":                  "-box without -meter and -readings",
		"-box none.json -record x":            "none.json",
		own + " -record x":                    "-record beside -meter or -readings",
		own + " -certificate x":               "-certificate without -parties",
		own + " -parties demo/parties.json":   "-parties without -certificate",
		own + " -date 2027-10-01":             "-date without -earlier",
		own + " -date tomorrow":               "expected a day such as 2027-10-01",
		own + " -earlier demo/box.json":       "demo/box.json",
		own + " -certificate x -parties none": "none",
		"-certificate x -parties y":           "expected no other files beside it",
		"-box demo/box.json -record demo/x.json -certificate x -parties y": "a certificate " +
			"states what was read",
		own + " -earlier " +
			"../formats/files/calibration.json": "../formats/files/calibration.json: of box " +
			"\"small box\"",
		"-box demo/box.json -record " +
			"../formats/files/calibration.json": "../formats/files/calibration.json: of " +
			"box \"small box\"",
		strings.Replace(own, "demo/readings-2027.csv", "testdata/three.csv", 1): "undetermined",
		strings.Replace(own, "demo/readings-2027.csv", "demo/meter.json", 1):    "demo/meter.json",
	} {
		if err := run(io.Discard, strings.Fields(arguments)); err == nil ||
			!strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v; want %q", arguments, err, want)
		}
	}
}

// Records given the wrong way round are refused: what comes later is not where a drift begins.
func TestEarlierIsEarlier(t *testing.T) {
	records := make(map[string]string)
	for _, year := range []string{"2026", "2027"} {
		folder := t.TempDir()
		arguments := "-box demo/box.json -meter demo/meter.json -readings demo/readings-" + year + ".csv"
		if err := run(io.Discard, append(strings.Fields(arguments), "-out", folder)); err != nil {
			t.Fatal(err)
		}
		records[year] = filepath.Join(folder, "record.json")
	}
	both := func(record, earlier string) error {
		return run(io.Discard, []string{"-box", "demo/box.json", "-record", records[record],
			"-earlier", records[earlier]})
	}
	if err := both("2027", "2026"); err != nil {
		t.Error(err)
	}
	err := both("2026", "2027")
	if err == nil || !strings.Contains(err.Error(), "expected an earlier record") {
		t.Errorf("the later record as -earlier: %v", err)
	}
}
