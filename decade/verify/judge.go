// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"example.com/ohmwright/uncertainty/conformity"
)

// judge gives every row with limits and a plausible value its verdict.
func (r *Report) judge() error {
	for i := range r.Rows {
		row := &r.Rows[i]
		if !row.Judged || row.Overload {
			continue
		}
		var err error
		if row.Verdict, err = r.Rule.Decide(row.Limits, row.Budget); err != nil {
			return &Error{Op: "verify.Evaluate", Name: row.Reading.place(), Err: err}
		}
		if row.Setting.AllZero() {
			continue
		}
		if row.UncertaintyRatio, err = conformity.TestUncertaintyRatio(row.Limits, row.Expanded.U); err != nil {
			return &Error{Op: "verify.Evaluate", Name: row.Reading.place(), Err: err}
		}
	}
	return nil
}
