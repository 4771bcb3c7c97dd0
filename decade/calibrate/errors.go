// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

import (
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// The causes of the errors and warnings of this package, for [errors.Is].
var (
	ErrDomain        = unit.ErrDomain
	ErrNotStated     = unit.ErrNotStated
	ErrContradiction = uncertainty.ErrContradiction
	ErrEmpty         = uncertainty.ErrEmpty
	ErrInconsistent  = uncertainty.ErrInconsistent
	ErrNoFreedom     = uncertainty.ErrNoFreedom
	ErrOpen          = uncertainty.ErrOpen
	ErrUndetermined  = uncertainty.ErrUndetermined
)

// Error says which setting, element or record was refused, with the value and the cause.
// It is the error type of all packages of the module. Any number of goroutines may read one
// at once.
type Error = unit.Error
