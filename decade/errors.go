// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"errors"
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
// "decade.Op: name: cause". It is the error type of all packages of the module. Any number of
// goroutines may read one at once.
type Error = unit.Error

// text writes a number with the fewest digits that read back as it.
func text(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
