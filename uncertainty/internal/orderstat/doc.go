// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package orderstat finds order statistics of simulated values: coverage intervals and
// quantiles by rank (JCGM 101 7.7), from all trials or from the two ends of them.
//
//   - [Sort] is a radix sort, least significant digits first (Knuth, The Art of Computer
//     Programming 3, 5.2.5), on the leading bits by which the numbers differ.
//   - [Ends] selects while trials stream by: a pilot says beyond which values the wanted
//     ranks lie, and only those values are kept.
//   - [Trials] answers from sorted values: [Trials.Symmetric], [Trials.Shortest],
//     [Trials.Spread], [Trials.Quantile].
//
// The results are those of a full sort by comparison, bit for bit, in whatever order and
// by however many goroutines the values arrived; +0 comes after −0. Values are finite: the
// caller leaves NaN and infinities out.
package orderstat
