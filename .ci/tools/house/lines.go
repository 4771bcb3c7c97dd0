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

	// mostLong is how many longer lines there are that no break would help: long literals, rows
	// with a comment behind them. It only falls.
	mostLong = 170
)

// tables are files whose lines are rows: a break would hide the columns.
var tables = []string{"thermal/material/metals.go", "thermal/material/copperalloys.go",
	"thermal/material/otheralloys.go"}

// lines reports that there are more long lines of code than were left, with some of them.
// Tests are left out: most of their long lines are rows of cases.
func lines(tree fs.FS) (findings []string, err error) {
	var long []string
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
				long = append(long, fmt.Sprintf("%s:%d: %d columns; break the line at %d",
					name, i+1, columns(string(line)), mostColumns))
			}
		}
		return nil
	})
	if err != nil || len(long) <= mostLong {
		return nil, err
	}
	return append(long, fmt.Sprintf("%d lines of code beyond %d columns; expected at most %d",
		len(long), mostColumns, mostLong)), nil
}

func columns(line string) (n int) {
	for _, r := range line {
		if n++; r == '\t' {
			n += tabColumns - 1
		}
	}
	return n
}
