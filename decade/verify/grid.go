// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// grid is a table for people: a head and rows of as many cells.
type grid struct {
	head []string
	rows [][]string
}

func (g *grid) add(cells ...string) { g.rows = append(g.rows, cells) }

// text aligns the columns with blanks.
func (g *grid) text(w io.Writer) {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, strings.Join(g.head, "\t"))
	for _, row := range g.rows {
		fmt.Fprintln(t, strings.Join(row, "\t"))
	}
	t.Flush() // the writers of this package take everything
}

// markdown has the first column flush left, the others flush right.
func (g *grid) markdown(w io.Writer) {
	line := func(cells []string) {
		out := make([]string, len(cells))
		for i, c := range cells {
			out[i] = strings.ReplaceAll(c, "|", "\\|")
		}
		fmt.Fprintln(w, "| "+strings.Join(out, " | ")+" |")
	}
	line(g.head)
	fmt.Fprintln(w, "|---"+strings.Repeat("|--:", len(g.head)-1)+"|")
	for _, row := range g.rows {
		line(row)
	}
}
