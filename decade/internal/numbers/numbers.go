// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package numbers

import (
	"math"

	"example.com/ohmwright/uncertainty/unit"
)

// IsFinite reports whether v is neither NaN nor infinite.
func IsFinite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// Finite refuses NaN and the infinities by name.
func Finite(op, name string, v float64) error {
	if !IsFinite(v) {
		return &unit.Error{Op: op, Name: name, Value: v,
			Err: unit.Errorf(unit.ErrNotFinite, "%v; expected a finite number", v)}
	}
	return nil
}

// NotNegative refuses negative numbers too.
func NotNegative(op, name, symbol string, v float64) error {
	if err := Finite(op, name, v); err != nil {
		return err
	}
	if v < 0 {
		return &unit.Error{Op: op, Name: name, Value: v,
			Err: unit.Errorf(unit.ErrDomain, "%v%s; expected 0 or more", v, symbol)}
	}
	return nil
}

// Positive refuses zero too.
func Positive(op, name, symbol string, v float64) error {
	if err := Finite(op, name, v); err != nil {
		return err
	}
	if v <= 0 {
		return &unit.Error{Op: op, Name: name, Value: v,
			Err: unit.Errorf(unit.ErrDomain, "%v%s; expected more than 0", v, symbol)}
	}
	return nil
}

// Fraction refuses a limit that is negative, or 1 or more: most likely a percentage.
func Fraction(op, name string, v float64) error {
	if err := NotNegative(op, name, "", v); err != nil {
		return err
	}
	if v >= 1 {
		return &unit.Error{Op: op, Name: name, Value: v, Err: unit.Errorf(unit.ErrDomain,
			"%v, that is %v %%; expected a fraction below 1 (0.0005 for 0.05 %%)", v, 100*v)}
	}
	return nil
}
