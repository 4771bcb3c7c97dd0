// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/internal/golden"
)

func output(t *testing.T, arguments ...string) string {
	t.Helper()
	var out strings.Builder
	if err := run(t.Context(), arguments, strings.NewReader(""), &out); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// oneLine is a text without the breaks of its lines.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// Whatever the seed, the lesson ends at the element that was put in.
func TestLesson(t *testing.T) {
	for _, seed := range []string{"0", "1", "2", "3", "4"} {
		out := output(t, "-seed", seed)
		for _, want := range []string{"Element 7 of ×100 Ω, between positions 6 and 7, is high by 3.", "It shows at", "Open the box and look at element 7", "The simulated fault: drifted element, element 7 of ×100 Ω"} {
			if !strings.Contains(oneLine(out), want) {
				t.Errorf("seed %s does not say %q:\n%s", seed, want, out)
			}
		}
		if n := strings.Count(out, ", nominal"); n > 12 {
			t.Errorf("seed %s: %d readings; expected 12 or fewer", seed, n)
		}
	}
}

// The output of one seed in full, called with -train and without anything.
func TestOutput(t *testing.T) {
	golden.Check(t, "output.txt", output(t))
	golden.Check(t, "output.txt", output(t, "-train"))
}

func TestEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := run(ctx, nil, nil, new(strings.Builder)); !errors.Is(err, context.Canceled) {
		t.Errorf("ended context: %v", err)
	}
}

// own writes box and meter into a folder, and returns the flags that name them, with a file
// of readings that is not there yet.
func own(t *testing.T) (folder string, box *decade.Box, arguments []string) {
	t.Helper()
	folder = t.TempDir()
	box, err := trainingBox()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range []struct {
		name string
		v    any
	}{{"box", box}, {"meter", fourWireMeter()}} {
		file := filepath.Join(folder, f.name+".json")
		text, err := json.Marshal(f.v)
		if err == nil {
			err = os.WriteFile(file, text, 0o600)
		}
		if err != nil {
			t.Fatal(err)
		}
		arguments = append(arguments, "-"+f.name, file)
	}
	return folder, box, append(arguments, "-readings", filepath.Join(folder, "readings.csv"))
}

// A lesson on a box of one's own has another fault for each seed, and finds it.
func TestLessonOnOwnBox(t *testing.T) {
	_, _, arguments := own(t)
	var last string
	for _, seed := range []string{"3", "4"} {
		out := output(t, append(slices.Clone(arguments[:4]), "-train", "-seed", seed)...)
		_, put, ok := strings.Cut(oneLine(out), "The simulated fault: drifted element, ")
		if !ok || put == last {
			t.Fatalf("seed %s: the fault is %q, as before %q:\n%s", seed, put, last, out)
		}
		last = put
		place, _, _ := strings.Cut(put, ":")
		if !strings.Contains(oneLine(out), "look at "+place) {
			t.Errorf("seed %s: %q is not found:\n%s", seed, place, out)
		}
	}
}

// operator sits at the terminal: at each prompt it types what answer says.
type operator struct {
	out    strings.Builder // what the program printed
	typed  strings.Reader
	answer func(prompt string) string // empty: the end of the input
}

func (o *operator) Read(p []byte) (int, error) {
	if o.typed.Len() == 0 {
		text := o.out.String()
		line := o.answer(text[strings.LastIndex(text, "\n")+1:])
		if line == "" {
			return 0, io.EOF
		}
		o.out.WriteString(line + "\n") // as a terminal shows it
		o.typed.Reset(line + "\n")
	}
	return o.typed.Read(p)
}

// session runs the program with an operator.
func session(t *testing.T, arguments []string, answer func(prompt string) string) string {
	t.Helper()
	patience = time.Hour // the same answers on a slow machine
	o := &operator{answer: answer}
	if err := run(t.Context(), arguments, o, &o.out); err != nil {
		t.Fatalf("%v\n%s", err, o.out.String())
	}
	return o.out.String()
}

// script types lines, whatever is asked.
func script(lines ...string) func(string) string {
	return func(string) string {
		if len(lines) == 0 {
			return ""
		}
		line := lines[0]
		lines = lines[1:]
		return line
	}
}

