// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// table reads testdata/name: CSV with a header line and # comments.
func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil || len(records) < 2 {
		t.Fatalf("%s: %d lines, %v", name, len(records), err)
	}
	rows := make([]map[string]string, 0, len(records))
	for _, rec := range records[1:] {
		row := map[string]string{}
		for i, key := range records[0] {
			row[key] = rec[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// provenance reads the column known of the test tables.
func provenance(known string) uncertaintytest.Provenance {
	switch {
	case strings.HasPrefix(known, "seen"):
		return uncertaintytest.Seen
	case strings.Contains(known, "memory"):
		return uncertaintytest.FromMemory
	}
	return uncertaintytest.Provenance(known)
}

// quoted marks a source that was itself not read, only a document that quotes it.
func quoted(source, known string) string {
	if strings.Contains(known, "quoted") {
		return source + ", as quoted"
	}
	return source
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// must returns a function that unwraps a result or stops the test.
func must[T any](t *testing.T) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Abs(want)
}
