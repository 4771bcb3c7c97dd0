// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package wording

import (
	"fmt"

	"gonum.org/v1/gonum/stat/distuv"
)

// The bounds of a sum of squares that is too small to be chance.
const (
	enoughFreedom = 5    // the χ² of fewer says little: its 1 % point is 0.02 of 2, 0.30 of 4
	tooConsistent = 0.01 // probability of less: χ² below 0.55 of 5, 2.56 of 10 degrees
)

// AgreeTooWell reports whether chi-squared is below its 1 % point with 5 or more degrees of
// freedom: as much a sign of a wrong statement as one that is too large.
func AgreeTooWell(chiSquared float64, dof int) bool {
	// Negated, so that NaN is no reason to say anything.
	if dof < enoughFreedom || !(chiSquared >= 0) {
		return false
	}
	return chiSquared < onePerCentPoint(dof)
}

// onePerCentPoint is the χ² that readings whose statements are right stay below once in a hundred
// times.
func onePerCentPoint(dof int) float64 {
	return distuv.ChiSquared{K: float64(dof)}.Quantile(tooConsistent)
}

// TooWell says so of what agrees: "the readings agree better than …".
func TooWell(what string, chiSquared float64, dof int) string {
	return fmt.Sprintf("%s agree better than their uncertainties: chi-squared %.3g with %s, "+
		"below its 1 %% point. Limits, noise or contact are stated too large, or readings are "+
		"not independent.", what, chiSquared, Freedom(dof))
}
