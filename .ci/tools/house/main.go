// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// House checks the rules of the repository that no general tool knows:
//
//   - every Go file opens with the licence header;
//   - every library package has a doc.go, every exported name a comment;
//   - a package imports only packages above it in the list of floors
//     (DEVELOPERS.md), and requirements that serve tests only in tests;
//   - every exported function, type and method of a library package has an Example that
//     go test runs;
//   - the program of the README and its output are those of an Example;
//   - the top level holds what it should and nothing else;
//   - the tables of packages in README.md and DEVELOPERS.md name those that exist, in the
//     order of the floors;
//   - what returns a bool "reports whether";
//   - errors are of one type, and a cause of one name is one value in all packages;
//   - an exported type of decade says whether several goroutines may use it at once.
//
// Usage: house ROOT. It prints one line a finding and exits with status 1 if there are
// any.
package main

import (
	"fmt"
	"io/fs"
	"os"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: house ROOT")
		os.Exit(2)
	}
	tree := os.DirFS(os.Args[1])
	var findings []string
	for _, rule := range []func(fs.FS) ([]string, error){check, examples, readme, toplevel,
		floorTable, wording, causes, goroutines, lines} {
		found, err := rule(tree)
		if err != nil {
			fmt.Fprintln(os.Stderr, "house:", err)
			os.Exit(2)
		}
		findings = append(findings, found...)
	}
	for _, f := range findings {
		fmt.Println(f)
	}
	if len(findings) > 0 {
		os.Exit(1)
	}
}
