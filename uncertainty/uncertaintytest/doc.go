// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package uncertaintytest compares computed numbers with published ones.
//
// A row of a test is a [Published]: the digits as the source prints them, the
// source, the place in it, and how the value came here. [Published.Run] makes
// the comparison a subtest. The tolerance is not chosen: a number agrees when
// it differs from the printed one by at most half a unit of the last printed
// digit, so a source that prints more digits asks for more.
//
//	func TestPublishedFactors(t *testing.T) {
//		for _, p := range []uncertaintytest.Published{{
//			Name: "t, 95 %, 10 degrees of freedom",
//			Source: "JCGM 100:2008", Place: "Table G.2",
//			Printed: "2.23", Provenance: uncertaintytest.Seen,
//		}} {
//			p.Run(t, factor(0.95, 10))
//		}
//	}
//
// A printed number that correct arithmetic cannot meet, a misprint for
// example, stays in the table with its cause in the field Exception. The test
// then fails on the day the two numbers agree.
//
// The comparison is exact: the printed text and the float64 are both taken as
// rational numbers, and no rounding enters. [Agrees] is that comparison alone.
package uncertaintytest
