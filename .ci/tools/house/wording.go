// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"path"
	"regexp"
)

// A function that returns a bool "reports whether", as in the standard library. The words
// may stand on two lines of a comment.
var tellsWhether = regexp.MustCompile(`\b[Tt]ells\s+(?:(?://|#)\s*)?whether\b`)

// wording reports phrases that the project writes otherwise, in Go files, pages and
// scripts, those under .ci included.
func wording(tree fs.FS) (findings []string, err error) {
	err = fs.WalkDir(tree, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.Name() == ".git" && d.IsDir():
			return fs.SkipDir
		case d.IsDir() || !written(name):
			return nil
		}
		text, err := fs.ReadFile(tree, name)
		if err != nil {
			return err
		}
		for _, at := range tellsWhether.FindAllIndex(text, -1) {
			line := 1 + bytes.Count(text[:at[0]], []byte("\n"))
			findings = append(findings, fmt.Sprintf("%s:%d: write \"reports whether\"", name, line))
		}
		return nil
	})
	return findings, err
}

// written reports whether a file holds text of ours: a Go file, a page or a script.
func written(name string) bool {
	return path.Ext(name) == ".go" || path.Ext(name) == ".md" || name == ".ci/run"
}
