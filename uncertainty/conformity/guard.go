// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity

import (
	"errors"
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// A Guard is a choice of guard band.
type Guard struct {
	Width      float64              // w, at each finite limit; negative: accepted beyond it
	Acceptance uncertainty.Interval // tolerance interval less w
}

// guarded is the tolerance interval less w at each end; an infinite end stays.
func guarded(tolerance uncertainty.Interval, w float64) Guard {
	return Guard{w, uncertainty.Interval{Lower: tolerance.Lower + w, Upper: tolerance.Upper - w,
		Unit: tolerance.Unit}}
}

// GuardForSpecificRisk returns the smallest guard band w ≥ 0 for which no accepted item
// has a higher specific risk than the wanted one, 0 < risk ≤ 0.5 (JCGM 106 8.3.2):
//
//	w = t(1 − risk; dof)·u
//
// for one limit. Where the uncertainty is so large that both limits count at once, it
// is more; where no measured value would do, the error is [ErrInterval]. The degrees of
// freedom of u may be infinite.
func GuardForSpecificRisk(tolerance uncertainty.Interval, u, dof, risk float64) (Guard, error) {
	const op = "GuardForSpecificRisk"
	if err := checkInterval(op, tolerance); err != nil {
		return Guard{}, err
	}
	if err := notNegative(op, "u", u); err != nil {
		return Guard{}, err
	}
	if !(dof > 0) {
		return Guard{}, &Error{Op: "conformity." + op, Name: "degrees of freedom", Value: dof,
			Err: unit.Errorf(ErrDomain, "%v; expected more than 0, or +Inf", dof)}
	}
	if !(risk > 0 && risk <= 0.5) {
		return Guard{}, &Error{Op: "conformity." + op, Name: "risk", Value: risk,
			Err: unit.Errorf(ErrDomain, "%v; expected more than 0 and not more than 0.5", risk)}
	}
	// A result known exactly needs no guard.
	if u == 0 {
		return guarded(tolerance, 0), nil
	}
	// k = 0 for a risk of one half: the limit itself.
	var k float64
	// Of the two tails outside ±k one is the risk.
	if risk < 0.5 {
		var err error
		if k, err = uncertainty.CoverageFactor(1-2*risk, dof); err != nil {
			return Guard{}, &Error{Op: "conformity." + op, Name: "risk", Value: risk,
				Err: unit.Errorf(errors.Join(ErrDomain, err), "%v", err)}
		}
	}
	// One limit: w = k·u (JCGM 106 8.3.2).
	if math.IsInf(tolerance.Width(), 1) {
		return guarded(tolerance, float64(k*u)), nil
	}
	// Both limits: the risk falls from the limit to the middle.
	half := tolerance.Width() / 2
	// Both tails, for a result that lies w inside one limit: 2·half − w inside the other.
	at := func(w float64) float64 { return upperTail(w/u, dof) + upperTail((2*half-w)/u, dof) }
	// In the middle the risk is least: if it is too high there, it is everywhere.
	if at(half) > risk {
		return Guard{}, &Error{Op: "conformity." + op, Name: "u", Value: u,
			Err: unit.Errorf(ErrInterval, "the risk is %.3g even in the middle of the tolerance "+
				"interval; expected a smaller uncertainty, or a wider tolerance", at(half))}
	}
	// With one limit it would be k·u; two need more.
	low, high := min(k*u, half), half
	if at(low) <= risk {
		return guarded(tolerance, low), nil
	}
	return guarded(tolerance, solve(func(w float64) bool { return at(w) > risk }, low, high)), nil
}

// GuardForRejection returns the guard band of guarded rejection (JCGM 106 8.3.3): an item that
// is measured outside the acceptance interval, which is wider than the tolerance interval, is
// outside its limits with at least the given probability, 0.5 ≤ probability < 1:
//
//	w = −t(probability; dof)·u.
//
// The degrees of freedom of u may be infinite.
func GuardForRejection(tolerance uncertainty.Interval, u, dof, probability float64) (Guard, error) {
	const op = "GuardForRejection"
	if err := checkInterval(op, tolerance); err != nil {
		return Guard{}, err
	}
	if err := notNegative(op, "u", u); err != nil {
		return Guard{}, err
	}
	// Of an item measured at w outside the limit, one tail must hold the probability.
	k, err := uncertainty.OneSidedFactor(probability, dof)
	if err != nil {
		return Guard{}, &Error{Op: "conformity." + op, Name: "probability, dof",
			Err: unit.Errorf(errors.Join(ErrDomain, err), "%v", err)}
	}
	return guarded(tolerance, -float64(k*u)), nil
}

// GuardForGlobalRisk returns the smallest guard band w ≥ 0 for which the global
// consumer's risk is not above the wanted one, risk > 0, for items of the prior and a
// standard uncertainty u (see [GlobalRisk], whose result for the choice is returned
// too). Where simple acceptance is good enough w is 0: an acceptance interval wider
// than the tolerance is never proposed.
func GuardForGlobalRisk(tolerance uncertainty.Interval, prior uncertainty.Distribution, u,
	risk float64) (Guard, Global, error) {
	const op = "GuardForGlobalRisk"
	if err := checkInterval(op, tolerance); err != nil {
		return Guard{}, Global{}, err
	}
	if !(risk > 0 && risk < 1) {
		return Guard{}, Global{}, &Error{Op: "conformity." + op, Name: "risk", Value: risk,
			Err: unit.Errorf(ErrDomain, "%v; expected more than 0 and less than 1", risk)}
	}
	p, err := newProduction(op, prior, u)
	if err != nil {
		return Guard{}, Global{}, err
	}
	tooHigh := func(w float64) bool {
		return p.risk(tolerance, guarded(tolerance, w).Acceptance).Consumer > risk
	}
	w := 0.0
	if tooHigh(0) {
		// At half the width nothing is left to accept.
		high := tolerance.Width() / 2
		if math.IsInf(high, 1) {
			for high = u; tooHigh(high); high *= 2 { // 40 u leave nothing to accept wrongly
			}
		}
		w = solve(tooHigh, 0, high)
	}
	g := guarded(tolerance, w)
	global, err := p.risk(tolerance, g.Acceptance).checked(op, u)
	if err != nil {
		return Guard{}, Global{}, err
	}
	return g, global, nil
}

// solve returns the place between low and high up to which the condition holds, on the
// side where it does not, to 1e-12 of high.
func solve(holds func(w float64) bool, low, high float64) float64 {
	end := high
	for range 60 {
		if high-low <= 1e-12*end {
			break
		}
		middle := low + (high-low)/2
		if holds(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// RootDifference returns the acceptance interval of half-width
//
//	A = √(T² − U²)
//
// for a two-sided tolerance of half-width T and an expanded uncertainty U ≤ T (a rule of
// common practice). The small risks printed with this rule are global, for an assumed
// prior; compute yours by [GlobalRisk]. The specific risk of a single item at its limit
// of acceptance is large, near 40 % for T = 4U.
func RootDifference(tolerance uncertainty.Interval, U float64) (Guard, error) {
	const op = "RootDifference"
	width, err := twoSided(op, tolerance)
	if err != nil {
		return Guard{}, err
	}
	if err := notNegative(op, "U", U); err != nil {
		return Guard{}, err
	}
	half := width / 2
	if U > half {
		return Guard{}, &Error{Op: "conformity." + op, Name: "U", Value: U,
			Err: unit.Errorf(ErrInterval,
				"%v is above the half-width %v of the tolerance; expected no more", U, half)}
	}
	// T − √(T² − U²) = U²/(T + √(T² − U²)), which does not cancel for a small U.
	if U == 0 {
		return guarded(tolerance, 0), nil
	}
	return guarded(tolerance, float64(U*(U/(half+math.Sqrt((half-U)*(half+U)))))), nil
}
