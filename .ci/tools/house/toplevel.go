// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"io/fs"
	"slices"
)

// visible is the whole of what a visitor finds at the top of the repository; hidden is
// what stands there besides.
var (
	visible = []string{
		"decade", "uncertainty", "wire", "thermal", "examples",
		"go.mod", "go.sum", "README.md", "DEVELOPERS.md", "LICENSE",
	}
	hidden = []string{".ci", ".git", ".gitattributes", ".gitignore"}
)

// toplevel reports what stands at the top and does not belong there, and what is missing.
// Hidden names may be absent: an archive of the repository has no .git.
func toplevel(tree fs.FS) ([]string, error) {
	entries, err := fs.ReadDir(tree, ".")
	if err != nil {
		return nil, err
	}
	var findings, names []string
	for _, e := range entries {
		names = append(names, e.Name())
		if !slices.Contains(visible, e.Name()) && !slices.Contains(hidden, e.Name()) {
			findings = append(findings, e.Name()+": does not belong at the top level")
		}
	}
	for _, name := range visible {
		if !slices.Contains(names, name) {
			findings = append(findings, name+": is missing from the top level")
		}
	}
	return findings, nil
}
