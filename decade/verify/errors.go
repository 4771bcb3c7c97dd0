// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// The causes of the errors and warnings of this package, for errors.Is.
var (
	ErrNotFinite     = errors.New("not a finite number")
	ErrDomain        = errors.New("outside the domain")
	ErrSyntax        = errors.New("not understood")
	ErrUnknown       = errors.New("unknown")
	ErrContradiction = errors.New("contradiction")
	ErrRange         = errors.New("no range can show it")
	ErrEmpty         = errors.New("nothing to read")
	ErrTooLong       = errors.New("too long")

	// Of fits and calibrations.
	ErrUndetermined = errors.New("elements undetermined")
	ErrOpen         = errors.New("open circuit")
	ErrInconsistent = errors.New("readings contradict each other")
	ErrNoFreedom    = errors.New("nothing left to check")

	// Warnings of a Report.
	ErrNotStated = errors.New("not stated")
	ErrTooCoarse = errors.New("meter too coarse to decide")
	ErrAsFound   = errors.New("as-found failure")
)

// Error says which field, line or reading was refused, with the value and the cause.
type Error struct {
	Op    string  // function, or file being read
	Name  string  // field, line, setting
	Value float64 // what was given; meaningless where Err has no number to speak of
	Err   error
}

func (e *Error) Error() string {
	parts := []string{"verify." + e.Op}
	if e.Name != "" {
		parts = append(parts, e.Name)
	}
	return strings.Join(append(parts, e.Err.Error()), ": ")
}

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

// notNegative refuses a number that is not finite or below 0.
func notNegative(op, name string, v float64) error {
	switch {
	case !finite(v):
		return &Error{op, name, v, because(ErrNotFinite, "%v; expected a finite number", v)}
	case v < 0:
		return &Error{op, name, v, because(ErrDomain, "%v; expected 0 or more", v)}
	}
	return nil
}
