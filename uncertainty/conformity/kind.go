// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// RuleKind is the way in which a [Rule] chooses its guard band.
type RuleKind uint8

// The kinds of rules; the zero value, with the zero Multiple, is simple acceptance.
const (
	RuleGuardBand        RuleKind = iota // w = Multiple·U; 0: simple acceptance
	RuleRootDifference                   // acceptance half-width √(T² − U²), see [RootDifference]
	RuleSpecificRisk                     // an accepted item is outside with probability ≤ Risk
	RuleGlobalRisk                       // accepted and outside: a share ≤ Risk of all, by Prior
	RuleGuardedRejection                 // accepted up to w = Multiple·U beyond a limit
)

var ruleKinds = file.Words[RuleKind]{Type: "conformity.RuleKind",
	Texts: []string{"guard band", "root difference", "specific risk", "global risk",
		"guarded rejection"}}

// String returns "guard band", "root difference", "specific risk", "global risk" or "guarded
// rejection".
func (k RuleKind) String() string { return ruleKinds.String(k) }

// MarshalText returns the text of String; another value than these is refused
// ([ErrDomain]).
func (k RuleKind) MarshalText() ([]byte, error) { return ruleKinds.Marshal(k) }

// UnmarshalText reads the text of String. An unknown rule is refused by its name.
func (k *RuleKind) UnmarshalText(text []byte) error { return ruleKinds.Unmarshal(text, k) }

// ByRootDifference returns the rule of acceptance up to √(T² − U²), U at 95 %. The small
// risks quoted for it are global ones, for some prior: see [RootDifference].
func ByRootDifference() Rule { return Rule{Kind: RuleRootDifference} }

// BySpecificRisk returns the rule that accepts an item whose probability of being outside
// is at most risk, 0 < risk ≤ 0.5, and rejects one whose probability of being inside is at
// most risk (JCGM 106 8.3.2, 9.3).
func BySpecificRisk(risk float64) Rule { return Rule{Kind: RuleSpecificRisk, Risk: risk} }

// ByGlobalRisk returns the rule with the smallest guard band for which the share of items
// that are accepted and outside is at most risk (JCGM 106 9.5). The prior is that of the
// true values in units of the limits, −1 being the lower one and +1 the upper, so that one
// prior serves limits of any size: Normal(0, 0.5) says that a box leaves its class at two
// standard deviations.
func ByGlobalRisk(risk float64, prior uncertainty.Distribution) Rule {
	return Rule{Kind: RuleGlobalRisk, Risk: risk, Prior: prior}
}

// GuardedRejection returns the rule that rejects an item only where it is outside a limit by
// more than w = multiple·U, U at 95 %, and accepts all others (JCGM 106 8.3.3; "uncritical"
// acceptance of ILAC-G8 with multiple = 1): it protects the owner of the item, not its user.
// It decides every result. An accepted one may well be outside.
func GuardedRejection(multiple float64) Rule {
	return Rule{Kind: RuleGuardedRejection, Multiple: multiple}
}

// checkKind refuses what is no rule of its kind: a field that the kind does not use is a
// mistake that would go unnoticed.
func (r Rule) checkKind() error {
	const op = "conformity.Rule"
	switch {
	case !ruleKinds.Has(r.Kind):
		return &Error{Op: op, Name: "Kind", Value: float64(r.Kind),
			Err: unit.Errorf(ErrDomain, "%d; expected %s", r.Kind,
				strings.Join(ruleKinds.Texts, ", "))}
	case !r.multiplies() && r.Multiple != 0:
		return &Error{Op: op, Name: "Multiple", Value: r.Multiple,
			Err: unit.Errorf(ErrDomain, "%v with a rule by %v, which sets its own guard band; "+
				"expected 0", r.Multiple, r.Kind)}
	case r.Kind == RuleSpecificRisk && !(r.Risk > 0 && r.Risk <= 0.5):
		return &Error{Op: op, Name: "Risk", Value: r.Risk,
			Err: unit.Errorf(ErrDomain, "%v; expected more than 0 and not more than 0.5", r.Risk)}
	case r.Kind == RuleGlobalRisk && !(r.Risk > 0 && r.Risk < 1):
		return &Error{Op: op, Name: "Risk", Value: r.Risk,
			Err: unit.Errorf(ErrDomain, "%v; expected more than 0 and less than 1", r.Risk)}
	case r.Kind != RuleGlobalRisk && r.Prior != nil:
		return &Error{Op: op, Name: "Prior", Err: unit.Errorf(ErrDomain, "stated with a rule by "+
			"%v; expected one with a global risk only", r.Kind)}
	case (r.multiplies() || r.Kind == RuleRootDifference) && r.Risk != 0:
		return &Error{Op: op, Name: "Risk", Value: r.Risk,
			Err: unit.Errorf(ErrDomain, "%v with a rule by %v; expected 0", r.Risk, r.Kind)}
	case r.Kind == RuleGlobalRisk && r.Prior == nil:
		return &Error{Op: op, Name: "Prior",
			Err: unit.Errorf(ErrDomain, "none; expected what the items are like before they are "+
				"measured: a global risk is a number about them")}
	}
	if r.Prior != nil {
		if err := uncertainty.Input("prior", r.Prior).Err(); err != nil {
			return &Error{Op: op, Name: "Prior", Err: unit.Errorf(errors.Join(ErrDomain, err), "%v",
				err)}
		}
	}
	return nil
}

