// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
)

// Error says what was refused, with the value that was given and the cause; it is the
// error type of the whole module.
type Error = unit.Error

// The causes of the errors of this package, for errors.Is. Those that other packages
// declare too are the same values there.
var (
	ErrNotFinite = unit.ErrNotFinite
	ErrDomain    = unit.ErrDomain
	ErrSyntax    = unit.ErrSyntax
	ErrUnknown   = unit.ErrUnknown
	// ErrNotStated means the material does not state the property asked for.
	ErrNotStated = unit.ErrNotStated
	// ErrNoGauge means the gauge system has no such size.
	ErrNoGauge = errors.New("no such gauge")
)

// refuse returns the error about one argument: a number, a text or, where value is nil,
// neither. Packages thermal, material and winding have a few of these lines too: a package for
// all four came out no shorter, and lengthened some three hundred calls.
func refuse(op, name string, value any, cause error, want string) error {
	return &Error{Op: op, Name: name, Value: value, Err: unit.Errorf(cause, "%s; %s", given(value),
		want)}
}

// unstated returns the error about something that lacks a property.
func unstated(op, name, what string) error {
	return &Error{Op: op, Name: name, Err: unit.Errorf(ErrNotStated, "%s not stated; expected one",
		what)}
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

// finite refuses NaN and the infinities.
func finite(op, name string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return refuse(op, name, v, ErrNotFinite, "expected a finite number")
	}
	return nil
}

// positive refuses what is not finite or not above zero; unit is for the text.
func positive(op, name string, v float64, unit string) error {
	if err := finite(op, name, v); err != nil {
		return err
	}
	if v <= 0 {
		return refuse(op, name, v, ErrDomain, strings.TrimSpace("expected more than 0 "+unit))
	}
	return nil
}

// notNegative refuses what is not finite or below zero.
func notNegative(op, name string, v float64, unit string) error {
	if err := finite(op, name, v); err != nil {
		return err
	}
	if v < 0 {
		return refuse(op, name, v, ErrDomain, "expected 0 "+unit+" or more")
	}
	return nil
}

// result refuses a value that has run out of the range of float64: an argument
// was finite but absurd, a length of 1e300 m for example.
func result(op, name string, v float64) (float64, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, refuse(op, name, v, ErrNotFinite,
			"expected arguments whose result float64 can hold")
	}
	return v, nil
}
