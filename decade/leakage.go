// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Leakage returns in ohms what an insulation resistance of leak ohms across the terminals
// does to the resistance at a setting:
//
//	−R²/(R + leak)
//
// For a leak of which only a lower bound is known, see [Setting.LeakageOf].
//
// Caution: insulation is tested with hundreds of volts. Disconnect the box, join its
// terminals, test to the case only and within its rating, and discharge it before it is
// touched.
func (s Setting) Leakage(leak float64) (ohms float64, err error) {
	const op = "decade.Setting.Leakage"
	r, err := s.checkLeak(op, leak)
	if err != nil {
		return 0, err
	}
	// r·leak/(r + leak) − r, without the difference of two nearly equal numbers.
	return -r * (r / (r + leak)), nil
}

// checkLeak checks the argument of Leakage and returns the resistance of the setting.
func (s Setting) checkLeak(op string, leak float64) (ohms float64, err error) {
	if s.box == nil {
		return 0, noSetting(op)
	}
	if err := numbers.Positive(op, "leak", " Ω", leak); err != nil {
		return 0, err
	}
	return s.Value(), nil
}

// LeakAbove returns the distribution of the leakage conductance in siemens of an insulation
// resistance of which only a lower bound in ohms is known, as from an insulation test that reads
// "more than": a rectangle from 0 to 1/bound (GUM 4.3.7). A bound that is no positive number
// becomes an error of the evaluation.
func LeakAbove(bound float64) uncertainty.Distribution { return uncertainty.Between(0, 1/bound) }

// LeakageOf returns in ohms what a leakage conductance in siemens across the terminals does
// to the resistance at a setting, as a quantity to add to [Setting.Resistance]:
//
//	−R²·G/(1 + R·G)
//
// With [LeakAbove] it is one-sided, as a leak is: the estimate is −R²/(2·bound), the
// standard uncertainty R²/(√12·bound), except for terms of the order of R/bound.
func (s Setting) LeakageOf(conductance uncertainty.Quantity) uncertainty.Quantity {
	const op = "decade.Setting.LeakageOf"
	if s.box == nil {
		return uncertainty.Fail(noSetting(op))
	}
	if g := conductance.Estimate(); g < 0 {
		return uncertainty.Fail(&Error{Op: op, Name: "conductance", Value: g,
			Err: unit.Errorf(ErrDomain, "%v S; expected 0 or more", g)})
	}
	// A resistance, or a conductance in µS, is refused.
	conductance = conductance.InUnit("S")
	r := s.Value()
	// −r²g/(1 + r·g): by conductance, since a leak known only to exceed a bound has g between
	// 0 and 1/bound (GUM 4.3.8, one-sided limits).
	change := conductance.Scale(-r * r).Div(uncertainty.Exact(1).Add(conductance.Scale(r)))
	return change.InUnit("Ω")
}