// multiplies reports whether the guard band is a multiple of U.
func (r Rule) multiplies() bool {
	return r.Kind == RuleGuardBand || r.Kind == RuleGuardedRejection
}

// kindText states the rule without its coverage, as a report prints it.
func (r Rule) kindText() string {
	switch {
	case r.Kind == RuleRootDifference:
		return "acceptance up to √(T² − U²)"
	case r.Kind == RuleSpecificRisk:
		return fmt.Sprintf("specific risk at most %.4g %%", 100*r.Risk)
	case r.Kind == RuleGlobalRisk && r.Prior != nil:
		return fmt.Sprintf("global consumer's risk at most %.4g %%, prior of mean %.4g and "+
			"standard deviation %.4g in units of the limits",
			100*r.Risk, r.Prior.Mean(), r.Prior.StdDev())
	case r.Kind == RuleGuardedRejection:
		return fmt.Sprintf("guarded rejection, accepted up to w = %v·U beyond a limit", r.Multiple)
	case r.Multiple == 0:
		return "simple acceptance, no guard band"
	}
	return fmt.Sprintf("guard band w = %v·U on each side of a limit", r.Multiple)
}

// inUnits is a prior in units of a tolerance interval.
type inUnits struct {
	prior        uncertainty.Distribution // about 0, with the limits at ±1
	middle, half float64                  // of the tolerance interval
}

// Mean, StdDev and Quantile are those of the prior, stretched by half the width of the
// tolerance.
func (d inUnits) Mean() float64   { return d.middle + float64(d.half*d.prior.Mean()) }
func (d inUnits) StdDev() float64 { return d.half * d.prior.StdDev() }
func (d inUnits) Quantile(p float64) float64 {
	return d.middle + float64(d.half*d.prior.Quantile(p))
}

// width is the guard band w for an expanded uncertainty U, or a standard uncertainty u with
// its degrees of freedom. It is infinite where no result could be accepted, and negative where
// results beyond a limit are.
func (r Rule) width(tolerance uncertainty.Interval, U, u, dof float64) (float64, error) {
	// none turns "no guard band is wide enough" into a width that accepts nothing.
	none := func(g Guard, err error) (float64, error) {
		if errors.Is(err, ErrInterval) {
			return math.Inf(1), nil // too large an uncertainty is a finding about the meter
		}
		return g.Width, err
	}
	switch r.Kind {
	case RuleRootDifference:
		if _, err := twoSided("Rule", tolerance); err != nil {
			return 0, err
		}
		return none(RootDifference(tolerance, U))
	case RuleSpecificRisk:
		return none(GuardForSpecificRisk(tolerance, u, dof, r.Risk))
	case RuleGlobalRisk:
		whole, err := twoSided("Rule", tolerance)
		if err != nil {
			return 0, err
		}
		// The prior is in units of the limits and is brought to those of the measurand.
		half := whole / 2
		g, _, err := GuardForGlobalRisk(tolerance, inUnits{r.Prior, tolerance.Lower + half, half},
			u, r.Risk)
		return g.Width, err
	}
	if r.Kind == RuleGuardedRejection {
		return -r.Multiple * U, nil
	}
	return r.Multiple * U, nil
}

