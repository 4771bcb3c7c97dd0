// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package files_test

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/uncertainty/unit"
)

const box = `{"name": "b", "decades": [{"step": "1 Ω", "tolerance": "1 %"}]}`

var demo = fstest.MapFS{"demo/box.json": {Data: []byte(box)}}

func text(s string) files.Form {
	return files.Form{Format: "text", Write: func(w io.Writer) error { _, err := io.WriteString(w, s); return err }}
}

func TestWrite(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "new")
	for _, c := range []struct {
		arguments []string
		want      string
		files     int
	}{
		{nil, "answer", 0},
		{[]string{"-format", "JSON"}, "{\n  \"Ω\": 1\n}\n", 0},
		{[]string{"-out", folder, "-format", "json"}, "written: " + filepath.Join(folder, "result.json") + "\n", 1},
		{[]string{"-out", folder}, "written: " + filepath.Join(folder, "result.txt") + "\nwritten: " + filepath.Join(folder, "result.json") + "\n", 2},
	} {
		p := files.New("test", nil)
		p.Formats("text", "json")
		var out strings.Builder
		if run, err := p.Parse(c.arguments, &out); !run || err != nil {
			t.Fatal(run, err)
		}
		if err := p.Write(&out, "result", text("answer"), files.JSON(map[string]int{"Ω": 1})); err != nil {
			t.Fatal(err)
		}
		if out.String() != c.want {
			t.Errorf("%q: wrote %q; want %q", c.arguments, out.String(), c.want)
		}
		found, _ := os.ReadDir(folder)
		if len(found) != c.files {
			t.Errorf("%q: %d files; want %d", c.arguments, len(found), c.files)
		}
	}
}

// A file is not lost when writing a new one fails.
func TestSaveAtomic(t *testing.T) {
	name := filepath.Join(t.TempDir(), "a.txt")
	if err := files.Save(name, text("old").Write); err != nil {
		t.Fatal(err)
	}
	if err := files.Save(name, func(io.Writer) error { return io.ErrShortWrite }); err == nil {
		t.Error("no error")
	}
	kept, err := os.ReadFile(name)
	found, _ := os.ReadDir(filepath.Dir(name))
	if string(kept) != "old" || err != nil || len(found) != 1 {
		t.Errorf("%q, %v, %d files", kept, err, len(found))
	}
}

func TestParse(t *testing.T) {
	for _, c := range []struct {
		arguments string
		want      string
	}{
		{"-bx x", "-bx; test -h lists the flags"},
		{"box.json", `argument "box.json"; expected flags only, test -h lists them`},
		{"-format yaml", `-format "yaml"; expected one of text, json`},
		{"-ohms volts", "invalid value"},
		{"-box a", "-box alone; expected -box, -meter together, or none"},
	} {
		p := files.New("test", demo, "go run ./examples/test")
		p.File("box")
		p.File("meter")
		ohms := 1.0
		p.Quantity(&ohms, "ohms", "`resistance` wanted", unit.Ohm, "Ω")
		p.Formats("text", "json")
		_, err := p.Parse(strings.Fields(c.arguments), io.Discard)
		if err == nil {
			_, err = p.All("box", "meter")
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; want %q", c.arguments, err, c.want)
		}
	}
}

func TestHelp(t *testing.T) {
	p := files.New("test", demo, "go run ./examples/test", "go run ./examples/test -box mybox/box.json")
	p.File("box")
	var out strings.Builder
	if run, err := p.Parse([]string{"-h"}, &out); run || err != nil {
		t.Fatal(run, err)
	}
	for _, want := range []string{"-box mybox/box.json\n", "-box file\n"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("help lacks %q:\n%s", want, &out)
		}
	}
}

