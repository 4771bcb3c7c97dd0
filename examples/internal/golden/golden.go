// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package golden

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the expected outputs anew")

// Check compares an output with the file testdata/name, line by line.
func Check(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if line, g, w := difference(got, string(want)); line > 0 {
		t.Errorf("%s, line %d:\ngot      %s\nexpected %s", file, line, g, w)
	}
}

// difference returns the first line that differs, counted from 1, in both texts; 0: none.
func difference(got, want string) (line int, g, w string) {
	gs, ws := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range max(len(gs), len(ws)) {
		g, w = "(end)", "(end)"
		if i < len(gs) {
			g = gs[i]
		}
		if i < len(ws) {
			w = ws[i]
		}
		if g != w {
			return i + 1, g, w
		}
	}
	return 0, "", ""
}