// standard is the standard uncertainty of b, raised with the floor of U.
func (r Rule) standard(b *uncertainty.Budget, e uncertainty.Expanded) float64 {
	// The floor of U raises u in the same proportion.
	u := b.StandardUncertainty
	if e.K > 0 && e.U > e.K*u*(1+1e-12) { // more than rounding
		u = e.U / e.K
	}
	return u
}

// decideByRisk judges by the probability of conformity: what is known best of the true
// value decides.
func (r Rule) decideByRisk(tolerance uncertainty.Interval, b *uncertainty.Budget,
	u float64) (Verdict, error) {
	// A raised u no longer belongs to the laws of the inputs, so that they are left out.
	raised := *b
	if u != b.StandardUncertainty {
		raised = uncertainty.Budget{Estimate: b.Estimate, StandardUncertainty: u, DOF: b.DOF}
	}
	d, err := FromBudget(&raised)
	if err != nil {
		return VerdictUndecided, err
	}
	below, above, err := outside("Rule.Decide", tolerance, d)
	switch out := below + above; {
	case err != nil:
		return VerdictUndecided, err
	case out <= r.Risk:
		return VerdictConforms, nil
	// JCGM 106 9.3: rejected only if the probability of being inside is small, and on the side
	// where the estimate is.
	case 1-out <= r.Risk && (b.Estimate > tolerance.Upper || b.Estimate < tolerance.Lower):
		return VerdictDoesNotConform, nil
	}
	return VerdictUndecided, nil
}

// decideByGlobalRisk judges without solving for the guard band: the risk falls with w, so
// that a result conforms where the guard band that ends at it is wide enough.
func (r Rule) decideByGlobalRisk(tolerance uncertainty.Interval, y, u float64) (Verdict, error) {
	whole, err := twoSided("Rule", tolerance)
	if err != nil {
		return VerdictUndecided, err
	}
	half := whole / 2
	p, err := newProduction("Rule", inUnits{r.Prior, tolerance.Lower + half, half}, u)
	if err != nil {
		return VerdictUndecided, err
	}
	// The distance to the nearer limit is the guard band that would just accept, or just reject.
	w := min(y-tolerance.Lower, tolerance.Upper-y) // < 0: outside
	if p.risk(tolerance, guarded(tolerance, math.Abs(w)).Acceptance).Consumer > r.Risk {
		return VerdictUndecided, nil
	}
	// Outside by |w|, with a guard band that suffices: beyond doubt.
	if w < 0 {
		return VerdictDoesNotConform, nil
	}
	return VerdictConforms, nil
}

// SmallestTolerance returns the smallest half-width T, in the unit of the measurand, of
// limits −T and T to which the result b conforms under the rule: the class that a
// deviation still meets. A rule by risk gives it to 1e-9.
func (r Rule) SmallestTolerance(b *uncertainty.Budget) (float64, error) {
	// With the floor and the coverage of the rule.
	e, err := r.Expanded(b)
	if err != nil {
		return 0, err
	}
	y := math.Abs(b.Estimate)
	switch r.Kind {
	case RuleGuardBand:
		return y + float64(r.Multiple*e.U), nil
	case RuleGuardedRejection:
		return max(0, y-float64(r.Multiple*e.U)), nil
	case RuleRootDifference:
		return elementary.Hypot(y, e.U), nil
	}
	// By risk the half-width is found by trial: the wider the tolerance, the sooner it conforms.
	fails := func(t float64) bool {
		v, failed := r.Decide(uncertainty.Interval{Lower: -t, Upper: t}, b)
		if failed != nil {
			err = failed
		}
		return v != VerdictConforms
	}
	// A tolerance below |y| cannot conform.
	low, high := y, y+e.U
	if !fails(low) {
		return low, err
	}
	for range 60 {
		if !fails(high) {
			break
		}
		low, high = high, 2*high
	}
	if err != nil {
		return 0, err
	}
	for range 40 {
		if high-low <= 1e-9*high {
			break
		}
		if middle := low + (high-low)/2; fails(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return high, err
}
