// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"cmp"
	"fmt"
	"math"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// A verdict needs U alone under a guard band; a probability of conformity and a rule by risk
// need the distribution, which takes a convolution. Diallings of one setting on one range have
// one composition, so that one coverage factor and one distribution serve thousands of them.

// judge gives every row with limits and a plausible value its verdict and the probability
// of conformity, row by row under the rule.
func (r *Report) judge(e *evaluation) error {
	for i := range r.Rows {
		row := &r.Rows[i]
		switch {
		case !row.Judged:
			continue
		// An open circuit needs no uncertainty: it is outside any class.
		case row.Overload: // open: its verdict stands
			row.Probability = 0
			continue
		}
		if e.before.takeVerdict(e.laws, i, row) {
			continue
		}
		if err := r.judgeRow(i, e.laws); err != nil {
			return &Error{Op: "verify.Evaluate", Name: row.Reading.place(), Err: err}
		}
	}
	return nil
}

// lawsOfSettings holds the distribution of a row for each composition: that of its other
// diallings differs in place and, where the standard uncertainty is the same, not in shape.
// Thousands of diallings cost one convolution.
type lawsOfSettings map[composition]lawOfRow

type lawOfRow struct {
	known conformity.CDF
	y, u  float64
	by    int // row
}

// sameShape is the relative difference of standard uncertainties up to which two diallings of
// one setting have one distribution; printed probabilities have three digits.
const sameShape = 1e-4

// lawFor is the distribution for a row and the limits at the place where it is.
func (l lawsOfSettings) lawFor(i int, row *Row) (conformity.CDF, uncertainty.Interval, error) {
	k := compositionOf(&row.Reading, row.Range)
	y, u := row.Deviation.Estimate(), row.u
	if x, ok := l[k]; ok && math.Abs(u-x.u) <= sameShape*u {
		return x.known, uncertainty.Interval{Lower: row.Limits.Lower - y + x.y,
			Upper: row.Limits.Upper - y + x.y}, nil
	}
	known, err := conformity.FromBudget(row.known())
	l[k] = lawOfRow{known, y, u, i}
	return known, row.Limits, err
}

// judgeRow gives one row its verdict, its probability and its ratio.
func (r *Report) judgeRow(i int, laws lawsOfSettings) (err error) {
	row := &r.Rows[i]
	if row.Verdict, err = r.decide(row, row.Limits); err != nil {
		return err
	}
	if row.Probability, err = probability(i, row, laws); err != nil {
		return err
	}
	if !row.Setting.AllZero() {
		row.UncertaintyRatio, err = conformity.TestUncertaintyRatio(row.Limits, row.Expanded.U)
	}
	return err
}

// decide judges a row with the U that it has, which costs nothing; a rule by risk asks for the
// distribution.
func (r *Report) decide(row *Row, limits uncertainty.Interval) (conformity.Verdict, error) {
	switch r.Rule.Kind {
	// Guarded acceptance asks only for U (JCGM 106 8.3.2).
	case conformity.RuleGuardBand, conformity.RuleRootDifference:
		return r.Rule.DecideExpanded(limits, row.Deviation.Estimate(), row.Expanded.U)
	}
	return r.Rule.Decide(limits, row.known())
}

// composition is what diallings have in common whose budgets have the same contributions.
type composition struct {
	setting decade.Setting
	stage   Stage
	group   group
	values  int
	warm    bool // its temperature was recorded
}

// compositionOf is that of a reading.
func compositionOf(rd *Reading, rangeName string) composition {
	// Both counts in one number; neither exceeds mostRepeats.
	return composition{rd.Setting, rd.Stage, group{rd.Session, rangeName},
		len(rd.Values) + mostRepeats*len(rd.Reversed), rd.Temperature != nil}
}

// factor is the coverage factor of a dialling by what is known of its law, for its standard
// uncertainty.
type factor struct {
	u, k float64
	by   int // row
}

// setExpanded sets U of a row as the rule takes it. Diallings of one setting on one
// range have one composition and so one coverage factor: a convolution is made once.
func (e *evaluation) setExpanded(rule conformity.Rule, row *Row) error {
	key := compositionOf(&row.Reading, row.Range)
	u := row.u
	if f, ok := e.factors[key]; ok && math.Abs(u-f.u) <= sameShape*f.u {
		// A laboratory may not state less than its best capability, rule.Smallest (ILAC-P14).
		U, y := max(f.k*u, rule.Smallest), row.Deviation.Estimate()
		row.Expanded = uncertainty.Expanded{P: cmp.Or(rule.Coverage, 0.95), K: f.k, U: U,
			Interval: uncertainty.Interval{Lower: y - U, Upper: y + U}}
		return nil
	}
	x, err := rule.Expanded(row.known())
	if err != nil {
		return err
	}
	row.Expanded = x
	if u > 0 {
		e.setFactor(key, factor{u, x.K, row.index})
	}
	return nil
}

// setFactor keeps the coverage factor of a composition.
func (e *evaluation) setFactor(of composition, f factor) {
	if e.factors == nil {
		e.factors = make(map[composition]factor)
	}
	e.factors[of] = f
}

// probability is that of conformity, from the distributions of the inputs where they are known.
// Where both limits are farther than eight standard uncertainties from a result with a normal
// tail or none it is 0 or 1, which saves the convolution.
func probability(i int, row *Row, laws lawsOfSettings) (float64, error) {
	// Only with infinite degrees of freedom: a t-distribution has tails that reach farther
	// (GUM G.3).
	if far := 8 * row.u; math.IsInf(row.dof, 1) && far > 0 {
		switch y := row.Deviation.Estimate(); {
		case y-row.Limits.Lower > far && row.Limits.Upper-y > far:
			return 1, nil
		case row.Limits.Lower-y > far || y-row.Limits.Upper > far:
			return 0, nil
		}
	}
	known, limits, err := laws.lawFor(i, row)
	if err != nil {
		return 0, err
	}
	// JCGM 106 clause 7: the probability that the distribution has inside the limits.
	return conformity.Probability(limits, known)
}

// probabilityText prints a probability of conformity with the digits that mean something.
func probabilityText(p float64) string {
	switch {
	case p > 0.9995:
		return "> 99.9 %"
	case p < 0.0005:
		return "< 0.1 %"
	}
	return fmt.Sprintf("%.1f %%", 100*p)
}
