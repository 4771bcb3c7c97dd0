// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"errors"
	"fmt"
	"math"
	"strconv"
)

// The causes of errors of this package, for [errors.Is].
var (
	ErrNotFinite   = errors.New("not a finite number")
	ErrDomain      = errors.New("outside the allowed range")
	ErrPosition    = errors.New("no such position")
	ErrSharedDials = errors.New("both decades of a shared switch off zero")
	ErrNoSetting   = errors.New("no setting has this nominal value")
	ErrSyntax      = errors.New("not of the expected form")
	ErrName        = errors.New("name used twice or not printable")
	ErrCode        = errors.New("code does not add up")
	ErrNoBox       = errors.New("no box")
	ErrCalibration = errors.New("calibration does not fit the box")
	ErrNotStated   = errors.New("not stated in the description")
	ErrSearch      = errors.New("search too large")
)

// Error says which argument or field was refused, with its value and the cause. Its
// text is "decade.Op: name: cause"; the cause gives the value and what was expected.
type Error struct {
	Op    string  // function or method
	Name  string  // argument or field; may be empty
	Value float64 // what was given; 0 where there is no number to speak of
	Err   error   // wraps one of the causes of this package, or that of another one
}

func (e *Error) Error() string {
	s := "decade." + e.Op + ": "
	if e.Name != "" {
		s += e.Name + ": "
	}
	return s + e.Err.Error()
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// cause is an error text of which errors.Is finds the sentinel.
type cause struct {
	sentinel error
	text     string
}

func (c *cause) Error() string { return c.text }
func (c *cause) Unwrap() error { return c.sentinel }

func because(sentinel error, format string, args ...any) error {
	return &cause{sentinel, fmt.Sprintf(format, args...)}
}

func text(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// finite refuses NaN and the infinities by name.
func finite(op, name string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return &Error{op, name, v, because(ErrNotFinite, "%v; expected a finite number", v)}
	}
	return nil
}

// notNegative refuses negative numbers too; unit is for the message.
func notNegative(op, name, unit string, v float64) error {
	if err := finite(op, name, v); err != nil {
		return err
	}
	if v < 0 {
		return &Error{op, name, v, because(ErrDomain, "%v%s; expected 0 or more", v, unit)}
	}
	return nil
}
