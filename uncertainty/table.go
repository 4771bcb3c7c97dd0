// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import "cmp"

// Table returns what [Budget.WriteText] shows as cells, for a page or a document of one's
// own: the names of the columns in the terms and order of the guides, a row for each
// component and a last one for the measurand. In a long budget, components below 0.01 % of
// the variance have no row; hidden is their number.
func (b *Budget) Table() (head []string, rows [][]string, hidden int) {
	b = cmp.Or(b, &Budget{})
	shown, hidden, _ := b.folded()
	for _, c := range shown {
		rows = append(rows, b.cells(c))
	}
	return b.columns(), append(rows, b.lastCells()), hidden
}

// Statement returns the result in sentences, as WriteText states it: the expanded
// uncertainty with its coverage, the standard uncertainty, the correlations.
func (b *Budget) Statement() []string { return cmp.Or(b, &Budget{}).statement() }

// WarningTexts returns the warnings as WriteText states them, without the names of Go functions.
func (b *Budget) WarningTexts() (out []string) {
	for _, warning := range cmp.Or(b, &Budget{}).Warnings {
		out = append(out, bare(warning))
	}
	return out
}
