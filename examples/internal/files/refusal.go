// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package files

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
)

// A refusal is why a file was not understood, for a person: it names the file and no function.
type refusal struct {
	file, note string
	err        error
}

func (e *refusal) Error() string {
	text := e.err.Error()
	if u, ok := errors.AsType[*unit.Error](e.err); ok {
		text = strings.TrimPrefix(text, u.Op+": ")
	}
	return e.file + ": " + text + e.note
}

func (e *refusal) Unwrap() error { return e.err }

// kinds are the flags of files, each with keys of which the first two levels of files have
// one that no other has.
var kinds = []struct{ flag, key string }{
	{"box", "decades"}, {"meter", "ranges"}, {"record", "values"}, {"earlier", "settings"},
	{"parties", "laboratory"}, {"model", "formula"}, {"materials", "materials"},
	{"curve", "points"}, {"curve", "callendarVanDusen"}, {"curve", "its90"},
	{"curve", "steinhartHart"}, {"curve", "beta"},
}

// written are the first words of what programs write and none of them reads.
var written = []struct{ begin, what string }{
	{"<?xml", "a certificate in XML, which no flag reads: keep the record beside it"},
	{"Calibration\n", "a text for people: the values are in the record"},
	{"dial,position,setting,", "a table of deviations: the values are in the record"},
	{"setting,nominal,deviation as found", "a table of changes: keep the readings that it is of"},
}

// kindOf returns the flag that a file is meant for, empty where its contents do not show it.
func kindOf(text []byte) string {
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	var object map[string]json.RawMessage
	if json.Unmarshal(text, &object) == nil {
		for _, k := range kinds {
			if _, ok := object[k.key]; ok {
				return k.flag
			}
		}
		return ""
	}
	for line := range bytes.Lines(text) {
		if line = bytes.TrimSpace(line); len(line) == 0 || line[0] == '#' {
			continue
		}
		head := strings.ToLower(string(line))
		if strings.Contains(head, "value") &&
			(strings.Contains(head, "setting") || strings.Contains(head, "nominal")) {
			return "readings"
		}
		break
	}
	return ""
}

// mistaken says that a file was given to another flag than the one it is meant for; empty
// where that is not so, or not certain.
func (p *Program) mistaken(name string) (note string) {
	if name == "" {
		return ""
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return ""
	}
	shown := strings.TrimPrefix(string(text), "\ufeff")
	for _, w := range written {
		if strings.HasPrefix(shown, w.begin) {
			return "; it is " + w.what
		}
	}
	kind := kindOf(text)
	p.Flags.Visit(func(f *flag.Flag) {
		_, isFile := fileFlags[f.Name]
		given := f.Value.String() == name
		// A flag that may be repeated has all of its files.
		if all, ok := f.Value.(*fileList); ok {
			given = slices.Contains(*all, name)
		}
		// A record may stand for an earlier one, and the other way round.
		same := f.Name == kind || f.Name == "earlier" && kind == "record" ||
			f.Name == "record" && kind == "earlier"
		if kind != "" && isFile && given && !same {
			note = fmt.Sprintf("; it was given as -%s, and looks like the file of -%s", f.Name,
				kind)
		}
	})
	return note
}
