// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"errors"
	"math"
	"strconv"

	"example.com/ohmwright/uncertainty/unit"
)

// The causes of the errors and warnings of this package, for errors.Is.
var (
	ErrNotFinite    = unit.ErrNotFinite
	ErrDomain       = unit.ErrDomain
	ErrSyntax       = unit.ErrSyntax
	ErrUnit         = unit.ErrUnit
	ErrUnitMismatch = unit.ErrUnitMismatch
	ErrRange        = unit.ErrRange
	ErrUnknown      = unit.ErrUnknown
	ErrNotStated    = unit.ErrNotStated

	ErrObservations = errors.New("too few observations")    // or series that do not fit together
	ErrCovariance   = errors.New("not a covariance matrix") // of a joint source
	ErrNoQuantity   = errors.New("the zero Quantity is no quantity (start a sum from Exact(0) " +
		"or use Sum)") // also a nil budget or output, and no measurand
	ErrNoDistribution = errors.New("no distribution")
	ErrSameName       = errors.New("two sources with one name: build the source once and share " +
		"it, or give the two different names")
	ErrSameID     = errors.New("two sources of one ID that are stated differently")
	ErrUnused     = errors.New("input not used by the formula") // by Formula and ReadModel
	ErrNoSolution = errors.New("no solution found")             // by Implicit

	// Warnings of a Budget. The figures are there, and right by the law of propagation; the text
	// says why they should not be used as they are.
	ErrNotNormal       = errors.New("coverage factor from a normal or t distribution does not fit")
	ErrExceedsBounds   = errors.New("expanded uncertainty exceeds the certain bound")
	ErrFirstOrder      = errors.New("the first-order result is not adequate")
	ErrSecondOrder     = errors.New("the second-order result is not adequate")
	ErrJointDOF        = errors.New("degrees of freedom of correlated inputs")
	ErrFewObservations = errors.New("few observations")
	ErrSharedName      = errors.New("different sources share a name")
	ErrSmallFactor     = errors.New("coverage factor below 1")
)

// Causes of errors that the packages above share, beside those of package unit.
var (
	ErrEmpty         = errors.New("nothing given")
	ErrContradiction = errors.New("contradiction")
	ErrNoFreedom     = errors.New("no degrees of freedom left")
	ErrUndetermined  = errors.New("undetermined")
	ErrOpen          = errors.New("open circuit")
)

// Error is the error type of the module. In this package Op is the function or operation,
// Name the argument, the input quantity, or the inputs below an operation.
type Error = unit.Error

// refused is the refusal of an argument by an operation. A check of the argument knows the
// value and not the operation: its *Error is completed. One of another operation stays
// whole below.
func refused(op, name string, err error) *Error {
	refusal := &Error{Op: op, Name: name, Err: err}
	// errors.As would find a completed one further down, too.
	if e, ok := err.(*Error); ok {
		refusal.Value = e.Value
		if e.Op == "" {
			refusal.Err = e.Err
		}
	}
	return refusal
}

// refusal is the refusal of v by a function of this package, op without "uncertainty.".
func refusal(op string, v float64, cause error, format string, args ...any) error {
	return &Error{Op: "uncertainty." + op, Value: v, Err: unit.Errorf(cause, format, args...)}
}

// fewObservations is the refusal of n observations.
func fewObservations(op string, n int, expected string) error {
	return refusal(op, float64(n), ErrObservations, "%s; expected %s",
		unit.Counted(n, "observation", "observations"), expected)
}

// number refuses an argument that is not finite; what is its name in the text. As all
// checks of arguments it returns an *Error without an operation, which the caller completes (see
// refused and firstRefusal): a check does not know on whose behalf it is made.
func number(what string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return &Error{Value: v, Err: unit.Errorf(ErrNotFinite, "%s is %v; expected a finite number",
			what, v)}
	}
	return nil
}

// format writes the shortest number that reads back as v.
func format(v float64) string {
	// A negative zero that came out of a difference would be printed as -0.
	if v == 0 {
		v = 0 // no sign
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}
