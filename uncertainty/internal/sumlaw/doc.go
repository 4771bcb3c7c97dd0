// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package sumlaw finds the distribution function of a sum of independent terms, to 1e-9
// in probability.
//
// The characteristic function of a sum is the product of those of its terms. Its inversion
// on points (m + ½)·2π/P,
//
//	F(z) = ½ − (1/π) Σ Im(φ(t_m)·exp(−i·t_m·z))/(m + ½),
//
// is exact but for what lies beyond P/2 on either side and for the values of φ that are left
// out (H. Bohman, BIT 10, 1970, 237; R. B. Davies, Biometrika 60, 1973, 415). The period P
// is chosen so that less than 1e-10 lies outside, and the sum goes on until φ is as small.
// A fast Fourier transform gives F on a lattice, polynomials of degree 7 give it between.
//
// Normal, rectangular, triangular, trapezoidal, arcsine and t-terms have characteristic
// functions of their own; any other term is known by its quantile function, which is
// integrated by panels that are halved until they agree.
//
// [New] returns no law where 65 536 points do not suffice: a few rectangles of very
// different widths without anything smooth beside them, or tails heavier than those of a
// t-distribution of two degrees of freedom.
//
// All kernels consist of single roundings, so that the bits are the same on every processor
// if those of the quantile functions are.
package sumlaw
