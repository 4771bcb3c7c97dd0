// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
)

const (
	mostColumns = 100 // of a line of code, a tab counted as four
	tabColumns  = 4
)

// tables are files whose lines are rows: a break would hide the columns.
var tables = []string{"thermal/material/metals.go", "thermal/material/copperalloys.go",
	"thermal/material/otheralloys.go"}

// lines lists the lines of code that are too long. Tests are left out: most of their long lines
// are rows of cases.
func lines(tree fs.FS) (findings []string, err error) {
	err = fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == ".git" || d.Name() == "testdata"):
			return fs.SkipDir
		case d.IsDir() || path.Ext(name) != ".go" || strings.HasSuffix(name, "_test.go") ||
			slices.Contains(tables, name):
			return nil
		}
		text, err := fs.ReadFile(tree, name)
		if err != nil {
			return err
		}
		for i, line := range bytes.Split(text, []byte("\n")) {
			if columns(string(line)) > mostColumns {
				findings = append(findings, fmt.Sprintf("%s:%d: %d columns; break the line at %d",
					name, i+1, columns(string(line)), mostColumns))
			}
		}
		return nil
	})
	return findings, err
}

func columns(line string) (n int) {
	for _, r := range line {
		if n++; r == '\t' {
			n += tabColumns - 1
		}
	}
	return n
}
