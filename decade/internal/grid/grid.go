// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package grid

import (
	"fmt"
	"io"
	"iter"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Table is a head and rows of as many cells. A row may have fewer; of more, those beyond the head
// follow without a column of their own. Widths count characters and not bytes, since "Ω" has two.
type Table struct {
	Head     []string
	LastLeft bool // in Markdown the last column is text, flush left

	rows [][]string
	each iter.Seq[[]string] // in their place; nil: rows
}

// Of is a table whose rows are made anew whenever they are printed, twice for a text: a hundred
// thousand of them need no room.
func Of(rows iter.Seq[[]string], head ...string) *Table { return &Table{Head: head, each: rows} }

// all is the rows, wherever they come from.
func (g *Table) all() iter.Seq[[]string] {
	if g.each != nil {
		return g.each
	}
	return slices.Values(g.rows)
}

// Add appends a row, and keeps the slice. A table made by Of does not show it.
func (g *Table) Add(cells ...string) { g.rows = append(g.rows, cells) }

// gap is the number of blanks between two columns: with one, "10 Ω 5 mΩ" would read as one value.
const gap = 2

// Text aligns the columns with blanks. Rows go out as they are met: of a table of a hundred
// thousand rows no second copy is made.
func (g *Table) Text(w io.Writer) {
	widths := make([]int, len(g.Head)) // characters, without the gap
	for i, head := range g.Head {
		widths[i] = utf8.RuneCountInString(head)
	}
	// The first of two passes: a column is as wide as its widest cell, wherever that stands.
	for row := range g.all() {
		for i, c := range row[:min(len(row), len(widths))] {
			widths[i] = max(widths[i], utf8.RuneCountInString(inLine(c)))
		}
	}
	// Writers are meant to take everything: a strings.Builder, or what keeps its error.
	line := appendLine(nil, g.Head, widths)
	w.Write(line)
	for row := range g.all() {
		line = appendLine(line[:0], row, widths)
		w.Write(line)
	}
}

// appendLine appends the cells of a row, all but the last as wide as their columns: no
// line ends with blanks. It works in the memory of the line before.
func appendLine(line []byte, row []string, widths []int) []byte {
	for i, c := range row {
		c = inLine(c)
		line = append(line, c...)
		if i+1 == len(row) || i >= len(widths) {
			continue
		}
		for range widths[i] + gap - utf8.RuneCountInString(c) {
			line = append(line, ' ')
		}
	}
	return append(line, '\n')
}

// inLine keeps the text of a cell in its line and column: a name with a tab or a line break, from a
// file that somebody else wrote, becomes one with a blank. U+2028 and U+2029 break lines too.
func inLine(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, text)
}

// Markdown has the first column flush left, the others flush right. It takes a head of two
// columns or more. A bar in a cell is written as \|, which does not end the cell.
func (g *Table) Markdown(w io.Writer) {
	// A cell keeps its text; only what would end it is changed.
	line := func(cells []string) {
		out := make([]string, len(cells))
		for i, c := range cells {
			out[i] = strings.ReplaceAll(inLine(c), "|", "\\|")
		}
		fmt.Fprintln(w, "| "+strings.Join(out, " | ")+" |")
	}
	line(g.Head)
	// The line below the head: one mark for each column, the first and the last apart.
	last := "|--:|"
	if g.LastLeft {
		last = "|---|"
	}
	fmt.Fprintln(w, "|---"+strings.Repeat("|--:", len(g.Head)-2)+last)
	// Dashes alone leave a column where it is, a colon behind them puts it to the right.
	for row := range g.all() {
		line(row)
	}
}
