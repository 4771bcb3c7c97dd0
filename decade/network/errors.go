// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package network

import (
	"example.com/ohmwright/decade"
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

const (
	mostStages   = 16  // as a box has dials
	mostPosition = 255 // of one dial, and resistors of one stage
)
