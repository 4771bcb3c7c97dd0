// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"errors"
	"math"
	"strconv"
)

// Causes of an [Error], for errors.Is.
var (
	// ErrNotFinite means an argument is NaN or infinite.
	ErrNotFinite = errors.New("not finite")
	// ErrDomain means an argument lies where the formula has no meaning or is
	// not good enough.
	ErrDomain = errors.New("out of domain")
	// ErrUnreachable means no value of what was asked for does the job.
	ErrUnreachable = errors.New("cannot be reached")
)

// Error reports what a function of this package refused.
type Error struct {
	Op    string  // the function, "winding.Pad"
	Name  string  // the argument
	Value float64 // what was given
	Err   error   // ErrNotFinite, ErrDomain, …
	want  string  // what was expected
}

// Error returns operation, argument, value, cause and what was expected, on
// one line.
func (e *Error) Error() string {
	s := e.Op + ": " + e.Name + ": " + strconv.FormatFloat(e.Value, 'g', -1, 64) + ": " + e.Err.Error()
	if e.want != "" {
		s += "; " + e.want
	}
	return s
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// arg is a named argument with its unit, for the checks.
type arg struct {
	name  string
	value float64
	unit  string
}

// positive refuses the first argument that is not finite or not above zero.
func positive(op string, args ...arg) error {
	for _, a := range args {
		if err := finite(op, a); err != nil {
			return err
		}
		if a.value <= 0 {
			return &Error{Op: op, Name: a.name, Value: a.value, Err: ErrDomain, want: "want more than 0 " + a.unit}
		}
	}
	return nil
}

// notNegative refuses the first argument that is not finite or below zero.
func notNegative(op string, args ...arg) error {
	for _, a := range args {
		if err := finite(op, a); err != nil {
			return err
		}
		if a.value < 0 {
			return &Error{Op: op, Name: a.name, Value: a.value, Err: ErrDomain, want: "want 0 " + a.unit + " or more"}
		}
	}
	return nil
}

func finite(op string, a arg) error {
	if math.IsNaN(a.value) || math.IsInf(a.value, 0) {
		return &Error{Op: op, Name: a.name, Value: a.value, Err: ErrNotFinite, want: "want a finite number"}
	}
	return nil
}

func domain(op string, a arg, want string) error {
	return &Error{Op: op, Name: a.name, Value: a.value, Err: ErrDomain, want: want}
}

// result refuses a value that has run out of the range of float64.
func result(op, name string, v float64) (float64, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, &Error{Op: op, Name: name, Value: v, Err: ErrNotFinite, want: "the arguments are too large or too small together"}
	}
	return v, nil
}
