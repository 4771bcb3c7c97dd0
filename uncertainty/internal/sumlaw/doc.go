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
// integrated by panels that are halved until they agree. What t-terms of few degrees of freedom
// leave outside any period that can be afforded is put back by their tails.
//
// The lattice is the general way. Others cost less where they can be gone: rectangles and
// normal terms have a closed form; wide rectangles beside a narrow rest are integrated over the
// lattice of that; a wide arcsine, whose poles a lattice would have to resolve, is integrated over
// by quadrature. All give the same law, which tests compare.
//
// [New] returns no law where 65 536 frequencies do not suffice: sums of several terms with jumps,
// or tails much heavier than those of two readings.
//
// All kernels consist of single roundings, so that the bits are the same on every processor
// if those of the quantile functions are.
package sumlaw
