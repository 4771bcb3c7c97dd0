// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package document

import (
	"errors"
	"io"
	"slices"
	"strings"
	"testing"
)

var sections = []Section{
	{Title: "Found", Texts: []string{"One.", "Two."}},
	{Title: "Steps", Texts: []string{"First.", "Second."}, Numbered: true},
	{Title: "Table", Head: []string{"a", "b"}, Rows: [][]string{{"1", "2"}, {"33", "4"}}},
}

func TestText(t *testing.T) {
	var s strings.Builder
	if err := Text(&s, [][2]string{{"Box", "small"}}, sections); err != nil {
		t.Fatal(err)
	}
	want := "Box            small\n\nFound\n  - One.\n  - Two.\n\nSteps\n  1. First.\n  2. Second.\n\nTable\na   b\n1   2\n33  4\n"
	if s.String() != want {
		t.Errorf("%q\nwant %q", s.String(), want)
	}
}

func TestMarkdown(t *testing.T) {
	var s strings.Builder
	if err := Markdown(&s, [][2]string{{"Box", "small"}}, sections); err != nil {
		t.Fatal(err)
	}
	want := "Box: small  \n\n## Found\n\n- One.\n- Two.\n\n## Steps\n\n1. First.\n2. Second.\n\n## Table\n\n| a | b |\n|---|--:|\n| 1 | 2 |\n| 33 | 4 |\n"
	if s.String() != want {
		t.Errorf("%q\nwant %q", s.String(), want)
	}
}

// A table whose rows are made when they are printed is that of the same rows.
func TestEach(t *testing.T) {
	table := Section{Title: "Table", Head: []string{"a", "b"}, LastLeft: true}
	made := Each(table, slices.Values(sections[2].Rows))
	table.Rows = sections[2].Rows
	for name, write := range map[string]func(io.Writer, [][2]string, []Section) error{
		"text": Text, "markdown": Markdown,
	} {
		var got, want strings.Builder
		if err := errors.Join(write(&got, nil, []Section{made}), write(&want, nil, []Section{table})); err != nil {
			t.Fatal(err)
		}
		if got.String() != want.String() || !strings.Contains(got.String(), "33") {
			t.Errorf("%s: %q; want %q", name, got.String(), want.String())
		}
	}
}

// Without a heading nothing stands above the first section.
func TestNoHeading(t *testing.T) {
	var s strings.Builder
	if err := Text(&s, nil, sections[:1]); err != nil || !strings.HasPrefix(s.String(), "Found\n") {
		t.Errorf("%q, %v", s.String(), err)
	}
}
