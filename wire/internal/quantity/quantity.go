// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package quantity

import (
	"math"
	"slices"

	"example.com/ohmwright/uncertainty"
)

// A Function is a function of numbers that has a twin of quantities.
type Function struct {
	Name   string   // of the result
	Unit   string   // of the result
	Units  []string // of the arguments; "": a number
	Of     func(x []float64) (float64, error)
	Change func(dst, x []float64) // partial derivatives; nil: differences
}

// Of returns the function of the arguments as a quantity. An argument that states another
// unit than the function takes is refused by the evaluation.
//
// At the estimates f must accept its arguments: its own error, the clear one, is
// carried by the result. Away from them, in a derivative or in a Monte Carlo
// trial, a refusal is NaN, which the evaluations of package uncertainty count as
// an invalid trial.
func Of(f Function, args ...uncertainty.Quantity) uncertainty.Quantity {
	x := make([]float64, len(args))
	sound := true
	for i, a := range args {
		x[i] = a.Estimate()
		sound = sound && a.Err() == nil
	}
	// Only sound arguments are tried: of wrong ones the result carries what is wrong already.
	if sound {
		if _, err := f.Of(x); err != nil {
			return uncertainty.Fail(err)
		}
	}
	// Exact numbers and quantities of no unit take the one that the function states.
	inUnits := slices.Clone(args)
	for i, u := range f.Units {
		if u != "" {
			inUnits[i] = args[i].InUnit(u)
		}
	}
	q := uncertainty.CallWithGradient(f.Name, func(x []float64) float64 {
		y, err := f.Of(x)
		if err != nil {
			return math.NaN()
		}
		return y
	}, f.Change, inUnits...)
	// The units of the arguments may say more.
	return q.DefaultUnit(f.Unit)
}
