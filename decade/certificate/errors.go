// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate

import (
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// The causes of the errors of this package, for [errors.Is].
var (
	ErrDomain    = unit.ErrDomain
	ErrNotStated = unit.ErrNotStated
	ErrSyntax    = unit.ErrSyntax
	ErrUnknown   = unit.ErrUnknown
	ErrEmpty     = uncertainty.ErrEmpty
)

// Error says which part of a certificate or of a file was refused, with the value and the
// cause. It is the error type of all packages of the module. Any number of goroutines may
// read one at once.
type Error = unit.Error
