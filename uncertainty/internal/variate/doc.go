// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package variate draws random variates by columns: a block of trials of one input at a
// time.
//
//   - [Generator] is SplitMix64 (Steele, Lea and Flood, OOPSLA 2014). [BlockGenerator]
//     begins it at a hash of seed, input and block, so that any worker can make any block
//     at any time.
//   - Normal and t variates come from ziggurats of their densities (Marsaglia and Tsang,
//     Journal of Statistical Software 5, 2000, no. 8), gamma variates from rejection
//     (Marsaglia and Tsang, ACM Transactions on Mathematical Software 26, 2000, 363–372),
//     the bounded laws from the recipes of JCGM 101 6.4.
//   - [Inversion] draws from any other continuous distribution by a table of its quantile.
//   - [Joint] draws correlated quantities.
//
// One seed gives the same bits for any number of workers and on every processor: nothing
// here may be fused (float64(x*y) + z), and exponential and logarithm are the package's own.
// [Inversion] is as exact as the quantile function it is given.
package variate
