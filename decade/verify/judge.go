// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"

	"example.com/ohmwright/uncertainty/conformity"
)

// judge gives every row with limits and a plausible value its verdict and the probability
// of conformity, row by row under the rule.
func (r *Report) judge() error {
	for i := range r.Rows {
		row := &r.Rows[i]
		switch {
		case !row.Judged:
			continue
		case row.Overload: // open: its verdict stands
			row.Probability = 0
			continue
		}
		if err := r.judgeRow(row); err != nil {
			return &Error{Op: "verify.Evaluate", Name: row.Reading.place(), Err: err}
		}
	}
	return nil
}

func (r *Report) judgeRow(row *Row) (err error) {
	if row.Verdict, err = r.Rule.Decide(row.Limits, row.Budget); err != nil {
		return err
	}
	known, err := conformity.FromBudget(row.Budget)
	if err != nil {
		return err
	}
	if row.Probability, err = conformity.Probability(row.Limits, known); err != nil {
		return err
	}
	if !row.Setting.AllZero() {
		row.UncertaintyRatio, err = conformity.TestUncertaintyRatio(row.Limits, row.Expanded.U)
	}
	return err
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
