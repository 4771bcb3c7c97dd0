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
// [Probability] and [SpecificRisk] say how probable it is that this one item conforms, by a
// budget ([FromBudget]), a simulation ([FromOutput], [NewSamples]) or any other distribution.
// [GlobalRisk] returns how often a rule errs over all items, and needs the distribution of the
// items (the prior): the two are different numbers, and neither stands for the other.
// [GuardForSpecificRisk] and [GuardForGlobalRisk] choose the guard band for a wanted risk.
//
// [RiskCurve] returns both global risks as functions of the guard band, [AcceptanceProbability]
// the probability of acceptance as a function of the true value. [GuardedRejection] reverses the
// burden of proof: it rejects only what is outside beyond doubt (JCGM 106 8.3.3). [NamedRules]
// are those of ILAC-G8. Whether a whole box conforms is a joint statement about all its settings,
// which share sources of error: see [Jointly], or [JointlySimulated] where distributions are not
// normal.
//
// [TestUncertaintyRatio] and [CapabilityIndex] show beforehand whether a meter can decide at all.
package conformity
