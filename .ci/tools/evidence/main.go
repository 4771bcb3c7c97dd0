// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Evidence counts what the results of the library are checked against: it runs the tests
// named TestPublished… and makes a table of packages, checks and sources.
//
// A check is a row of uncertaintytest.Published that was compared. Tests without such
// rows compare with a source in a form of their own, a file of testdata for example; they
// are counted apart, each subtest once.
//
// Usage: evidence [-sources] [-w | -check] ROOT. With -sources it lists the documents too;
// with -w the table goes into DEVELOPERS.md; with -check it must stand there already.
// It exits with status 1 if a test fails, if the table to check is out of date, or if one
// to write would count fewer checks than the one that it replaces.
package main

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
)

func main() {
	sources := flag.Bool("sources", false, "list the sources with their checks")
	write := flag.Bool("w", false, "write the table into DEVELOPERS.md")
	check := flag.Bool("check", false, "compare the table with that in DEVELOPERS.md")
	flag.Usage = func() {
		fmt.Fprintln(flag.CommandLine.Output(), "usage: evidence [-sources] "+
			"[-w | -check] ROOT")
	}
	flag.Parse()
	if flag.NArg() != 1 || *write && *check {
		flag.Usage()
		os.Exit(2)
	}
	found, err := run(flag.Arg(0))
	page := filepath.Join(flag.Arg(0), "DEVELOPERS.md")
	switch {
	case err == nil && *write:
		err = found.write(page)
	case err == nil && *check:
		err = found.check(page)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "evidence:", err)
		os.Exit(1)
	}
	if !*write && !*check {
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
const (
	begin = "<!-- evidence: written by .ci/tools/evidence -w -->\n"
	end   = "<!-- end of evidence -->\n"
)

// write replaces the table in a file.
func (f *evidence) write(file string) error {
	_, replaced, err := f.read(file)
	if err != nil {
		return err
	}
	return os.WriteFile(file, []byte(replaced), 0o644)
}

// check compares the table in a file with what was counted.
func (f *evidence) check(file string) error {
	text, replaced, err := f.read(file)
	if err != nil {
		return err
	}
	if replaced != text {
		var table strings.Builder
		f.table(&table)
		return fmt.Errorf("%s is out of date; write it with go run -C .ci/tools ./evidence -w "+
			"../.. and commit the difference; counted now:\n%s", file, table.String())
	}
	return nil
}

// read returns the text of a file, and the same with the table as it was counted.
func (f *evidence) read(file string) (text, replaced string, err error) {
	data, err := os.ReadFile(file)
	if err != nil {
		return "", "", err
	}
	if replaced, err = f.replace(string(data)); err != nil {
		return "", "", fmt.Errorf("%s: %w", file, err)
	}
	return string(data), replaced, nil
}

// replace puts the table in the place of the one in the text, which must not have counted
// more: a check that is dropped on purpose is taken out of the last line by hand, where a
// reviewer sees it.
func (f *evidence) replace(text string) (string, error) {
	before, rest, ok := strings.Cut(text, begin)
	old, after, closed := strings.Cut(rest, end)
	if !ok || !closed {
		return "", fmt.Errorf("no lines %q and %q; expected both", strings.TrimSpace(begin),
			strings.TrimSpace(end))
	}
	rows, all := f.totals()
	if oldRows, oldAll := totalsOf(old); rows < oldRows || all < oldAll {
		return "", fmt.Errorf("%d checks, %d with the tests without rows; expected no fewer than "+
			"the table's %d and %d",
			rows, all, oldRows, oldAll)
	}
	var table strings.Builder
	f.table(&table)
	return before + begin + table.String() + end + after, nil
}

// totalsOf reads the checks from the last line of a table, and their sum with the tests
// without rows; a table without such a line has none.
func totalsOf(table string) (rows, all int) {
	for line := range strings.Lines(table) {
		cells := strings.Split(line, "|")
		if len(cells) == 9 && strings.TrimSpace(cells[1]) == "all" {
			rows, _ = strconv.Atoi(strings.TrimSpace(cells[2]))
			others, _ := strconv.Atoi(strings.TrimSpace(cells[7]))
			return rows, rows + others
		}
	}
	return 0, 0
}
