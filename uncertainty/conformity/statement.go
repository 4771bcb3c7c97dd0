// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity

import (
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/file"
)

// A Statement is a non-binary statement of conformity, which says on which side of the
// limit a result within the guard band lies (ILAC-G8:09/2019, 4.2.3).
type Statement uint8

// The statements, from worst to best; the zero value is none.
const (
	StatementNone            Statement = iota
	StatementFail                      // outside the tolerance interval by more than the guard band
	StatementConditionalFail           // outside, by no more than the guard band
	StatementConditionalPass           // inside, by less than the guard band
	StatementPass                      // in the acceptance interval
)

var statements = file.Words[Statement]{Type: "conformity.Statement", Texts: []string{"no statement",
	"fail", "conditional fail", "conditional pass", "pass"}}

// String returns "pass", "conditional pass", "conditional fail", "fail" or
// "no statement".
func (s Statement) String() string { return statements.String(s) }

// MarshalText returns the text of String; a value that is not a statement of this package
// is refused ([ErrDomain]).
func (s Statement) MarshalText() ([]byte, error) { return statements.Marshal(s) }

// UnmarshalText reads the text of String.
func (s *Statement) UnmarshalText(text []byte) error { return statements.Unmarshal(text, s) }

// Statement judges the result b as [Rule.Decide] does, and splits what cannot be
// decided at the tolerance limit. A result on a limit takes the better statement. Under
// [GuardedRejection], which decides everything, it is pass or fail.
func (r Rule) Statement(tolerance uncertainty.Interval, b *uncertainty.Budget) (Statement, error) {
	v, err := r.Decide(tolerance, b)
	switch {
	case err != nil:
		return StatementNone, err
	case v == VerdictConforms:
		return StatementPass, nil
	case v == VerdictDoesNotConform:
		return StatementFail, nil
	// Undecided: the tolerance limit itself divides, whatever the guard band.
	case inside(tolerance, b):
		return StatementConditionalPass, nil
	}
	return StatementConditionalFail, nil
}

// inside reports whether the estimate lies within the limits, in its own unit. Decide has refused
// those that cannot be brought to it.
func inside(tolerance uncertainty.Interval, b *uncertainty.Budget) bool {
	tolerance, err := stated("Statement", tolerance, b.Unit)
	return err == nil && tolerance.Contains(b.Estimate)
}
