// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate

import (
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// The causes of the errors of this package, for [errors.Is].
var (
	ErrDomain    = unit.ErrDomain       // a number, date or interval outside what it can be
	ErrNotStated = unit.ErrNotStated    // a required part is missing, or a number is NaN
	ErrSyntax    = unit.ErrSyntax       // XML, a text, a date or a number in another form
	ErrUnknown   = unit.ErrUnknown      // a word for which there is no meaning here
	ErrEmpty     = uncertainty.ErrEmpty // no report, no reading or no row
)

// Error says which part of a certificate or of a file was refused, with the value and the
// cause. It is the error type of all packages of the module. Any number of goroutines may
// read one at once.
type Error = unit.Error
