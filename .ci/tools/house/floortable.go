// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"slices"
)

// packageTables are the tables of packages that people read: a page and its section.
var packageTables = []struct{ page, section string }{
	{"DEVELOPERS.md", "## Floors\n"},
	{"README.md", "## Packages\n"},
}

var tableRow = regexp.MustCompile("(?m)^\\| `([^`]+)` \\|")

// floorTable compares the tables with the list of floors: the packages that exist, in the
// same order. What stands on no floor of its own, such as a package for tests, may be in a
// table too. A tree without a page has no findings about it.
func floorTable(tree fs.FS) ([]string, error) {
	var want []string
	for _, dir := range floors {
		files, err := fs.Glob(tree, path.Join(dir, "*.go"))
		if err != nil {
			return nil, err
		}
		if len(files) > 0 {
			want = append(want, dir)
		}
	}
	var findings []string
	for _, table := range packageTables {
		page, err := fs.ReadFile(tree, table.page)
		if err != nil {
			continue
		}
		var got []string
		for _, row := range tableRow.FindAllStringSubmatch(between(string(page), table.section,
			"\n## "), -1) {
			if slices.Contains(floors, row[1]) {
				got = append(got, row[1])
			}
		}
		if !slices.Equal(got, want) {
			findings = append(findings, fmt.Sprintf("%s: the table of packages has %v; want "+
				"those of .ci/tools/house/floors.go that exist, in its order: %v",
				table.page, got, want))
		}
	}
	return findings, nil
}
