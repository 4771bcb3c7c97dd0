// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// A Verdict is the outcome of a conformity assessment.
type Verdict uint8

// The verdicts; the zero value decides nothing.
const (
	VerdictUndecided      Verdict = iota // the result lies within the guard band of a limit
	VerdictConforms                      // inside the acceptance interval
	VerdictDoesNotConform                // outside the limits by more than the guard band
)

var verdicts = file.Words[Verdict]{Type: "conformity.Verdict", Texts: []string{"cannot be decided",
	"conforms", "does not conform"}}

// String returns "cannot be decided", "conforms" or "does not conform".
func (v Verdict) String() string { return verdicts.String(v) }

// MarshalText returns the text of String; another value than the three is refused
// ([ErrDomain]).
func (v Verdict) MarshalText() ([]byte, error) { return verdicts.Marshal(v) }

// UnmarshalText reads the text of String.
func (v *Verdict) UnmarshalText(text []byte) error { return verdicts.Unmarshal(text, v) }

// A Rule is a decision rule with a guard band w on each side of each limit (JCGM 106
// clauses 8 and 9, ILAC-G8). Its kind says how w is chosen. The zero Rule is simple
// acceptance, w = 0. One Rule judges results of any limits and uncertainties, each for
// itself.
type Rule struct {
	Kind     RuleKind
	Multiple float64 // w/U, ≥ 0, of RuleGuardBand and RuleGuardedRejection
	Coverage float64 // coverage probability of U; 0: 0.95
	Smallest float64 // floor of U, in its unit: the smallest that a laboratory states; 0: none

	Risk  float64                  // the largest, of RuleSpecificRisk and RuleGlobalRisk
	Prior uncertainty.Distribution // in units of the limits, of RuleGlobalRisk: see [ByGlobalRisk]
}

// Guarded returns the rule with w = multiple·U, U at 95 %.
func Guarded(multiple float64) Rule { return Rule{Multiple: multiple} }

// Simple returns the rule of simple acceptance, w = 0 (JCGM 106 8.2): every result
// is decided, and one on the limit is as likely outside as inside.
func Simple() Rule { return Rule{} }

// String states the rule and the coverage probability of U, as a report must; the zero Rule is
// "simple acceptance".
func (r Rule) String() string {
	p := unit.Percent(r.coverage())
	if r.Kind == RuleGuardBand && r.Multiple == 0 {
		return r.kindText() + "; U at " + p + " %"
	}
	s := r.kindText() + ", U at " + p + " %"
	if r.Smallest > 0 {
		s += fmt.Sprintf(" and never below %v", r.Smallest)
	}
	return s
}

// coverage is 95 % unless the rule says otherwise.
func (r Rule) coverage() float64 {
	if r.Coverage == 0 {
		return 0.95
	}
	return r.Coverage
}

// Check returns an error where the rule is not valid: an unknown kind, a multiple or floor that
// is negative or not finite, a coverage probability outside 0 to 1, a risk or prior that is
// missing or belongs to another kind.
func (r Rule) Check() error {
	if err := r.checkKind(); err != nil {
		return err
	}
	if err := notNegative("Rule", "Multiple", r.Multiple); err != nil {
		return err
	}
	if err := notNegative("Rule", "Smallest", r.Smallest); err != nil {
		return err
	}
	if p := r.coverage(); !(p > 0 && p < 1) {
		return &Error{Op: "conformity.Rule", Name: "Coverage", Value: p,
			Err: unit.Errorf(ErrDomain,
				"%v; expected more than 0 and less than 1, or 0 for 0.95", p)}
	}
	return nil
}

// Expanded returns the expanded uncertainty of b as the rule takes it: at its
// coverage probability, and not below its floor. Where k·u is not the interval of the
// result ([uncertainty.ErrNotNormal], [uncertainty.ErrExceedsBounds]) U is half the width of
// the best interval that b knows, and K is U/u. Where the floor counts, K stays the factor
// and U is more than K·u.
func (r Rule) Expanded(b *uncertainty.Budget) (uncertainty.Expanded, error) {
	// expanded leaves out the convolution unless the best interval is wanted.
	return r.expanded(b, true)
}

