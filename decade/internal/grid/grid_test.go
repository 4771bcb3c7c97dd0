// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package grid

import (
	"strings"
	"testing"
)

func TestTable(t *testing.T) {
	g := &Table{Head: []string{"Setting", "R/Ω", "Note"}}
	g.Add("1", "10.02", "a|b")
	g.Add("10", "9", "")
	var text, md, left strings.Builder
	g.Text(&text)
	g.Markdown(&md)
	g.LastLeft = true
	g.Markdown(&left)
	if want := "Setting  R/Ω    Note\n1        10.02  a|b\n10       9      \n"; text.String() != want {
		t.Errorf("text\n%q; want\n%q", text.String(), want)
	}
	const want = "| Setting | R/Ω | Note |\n|---|--:|--:|\n| 1 | 10.02 | a\\|b |\n| 10 | 9 |  |\n"
	if md.String() != want {
		t.Errorf("Markdown\n%q; want\n%q", md.String(), want)
	}
	if got := left.String(); got != strings.Replace(want, "|--:|\n", "|---|\n", 1) {
		t.Errorf("last column flush left\n%q", got)
	}
}

// A line break or a tab in a cell would end the row or move what follows it.
func TestCellsStayInLine(t *testing.T) {
	g := &Table{Head: []string{"Setting", "Note"}}
	g.Add("1", "new\nold\tand\u2028older")
	var text, md strings.Builder
	g.Text(&text)
	g.Markdown(&md)
	if want := "Setting  Note\n1        new old and older\n"; text.String() != want {
		t.Errorf("text\n%q; want\n%q", text.String(), want)
	}
	if want := "| Setting | Note |\n|---|--:|\n| 1 | new old and older |\n"; md.String() != want {
		t.Errorf("Markdown\n%q; want\n%q", md.String(), want)
	}
}
