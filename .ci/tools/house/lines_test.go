// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"strings"
	"testing"
	"testing/fstest"
)

func TestLines(t *testing.T) {
	long := strings.Repeat("\t"+strings.Repeat("Ω", mostColumns-tabColumns+1)+"\n", mostLong)
	short := strings.Repeat("\t"+strings.Repeat("Ω", mostColumns-tabColumns)+"\n", 5)
	tree := fstest.MapFS{
		"wire/a.go":                  {Data: []byte(long + short)},
		"wire/a_test.go":             {Data: []byte(long)},
		"wire/testdata/x.go":         {Data: []byte(long)},
		"thermal/material/metals.go": {Data: []byte(long)},
	}
	if got, err := lines(tree); err != nil || len(got) != 0 {
		t.Errorf("findings %q, error %v; want none for the lines that are left", got, err)
	}
	tree["wire/b.go"] = &fstest.MapFile{Data: []byte("package wire\n" + strings.Repeat("x", mostColumns+1) + "\n")}
	got, err := lines(tree)
	if err != nil || len(got) != mostLong+2 || got[mostLong] != "wire/b.go:2: 101 columns; break the line at 100" {
		t.Errorf("%d findings, error %v; want one line more and the count", len(got), err)
	}
}
