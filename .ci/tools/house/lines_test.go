// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"strings"
	"testing"
	"testing/fstest"
)

func TestLines(t *testing.T) {
	long := "\t" + strings.Repeat("Ω", mostColumns-tabColumns+1) + "\n"
	short := "\t" + strings.Repeat("Ω", mostColumns-tabColumns) + "\n"
	tree := fstest.MapFS{
		"wire/a.go":                  {Data: []byte(short)},
		"wire/a_test.go":             {Data: []byte(long)},
		"wire/testdata/x.go":         {Data: []byte(long)},
		"thermal/material/metals.go": {Data: []byte(long)},
	}
	if got, err := lines(tree); err != nil || len(got) != 0 {
		t.Errorf("findings %q, error %v; want none", got, err)
	}
	tree["wire/b.go"] = &fstest.MapFile{Data: []byte("package wire\n" + long)}
	const want = "wire/b.go:2: 101 columns; break the line at 100"
	if got, err := lines(tree); err != nil || len(got) != 1 || got[0] != want {
		t.Errorf("findings %q, error %v; want %q", got, err, want)
	}
}
