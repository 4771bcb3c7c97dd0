// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package studentt computes quantiles of Student's t-distribution for any positive number
// of degrees of freedom, whole or not, up to infinity.
//
// A probability is carried from both sides: as upper tail q and as distance d = 1/2 − q
// from the centre. Each is exact where the other has lost digits. The steps act on the
// logarithm of the smaller of the two, and none of the sums in them cancels.
//
// A first value comes from a series near the centre, from the power of a heavy tail, or
// from the normal deviate (Annals of Mathematical Statistics 30, 1959, 1121); Halley steps
// follow, on the probability by the hypergeometric series or the continued fraction of
// the incomplete beta function (Handbook of Mathematical Functions, National Bureau of
// Standards, 1964, 26.5.4 and 26.5.8). Many degrees of freedom take the expansion about
// the normal quantile (the same, 26.7.5).
//
// The relative error is below 2e-14 for nu ≥ 1 and all probabilities, and below 2e-14/nu
// under one degree of freedom. Nothing allocates. The functions check nothing: callers
// pass p in (0, 1) and nu in (0, +Inf].
package studentt
