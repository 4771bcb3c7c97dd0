// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Api compares the exported names of the public packages with their snapshots,
// one text file a package under .ci/api, one line a name. A line of a snapshot
// that is no longer true is an incompatible change; new lines are compatible.
//
// Usage: api [-w] ROOT. It prints the incompatible changes, old lines with "-"
// and what stands there now with "+", and exits with status 1 if there are any.
// With -w it writes the snapshots instead.
//
// Left out: main packages, the examples, and whatever is under internal/.
package main

import (
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

func main() {
	write := flag.Bool("w", false, "write the snapshots")
	flag.Usage = func() { fmt.Fprintln(flag.CommandLine.Output(), "usage: api [-w] ROOT") }
	flag.Parse()
	if flag.NArg() != 1 {
		flag.Usage()
		os.Exit(2)
	}
	changed, err := run(os.Stdout, flag.Arg(0), *write)
	if err != nil {
		fmt.Fprintln(os.Stderr, "api:", err)
		os.Exit(2)
	}
	if changed {
		os.Exit(1)
	}
}

// run writes or compares the snapshots of the module in root; changed reports
// that the comparison found an incompatible change.
func run(w io.Writer, root string, write bool) (changed bool, err error) {
	now, err := load(root)
	if err != nil {
		return false, err
	}
	dir := filepath.Join(root, ".ci", "api")
	if write {
		return false, save(dir, now)
	}
	old, err := saved(dir)
	if err != nil {
		return false, err
	}
	if len(old) == 0 {
		return false, fmt.Errorf("no snapshots under %s; write them with -w", dir)
	}
	changes := compare(old, now)
	for _, line := range changes {
		fmt.Fprintln(w, line)
	}
	return len(changes) > 0, nil
}
