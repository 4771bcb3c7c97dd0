// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
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
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
	"example.com/ohmwright/uncertainty/unit"
)

// What is said to somebody with a file names keys, columns and lines. Every file of the
// document is damaged in every way below, its reader and what works with it next are asked,
// and no message may name a function, a type or a method of Go.
func TestSlipsInWordsOfTheFile(t *testing.T) {
	exported := exportedNames(t)
	told := make(map[string]bool)
	damaged, refused := 0, 0
	for name, use := range readers(t) {
		text, err := os.ReadFile(filepath.Join("files", name))
		if name == nominalReadings {
			text, err = []byte(readingsByNominal), nil
		}
		if err != nil {
			t.Fatal(err)
		}
		if err := use(text); err != nil {
			t.Errorf("%s as it is: %v", name, err)
		}
		variants := damagedLines(string(text))
		if strings.HasSuffix(name, ".json") {
			variants = append(damagedJSON(string(text)), stumps(string(text))...)
		}
		if !uncertaintytest.Long() {
			variants = thinned(variants, 150)
		}
		for _, v := range variants {
			damaged++
			err := use([]byte(v))
			if err == nil {
				continue
			}
			refused++
			message := unit.Cause(err).Error()
			word := goNameIn(message, v, exported)
			if word == "" || told[word] {
				continue
			}
			told[word] = true // one example of each is enough to mend it
			t.Errorf("%s: %q is a name of Go in the message: %s", name, word, message)
		}
	}
	t.Logf("%d damaged files, %d refused", damaged, refused)
	if refused < damaged/4 {
		t.Errorf("%d of %d damaged files refused; expected far more", refused, damaged)
	}
}

// readingsByNominal are readings that name the nominal value in place of the dials.
const (
	nominalReadings   = "nominal.csv"
	readingsByNominal = "nominal (Ω),range,temperature (°C),turned,approach,polarity,value (Ω)\n0,1 kΩ,23.1,all,up,,0.012\n" +
		"1000,1 kΩ,23.1,all,up,,1000.12\n2000,10 kΩ,23.1,1,down,,2000.21\n"
)

// readers are by file what reads it and works with it.
func readers(t *testing.T) map[string]func([]byte) error {
	t.Helper()
	box, err := read("box.json", decade.ReadBox)
	if err != nil {
		t.Fatal(err)
	}
	meter, err := read("meter.json", verify.ReadMeter)
	if err != nil {
		t.Fatal(err)
	}
	readings, err := read("readings.csv", func(r io.Reader) ([]verify.Reading, error) { return verify.ReadReadings(r, box) })
	if err != nil {
		t.Fatal(err)
	}
	sound := make(map[string]bool)
	evaluate := func(b *decade.Box, m *verify.Meter, list []verify.Reading) error {
		r, err := verify.Evaluate(b, m, list, conformity.Guarded(1))
		if err != nil {
			return err
		}
		for _, w := range r.Warnings {
			if !sound[w.Error()] {
				return w
			}
		}
		return nil
	}
	// What is said of the files as they are.
	if r, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1)); err == nil {
		for _, w := range r.Warnings {
			sound[w.Error()] = true
		}
	}
	asRead := func(text []byte) error {
		list, err := verify.ReadReadings(bytes.NewReader(text), box)
		if err != nil {
			return err
		}
		if err := evaluate(box, meter, list); err != nil {
			return err
		}
		r, err := verify.Evaluate(box, meter, list, conformity.Guarded(1))
		if err != nil {
			return err
		}
		if _, err = calibrate.NewFit(r, verify.StageAsFound); errors.Is(err, calibrate.ErrUndetermined) {
			return nil // few readings
		}
		return err
	}
	return map[string]func([]byte) error{
		"box.json": func(text []byte) error {
			b, err := decade.ReadBox(bytes.NewReader(text))
			if err != nil {
				return err
			}
			s, err := b.Max()
			if err != nil {
				return err
			}
			list, err := read("readings.csv", func(r io.Reader) ([]verify.Reading, error) { return verify.ReadReadings(r, b) })
			if err != nil {
				return err
			}
			if _, _, err := s.MaxCurrent(); err != nil && !errors.Is(err, decade.ErrNotStated) {
				return err
			}
			if err := s.TemperatureChangeOf(uncertainty.Exact(30)).Err(); err != nil {
				return err
			}
			return evaluate(b, meter, list)
		},
		"meter.json": func(text []byte) error {
			m, err := verify.ReadMeter(bytes.NewReader(text))
			if err != nil {
				return err
			}
			return evaluate(box, m, readings)
		},
		"readings.csv": asRead, nominalReadings: asRead,
		"diagnosis.json": func(text []byte) error { return json.Unmarshal(text, new(fault.Diagnosis)) },
		"budget.json":    func(text []byte) error { return json.Unmarshal(text, new(uncertainty.Budget)) },
		"calibration.json": func(text []byte) error {
			c, err := decade.ReadCalibration(bytes.NewReader(text))
			if err != nil {
				return err
			}
			b, err := box.With(c)
			if err != nil {
				return err
			}
			s, err := b.Max()
			if err != nil {
				return err
			}
			_, err = uncertainty.Evaluate(s.Resistance())
			return err
		},
		"earlier.json": func(text []byte) error {
			c, err := calibrate.ReadEarlier(bytes.NewReader(text), box)
			if err != nil {
				return err
			}
			_, err = box.With(c)
			return err
		},
		"inspection.json": func(text []byte) error {
			var in inspect.Inspection
			return json.Unmarshal(text, &in)
		},
		"parties.json":    func(text []byte) error { _, err := certificate.ReadParties(bytes.NewReader(text)); return err },
		"certificate.xml": func(text []byte) error { _, err := certificate.Read(bytes.NewReader(text)); return err },
		"materials.json":  func(text []byte) error { _, err := material.Read(bytes.NewReader(text)); return err },
		"sensor.json":     sensor, "probe.json": sensor,
		"distribution.csv": func(text []byte) error {
			e, err := uncertainty.ReadEmpirical(bytes.NewReader(text))
			if err != nil {
				return err
			}
			return results(uncertainty.Input("x", e))
		},
		"model.json": func(text []byte) error {
			q, err := uncertainty.ReadModel(bytes.NewReader(text))
			if err != nil {
				return err
			}
			return results(q)
		},
		"record.json": func(text []byte) error { var r uncertainty.Record; return json.Unmarshal(text, &r) },
	}
}

