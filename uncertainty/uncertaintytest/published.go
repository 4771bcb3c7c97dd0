// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertaintytest

import (
	"strconv"
	"strings"
	"testing"
)

// Provenance says how a published value came into a test.
type Provenance string

// The three ways. A value from memory was not checked against its document;
// common practice is a fact of the trade that has no single document.
const (
	Seen           Provenance = "seen"
	FromMemory     Provenance = "from memory"
	CommonPractice Provenance = "common practice"
)

// Published is one published number.
type Published struct {
	Name       string     // what the number is; the name of the subtest
	Source     string     // the document with its edition
	Place      string     // clause, table, equation or page
	Printed    string     // the digits as printed, without the unit
	Provenance Provenance // Seen, FromMemory or CommonPractice
	Exception  string     // why the number cannot be met; empty in nearly all rows
}

// Check fails the test when got does not round to p.Printed (see [Agrees]),
// when p has an Exception and got does round to it, or when the row does not
// say where it comes from. It does not stop the test.
//
// A test that runs with -v also reports the row as an attribute, "published", of
// provenance and source, and "exception" if it is one: go test -json lists what was
// compared with what.
func (p Published) Check(t testing.TB, got float64) {
	t.Helper()
	// A row without a source is no evidence, whatever its number.
	if missing := p.missing(); missing != "" {
		t.Errorf("published value %q: no %s; expected source, place and provenance in each row",
			p.Name, missing)
		return
	}
	p.report(t)
	agrees, err := Agrees(got, p.Printed)
	switch {
	case err != nil:
		t.Errorf("published value %q: %v", p.Name, err)
	case !agrees && p.Exception == "":
		t.Errorf("%s = %s, published %s (%s, %s, %s)", p.Name, shortest(got), p.Printed, p.Source,
			p.Place, p.Provenance)
	// An exception that no longer is one would hide the next real one.
	case agrees && p.Exception != "":
		t.Errorf("%s = %s agrees with the published %s (%s, %s, %s) and is listed as an "+
			"exception: %s",
			p.Name, shortest(got), p.Printed, p.Source, p.Place, p.Provenance, p.Exception)
	}
}

// Run is Check in a subtest of the name p.Name.
func (p Published) Run(t *testing.T, got float64) {
	t.Helper()
	t.Run(p.Name, func(t *testing.T) {
		t.Helper()
		p.Check(t, got)
	})
}

// report writes the row where a program can find it: see [testing.T.Attr].
func (p Published) report(t testing.TB) {
	own, ok := t.(*testing.T)
	// Benchmarks and fuzz targets have no attributes.
	if !ok {
		return
	}
	// An attribute is one line.
	line := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	own.Attr("published", string(p.Provenance)+"; "+line(p.Source))
	if p.Exception != "" {
		own.Attr("exception", line(p.Exception))
	}
}

// missing names what the row leaves out.
func (p Published) missing() string {
	switch {
	case strings.TrimSpace(p.Source) == "":
		return "source"
	case strings.TrimSpace(p.Place) == "":
		return "place"
	case p.Provenance != Seen && p.Provenance != FromMemory && p.Provenance != CommonPractice:
		return "provenance"
	}
	return ""
}

// shortest shows all digits of a number that does not agree.
func shortest(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
