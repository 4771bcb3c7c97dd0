// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"errors"
	"fmt"
	"math"
)

// The causes of errors of this package, for [errors.Is].
var (
	ErrNotFinite     = errors.New("not a finite number")
	ErrDomain        = errors.New("outside the allowed range")
	ErrEmpty         = errors.New("nothing to work with")
	ErrOpen          = errors.New("the circuit is open everywhere")
	ErrUndetermined  = errors.New("the readings determine nothing")
	ErrContradiction = errors.New("contradiction")
	ErrPlace         = errors.New("no such place")

	// Warnings of a Diagnosis.
	ErrNotStated   = errors.New("not stated")
	ErrUnexplained = errors.New("no cause explains the readings")
)

// Error says what was refused, with its value and the cause.
type Error struct {
	Op    string  // function or method
	Name  string  // argument or field; may be empty
	Value float64 // what was given; 0 where there is no number to speak of
	Err   error   // wraps one of the causes of this package, or that of another one
}

func (e *Error) Error() string {
	s := "fault." + e.Op + ": "
	if e.Name != "" {
		s += e.Name + ": "
	}
	return s + e.Err.Error()
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

type cause struct {
	sentinel error
	text     string
}

func (c *cause) Error() string { return c.text }
func (c *cause) Unwrap() error { return c.sentinel }

func because(sentinel error, format string, args ...any) error {
	return &cause{sentinel, fmt.Sprintf(format, args...)}
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
