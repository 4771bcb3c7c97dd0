// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wire

import (
	"errors"
	"math"
	"strconv"
)

// Causes of an [Error], for errors.Is.
var (
	// ErrNotFinite means an argument is NaN or infinite.
	ErrNotFinite = errors.New("not finite")
	// ErrDomain means an argument lies where the formula has no meaning.
	ErrDomain = errors.New("out of domain")
	// ErrSyntax means a text is not a gauge.
	ErrSyntax = errors.New("not a wire gauge")
	// ErrNoGauge means the gauge system has no such size.
	ErrNoGauge = errors.New("no such gauge")
	// ErrUnknown means the table has no material of that name.
	ErrUnknown = errors.New("unknown material")
	// ErrUnstated means the material does not state the property asked for.
	ErrUnstated = errors.New("not stated for this material")
)

// Error reports what a function of this package refused.
type Error struct {
	Op    string  // the function, "wire.ParseGauge"
	Name  string  // the argument, or the text that was given
	Value float64 // the number that was given; 0 where a text was
	Err   error   // ErrNotFinite, ErrDomain, …
	want  string  // what was expected
	text  bool    // Name is a text, there is no number
}

// Error returns operation, argument, value, cause and what was expected, on
// one line.
func (e *Error) Error() string {
	s := e.Op + ": "
	if e.text {
		s += strconv.Quote(e.Name)
	} else {
		s += e.Name + ": " + strconv.FormatFloat(e.Value, 'g', -1, 64)
	}
	s += ": " + e.Err.Error()
	if e.want != "" {
		s += "; " + e.want
	}
	return s
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// finite refuses NaN and the infinities.
func finite(op, name string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return &Error{Op: op, Name: name, Value: v, Err: ErrNotFinite, want: "want a finite number"}
	}
	return nil
}

// positive refuses what is not finite or not above zero; unit is for the text.
func positive(op, name string, v float64, unit string) error {
	if err := finite(op, name, v); err != nil {
		return err
	}
	if v <= 0 {
		return &Error{Op: op, Name: name, Value: v, Err: ErrDomain, want: "want more than 0 " + unit}
	}
	return nil
}

// notNegative refuses what is not finite or below zero.
func notNegative(op, name string, v float64, unit string) error {
	if err := finite(op, name, v); err != nil {
		return err
	}
	if v < 0 {
		return &Error{Op: op, Name: name, Value: v, Err: ErrDomain, want: "want 0 " + unit + " or more"}
	}
	return nil
}

// result refuses a value that has run out of the range of float64: an argument
// was finite but absurd, a length of 1e300 m for example.
func result(op, name string, v float64) (float64, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, &Error{Op: op, Name: name, Value: v, Err: ErrNotFinite, want: "the arguments are too large or too small together"}
	}
	return v, nil
}
