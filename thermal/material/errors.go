// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package material

import (
	"math"
	"strconv"

	"example.com/ohmwright/uncertainty/unit"
)

// Error says what was refused, with the value that was given and the cause; it is the
// error type of the whole module.
type Error = unit.Error

// The causes of the errors of this package, for errors.Is. Those that other packages
// declare too are the same values there.
var (
	ErrNotFinite = unit.ErrNotFinite
	ErrDomain    = unit.ErrDomain
	ErrSyntax    = unit.ErrSyntax
	ErrUnknown   = unit.ErrUnknown
	// ErrNotStated means that the material does not state the property asked for.
	ErrNotStated = unit.ErrNotStated
)

// text is the shortest number that reads back.
func text(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// refuse returns the error about one number.
func refuse(op, name string, v float64, cause error, want string) error {
	return &Error{Op: op, Name: name, Value: v, Err: unit.Errorf(cause, "%s; %s", text(v), want)}
}

// unstated returns the error about a property that the material lacks.
func (m Material) unstated(op, what string) error {
	name := m.Name
	if name == "" {
		name = "material"
	}
	return &Error{Op: op, Name: name, Err: unit.Errorf(ErrNotStated, "%s not stated; expected one",
		what)}
}

// checkFinite refuses NaN and the infinities.
func checkFinite(op, name string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return refuse(op, name, v, ErrNotFinite, "expected a finite number")
	}
	return nil
}

// checkPositive refuses what is not finite or not above zero; unit is for the text.
func checkPositive(op, name string, v float64, unit string) error {
	if err := checkFinite(op, name, v); err != nil {
		return err
	}
	if v <= 0 {
		return refuse(op, name, v, ErrDomain, "expected more than 0 "+unit)
	}
	return nil
}

// finiteResult refuses a value that has run out of the range of float64.
func finiteResult(op, name string, v float64) (float64, error) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, refuse(op, name, v, ErrNotFinite,
			"expected arguments whose result float64 can hold")
	}
	return v, nil
}
