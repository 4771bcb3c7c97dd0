// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit

import (
	"errors"
	"strconv"
	"strings"
)

// The causes of the errors and warnings of this package, for errors.Is.
var (
	ErrNotFinite   = errors.New("not a finite number")
	ErrDomain      = errors.New("outside the domain")
	ErrPoints      = errors.New("too few points")
	ErrRank        = errors.New("parameters cannot be told apart")
	ErrCovariance  = errors.New("covariance matrix of the readings cannot be inverted")
	ErrConvergence = errors.New("no convergence")

	// Warnings of a Fit.
	ErrNoFreedom    = errors.New("no degrees of freedom left")
	ErrFewPoints    = errors.New("few degrees of freedom")
	ErrInconsistent = errors.New("scatter and stated uncertainties do not fit together")
)

// Error says which argument was refused, with its value and the cause.
type Error struct {
	Op    string  // the function or method, "Line"
	Name  string  // the argument; empty where the arguments together are refused
	Value float64 // what was given; 0 where Name is empty
	Err   error   // wraps one of the sentinels of this package, or an error of package uncertainty
}

// Error returns function, argument, value, cause and what was expected, on one line.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString("fit." + e.Op + ": ")
	if e.Name != "" {
		b.WriteString(e.Name + ": " + strconv.FormatFloat(e.Value, 'g', -1, 64) + ": ")
	}
	b.WriteString(e.Err.Error())
	return b.String()
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// cause joins a sentinel with the particulars of one case.
type cause struct {
	sentinel error
	text     string
}

func (c *cause) Error() string { return c.sentinel.Error() + ": " + c.text }
func (c *cause) Unwrap() error { return c.sentinel }

func because(sentinel error, text string) error { return &cause{sentinel, text} }
