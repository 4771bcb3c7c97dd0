// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit

import (
	"errors"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// The causes of the errors and warnings of this package, for errors.Is.
var (
	ErrNotFinite   = unit.ErrNotFinite
	ErrDomain      = unit.ErrDomain
	ErrPoints      = errors.New("too few points")
	ErrRank        = errors.New("parameters cannot be told apart")
	ErrCovariance  = uncertainty.ErrCovariance
	ErrConvergence = errors.New("no convergence")

	// Warnings of a Fit.
	ErrNoFreedom    = uncertainty.ErrNoFreedom
	ErrFewPoints    = errors.New("few degrees of freedom")
	ErrInconsistent = uncertainty.ErrInconsistent
)

// Error is the error type of the module. Op is the function or method, "fit.Line", and Name
// the argument; it is empty where the arguments together are refused. Err wraps one of the
// causes above, or is an error of package uncertainty.
type Error = unit.Error
