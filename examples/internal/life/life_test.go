// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package life

import (
	"encoding/csv"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

func stepNames(t *testing.T) (names []string) {
	t.Helper()
	entries, err := fs.ReadDir(testdata, "testdata")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// The whole walk, which .ci/life has just taken.
func TestWalk(t *testing.T) {
	after := os.Getenv("OHMWRIGHT_LIFE")
	if after == "" {
		t.Skip(".ci/life takes the walk; the tests of the programs take its steps")
	}
	for _, step := range stepNames(t) {
		folder := filepath.Join(after, step)
		printed, err := os.ReadFile(filepath.Join(folder, "terminal.txt"))
		if err != nil {
			t.Fatal(err)
		}
		compare(t, step, folder, string(printed))
	}
}

// The cause that is named is the fault that was put in, by its amount.
func TestCause(t *testing.T) {
	s := newSpecimen()
	high := s.elements[2][faulty-1] - 1000
	named := regexp.MustCompile(`Element (\d+) of dial 1 kΩ, .* is high by ([\d.]+)`).
		FindStringSubmatch(text(t, "03-cause/output/contains.txt"))
	if named == nil || named[1] != strconv.Itoa(faulty) {
		t.Fatalf("the element named is %q; expected %d", named, faulty)
	}
	// What is named is printed to 0.1 Ω; the rest is the residual's and the neighbours' share.
	if got := value(t, named[2]); math.Abs(got-high) > 0.1 {
		t.Errorf("high by %v Ω; expected %v", got, high)
	}
}

func value(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// table reads a CSV file of testdata, with a row for each line by the names of the columns.
func table(t *testing.T, name string) (rows []map[string]string) {
	t.Helper()
	lines, err := csv.NewReader(strings.NewReader(text(t, name))).ReadAll()
	if err != nil || len(lines) < 2 {
		t.Fatalf("%s: %d lines: %v", name, len(lines), err)
	}
	for _, line := range lines[1:] {
		row := make(map[string]string)
		for i, cell := range line {
			row[lines[0][i]] = cell
		}
		rows = append(rows, row)
	}
	return rows
}

// Values of the record lie within their uncertainties of the truth; one in twenty need not.
func TestRecord(t *testing.T) {
	s := newSpecimen()
	s.element(faulty, renewed)
	record := text(t, "06-record/output/mybox/2026/record.json")
	if len(record) > 150e3 {
		t.Errorf("a record of %d bytes; want at most 150 kB", len(record))
	}
	rows := table(t, "06-record/output/mybox/2026/deviations.csv")
	outside := 0
	for _, row := range rows {
		truth := s.ohms(row["setting"])
		if row["dial"] != "residual" { // the others are above the zero setting
			truth -= s.residual
		}
		got, u := value(t, row["value"]), value(t, row["expanded uncertainty"])
		if math.Abs(got-truth) > 1.5*u {
			t.Errorf("%s at %s: %v ± %v Ω; the truth is %v", row["dial"], row["position"], got, u, truth)
		}
		if math.Abs(got-truth) > u {
			outside++
		}
	}
	// 70: the residual, and seven dials of ten positions without one.
	if len(rows) != 70 || outside > 3 {
		t.Errorf("%d values, %d outside their uncertainty; expected 70, at most 3", len(rows), outside)
	}
}

// The best setting is that, by the truth too, and its value within the uncertainty.
func TestSetting(t *testing.T) {
	s := newSpecimen()
	s.element(faulty, renewed)
	printed := text(t, "07-setting/output/terminal.txt")
	best := regexp.MustCompile(`(?m)^  (\S+) +([\d.]+) Ω `).FindStringSubmatch(printed)
	known := regexp.MustCompile(`The best is known to ±([\d.]+) Ω`).FindStringSubmatch(printed)
	if best == nil || known == nil {
		t.Fatal(printed)
	}
	if strings.Split(best[1], "-")[3] == strconv.Itoa(missing) {
		t.Errorf("%s: the 100 Ω dial has no position %d", best[1], missing)
	}
	truth := s.ohms(best[1])
	if got, u := value(t, best[2]), value(t, known[1]); math.Abs(got-truth) > u {
		t.Errorf("%s: %v ± %v Ω; the truth is %v", best[1], got, u, truth)
	}
}

// The drift of the new resistor is found, and is the one that was put in.
func TestDrift(t *testing.T) {
	then, now := newSpecimen(), newSpecimen()
	then.element(faulty, renewed)
	now.element(faulty, renewed)
	now.age(faulty)
	rows := table(t, "10-next-year/output/mybox/2027/drift.csv")
	i := 1 // behind the residual
	for dial, row := range then.elements {
		for j, before := range row {
			change, u := value(t, rows[i]["change"]), value(t, rows[i]["expanded uncertainty of change"])
			truth := now.elements[dial][j] - before
			if math.Abs(change-truth) > 1.5*u {
				t.Errorf("%s: %v ± %v Ω; the truth is %v", rows[i]["element"], change, u, truth)
			}
			if renewed := dial == 2 && j == faulty-1; renewed && !(change > u) {
				t.Errorf("%s: %v ± %v Ω does not show", rows[i]["element"], change, u)
			}
			i++
		}
	}
	if i != len(rows) {
		t.Errorf("%d elements; expected %d", len(rows)-1, i-1)
	}
}

// README has the commands of the steps, and no others on files of a folder mybox.
func TestReadme(t *testing.T) {
	readme, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, section, _ := strings.Cut(string(readme), "\n## For your own box\n")
	section, _, _ = strings.Cut(section, "\n## ")
	// A command may be broken where a backslash says so.
	section = regexp.MustCompile(`\\\n *`).ReplaceAllString(section, "")
	var shown, taken []string
	for line := range strings.Lines(section) {
		if command := strings.TrimSpace(line); strings.HasPrefix(line, "    ") &&
			strings.Contains(command, "go run ") {
			shown = append(shown, command)
		}
	}
	for _, step := range stepNames(t) {
		command := strings.TrimSpace(text(t, step+"/command"))
		taken = append(taken, command)
		if !slices.Contains(shown, command) {
			t.Errorf("README does not show the command of %s: %s", step, command)
		}
	}
	for _, command := range shown {
		if !slices.Contains(taken, command) {
			t.Errorf("README shows a command that no step takes: %s", command)
		}
	}
}

func TestDifference(t *testing.T) {
	for _, c := range []struct {
		got, want string
		same      bool
	}{
		{"R = 1000.056 Ω\n", "R = 1000.056 Ω\n", true},
		{"0.10000000000000003", "0.1", true}, {"1.0000000001e-3", "0.001", true},
		{"[-1e-12]", "[2e-13]", true}, {"-1", "1", false},
		{"0.1001", "0.1", false}, {"1 Ω", "1 kΩ", false}, {"a\nb", "a", false},
	} {
		if d := difference(c.got, c.want, 1e-9); (d == "") != c.same {
			t.Errorf("%q, expected %q: difference %q", c.got, c.want, d)
		}
	}
}
