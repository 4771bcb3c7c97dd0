// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package network

import (
	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/uncertainty/unit"
)

// The causes of errors of this package, for [errors.Is].
var (
	ErrNotFinite = unit.ErrNotFinite
	ErrDomain    = unit.ErrDomain
	ErrPosition  = decade.ErrPosition
	ErrSearch    = decade.ErrSearch
)

// Error says which argument or field was refused, with its value and the cause. It is the
// error type of all packages of the module. Any number of goroutines may read one at once.
type Error = unit.Error

// Bounds of a resistor, in Ω: those of the steps of a box. Beyond them conductances and products
// would leave the range of a number.
const (
	smallestOhms = 1e-12
	largestOhms  = 1e18
)

// checkOhms refuses a resistance beyond the bounds; 0 is none unless zero says so.
func checkOhms(op, name string, ohms float64, zero bool) error {
	if err := numbers.NotNegative(op, name, " Ω", ohms); err != nil {
		return err
	}
	switch {
	case ohms >= smallestOhms && ohms <= largestOhms, ohms == 0 && zero:
		return nil
	case ohms == 0:
		return numbers.Positive(op, name, " Ω", ohms)
	case zero:
		return &Error{Op: op, Name: name, Value: ohms, Err: unit.Errorf(ErrDomain,
			"%v Ω; expected 0 or %.0e to %.0e Ω", ohms, smallestOhms, largestOhms)}
	}
	return &Error{Op: op, Name: name, Value: ohms, Err: unit.Errorf(ErrDomain,
		"%v Ω; expected %.0e to %.0e Ω", ohms, smallestOhms, largestOhms)}
}

const (
	mostStages   = 16  // as a box has dials
	mostPosition = 255 // of one dial, and resistors of one stage
)
