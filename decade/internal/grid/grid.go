// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package grid

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"unicode"
)

// A Table is a head and rows of as many cells.
type Table struct {
	Head     []string
	LastLeft bool // in Markdown the last column is text, flush left

	rows [][]string
}

// Add appends a row.
func (g *Table) Add(cells ...string) { g.rows = append(g.rows, cells) }

// Text aligns the columns with blanks.
func (g *Table) Text(w io.Writer) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, strings.Join(g.Head, "\t"))
	for _, row := range g.rows {
		fmt.Fprintln(t, strings.Join(inLines(row), "\t"))
	}
	t.Flush() // writers are meant to take everything: a strings.Builder
}

// inLine keeps the text of a cell in its line and column.
func inLine(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, text)
}

func inLines(row []string) []string {
	out := make([]string, len(row))
	for i, c := range row {
		out[i] = inLine(c)
	}
	return out
}

// Markdown has the first column flush left, the others flush right. It takes a head of two
// columns or more.
func (g *Table) Markdown(w io.Writer) {
	line := func(cells []string) {
		out := make([]string, len(cells))
		for i, c := range cells {
			out[i] = strings.ReplaceAll(inLine(c), "|", "\\|")
		}
		fmt.Fprintln(w, "| "+strings.Join(out, " | ")+" |")
	}
	line(g.Head)
	last := "|--:|"
	if g.LastLeft {
		last = "|---|"
	}
	fmt.Fprintln(w, "|---"+strings.Repeat("|--:", len(g.Head)-2)+last)
	for _, row := range g.rows {
		line(row)
	}
}