func TestOpen(t *testing.T) {
	p := files.New("test", demo)
	b, err := files.OpenBox(p, "", "")
	if err != nil || b.Name() != "b" {
		t.Errorf("%v, %v", b, err)
	}
	if _, err := files.Open(p, "absent.json", "box.json", decade.ReadBox); err == nil {
		t.Error("a file that is not there is read")
	}
	bad := filepath.Join(t.TempDir(), "bad.json")
	if err := os.WriteFile(bad, []byte("{"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := files.Open(p, bad, "", decade.ReadBox); err == nil || !strings.HasPrefix(err.Error(), bad+": ") {
		t.Errorf("%v; want the name of the file", err)
	}
}

func TestOhms(t *testing.T) {
	for _, c := range []struct {
		ohms   float64
		digits int
		want   string
	}{{6012.212920000001, 10, "6.01221292 kΩ"}, {0.018350677, 3, "18.4 mΩ"}, {0, 3, "0 Ω"}} {
		if got := files.Ohms(c.ohms, c.digits); got != c.want {
			t.Errorf("%v to %d digits is %s; expected %s", c.ohms, c.digits, got, c.want)
		}
	}
}

// A file that was given to the wrong flag is refused with the flag that it is meant for.
func TestMistaken(t *testing.T) {
	const data = "../../formats/files/"
	for _, c := range []struct{ flag, file, want string }{
		{"box", "meter.json", "line 4, column 3: certificate: unknown key"},
		{"box", "meter.json", "; it was given as -box, and looks like the file of -meter"},
		{"box", "model.json", "the file of -model"}, {"box", "parties.json", "the file of -parties"},
		{"box", "calibration.json", "the file of -record"}, {"box", "sensor.json", "the file of -curve"},
		{"box", "probe.json", "the file of -curve"}, {"box", "earlier.json", "the file of -earlier"},
		{"box", "materials.json", "the file of -materials"},
		{"box", "readings.csv", "the file of -readings"}, {"meter", "box.json", "the file of -box"},
		{"box", "", "a folder; expected a file"},
	} {
		p := files.New("program", nil)
		file := p.File(c.flag)
		if run, err := p.Parse([]string{"-" + c.flag, data + c.file}, io.Discard); !run || err != nil {
			t.Fatal(run, err)
		}
		read := func(r io.Reader) (err error) {
			if c.flag == "meter" {
				_, err = verify.ReadMeter(r)
			} else {
				_, err = decade.ReadBox(r)
			}
			return err
		}
		_, err := files.Open(p, *file, "", func(r io.Reader) (struct{}, error) { return struct{}{}, read(r) })
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "Read") {
			t.Errorf("-%s %s: %v; expected %q, and no name of a function", c.flag, c.file, err, c.want)
		}
	}
}

// So is what programs write and no flag reads, and one of several files of a flag.
func TestMistakenForWritten(t *testing.T) {
	folder := t.TempDir()
	for text, want := range map[string]string{
		"<?xml version=\"1.0\"?>\n<a/>\n":         "; it is a certificate in XML, which no flag reads",
		"dial,position,setting,nominal\n":         "; it is a table of deviations",
		"Calibration\n\nRecord":                   "; it is a text for people",
		"setting,nominal,deviation as found\n":    "; it is a table of changes",
		"{\"decades\": [], \"name\": \"a\"}":      "; it was given as -earlier, and looks like the file of -box",
		"\ufeff{\"ranges\": [], \"name\": \"a\"}": "the file of -meter",
	} {
		name := filepath.Join(folder, "file")
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		p := files.New("program", nil)
		names := p.Files("earlier")
		if run, err := p.Parse([]string{"-earlier", "other.json", "-earlier", name},
			io.Discard); !run || err != nil {
			t.Fatal(run, err)
		}
		_, err := files.Open(p, (*names)[1], "", decade.ReadCalibration)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v; expected %q", text, err, want)
		}
	}
}

func TestOutIsAFile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "box.json")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	err := files.Save(filepath.Join(file, "report.txt"), func(io.Writer) error { return nil })
	if err == nil || !strings.Contains(err.Error(), "box.json: a file; expected a folder") {
		t.Error(err)
	}
}
