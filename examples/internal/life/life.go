// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package life

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io"
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

//go:embed testdata
var testdata embed.FS

// Check takes the steps of a program, each on the files that the steps before it have left.
func Check(
	t *testing.T, program string, run func(arguments []string, in io.Reader, out io.Writer) error,
) {
	t.Helper()
	steps, err := fs.ReadDir(testdata, "testdata")
	if err != nil {
		t.Fatal(err)
	}
	taken := 0
	folder := t.TempDir()
	for _, step := range steps {
		name := step.Name()
		put(t, folder, name+"/files")
		command := text(t, name+"/command")
		arguments, to := split(strings.TrimSpace(command))
		if arguments[2] == "./examples/"+program {
			taken++
			t.Run(name, func(t *testing.T) {
				t.Chdir(folder)
				var out bytes.Buffer
				if err := run(arguments[3:], strings.NewReader(text(t, name+"/typed")),
					&out); err != nil {
					t.Fatalf("%s%v", command, err)
				}
				if to != "" {
					if err := os.WriteFile(to, out.Bytes(), 0o666); err != nil {
						t.Fatal(err)
					}
					out.Reset()
				}
				compare(t, name, ".", out.String())
			})
		}
		put(t, folder, name+"/output")
	}
	if taken == 0 {
		t.Errorf("no step is one of %s", program)
	}
}

// text is a file of testdata, empty where there is none.
func text(t *testing.T, name string) string {
	t.Helper()
	b, err := testdata.ReadFile("testdata/" + name)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		t.Fatal(err)
	}
	return string(b)
}

// files lists those under a folder of testdata, by their names in it.
func files(t *testing.T, folder string) (names []string) {
	t.Helper()
	top := "testdata/" + folder
	err := fs.WalkDir(testdata, top, func(name string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) && name == top {
			return fs.SkipAll
		}
		if err == nil && !d.IsDir() {
			names = append(names, strings.TrimPrefix(name, top+"/"))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// put copies the files of a folder of testdata.
func put(t *testing.T, to, folder string) {
	t.Helper()
	for _, name := range files(t, folder) {
		file := filepath.Join(to, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(text(t, folder+"/"+name)), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

var word = regexp.MustCompile(`"[^"]*"|\S+`)

// split takes a command apart: its words, and the file that the output goes to.
func split(command string) (words []string, to string) {
	command, to, _ = strings.Cut(command, " > ")
	for _, w := range word.FindAllString(command, -1) {
		words = append(words, strings.Trim(w, `"`))
	}
	return words, to
}

// compare compares what a step left in a folder, and printed, with what is expected.
func compare(t *testing.T, step, folder, printed string) {
	t.Helper()
	for _, name := range files(t, step+"/output") {
		want := text(t, step+"/output/"+name)
		switch name {
		case "contains.txt":
			for line := range strings.Lines(want) {
				if !strings.Contains(oneLine(printed), oneLine(line)) {
					t.Errorf("%s does not print %q:\n%s", step, line, printed)
				}
			}
			continue
		case "terminal.txt":
			if d := difference(printed, want, 1e-9); d != "" {
				t.Errorf("%s, terminal: %s", step, d)
			}
			continue
		}
		got, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(name)))
		if err != nil {
			t.Errorf("%s: %v", step, err)
			continue
		}
		zero := 1e-9
		if strings.HasSuffix(name, "record.json") {
			zero = 1e-6 // many of its sensitivities are none, but for rounding
		}
		if d := difference(string(got), want, zero); d != "" {
			t.Errorf("%s, %s: %s", step, name, d)
		}
	}
	// What is too long to be kept is there, at least.
	for line := range strings.Lines(printed) {
		file, ok := strings.CutPrefix(strings.TrimSpace(line), "written: ")
		if !ok {
			continue
		}
		file, _, _ = strings.Cut(file, " (")
		if info, err := os.Stat(filepath.Join(folder, file)); err != nil || info.Size() == 0 {
			t.Errorf("%s: %s is empty or not there: %v", step, file, err)
		}
	}
}

// oneLine is a text without the breaks of its lines.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

var number = regexp.MustCompile(`-?\d+(\.\d+)?(e[-+]?\d+)?`)

// difference says where two texts differ; empty: nowhere. Least squares may differ in the last
// digits from processor to processor, so that numbers are the same to a millionth, or to what
// counts as zero.
func difference(got, want string, zero float64) string {
	near := func(a, b string) bool {
		x, errX := strconv.ParseFloat(a, 64)
		y, errY := strconv.ParseFloat(b, 64)
		return a == b || errX == nil && errY == nil && math.Abs(x-y) <= 1e-6*math.Abs(y)+zero
	}
	gs, ws := strings.Split(got, "\n"), strings.Split(want, "\n")
	if len(gs) != len(ws) {
		return fmt.Sprintf("%d lines; expected %d:\n%s", len(gs), len(ws), got)
	}
	for i, line := range gs {
		a, b := number.FindAllString(line, -1), number.FindAllString(ws[i], -1)
		same := number.ReplaceAllString(line, "#") == number.ReplaceAllString(ws[i], "#")
		if !same || !slices.EqualFunc(a, b, near) {
			return fmt.Sprintf("line %d:\ngot      %s\nexpected %s", i+1, line, ws[i])
		}
	}
	return ""
}