// A specimen at the bench: what its meter shows is typed at each prompt, in the ways that
// people and displays write it. The work is left in the middle and goes on.
func TestAtTheBench(t *testing.T) {
	folder, box, arguments := own(t)
	truth := fault.Fault{Kind: fault.KindDrift, A: fault.Place{Part: fault.PartElement, Dial: 1, Number: 7}, Value: 3.7}
	specimen, err := fault.NewSpecimen(box, fourWireMeter(), 1, truth)
	if err != nil {
		t.Fatal(err)
	}
	read := 0
	operate := func(stop int) func(string) string {
		return func(prompt string) string {
			setting, err := box.ParseSetting(strings.TrimSuffix(prompt, "> "))
			if err != nil || read == stop {
				return "stop"
			}
			r, err := specimen.Read(setting)
			if err != nil {
				t.Fatal(err)
			}
			read++
			v := r.Values[0]
			switch read % 4 {
			case 1:
				return fmt.Sprintf("%.5f Ω", v)
			case 2:
				return strings.Replace(fmt.Sprintf("%.3f", v), ".", ",", 1)
			case 3:
				return fmt.Sprintf("%.8f kΩ", v/1000)
			}
			return fmt.Sprintf("%.3f", v)
		}
	}
	first := session(t, arguments, operate(4))
	for _, want := range []string{"Set the dials to 0-0-0 and read", "Keep the test current within the rating", "0-0-0: ", " mΩ, deviation ", "conforms", "the same command resumes with them"} {
		if !strings.Contains(oneLine(first), want) {
			t.Errorf("the work does not say %q:\n%s", want, first)
		}
	}
	if n := strings.Count(first, "Keep the test current"); n > 2 { // when it is asked for, and at the end
		t.Errorf("a caution is told %d times", n)
	}
	second := session(t, arguments, operate(30))
	for _, want := range []string{"4 readings in", "the session resumes there", "Element 7 of ×100 Ω, between positions 6 and 7, is high by 3.", "Open the box and look at element 7"} {
		if !strings.Contains(oneLine(second), want) {
			t.Errorf("the work does not say %q:\n%s", want, second)
		}
	}
	// What was saved says the same without a terminal.
	report := filepath.Join(folder, "report")
	if told := output(t, append(slices.Clone(arguments), "-out", report)...); strings.Count(told, "written:") != 4 {
		t.Errorf("told %q", told)
	}
	text, err := os.ReadFile(filepath.Join(report, "diagnose.txt"))
	if err != nil || !strings.Contains(oneLine(string(text)), "Element 7 of ×100 Ω, between positions 6 and 7, is high by 3.") {
		t.Errorf("the report: %v\n%s", err, text)
	}
	if text := output(t, append(slices.Clone(arguments), "-format", "csv")...); strings.Count(text, "\n") != read+1 {
		t.Errorf("CSV of %d readings: %s", read, text)
	}
}

