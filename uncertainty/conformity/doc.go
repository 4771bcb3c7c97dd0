// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package conformity decides whether a measured quantity lies inside its limits,
// with the measurement uncertainty taken into account (JCGM 106).
//
// A [Rule] shrinks the tolerance interval by a guard band w on each side. A result
// inside what is left conforms; one outside the tolerance interval widened by w does
// not conform; one in between cannot be decided by this measurement, and the
// verdict says so instead of guessing:
//
//	rule := conformity.Guarded(1)                   // w = U
//	verdict, err := rule.Decide(limits, budget)
//
// With w = U at 95 % the risk of accepting one particular item that is outside is at
// most 2.5 %, the specific risk of JCGM 106 clause 9.3; it says nothing about how
// many of the accepted items are outside, which depends on what was produced.
//
// [TestUncertaintyRatio] tells beforehand whether a meter can decide at all.
package conformity
