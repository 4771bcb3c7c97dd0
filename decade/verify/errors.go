// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"errors"
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// The causes of the errors and warnings of this package, for errors.Is.
var (
	ErrNotFinite     = unit.ErrNotFinite
	ErrDomain        = unit.ErrDomain
	ErrSyntax        = unit.ErrSyntax
	ErrUnknown       = unit.ErrUnknown
	ErrNotStated     = unit.ErrNotStated
	ErrContradiction = uncertainty.ErrContradiction
	ErrEmpty         = uncertainty.ErrEmpty
	ErrInconsistent  = uncertainty.ErrInconsistent

	ErrNoRange = errors.New("no range can show it")
	ErrTooLong = errors.New("too long")

	// Warnings of a Report.
	ErrTooCoarse = errors.New("meter too coarse to decide")
	ErrAsFound   = errors.New("as-found failure")
	ErrUnusual   = errors.New("unusual value")
	ErrRecord    = errors.New("record in doubt") // copied lines, dates, digits no display shows
)

// Error says which field, line or reading was refused, with the value and the cause. It
// is the error type of all packages of the module. Any number of goroutines may read one at
// once.
type Error = unit.Error

// finite reports whether a number is neither NaN nor infinite.
func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// notNegative refuses a number that is not finite or below 0.
func notNegative(op, name string, v float64) error {
	switch {
	case !finite(v):
		return &Error{Op: op, Name: name, Value: v,
			Err: unit.Errorf(ErrNotFinite, "%v; expected a finite number", v)}
	case v < 0:
		return &Error{Op: op, Name: name, Value: v,
			Err: unit.Errorf(ErrDomain, "%v; expected 0 or more", v)}
	}
	return nil
}
