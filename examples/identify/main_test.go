// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
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

// The lesson finds what was put into the data: two ranges on the first knob, the code of the
// second, the shorted step of the third.
func TestLesson(t *testing.T) {
	golden.Check(t, "output.txt", output(t))
}

// The help says what to read: without it nobody can make the file.
func TestHelp(t *testing.T) {
	if text := output(t, "-h"); !strings.Contains(text, "every position of each dial") {
		t.Errorf("%s; want what to read", text)
	}
}

var own = []string{"-meter", "demo/meter.json", "-readings", "demo/readings.csv"}

func TestOwnFiles(t *testing.T) {
	text := output(t, own...)
	if !strings.Contains(text, "What was found") || strings.Contains(text, "Three knobs") {
		t.Errorf("with files of one's own:\n%s", text)
	}
	box, err := decade.ReadBox(strings.NewReader(output(t, append(own, "-format", "json")...)))
	if err != nil {
		t.Fatal(err)
	}
	d := box.Decades()
	if len(d) != 4 || d[0].Step != 100 || d[1].Step != 1000 || d[0].Switch == "" || d[0].Switch != d[1].Switch ||
		d[2].Step != 10 || d[2].Tapped() || d[3].Step != 1 || d[3].Positions != 10 {
		t.Errorf("identified as %+v", d)
	}
}

// With -out both forms are written, and the box file serves the next program.
func TestOut(t *testing.T) {
	folder := t.TempDir()
	output(t, append(own, "-out", folder)...)
	text, err := os.ReadFile(filepath.Join(folder, "box.txt"))
	if err != nil || !strings.Contains(string(text), "In doubt") {
		t.Errorf("box.txt: %v\n%s", err, text)
	}
	f, err := os.Open(filepath.Join(folder, "box.json"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	box, err := decade.ReadBox(f)
	if err != nil {
		t.Fatal(err)
	}
	table, err := os.Open(filepath.Join(folder, "box.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer table.Close()
	readings, err := verify.ReadReadings(table, box)
	if err != nil {
		t.Fatal(err)
	}
	m, err := os.Open("demo/meter.json")
	if err != nil {
		t.Fatal(err)
	}
	defer m.Close()
	meter, err := verify.ReadMeter(m)
	if err != nil {
		t.Fatal(err)
	}
	r, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Rows) != 41 || !strings.Contains(r.String(), "from position 7 to 8 of the ×1 Ω dial is low") {
		t.Errorf("%d readings against the box that they made:\n%v", len(r.Rows), r)
	}
}

func TestRefuses(t *testing.T) {
	for _, test := range []struct {
		args []string
		says string
	}{
		{[]string{"-box", "box.json"}, "-box"},
		{[]string{"box.json"}, "expected flags only"},
		{[]string{"-meter", "demo/meter.json"}, "expected -meter, -readings together"},
		{[]string{"-format", "pdf"}, "expected one of text, json, csv"},
		{[]string{"-meter", "demo/meter.json", "-readings", "absent.csv"}, "absent.csv"},
	} {
		var out strings.Builder
		if err := run(test.args, &out); err == nil || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%v: error %v does not say %q", test.args, err, test.says)
		}
	}
	if help := output(t, "-h"); strings.Count(help, "go run ./examples/identify") != 2 {
		t.Errorf("help:\n%s", help)
	}
}
