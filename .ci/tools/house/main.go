// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// House checks the rules of the repository that no general tool knows:
//
//   - every Go file opens with the licence header;
//   - every library package has a doc.go, every exported name a comment;
//   - a package imports only packages above it in the list of floors
//     (DEVELOPERS.md), and requirements that serve tests only in tests.
//
// With -examples it checks instead that every exported function, type and method of a
// library package has a runnable Example.
//
// Usage: house [-examples] ROOT. It prints one line a finding and exits with status 1
// if there are any.
package main

import (
	"flag"
	"fmt"
	"os"
)

func main() {
	only := flag.Bool("examples", false, "check the Examples")
	flag.Usage = func() { fmt.Fprintln(flag.CommandLine.Output(), "usage: house [-examples] ROOT") }
	flag.Parse()
	if flag.NArg() != 1 {
		flag.Usage()
		os.Exit(2)
	}
	rule := check
	if *only {
		rule = examples
	}
	findings, err := rule(os.DirFS(flag.Arg(0)))
	if err != nil {
		fmt.Fprintln(os.Stderr, "house:", err)
		os.Exit(2)
	}
	for _, f := range findings {
		fmt.Println(f)
	}
	if len(findings) > 0 {
		os.Exit(1)
	}
}
