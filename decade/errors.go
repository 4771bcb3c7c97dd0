// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"errors"
	"math"
	"strconv"

	"example.com/ohmwright/uncertainty/unit"
)

// The causes of errors of this package, for [errors.Is].
var (
	ErrNotFinite = unit.ErrNotFinite
	ErrDomain    = unit.ErrDomain
	ErrSyntax    = unit.ErrSyntax
	ErrNotStated = unit.ErrNotStated

	ErrPosition    = errors.New("no such position")
	ErrSharedDials = errors.New("both decades of a shared switch off zero")
	ErrNoSetting   = errors.New("no setting has this nominal value")
	ErrName        = errors.New("name used twice or not printable")
	ErrCode        = errors.New("code does not add up")
	ErrNoBox       = errors.New("no box")
	ErrCalibration = errors.New("calibration does not fit the box")
	ErrSearch      = errors.New("search too large")
)

// Error says which argument or field was refused, with its value and the cause:
// "decade.Op: name: cause". It is the error type of all packages of the module.
type Error = unit.Error

func text(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// finite refuses NaN and the infinities by name.
func finite(op, name string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return &Error{Op: op, Name: name, Value: v,
			Err: unit.Errorf(ErrNotFinite, "%v; expected a finite number", v)}
	}
	return nil
}

// notNegative refuses negative numbers too; symbol is the unit, for the message.
func notNegative(op, name, symbol string, v float64) error {
	if err := finite(op, name, v); err != nil {
		return err
	}
	if v < 0 {
		return &Error{Op: op, Name: name, Value: v, Err: unit.Errorf(ErrDomain, "%v%s; expected 0 or more", v, symbol)}
	}
	return nil
}
