// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package document

import (
	"bufio"
	"fmt"
	"io"
	"iter"

	"example.com/ohmwright/decade/internal/grid"
	"example.com/ohmwright/decade/internal/wording"
)

// A Section is a part of a report: sentences under a title, or a table. With both, the sentences
// come first. It is read and not changed by printing, so that one list of sections serves the
// screen and the file.
type Section struct {
	Title    string
	Texts    []string // sentences
	Numbered bool     // the sentences are steps, in this order

	Head     []string   // names of the columns of a table, two or more; nil: there is none
	Rows     [][]string // as many cells each
	LastLeft bool       // the last column is text

	// Detail: it supports the answer, and stands after it.
	Detail bool

	each iter.Seq[[]string] // in place of Rows, see Each; nil: Rows
}

// Each returns the section with rows that are made anew whenever they are printed, in place of
// Rows.
func Each(s Section, rows iter.Seq[[]string]) Section {
	s.each = rows
	return s
}

// table is the table of a section that has a head. Rows are handed on and not copied.
func (s *Section) table() *grid.Table {
	if s.each != nil {
		t := grid.Of(s.each, s.Head...)
		t.LastLeft = s.LastLeft
		return t
	}
	// Rows of the section itself: there are few, and they have been made.
	t := &grid.Table{Head: s.Head, LastLeft: s.LastLeft}
	for _, row := range s.Rows {
		t.Add(row...)
	}
	return t
}

// width of the labels of a heading, in characters: the longest that reports use, and blanks.
const width = 15

// buffered is the number of bytes written at once. Tables come line by line, of which a file
// without a buffer would make a system call each.
const buffered = 1 << 16

// Text writes a heading of labels and sections for a screen. An empty line is between two parts,
// and none at the beginning or end. The error is that of the writer.
func Text(w io.Writer, heading [][2]string, sections []Section) error {
	s := bufio.NewWriterSize(w, buffered) // it keeps the first error, for the end
	for _, h := range heading {
		s.WriteString(wording.Wrap(fmt.Sprintf("%-*s", width, h[0]), h[1]))
	}
	for i := range sections {
		x := &sections[i]
		if i > 0 || len(heading) > 0 {
			s.WriteByte('\n')
		}
		fmt.Fprintf(s, "%s\n", x.Title)
		for n, text := range x.Texts {
			first := "  - "
			if x.Numbered {
				first = fmt.Sprintf("  %d. ", n+1)
			}
			s.WriteString(wording.Wrap(first, text))
		}
		if x.Head != nil {
			x.table().Text(s)
		}
	}
	return s.Flush()
}

// Markdown writes the same in Markdown, sentences in one line each: whatever shows it wraps them.
// What stands in cells is kept in its cell (see grid.Table.Markdown); sentences may hold markup.
func Markdown(w io.Writer, heading [][2]string, sections []Section) error {
	// As in Text, Flush returns the first error of all that was written.
	s := bufio.NewWriterSize(w, buffered)
	for _, h := range heading {
		// Two blanks at the end of a line break it there.
		fmt.Fprintf(s, "%s: %s  \n", h[0], h[1])
	}
	for i := range sections {
		x := &sections[i]
		if i > 0 || len(heading) > 0 {
			s.WriteByte('\n')
		}
		fmt.Fprintf(s, "## %s\n\n", x.Title)
		for n, text := range x.Texts {
			if x.Numbered {
				fmt.Fprintf(s, "%d. %s\n", n+1, text)
			} else {
				fmt.Fprintf(s, "- %s\n", text)
			}
		}
		if x.Head != nil {
			x.table().Markdown(s)
		}
	}
	return s.Flush()
}