func sensor(text []byte) error {
	s, err := thermal.ReadSensor(bytes.NewReader(text))
	if err != nil {
		return err
	}
	low, high := s.Range()
	r, err := s.Resistance((low + high) / 2)
	if err != nil {
		return err
	}
	_, err = s.Value(r)
	return err
}

// results are what three evaluations say of a model, its warnings among them.
func results(q uncertainty.Quantity) error {
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		return err
	}
	for _, w := range b.Warnings {
		return w
	}
	second, err := uncertainty.SecondOrder(q)
	if err != nil {
		return err
	}
	for _, w := range second.Warnings {
		return w
	}
	s, err := uncertainty.MonteCarlo{Trials: 10_000}.Run(context.Background(), q)
	if err != nil {
		return err
	}
	for _, w := range s.Warnings {
		return w
	}
	return nil
}

// wrongValues take the place of any value of a JSON file.
var wrongValues = []string{`null`, `"text"`, `""`, `"3 furlongs"`, `"1,5 Ω"`, `"-1"`, `"5 V"`, `"20 %"`, `"1e400"`, `1e400`, `-1`, `0`, `1e300`, `1e-300`,
	`7`, `true`, `[]`, `{}`, `[1, 2, "x"]`, `{"x": 1}`, `"2026-13-45"`, `"NaN"`}

var (
	jsonKey   = regexp.MustCompile(`"[^"\n]*"\s*:`)
	jsonValue = regexp.MustCompile(`:\s*("(?:[^"\\\n]|\\.)*"|-?[0-9][-+.0-9eE]*|true|false|null)`)
	jsonList  = regexp.MustCompile(`:\s*(\[[^][{}]*\])`)
)

// damagedJSON misspells each key, states it twice, leaves its value out, and puts every wrong
// value in its place.
func damagedJSON(text string) (out []string) {
	for _, at := range jsonKey.FindAllStringIndex(text, -1) {
		key := text[at[0]:at[1]]
		name := strings.Trim(strings.TrimSuffix(key, ":"), `" `)
		out = append(out,
			text[:at[0]]+`"`+name+`x":`+text[at[1]:],
			text[:at[0]]+`"`+strings.ToUpper(name)+`":`+text[at[1]:],
			text[:at[0]]+`"zz":`+text[at[1]:],
			text[:at[0]]+key+` 1, `+text[at[0]:])
	}
	for _, values := range []*regexp.Regexp{jsonValue, jsonList} {
		for _, at := range values.FindAllStringSubmatchIndex(text, -1) {
			for _, wrong := range wrongValues {
				out = append(out, text[:at[2]]+wrong+text[at[3]:])
			}
			out = append(out, text[:at[2]]+text[at[3]:])
		}
	}
	return out
}

