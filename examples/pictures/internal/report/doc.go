// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package report writes one self-contained page of HTML about a box or a budget: verdict
// first, pictures inside, tables, budget, cautions. The page needs no script and loads
// nothing; it fits a telephone and prints on A4.
//
//	page := report.OfBox(answer, pictures)
//	err := page.WriteHTML(w)
//
// The templates are exported as [Templates], so that a server can use the same parts in
// pages of its own.
package report