// saved are the readings in the file.
func saved(t *testing.T, box *decade.Box, arguments []string) []verify.Reading {
	t.Helper()
	f, err := os.Open(arguments[len(arguments)-1])
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	list, err := verify.ReadReadings(f, box)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// Everything that can be typed, and much that cannot.
func TestTyped(t *testing.T) {
	_, box, arguments := own(t)
	out := session(t, arguments, script(
		"?", "0.0195", "10.0.0", "10000,2 ; 10000,3", "nonsense", "4 V", "again", "10000.25", "undo",
		"temperature 23,4", "temperature warm", "more", "0-3-0 = 300.020", "0-99-0 = 3", "0-0-1 = OL", "0-0-0 = 0.0196",
		"session monday", "0-0-0 = 19.7 mΩ", "standard 7; 100.0012 Ω; 0.4 mΩ = 100.003", "left", "0.0194", "undo", " ", "stop"))
	for _, want := range []string{
		"take the last reading back", "Not taken: number \"10.0.0\" with 2 marks", "Not taken: \"nonsense\"", "Turn every dial away and back to 10-0-0", "Taken back: 10-0-0.",
		"From here on 23.4 °C.", "Not taken: temperature \"warm\"", "0-3-0: 300.02", "open: above range", "From here on, session \"monday\"",
		"standard 7", "From here on, readings are as left", "readings of the range are corrected by it. After 6 readings", "Taken back: 0-0-0.", "The readings are in",
	} {
		if !strings.Contains(oneLine(out), want) {
			t.Errorf("the program does not say %q:\n%s", want, out)
		}
	}
	list := saved(t, box, arguments)
	if len(list) != 7 {
		t.Fatalf("%d readings are saved; expected 7:\n%+v\n%s", len(list), list, out)
	}
	if r := list[1]; !slices.Equal(r.Values, []float64{10000.2, 10000.3}) || r.Temperature != nil {
		t.Errorf("repeats with a decimal comma: %+v", r)
	}
	if r := list[2]; r.Setting.String() != "0-3-0" || !slices.Equal(r.Values, []float64{300.02}) || r.Temperature == nil || *r.Temperature != 23.4 {
		t.Errorf("another setting, with a temperature: %+v", r)
	}
	if !list[3].Overload || list[4].Dialling != 2 || list[5].Session != "monday" || list[5].Values[0] != 0.0197 || list[6].Known == nil || list[6].Known.U != 4e-4 {
		t.Errorf("%+v", list[3:])
	}
}

// A file that was there is kept as it was; one that a plan made and nobody filled in is the
// beginning. Taking back the only reading leaves none.
func TestFilesAtTheBench(t *testing.T) {
	_, box, arguments := own(t)
	file := arguments[len(arguments)-1]
	for _, test := range []struct {
		name, text string
		saved      int
	}{
		{"filled", "# mine\nsetting,value,remarks\n0-0-0,0.0195,first\n", 2},
		{"plan", "setting,value 1 (Ω),value 2 (Ω)\n0-0-0,,\n1-0-0,,\n", 1},
	} {
		if err := os.WriteFile(file, []byte(test.text), 0o600); err != nil {
			t.Fatal(err)
		}
		out := session(t, arguments, script("10-0-0 = 10000.2"))
		before, err := os.ReadFile(file + ".before")
		if err != nil || string(before) != test.text || !strings.Contains(out, "as it was is kept as") {
			t.Errorf("%s: kept as %q, %v\n%s", test.name, before, err, out)
		}
		if n := len(saved(t, box, arguments)); n != test.saved {
			t.Errorf("%s: %d readings saved; expected %d", test.name, n, test.saved)
		}
	}
	session(t, arguments, script("undo"))
	if list := saved(t, box, arguments); list != nil {
		t.Errorf("%d readings after the only one was taken back", len(list))
	}
}

// expanded is an expanded uncertainty, which is the matter of other tests.
var expanded = regexp.MustCompile(`U = [0-9.]+\s[kmµ]?Ω`)

// A whole session as it stands at the terminal, with a recording error that is taken back.
func TestSession(t *testing.T) {
	_, box, arguments := own(t)
	truth := fault.Fault{Kind: fault.KindDrift, A: fault.Place{Part: fault.PartElement, Dial: 1, Number: 3}, Value: 1.2}
	prompts := 0
	out := session(t, arguments, func(prompt string) string {
		prompts++
		setting, err := box.ParseSetting(strings.TrimSuffix(prompt, "> "))
		if err != nil {
			return "stop"
		}
		v, err := fault.Predict(setting, truth)
		if err != nil {
			t.Fatal(err)
		}
		switch prompts {
		case 4:
			return fmt.Sprintf("%.4f kΩ", v)
		case 5:
			return "undo"
		}
		return fmt.Sprintf("%.4f", v)
	})
	out = strings.ReplaceAll(out, arguments[len(arguments)-1], "readings.csv")
	golden.Check(t, "session.txt", expanded.ReplaceAllString(out, "U = …"))
}

func TestRefuses(t *testing.T) {
	folder, _, arguments := own(t)
	bad := filepath.Join(folder, "bad.csv")
	if err := os.WriteFile(bad, []byte("setting,value\n0-0-0,1\n0-0-99,1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		arguments []string
		says      string
	}{
		{[]string{"box.json"}, "expected flags only"},
		{[]string{"-boks", "x"}, "-boks"},
		{arguments[:2], "expected -box, -meter, -readings together"},
		{[]string{"-format", "text"}, "expected -box, -meter and -readings as well"},
		{append(slices.Clone(arguments), "-train"), "with -train"},
		{append(slices.Clone(arguments), "-seed", "2"), "-seed without -train"},
		{append(slices.Clone(arguments[:4]), "-readings", bad), "bad.csv"},
		{append(slices.Clone(arguments), "-format", "pdf"), "expected one of text, markdown, csv, json"},
		{[]string{"-train", "-box", "absent.json"}, "expected -box, -meter together"},
	} {
		var out strings.Builder
		if err := run(t.Context(), test.arguments, strings.NewReader(""), &out); err == nil || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%v: error %v does not say %q", test.arguments, err, test.says)
		}
	}
}

func TestHelp(t *testing.T) {
	help := output(t, "-h")
	for _, want := range []string{"go run ./examples/diagnose -box mybox/box.json -meter mybox/meter.json -readings mybox/readings.csv", "-out mybox/report", "again", "undo", "-train"} {
		if !strings.Contains(help, want) {
			t.Errorf("the help does not say %q:\n%s", want, help)
		}
	}
}

// A spreadsheet opens what the work has saved as it did before.
func TestSheetOf(t *testing.T) {
	for table, want := range map[string]*verify.Sheet{
		"setting,value\n0-0-0,1\n":                nil,
		"# of monday; and tuesday\nsetting,value": nil,
		"\ufeffsetting,value\r\n":                 {},
		"\ufeffsetting;value\r\n":                 {DecimalComma: true},
		"# of monday\nsetting;value\n0-0-0;1\n":   {DecimalComma: true},
		"":                                        nil,
	} {
		if diff := cmp.Diff(want, sheetOf([]byte(table))); diff != "" {
			t.Errorf("%q (-want, +got):\n%s", table, diff)
		}
	}
}
