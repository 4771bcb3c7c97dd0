// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"fmt"
	"io/fs"
	"strings"
)

// The program of the README is the Example that is tested.
const (
	readmeFile    = "README.md"
	readmeExample = "decade/readme_example_test.go"
)

// readme compares the first Go block of the README and the text block after it with the
// Example and its output. A tree without a README has no findings.
func readme(tree fs.FS) ([]string, error) {
	page, err := fs.ReadFile(tree, readmeFile)
	if err != nil {
		return nil, nil
	}
	test, err := fs.ReadFile(tree, readmeExample)
	if err != nil {
		return nil, err
	}
	program, rest := fenced(string(page), "go")
	shown, _ := fenced(rest, "text")
	body, output := exampleParts(string(test))
	var findings []string
	if got := between(program, "func main() {\n", "\n}\n"); got == "" || got != body {
		findings = append(findings, fmt.Sprintf("%s: the program differs from %s:\n%s\nwant\n%s",
			readmeFile, readmeExample, got, body))
	}
	if shown == "" || shown != output {
		findings = append(findings, fmt.Sprintf("%s: the output differs from %s:\n%s\nwant\n%s",
			readmeFile, readmeExample, shown, output))
	}
	return findings, nil
}

// fenced returns the first block of a language, and the text after it.
func fenced(page, language string) (block, rest string) {
	_, after, _ := strings.Cut(page, "```"+language+"\n")
	block, rest, _ = strings.Cut(after, "```\n")
	return block, rest
}

func between(s, from, to string) string {
	_, after, _ := strings.Cut(s, from)
	part, _, _ := strings.Cut(after, to)
	return part
}

// exampleParts takes an Example apart: its statements, and what they print.
func exampleParts(test string) (body, output string) {
	_, after, _ := strings.Cut(test, "func Example_readme() {\n")
	body, comment, _ := strings.Cut(after, "\n\t// Output:\n")
	comment, _, _ = strings.Cut(comment, "\n}\n")
	var lines strings.Builder
	for line := range strings.Lines(comment + "\n") {
		line = strings.TrimPrefix(strings.TrimPrefix(line, "\t//"), " ")
		lines.WriteString(strings.TrimRight(line, " \n") + "\n")
	}
	return body, lines.String()
}
