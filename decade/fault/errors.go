// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"errors"
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// The causes of errors of this package, for [errors.Is]. Those that other packages
// declare too are the same values there.
var (
	ErrNotFinite     = unit.ErrNotFinite
	ErrDomain        = unit.ErrDomain
	ErrEmpty         = uncertainty.ErrEmpty
	ErrOpen          = uncertainty.ErrOpen
	ErrUndetermined  = uncertainty.ErrUndetermined
	ErrContradiction = uncertainty.ErrContradiction
	ErrPlace         = errors.New("no such place")

	// Warnings of a Diagnosis.
	ErrNotStated   = unit.ErrNotStated
	ErrUnexplained = errors.New("no cause explains the readings")
)

// Error says what was refused, with its value and the cause; it is the error type of
// every package of the module. Any number of goroutines may read one at once.
type Error = unit.Error

// refuse returns the error of an operation. The text says what was given and what was
// expected; value is the number or the text that was given, nil where there is none.
func refuse(op, name string, value any, cause error, format string, args ...any) error {
	return &Error{Op: op, Name: name, Value: value, Err: unit.Errorf(cause, format, args...)}
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
