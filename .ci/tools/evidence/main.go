// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Evidence counts what the results of the library are checked against: it runs the tests
// named TestPublished… and makes a table of packages, checks and sources.
//
// A check is a row of uncertaintytest.Published that was compared. Tests without such
// rows compare with a source in a form of their own, a file of testdata for example; they
// are counted apart, each subtest once.
//
// Usage: evidence [-sources] [-w] ROOT. With -sources it lists the documents too; with -w
// the table goes into DEVELOPERS.md. It exits with status 1 if a test fails.
package main

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

func main() {
	sources := flag.Bool("sources", false, "list the sources with their checks")
	write := flag.Bool("w", false, "write the table into DEVELOPERS.md")
	flag.Usage = func() { fmt.Fprintln(flag.CommandLine.Output(), "usage: evidence [-sources] [-w] ROOT") }
	flag.Parse()
	if flag.NArg() != 1 {
		flag.Usage()
		os.Exit(2)
	}
	found, err := run(flag.Arg(0))
	if err == nil && *write {
		err = found.write(filepath.Join(flag.Arg(0), "DEVELOPERS.md"))
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "evidence:", err)
		os.Exit(1)
	}
	if !*write {
		found.table(os.Stdout)
	}
	if *sources {
		found.list(os.Stdout)
	}
}

// run tests the module in root.
func run(root string) (*evidence, error) {
	test := exec.Command("go", "test", "-count=1", "-run", "^TestPublished", "-json", "./...")
	test.Dir, test.Stderr = root, os.Stderr
	events, err := test.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := test.Start(); err != nil {
		return nil, err
	}
	found, err := read(events)
	if err != nil {
		return nil, err
	}
	if err := test.Wait(); err != nil {
		return nil, fmt.Errorf("go test: %w; failed: %v", err, found.failed)
	}
	return found, nil
}

// The table stands between these lines.
const begin, end = "<!-- evidence: written by .ci/tools/evidence -w -->\n", "<!-- end of evidence -->\n"

// write replaces the table in a file.
func (f *evidence) write(file string) error {
	text, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	replaced, err := f.replace(string(text))
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	return os.WriteFile(file, []byte(replaced), 0o644)
}

func (f *evidence) replace(text string) (string, error) {
	before, rest, ok := strings.Cut(text, begin)
	_, after, closed := strings.Cut(rest, end)
	if !ok || !closed {
		return "", fmt.Errorf("no lines %q and %q; expected both", strings.TrimSpace(begin), strings.TrimSpace(end))
	}
	var table strings.Builder
	f.table(&table)
	return before + begin + table.String() + end + after, nil
}