// expanded is [Rule.Expanded]; best asks for the interval by the laws of the inputs where k·u
// does not fit.
func (r Rule) expanded(b *uncertainty.Budget, best bool) (uncertainty.Expanded, error) {
	if err := r.Check(); err != nil {
		return uncertainty.Expanded{}, err
	}
	if b == nil {
		return uncertainty.Expanded{}, &Error{Op: "conformity.Rule", Name: "budget",
			Err: unit.Errorf(ErrDomain, "nil; expected the result of an evaluation")}
	}
	if math.IsNaN(b.Estimate) || math.IsInf(b.Estimate, 0) {
		return uncertainty.Expanded{}, &Error{Op: "conformity.Rule", Name: "estimate",
			Value: b.Estimate, Err: unit.Errorf(ErrNotFinite, "%v; expected a finite number",
				b.Estimate)}
	}
	// By the degrees of freedom first; the laws of the inputs may still narrow it.
	e, err := b.ExpandedAt(r.coverage())
	if err != nil {
		return e, err
	}
	// Where k·u is off by more than 5 %, the laws of the inputs decide.
	if best && b.StandardUncertainty > 0 && slices.ContainsFunc(b.Warnings, isNotNormal) {
		best, err := b.BestInterval(r.coverage())
		if err != nil {
			return e, err
		}
		e.U, e.Interval = best.Width()/2, best
		// K no longer comes from Student's distribution: it is what U is in units of u.
		e.K = e.U / b.StandardUncertainty
	}
	// The floor of the laboratory, whatever the budget says.
	if e.U < r.Smallest {
		e.U = r.Smallest
		e.Interval = uncertainty.Interval{Lower: b.Estimate - e.U, Upper: b.Estimate + e.U,
			Unit: b.Unit}
	}
	return e, nil
}

// isNotNormal reports whether a warning says that k·u is not the interval of the result.
func isNotNormal(err error) bool {
	return errors.Is(err, uncertainty.ErrNotNormal) || errors.Is(err, uncertainty.ErrExceedsBounds)
}

// Acceptance returns the acceptance interval for an expanded uncertainty U: the
// tolerance interval less the guard band. It is empty (ok false) when the guard
// bands meet, which is a finding about the meter, not about the item. A rule by risk takes
// U as that of a normal distribution.
func (r Rule) Acceptance(tolerance uncertainty.Interval,
	U float64) (acceptance uncertainty.Interval, ok bool) {
	none := uncertainty.Interval{Lower: math.Inf(1), Upper: math.Inf(-1)}
	if r.Check() != nil || checkInterval("Rule", tolerance) != nil {
		return none, false
	}
	// Without a budget u is taken from U as of a normal distribution.
	k, err := uncertainty.CoverageFactor(r.coverage(), math.Inf(1))
	if err != nil {
		return none, false
	}
	w, err := r.width(tolerance, U, U/k, math.Inf(1))
	// Infinite where U is too large for the rule.
	if err != nil || math.IsInf(w, 1) {
		return none, false
	}
	acceptance = uncertainty.Interval{Lower: tolerance.Lower + w, Upper: tolerance.Upper - w,
		Unit: tolerance.Unit}
	return acceptance, acceptance.Lower <= acceptance.Upper
}

// Decide judges the result b against a tolerance interval in the unit of the
// measurand; one limit may be infinite, but not with a root difference or a global risk. A
// result on a limit of acceptance conforms. One outside the limits by more than the guard
// band does not.
//
// A rule by specific risk decides by the probability of conformity.
//
// Limits that state no unit are in that of the result, others are brought to it as by [LimitsIn].
// The comparison is exact for
// estimate and limits as they stand: compute them from the stated decimals in one rounding, since
// 7002.60 − 7000 in floating point is not 2.6.
func (r Rule) Decide(tolerance uncertainty.Interval, b *uncertainty.Budget) (Verdict, error) {
	if err := checkInterval("Rule.Decide", tolerance); err != nil {
		return VerdictUndecided, err
	}
	if b != nil {
		var err error
		if tolerance, err = stated("Decide", tolerance, b.Unit); err != nil {
			return VerdictUndecided, err
		}
	}
	// k·u is never less than the interval by flat laws: what it decides stands, and saves
	// the convolution.
	// For guarded rejection a larger U decides more, so that the best one is wanted.
	e, err := r.expanded(b, r.Kind == RuleGuardedRejection)
	if err != nil {
		return VerdictUndecided, err
	}
	// The floor counts here too.
	u := r.standard(b, e)
	switch r.Kind {
	case RuleSpecificRisk:
		return r.decideByRisk(tolerance, b, u)
	case RuleGlobalRisk:
		return r.decideByGlobalRisk(tolerance, b.Estimate, u)
	}
	// Undecided by a U that is too wide: the exact interval may decide.
	v, err := r.decide(tolerance, b, e)
	if err != nil || v != VerdictUndecided || !slices.ContainsFunc(b.Warnings, isNotNormal) {
		return v, err
	}
	if e, err = r.expanded(b, true); err != nil {
		return VerdictUndecided, err
	}
	return r.decide(tolerance, b, e)
}

