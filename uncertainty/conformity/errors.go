// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity

import (
	"errors"
	"fmt"
	"math"

	"example.com/ohmwright/uncertainty"
)

// The causes of the errors of this package, for errors.Is.
var (
	ErrNotFinite = errors.New("not a number")
	ErrDomain    = errors.New("outside the domain")
	ErrInterval  = errors.New("not a tolerance interval")
)

// Error says which argument was refused, with its value and the cause.
type Error struct {
	Op    string  // the function or Type.Method
	Name  string  // the argument
	Value float64 // what was given
	Err   error   // wraps one of the sentinels of this package, or an error of package uncertainty
}

// Error returns function, argument, value, cause and what was expected, on one line.
func (e *Error) Error() string {
	return fmt.Sprintf("conformity.%s: %s: %v: %v", e.Op, e.Name, e.Value, e.Err)
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// check refuses what is no tolerance interval; one end may be infinite.
func check(op string, t uncertainty.Interval) error {
	switch {
	case math.IsNaN(t.Lower) || math.IsNaN(t.Upper):
		return &Error{op, "tolerance interval", math.NaN(), fmt.Errorf("%w; expected two limits, of which one may be infinite", ErrNotFinite)}
	case t.Lower > t.Upper:
		return &Error{op, "lower limit", t.Lower, fmt.Errorf("%w: above the upper limit %v; expected lower ≤ upper", ErrInterval, t.Upper)}
	case math.IsInf(t.Lower, -1) && math.IsInf(t.Upper, 1), math.IsInf(t.Lower, 1), math.IsInf(t.Upper, -1):
		return &Error{op, "tolerance interval", t.Lower, fmt.Errorf("%w: from %v to %v; expected at least one finite limit", ErrInterval, t.Lower, t.Upper)}
	}
	return nil
}

// unknown refuses to write a value that has no word.
func unknown(op string, v float64, words int) error {
	return &Error{op, "value", v, fmt.Errorf("%w; expected 0 to %d", ErrDomain, words-1)}
}

func notNegative(op, name string, v float64) error {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return &Error{op, name, v, fmt.Errorf("%w; expected a finite number", ErrNotFinite)}
	case v < 0:
		return &Error{op, name, v, fmt.Errorf("%w; expected 0 or more", ErrDomain)}
	}
	return nil
}
