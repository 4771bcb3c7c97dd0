// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity

import (
	"errors"
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// The causes of the errors of this package, for errors.Is.
var (
	ErrNotFinite = unit.ErrNotFinite
	ErrDomain    = unit.ErrDomain
	ErrInterval  = errors.New("not a tolerance interval")
)

// Error is the error type of the module. Op is the function or method,
// "conformity.Rule.Decide", Name the argument, and Value what was given. Err wraps one of the
// causes above, or is an error of package uncertainty.
type Error = unit.Error

// checkInterval refuses what is no tolerance interval; one end may be infinite.
func checkInterval(op string, t uncertainty.Interval) error {
	refuse := func(name string, v float64, err error) error {
		return &Error{Op: "conformity." + op, Name: name, Value: v, Err: err}
	}
	switch {
	case math.IsNaN(t.Lower) || math.IsNaN(t.Upper):
		return refuse("tolerance interval", math.NaN(), unit.Errorf(ErrNotFinite,
			"%v; expected two limits, of which one may be infinite", t))
	case t.Lower > t.Upper:
		return refuse("lower limit", t.Lower, unit.Errorf(ErrInterval,
			"%v is above the upper limit %v; expected lower ≤ upper", t.Lower, t.Upper))
	// Without a limit everything conforms, and with a lower limit of +Inf nothing does.
	case math.IsInf(t.Lower, -1) && math.IsInf(t.Upper, 1), math.IsInf(t.Lower, 1),
		math.IsInf(t.Upper, -1):
		return refuse("tolerance interval", t.Lower, unit.Errorf(ErrInterval,
			"from %v to %v; expected at least one finite limit", t.Lower, t.Upper))
	}
	return nil
}

// refusedValue is the refusal of an argument v, which says what was expected of it.
func refusedValue(op, name string, v float64, cause error, expected string) error {
	return &Error{Op: "conformity." + op, Name: name, Value: v,
		Err: unit.Errorf(cause, "%v; expected %s", v, expected)}
}

// notNegative refuses a negative argument, and one that is not finite.
func notNegative(op, name string, v float64) error {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return refusedValue(op, name, v, ErrNotFinite, "a finite number")
	case v < 0:
		return refusedValue(op, name, v, ErrDomain, "0 or more")
	}
	return nil
}
