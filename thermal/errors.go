// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"math"
	"strconv"
	"strings"
)

// The causes of the errors of this package, for errors.Is.
var (
	ErrNotFinite    = errors.New("not a finite number")
	ErrDomain       = errors.New("outside the domain")
	ErrUnknown      = errors.New("unknown name")
	ErrObservations = errors.New("too few observations")
	ErrLengths      = errors.New("lengths differ")
	ErrRunaway      = errors.New("thermal runaway, no steady state")
)

// Error says which argument was refused, with its value, the cause and what was
// expected. Its text is "thermal.Op: name: value: cause; what was expected".
type Error struct {
	Op    string  // function or Type.Method
	Name  string  // argument or field
	Value float64 // what was given; meaningless for causes about text
	Err   error   // one of the sentinels of the package

	given string // replaces Value in the text: a name, for example
	want  string
}

// Error returns function, argument, value, cause and what was expected, on one line.
func (e *Error) Error() string {
	given := e.given
	if given == "" {
		given = text(e.Value)
	}
	var b strings.Builder
	b.WriteString("thermal." + e.Op + ": " + e.Name + ": " + given + ": " + e.Err.Error())
	if e.want != "" {
		b.WriteString("; " + e.want)
	}
	return b.String()
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// text is the shortest form that reads back as v.
func text(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// absoluteZero is 0 K in °C.
const absoluteZero = -273.15

// number refuses NaN and the infinities.
func number(op, name string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return &Error{Op: op, Name: name, Value: v, Err: ErrNotFinite, want: "expected a finite number"}
	}
	return nil
}

// temperature refuses what is no temperature in °C.
func temperature(op, name string, t float64) error {
	if err := number(op, name, t); err != nil {
		return err
	}
	if t < absoluteZero {
		return domain(op, name, t, "expected a temperature from -273.15 °C up")
	}
	return nil
}

// positive refuses what is not a number above 0 of that unit.
func positive(op, name string, v float64, unit string) error {
	if err := number(op, name, v); err != nil {
		return err
	}
	if v <= 0 {
		return domain(op, name, v, "expected a number of "+unit+" above 0")
	}
	return nil
}

func domain(op, name string, v float64, want string) error {
	return &Error{Op: op, Name: name, Value: v, Err: ErrDomain, want: want}
}

// result refuses a computed number that left the range of float64.
func result(op, name string, v float64) (float64, error) {
	if err := number(op, name, v); err != nil {
		return 0, err
	}
	return v, nil
}
