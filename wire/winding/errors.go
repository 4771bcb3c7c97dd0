// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
)

// Error says what was refused, with the value that was given and the cause; it is the
// error type of the whole module.
type Error = unit.Error

// The causes of the errors of this package, for errors.Is. Those that other packages
// declare too are the same values there.
var (
	ErrNotFinite = unit.ErrNotFinite
	// ErrDomain means an argument lies where the formula has no meaning or is
	// not good enough.
	ErrDomain = unit.ErrDomain
	// ErrUnreachable means no value of what was asked for does the job.
	ErrUnreachable = errors.New("cannot be reached")
)

// refuse returns the error about one number.
func refuse(op, name string, v float64, cause error, want string) error {
	return &Error{
		Op: op, Name: name, Value: v,
		Err: unit.Errorf(cause, "%s; %s", strconv.FormatFloat(v, 'g', -1, 64), want),
	}
}

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
			return domain(op, a, strings.TrimSpace("expected more than 0 "+a.unit))
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
			return domain(op, a, "expected 0 "+a.unit+" or more")
		}
	}
	return nil
}

// finite refuses NaN and the infinities.
func finite(op string, a arg) error {
	if math.IsNaN(a.value) || math.IsInf(a.value, 0) {
		return refuse(op, a.name, a.value, ErrNotFinite, "expected a finite number")
	}
	return nil
}

// domain is the refusal of an argument outside the domain.
func domain(op string, a arg, want string) error {
	return refuse(op, a.name, a.value, ErrDomain, want)
}

// unreachable is the refusal of a wish that no value fulfils.
func unreachable(op string, a arg, want string) error {
	return refuse(op, a.name, a.value, ErrUnreachable, want)
}

// result refuses a value that has run out of the range of float64.
func result(op, name string, v float64) (float64, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, refuse(op, name, v, ErrNotFinite,
			"expected arguments whose result float64 can hold")
	}
	return v, nil
}