// DecideExpanded is [Rule.Decide] for an estimate with the expanded uncertainty U ≥ 0 that
// [Rule.Expanded] gave, both in the unit of the measurand: results of one composition share
// it, and with it the convolution that it may have cost. A rule by risk is refused
// ([ErrDomain]), since it asks for the distribution.
func (r Rule) DecideExpanded(tolerance uncertainty.Interval, estimate, U float64) (Verdict, error) {
	const op = "Rule.DecideExpanded"
	if err := r.Check(); err != nil {
		return VerdictUndecided, err
	}
	if err := checkInterval(op, tolerance); err != nil {
		return VerdictUndecided, err
	}
	if err := notNegative(op, "U", U); err != nil {
		return VerdictUndecided, err
	}
	if math.IsNaN(estimate) || math.IsInf(estimate, 0) {
		return VerdictUndecided, &Error{Op: "conformity." + op, Name: "estimate", Value: estimate,
			Err: unit.Errorf(ErrNotFinite, "%v; expected a finite number", estimate)}
	}
	if r.Kind != RuleGuardBand && r.Kind != RuleRootDifference {
		return VerdictUndecided, &Error{Op: "conformity." + op, Name: "Kind", Value: r.kindText(),
			Err: unit.Errorf(ErrDomain, "a rule by risk; expected a guard band or root difference")}
	}
	w, err := r.width(tolerance, U, 0, math.Inf(1))
	if err != nil {
		return VerdictUndecided, err
	}
	return decided(tolerance, estimate, w, U), nil
}

// decide judges with a guard band for U.
func (r Rule) decide(tolerance uncertainty.Interval, b *uncertainty.Budget,
	e uncertainty.Expanded) (Verdict, error) {
	w, err := r.width(tolerance, e.U, b.StandardUncertainty, b.DOF)
	if err != nil {
		return VerdictUndecided, err
	}
	return decided(tolerance, b.Estimate, w, e.U), nil
}

// decided judges an estimate by the width of the guard band, which is infinite where U is
// too large for the limits.
func decided(tolerance uncertainty.Interval, y, w, U float64) Verdict {
	// Exactly on the limit of acceptance is accepted (JCGM 106 8.3.2).
	if y >= tolerance.Lower+w && y <= tolerance.Upper-w {
		return VerdictConforms
	}
	if math.IsInf(w, 1) {
		w = U // nothing can be accepted; what is outside by more than U is
	}
	if y > tolerance.Upper+w || y < tolerance.Lower-w {
		return VerdictDoesNotConform
	}
	return VerdictUndecided
}

// TestUncertaintyRatio returns the half-width of a two-sided tolerance interval
// divided by the expanded uncertainty U > 0 (TUR; 4 is the customary demand, common
// practice). For U = 0 it is infinite.
func TestUncertaintyRatio(tolerance uncertainty.Interval, U float64) (float64, error) {
	if err := checkInterval("TestUncertaintyRatio", tolerance); err != nil {
		return 0, err
	}
	if err := notNegative("TestUncertaintyRatio", "U", U); err != nil {
		return 0, err
	}
	half := tolerance.Width() / 2
	if math.IsInf(half, 0) {
		return 0, &Error{Op: "conformity.TestUncertaintyRatio", Name: "tolerance interval",
			Value: half, Err: unit.Errorf(ErrInterval, "one-sided; expected two finite limits")}
	}
	if U == 0 {
		return math.Inf(1), nil
	}
	return half / U, nil
}
