// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"math"
	"strconv"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Error says what was refused, with the value that was given and the cause; it is the
// error type of the whole module.
type Error = unit.Error

// The causes of the errors of this package, for errors.Is. Those that other packages
// declare too are the same values there.
var (
	ErrNotFinite    = unit.ErrNotFinite
	ErrDomain       = unit.ErrDomain
	ErrSyntax       = unit.ErrSyntax
	ErrUnknown      = unit.ErrUnknown
	ErrObservations = uncertainty.ErrObservations
	ErrLengths      = errors.New("lengths differ")
	ErrRunaway      = errors.New("thermal runaway, no steady state")
	// ErrNotMonotone is the cause where the inverse of a curve is asked for that neither rises
	// nor falls all the way.
	ErrNotMonotone = errors.New("not monotone")
)

// refuse returns the error about one argument: a number, a text or, where value is nil,
// neither.
func refuse(op, name string, value any, cause error, want string) error {
	return &Error{Op: op, Name: name, Value: value, Err: unit.Errorf(cause, "%s; %s", given(value),
		want)}
}

// given is the value as the error prints it: the shortest number that reads back, a
// text in quotes, cut where it is long.
func given(value any) string {
	switch v := value.(type) {
	case float64:
		return strconv.FormatFloat(v, 'g', -1, 64)
	case string:
		return unit.Quoted(v)
	}
	return "none"
}

// text is the shortest form that reads back as v.
func text(v float64) string { return given(v) }

// shortText writes a figure that was computed, without the rounding of its last digits.
func shortText(v float64) string { return strconv.FormatFloat(v, 'g', 12, 64) }

// absoluteZero is 0 K in °C.
const absoluteZero = -273.15

// checkNumber refuses NaN and the infinities.
func checkNumber(op, name string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return refuse(op, name, v, ErrNotFinite, "expected a finite number")
	}
	return nil
}

// checkTemperature refuses what is not a temperature in °C.
func checkTemperature(op, name string, t float64) error {
	if err := checkNumber(op, name, t); err != nil {
		return err
	}
	if t < absoluteZero {
		return domainError(op, name, t, "expected a temperature from -273.15 °C up")
	}
	return nil
}

// checkPositive refuses what is not a number above 0 of that unit.
func checkPositive(op, name string, v float64, unit string) error {
	if err := checkNumber(op, name, v); err != nil {
		return err
	}
	if v <= 0 {
		return domainError(op, name, v, "expected a number of "+unit+" above 0")
	}
	return nil
}

// domainError is the error about a number outside what an argument may be.
func domainError(op, name string, v float64, want string) error {
	return refuse(op, name, v, ErrDomain, want)
}

// finiteResult refuses a computed number that left the range of float64.
func finiteResult(op, name string, v float64) (float64, error) {
	if err := checkNumber(op, name, v); err != nil {
		return 0, err
	}
	return v, nil
}
