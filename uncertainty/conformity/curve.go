// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity

import (
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty"
)

// A RiskPoint is a point of a risk curve: a guard band and what it costs.
type RiskPoint struct {
	Guard
	Global
}

// RiskCurve returns the global consumer's and producer's risks for a list of guard bands w,
// in the unit of the limits, in the order given (JCGM 106 9.5.4, figure 16: as one risk falls
// the other rises). Negative ones are those of guarded rejection. Prior and standard
// uncertainty u are as in [GlobalRisk]. Guard bands that leave no acceptance interval accept
// nothing.
func RiskCurve(tolerance uncertainty.Interval, prior uncertainty.Distribution, u float64,
	widths ...float64) ([]RiskPoint, error) {
	const op = "RiskCurve"
	if err := checkInterval(op, tolerance); err != nil {
		return nil, err
	}
	p, err := newProduction(op, prior, u)
	if err != nil {
		return nil, err
	}
	out := make([]RiskPoint, 0, len(widths))
	for i, w := range widths {
		if math.IsNaN(w) || math.IsInf(w, 0) {
			return nil, refusedValue(op, fmt.Sprintf("width %d", i+1), w, ErrNotFinite,
				"a finite number")
		}
		g := guarded(tolerance, w)
		// An empty interval of acceptance accepts nothing, and is no error of the curve.
		global := p.nothing(tolerance)
		if g.Acceptance.Lower <= g.Acceptance.Upper {
			global = p.risk(tolerance, g.Acceptance)
		}
		if global, err = global.checked(op, u); err != nil {
			return nil, err
		}
		out = append(out, RiskPoint{g, global})
	}
	return out, nil
}

// nothing is the outcome of a rule that rejects every item.
func (p *production) nothing(tolerance uncertainty.Interval) Global {
	// The first quantile at or above a limit divides the shares; what lies on a limit conforms.
	low := p.share(func(x float64) bool { return x < tolerance.Lower })
	high := p.share(func(x float64) bool { return x <= tolerance.Upper })
	// Every conforming item is rejected, none is accepted: R_P is all, R_C is 0.
	return Global{Conforming: high - low, Producer: high - low}
}

// AcceptanceProbability returns the probability that an item of true value x is accepted,
// measured with a normally distributed error of standard uncertainty u ≥ 0: as a function of x it
// is the operating characteristic of the acceptance interval. One end of the interval may be
// infinite.
func AcceptanceProbability(acceptance uncertainty.Interval, x, u float64) (float64, error) {
	const op = "AcceptanceProbability"
	if err := checkInterval(op, acceptance); err != nil {
		return 0, fmt.Errorf("acceptance: %w", err)
	}
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, refusedValue(op, "x", x, ErrNotFinite, "a finite number")
	}
	if err := notNegative(op, "u", u); err != nil {
		return 0, err
	}
	// The conditional probability of JCGM 106 9.5, for one true value.
	return (&production{u: u}).accepted(acceptance, x), nil
}
