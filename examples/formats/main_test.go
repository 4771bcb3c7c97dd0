// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"flag"
	"io"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/certificate"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

var update = flag.Bool("update", false, "write the files and the examples of README.md anew")

const document = "README.md"

// block is a fenced example that names its file.
var block = regexp.MustCompile("(?s)(```(?:json|csv|xml) file=(\\S+)\n)(.*?)```\n")

func TestMain(m *testing.M) {
	flag.Parse()
	if *update {
		if err := rewrite(); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}

func rewrite() error {
	if err := list(io.Discard, "files"); err != nil {
		return err
	}
	text, err := os.ReadFile(document)
	if err != nil {
		return err
	}
	text = block.ReplaceAllFunc(text, func(found []byte) []byte {
		parts := block.FindSubmatch(found)
		file, readErr := os.ReadFile(filepath.Join("files", string(parts[2])))
		if readErr != nil {
			err = readErr
		}
		return slices.Concat(parts[1], file, []byte("```\n"))
	})
	if err != nil {
		return err
	}
	return os.WriteFile(document, text, 0o644)
}

// examples are the blocks of the document by file.
func examples(t *testing.T) (text string, blocks map[string][]byte) {
	t.Helper()
	file, err := os.ReadFile(document)
	if err != nil {
		t.Fatal(err)
	}
	blocks = make(map[string][]byte)
	for _, m := range block.FindAllSubmatch(file, -1) {
		blocks[string(m[2])] = m[3]
	}
	return string(file), blocks
}

// The examples of the document are the files of the tree, all of them, and reading them
// with the real readers makes something of them.
func TestExamplesAreFiles(t *testing.T) {
	_, blocks := examples(t)
	entries, err := os.ReadDir("files")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
		want, err := os.ReadFile(filepath.Join("files", e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(blocks[e.Name()], want) {
			t.Errorf("%s: README.md has %d bytes that differ from the %d of the file; go test "+
				"./examples/formats -update", e.Name(), len(blocks[e.Name()]), len(want))
		}
	}
	if got := slices.Sorted(maps.Keys(blocks)); !slices.Equal(got, names) {
		t.Errorf("examples of %v; expected one of each file, %v", got, names)
	}
}

func TestExamplesAreRead(t *testing.T) {
	_, blocks := examples(t)
	open := func(name string) io.Reader { return bytes.NewReader(blocks[name]) }
	box, err := decade.ReadBox(open("box.json"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := verify.ReadMeter(open("meter.json")); err != nil {
		t.Error(err)
	}
	own, err := material.Read(open("materials.json"))
	if err != nil {
		t.Fatal(err)
	}
	if m, err := own.Find("SPOOL-3"); err != nil || m.Density.Value != 8400 || m.Law.Range.High != 50 {
		t.Errorf("%+v, %v; expected 8400 kg/m³ and a law to 50 °C", m, err)
	}
	if s, err := thermal.ReadSensor(open("sensor.json")); err != nil || s.String() != "oil temperature, thermistor 4" {
		t.Errorf("%v, %v; expected a thermistor", s, err)
	}
	if s, err := thermal.ReadSensor(open("probe.json")); err != nil ||
		!strings.HasPrefix(s.String(), "probe 7 (platinum") {
		t.Errorf("%v, %v; expected a platinum thermometer", s, err)
	}
	if r, err := verify.ReadReadings(open("readings.csv"), box); err != nil || len(r) != 8 {
		t.Errorf("%d readings, %v; expected 8", len(r), err)
	}
	filled := bytes.ReplaceAll(blocks["plan.csv"], []byte(",,\n"), []byte(",1,1\n"))
	if r, err := verify.ReadReadings(bytes.NewReader(filled), box); err != nil || len(r) != 4 {
		t.Errorf("a plan that is filled in: %d readings, %v; expected 4", len(r), err)
	}
	c, err := decade.ReadCalibration(open("calibration.json"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := box.With(c); err != nil {
		t.Error(err)
	}
	if c, err = calibrate.ReadEarlier(open("earlier.json"), box); err != nil {
		t.Error(err)
	} else if _, err := box.With(c); err != nil {
		t.Error(err)
	}
	if p, err := certificate.ReadParties(open("parties.json")); err != nil || len(p.Persons) != 2 {
		t.Errorf("parties %+v, %v; expected two persons", p, err)
	}
	if c, err := certificate.Read(open("certificate.xml")); err != nil || len(c.Results) != 2 {
		t.Errorf("certificate %+v, %v; expected as found and as left", c, err)
	}
	if d, err := uncertainty.ReadEmpirical(open("distribution.csv")); err != nil ||
		d.String() != "histogram" || d.Quantile(0.5) >= 0.1 {
		t.Errorf("distribution %v, %v; expected a histogram with its median below 0.1", d, err)
	}
	model, err := uncertainty.ReadModel(open("model.json"))
	if err != nil {
		t.Error(err)
	}
	var diagnosis fault.Diagnosis
	if err := json.Unmarshal(blocks["diagnosis.json"], &diagnosis); err != nil ||
		diagnosis.Healthy || diagnosis.Box.Name() != box.Name() {
		t.Errorf("the diagnosis: healthy %v, %v", diagnosis.Healthy, err)
	}
	var inspection inspect.Inspection
	if err := json.Unmarshal(blocks["inspection.json"], &inspection); err != nil ||
		len(inspection.Readings()) != 3 || inspection.Box().Name() != box.Name() {
		t.Errorf("the inspection: %d readings, %v; expected 3", len(inspection.Readings()), err)
	}
	var record uncertainty.Record
	if err := json.Unmarshal(blocks["record.json"], &record); err != nil ||
		record.Quantity("R").String() != model.String() {
		t.Errorf("the record has %v, %v; expected %v", record.Quantity("R"), err, model)
	}
	var budget uncertainty.Budget
	if err := json.Unmarshal(blocks["budget.json"], &budget); err != nil || budget.Concise(2) != model.String() {
		t.Errorf("the budget has %s, %v; expected %v", budget.Concise(2), err, model)
	}
}

// What is written today is what the files show, byte for byte and on every processor: a
// diagnosis with fewer digits than it was computed with.
func TestFilesAreWritten(t *testing.T) {
	list, err := write()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		want, err := os.ReadFile(filepath.Join("files", f.name))
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Equal(f.text, want) {
			continue
		}
		got, wanted := strings.Split(string(f.text), "\n"), strings.Split(string(want), "\n")
		for i := range min(len(got), len(wanted)) {
			if got[i] != wanted[i] {
				t.Errorf("%s, line %d, is written as\n%s\nexpected\n%s", f.name, i+1, got[i], wanted[i])
				break
			}
		}
		if len(got) != len(wanted) {
			t.Errorf("%s has %d lines, expected %d", f.name, len(got), len(wanted))
		}
	}
}

// Every key and column that a file shows or a reader knows is explained in the document.
func TestEveryKeyIsDocumented(t *testing.T) {
	text, blocks := examples(t)
	known := knownKeys(t)
	for name, file := range blocks {
		if strings.HasSuffix(name, ".json") {
			known = append(known, keys(t, file)...)
			continue
		}
		if strings.HasSuffix(name, ".xml") { // its elements are those of a published schema
			continue
		}
		r := csv.NewReader(bytes.NewReader(file))
		r.Comment = '#'
		head, err := r.Read()
		if err != nil {
			t.Fatal(err)
		}
		for _, column := range head {
			column, _, _ = strings.Cut(column, " (")
			known = append(known, strings.TrimRight(column, " 0123456789"))
		}
	}
	slices.Sort(known)
	for _, key := range slices.Compact(known) {
		if !strings.Contains(text, "`"+key+"`") {
			t.Errorf("README.md does not explain %q", key)
		}
	}
}

// The table of units says of each unit which prefixes it takes, and of no other that it
// takes them.
func TestUnitsAreDocumented(t *testing.T) {
	text, _ := examples(t)
	_, table, _ := strings.Cut(text, "| units | prefixes |\n")
	table, after, _ := strings.Cut(table, "\n\n")
	words := regexp.MustCompile("`([^`]+)`")
	list := func(cell string) (out []string) {
		for _, w := range words.FindAllStringSubmatch(cell, -1) {
			out = append(out, w[1])
		}
		return out
	}
	prefixes := []string{"f", "p", "n", "µ", "u", "m", "c", "d", "h", "k", "M", "G", "T", "K", "da", "P"}
	units := 0
	documented := make(map[string]bool)
	for line := range strings.Lines(table) {
		cells := strings.Split(line, "|")
		if len(cells) != 4 || strings.HasPrefix(cells[1], "-") {
			continue
		}
		takes := list(cells[2])
		for _, u := range list(cells[1]) {
			units++
			documented[u] = true
			for _, p := range takes {
				documented[p+u] = true
			}
			if slices.Contains(takes, "µ") {
				documented["u"+u] = true
			}
		}
	}
	if units < 36 {
		t.Errorf("the table has %d units; want the 36 that it had, or more", units)
	}
	for _, u := range slices.Collect(maps.Keys(documented)) {
		if _, err := unit.ParseUnit(u); err != nil {
			t.Errorf("README.md lists %q: %v", u, err)
		}
		for _, p := range prefixes {
			if _, err := unit.ParseUnit(p + u); err == nil && !documented[p+u] {
				t.Errorf("README.md does not list %q, which is read", p+u)
			}
		}
	}
	for _, u := range list(after[:strings.Index(after, "\n\n")]) {
		if slices.Contains([]string{"µ", "u", "·", "*", "/"}, u) {
			continue // no unit by itself
		}
		if _, err := unit.ParseUnit(u); err != nil {
			t.Errorf("README.md names %q: %v", u, err)
		}
	}
}

// keys lists the keys of all objects in a JSON text.
func keys(t *testing.T, text []byte) (out []string) {
	t.Helper()
	var walk func(v any)
	walk = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			for _, k := range slices.Sorted(maps.Keys(v)) {
				out = append(out, k)
				walk(v[k])
			}
		case []any:
			for _, e := range v {
				walk(e)
			}
		}
	}
	var v any
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	walk(v)
	return out
}

// knownKeys asks the readers: a key that they do not know makes them say which they do.
func knownKeys(t *testing.T) (out []string) {
	t.Helper()
	box := func(text string) error { _, err := decade.ReadBox(strings.NewReader(text)); return err }
	materials := func(text string) error { _, err := material.Read(strings.NewReader(text)); return err }
	meter := func(text string) error { _, err := verify.ReadMeter(strings.NewReader(text)); return err }
	parties := func(text string) error {
		_, err := certificate.ReadParties(strings.NewReader(text))
		return err
	}
	earlier := func(text string) error {
		small, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1}}})
		if err != nil {
			return err
		}
		_, err = calibrate.ReadEarlier(strings.NewReader(text), small)
		return err
	}
	sensor := func(text string) error { _, err := thermal.ReadSensor(strings.NewReader(text)); return err }
	readings := func(text string) error {
		small, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1}}})
		if err != nil {
			return err
		}
		_, err = verify.ReadReadings(strings.NewReader(text), small)
		return err
	}
	for text, read := range map[string]func(string) error{
		`{"decades":[{"step":1}],"x":1}`:                                                                         box,
		`{"decades":[{"step":1,"x":1}]}`:                                                                         box,
		`{"decades":[{"step":1,"temperature":{"x":1}}]}`:                                                         box,
		`{"decades":[{"step":1,"code":{"weights":[1],"inCircuit":[],"x":1}}]}`:                                   box,
		`{"materials":[],"qqqqqqqq":1}`:                                                                          materials,
		`{"materials":[{"name":"a","qqqqqqqq":1}]}`:                                                              materials,
		`{"materials":[{"name":"a","law":{"reference":20,"alpha":0,"qqqqqqqq":1}}]}`:                             materials,
		`{"materials":[{"name":"a","law":{"reference":20,"alpha":0,"range":{"low":0,"high":50,"qqqqqqqq":1}}}]}`: materials,
		`{"materials":[{"name":"a","density":{"value":1,"qqqqqqqq":1}}]}`:                                        materials,
		`{"wiring":"two-wire","ranges":[],"x":1}`:                                                                meter,
		`{"wiring":"two-wire","ranges":[],"leads":{"x":1}}`:                                                      meter,
		`{"wiring":"two-wire","ranges":[{"name":"a","fullScale":1,"x":1}]}`:                                      meter,
		`{"points":[{"value":0,"resistance":1},{"value":1,"resistance":2}],"qqqqqqqqqqqq":1}`:                    sensor,
		`{"points":[{"value":0,"resistance":1,"qqqqqqqqqqqq":1}]}`:                                               sensor,
		`{"callendarVanDusen":{"r0":1,"a":0,"b":0,"qqqqqqqqqqqq":1}}`:                                            sensor,
		`{"its90":{"r001":1,"qqqqqqqqqqqq":1}}`:                                                                  sensor,
		`{"its90":{"r001":1,"below":{"qqqqqqqqqqqq":1}}}`:                                                        sensor,
		`{"steinhartHart":{"a":1,"b":1,"c":1,"qqqqqqqqqqqq":1}}`:                                                 sensor,
		`{"beta":{"resistance":1,"beta":1,"qqqqqqqqqqqq":1}}`:                                                    sensor,
		`{"settings":[],"qqqqqqqqqqqq":1}`:                                                                       earlier,
		`{"certificate":"1","date":"1987-05-04","settings":[{"setting":"0","value":1,"U":1,"qqqqqqqqqqqq":1}]}`:  earlier,
		`{"qqqqqqqq":1}`:                 parties,
		`{"laboratory":{"qqqqqqqq":1}}`:  parties,
		`{"persons":[{"qqqqqqqq":1}]}`:   parties,
		`{"item":{"qqqqqqqq":1}}`:        parties,
		`{"environment":{"qqqqqqqq":1}}`: parties,
		"setting,value,x\n0,1,1\n":       readings,
	} {
		err := read(text)
		_, list, found := strings.Cut(strings.TrimSuffix(errorText(err),
			" (value may be numbered and carry a unit: value 2 (kΩ))"), "expected one of ")
		if !found {
			t.Fatalf("%s: %v does not list what is known", text, err)
		}
		out = append(out, strings.Split(list, ", ")...)
	}
	return out
}

func errorText(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

func TestList(t *testing.T) {
	var out strings.Builder
	if err := run(&out, nil); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(out.String(), "\n"); n != 24 {
		t.Errorf("%d lines; expected 24:\n%s", n, out.String())
	}
	// A directory that does not exist is made; one that cannot be is an error.
	absent := filepath.Join(t.TempDir(), "absent")
	if err := run(io.Discard, []string{"-out", absent}); err != nil {
		t.Error(err)
	}
	made, err := os.ReadDir(absent)
	if err != nil || len(made) != 24 {
		t.Errorf("%d files in a directory that was made: %v", len(made), err)
	}
	if err := run(io.Discard, []string{"-out", filepath.Join(absent, "plan.csv", "deeper")}); err == nil {
		t.Error("files are written below a file")
	}
	for _, stray := range []string{"files", "-in"} {
		if err := run(io.Discard, []string{stray}); err == nil || !strings.Contains(err.Error(), "formats -h") {
			t.Errorf("%s: %v; expected a refusal", stray, err)
		}
	}
}