// stumps are the first bytes of a text.
func stumps(text string) (out []string) {
	for i := 0; i < len(text); i += 1 + len(text)/60 {
		out = append(out, text[:i])
	}
	return out
}

// wrongCells take the place of any cell of a table, or text of an element.
var wrongCells = []string{"", "text", "-1", "0", "1e400", "NaN", "3 furlongs", "1,5", "1 000", "9-9-9", "2026-13-45", `"`, "5 V", "OL", "1e300"}

var cell = regexp.MustCompile(`[^,;\n<>]+`)

// damagedLines puts every wrong text in the place of a cell, leaves a line out, doubles it, and
// takes its last cell away.
func damagedLines(text string) (out []string) {
	for _, at := range cell.FindAllStringIndex(text, -1) {
		for _, wrong := range wrongCells {
			out = append(out, text[:at[0]]+wrong+text[at[1]:])
		}
	}
	lines := strings.SplitAfter(text, "\n")
	for i, line := range lines {
		before, after := strings.Join(lines[:i], ""), strings.Join(lines[i+1:], "")
		out = append(out, before+after, before+line+line+after)
		if k := strings.LastIndexAny(line, ",<"); k >= 0 {
			out = append(out, before+line[:k]+"\n"+after)
		}
	}
	return append(out, stumps(text)...)
}

// thinned keeps about n of the list, evenly.
func thinned(list []string, n int) (out []string) {
	step := 1 + len(list)/n
	for i := 0; i < len(list); i += step {
		out = append(out, list[i])
	}
	return out
}

// exportedNames are those of the library.
func exportedNames(t *testing.T) map[string]bool {
	t.Helper()
	out := make(map[string]bool)
	declared := regexp.MustCompile(`(?:^|\n)(?:func|type|const|var|method|field)\s+(?:\([^)]*\)[\s.]*)?(?:[\w*]+\.)*([A-Z]\w*)`)
	snapshots, err := filepath.Glob("../../.ci/api/*.txt")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range snapshots {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range declared.FindAllStringSubmatch(string(text), -1) {
			out[m[1]] = true
		}
	}
	if len(out) < 500 {
		t.Fatalf("%d exported names in .ci/api; expected all of the library", len(out))
	}
	return out
}

var (
	capital = regexp.MustCompile(`\b[A-Z]\w*`)
	inside  = regexp.MustCompile(`[^.:?!\s]\s+\(?([A-Z]\w+)`) // a sentence may begin with any word
	member  = regexp.MustCompile(`\b\w*[A-Za-z]\.[A-Z]\w*`)
	hump    = regexp.MustCompile(`^[A-Z]+[a-z]+\w*[A-Z]`)
)

// words are those with a capital that are none of Go's.
var words = map[string]bool{"NaN": true, "EMF": true, "R0": true}

// goNameIn returns a name of Go in a message that does not come from the file: a member
// behind a point, a word with a hump, or a capital word that the library exports.
func goNameIn(message, text string, exported map[string]bool) string {
	for _, word := range member.FindAllString(message, -1) {
		if !strings.Contains(text, word) {
			return word
		}
	}
	for _, word := range capital.FindAllString(message, -1) {
		if !words[word] && !strings.Contains(text, word) && hump.MatchString(word) {
			return word
		}
	}
	for _, found := range inside.FindAllStringSubmatch(message, -1) {
		if word := found[1]; !words[word] && !strings.Contains(text, word) && exported[word] {
			return word
		}
	}
	return ""
}

// The test itself can fail.
func TestGoNameIn(t *testing.T) {
	exported := exportedNames(t)
	for message, want := range map[string]string{
		`two quantities with one name; expected a name for each (see Named)`: "Named",
		`the zero Setting; expected one from Box.At`:                         "Box.At",
		`thermal.NewLaw: alpha is NaN`:                                       "thermal.NewLaw",
		`line 3, column 7: unknown key "zeroShare"; expected "linearity"`:    "",
		`column "R" of the file: 12 MHz; expected a length such as 3 mm`:     "",
		`line 1: Box of the file`:                                            "",
	} {
		if got := goNameIn(message, "Box of the file", exported); got != want {
			t.Errorf("%s: %q; want %q", message, got, want)
		}
	}
}
