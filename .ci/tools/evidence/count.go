// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
)

// An event is a line of go test -json: the fields that are used here.
type event struct {
	Action, Package, Test, Key, Value string
}

// evidence is what was found, by package.
type evidence struct {
	packages map[string]*tally
	failed   []string
}

// A tally counts the checks of one package.
type tally struct {
	sources    map[string]int // checks by document
	provenance map[string]int
	exceptions int
	passed     map[string]bool // tests and subtests
	withRows   map[string]bool // of them, those with checks in them or below them
}

func (t *tally) checks() (n int) {
	for _, v := range t.provenance {
		n += v
	}
	return n
}

// others counts the tests without rows: subtests one by one, a test without any as one.
func (t *tally) others() (n int) {
	parents := make(map[string]bool)
	for name := range t.passed {
		for i := strings.LastIndexByte(name, '/'); i >= 0; i = strings.LastIndexByte(name[:i],
			'/') {
			parents[name[:i]] = true
		}
	}
	for name := range t.passed {
		if !parents[name] && !t.withRows[name] {
			n++
		}
	}
	return n
}

// read counts the events of a run.
func read(r io.Reader) (*evidence, error) {
	found := &evidence{packages: make(map[string]*tally)}
	for d := json.NewDecoder(r); ; {
		var e event
		if err := d.Decode(&e); errors.Is(err, io.EOF) {
			return found, nil
		} else if err != nil {
			return nil, err
		}
		// The tests of the package uncertaintytest are about the rows themselves.
		if e.Test != "" && !strings.HasSuffix(e.Package, "/uncertaintytest") {
			found.add(e)
		}
	}
}

func (f *evidence) add(e event) {
	t := f.packages[e.Package]
	if t == nil {
		t = &tally{make(map[string]int), make(map[string]int), 0, make(map[string]bool),
			make(map[string]bool)}
		f.packages[e.Package] = t
	}
	switch {
	case e.Action == "pass":
		t.passed[e.Test] = true
	case e.Action == "fail":
		f.failed = append(f.failed, e.Package+" "+e.Test)
	case e.Action == "attr" && e.Key == "published":
		provenance, source, _ := strings.Cut(e.Value, "; ")
		t.sources[source]++
		t.provenance[provenance]++
		t.withRows[e.Test] = true
	case e.Action == "attr" && e.Key == "exception":
		t.exceptions++
	}
}

// all is the sum of the packages.
func (f *evidence) all() *tally {
	sum := &tally{sources: make(map[string]int), provenance: make(map[string]int)}
	for _, t := range f.packages {
		for s, n := range t.sources {
			sum.sources[s] += n
		}
		for p, n := range t.provenance {
			sum.provenance[p] += n
		}
		sum.exceptions += t.exceptions
	}
	return sum
}

// totals returns the number of checks, and their sum with the tests without rows: a test
// may get rows, which moves it from the one to the other.
func (f *evidence) totals() (rows, all int) {
	for _, t := range f.packages {
		rows += t.checks()
		all += t.checks() + t.others()
	}
	return rows, all
}

// table prints a line for each package, in Markdown.
func (f *evidence) table(out io.Writer) {
	fmt.Fprintln(out, "| package | checks | sources | from memory | common practice | exceptions "+
		"| tests without rows |")
	fmt.Fprintln(out, "|---|--:|--:|--:|--:|--:|--:|")
	others := 0
	line := func(name string, t *tally, others int) {
		fmt.Fprintf(out, "| %s | %d | %d | %d | %d | %d | %d |\n", name, t.checks(), len(t.sources),
			t.provenance["from memory"], t.provenance["common practice"], t.exceptions, others)
	}
	for _, name := range slices.Sorted(maps.Keys(f.packages)) {
		t := f.packages[name]
		others += t.others()
		line(strings.TrimPrefix(name, "example.com/ohmwright/"), t, t.others())
	}
	line("all", f.all(), others)
}

// list prints the documents, those of most checks first.
func (f *evidence) list(out io.Writer) {
	fmt.Fprintln(out)
	sources := f.all().sources
	for _, s := range slices.SortedFunc(maps.Keys(sources), func(a, b string) int {
		return cmp.Or(sources[b]-sources[a], cmp.Compare(a, b))
	}) {
		fmt.Fprintf(out, "- %s: %d\n", s, sources[s])
	}
}
