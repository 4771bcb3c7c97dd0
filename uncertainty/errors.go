// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"errors"
	"math"
	"strconv"
	"strings"

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

	ErrObservations   = errors.New("too few observations")
	ErrCovariance     = errors.New("not a covariance matrix")
	ErrNoQuantity     = errors.New("the zero Quantity is no quantity (start a sum from Exact(0) or use Sum)")
	ErrNoDistribution = errors.New("no distribution")
	ErrSameName       = errors.New("two sources of one name: build the source once and share it, or give the two different names")
	ErrSameID         = errors.New("two sources of one ID that are stated differently")
	ErrUnused         = errors.New("input not used by the formula")

	// Warnings of a Budget.
	ErrNotNormal       = errors.New("coverage factor from a normal or t distribution does not fit")
	ErrExceedsBounds   = errors.New("expanded uncertainty exceeds the certain bound")
	ErrFirstOrder      = errors.New("first-order term vanishes")
	ErrJointDOF        = errors.New("degrees of freedom of correlated inputs")
	ErrFewObservations = errors.New("few observations")
	ErrSharedName      = errors.New("different sources share a name")
)

// Causes of errors that the packages above share, beside those of package unit.
var (
	ErrEmpty         = errors.New("nothing given")
	ErrContradiction = errors.New("contradiction")
	ErrNoFreedom     = errors.New("no degrees of freedom left")
	ErrUndetermined  = errors.New("undetermined")
	ErrOpen          = errors.New("open circuit")
)

// Error says which argument or input was refused, with its value and the cause.
// Its text is `uncertainty.Op: "name": cause`; the cause says what was given and what
// was expected.
type Error struct {
	Op    string  // function or operation
	Name  string  // argument, input quantity, or the inputs below an operation; may be empty
	Value float64 // what was given, where one number says it; the text of Err says it in any case
	Err   error   // wraps one of the sentinels of the package
}

func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString("uncertainty")
	if e.Op != "" {
		b.WriteString("." + e.Op)
	}
	b.WriteString(": ")
	if e.Name != "" {
		b.WriteString(strconv.Quote(e.Name) + ": ")
	}
	if e.Err == nil {
		return b.String() + "unknown cause"
	}
	b.WriteString(e.Err.Error())
	return b.String()
}

func (e *Error) Unwrap() error { return e.Err }

// cause joins a sentinel with the particulars of one case: the text is the
// detail followed by what was expected; errors.Is finds the sentinel.
type cause struct {
	sentinel error
	text     string
	value    float64 // the number at fault, if there is one
}

func (c *cause) Error() string { return c.text }
func (c *cause) Unwrap() error { return c.sentinel }

func because(sentinel error, text string) error { return &cause{sentinel: sentinel, text: text} }

// becauseOf is because for one number v at fault.
func becauseOf(v float64, sentinel error, text string) error { return &cause{sentinel, text, v} }

// valueOf is the number at fault in err, 0 if there is none.
func valueOf(err error) float64 {
	if c, ok := err.(*cause); ok {
		return c.value
	}
	return 0
}

// number checks one argument: what is its name in the text.
func number(what string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return becauseOf(v, ErrNotFinite, what+" is "+format(v)+"; expected a finite number")
	}
	return nil
}

// counted is a number of things: "1 row", "2 rows".
func counted(n int, one, several string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + several
}

func format(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
