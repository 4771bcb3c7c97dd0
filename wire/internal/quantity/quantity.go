// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package quantity

import (
	"math"

	"example.com/ohmwright/uncertainty"
)

// Of returns f of the arguments as a quantity of the given name.
//
// At the estimates f must accept its arguments: its own error, the clear one, is
// carried by the result. Away from them, in a derivative or in a Monte Carlo
// trial, a refusal is NaN, which the evaluations of package uncertainty count as
// an invalid trial.
func Of(name string, f func(x []float64) (float64, error), args ...uncertainty.Quantity) uncertainty.Quantity {
	x := make([]float64, len(args))
	sound := true
	for i, a := range args {
		x[i] = a.Estimate()
		sound = sound && a.Err() == nil
	}
	if sound {
		if _, err := f(x); err != nil {
			return uncertainty.Fail(err)
		}
	}
	return uncertainty.Call(name, func(x []float64) float64 {
		y, err := f(x)
		if err != nil {
			return math.NaN()
		}
		return y
	}, args...)
}
