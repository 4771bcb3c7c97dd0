// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"example.com/ohmwright/uncertainty/unit"
)

// Event returns the indicator of an event: 1 where it happens for the values of args, given
// in their order, and 0 where it does not. Its mean over the trials of [MonteCarlo.Run], the
// Estimate of that output, is the probability of the event, with what the trials make of it
// in Sampling.Estimate. Run it beside the measurands themselves and it is decided by the same
// trials:
//
//	inside := uncertainty.Event("inside", func(x []float64) bool {
//		return x[0] < 5 && x[1] < 5
//	}, a, b)
//	s, err := uncertainty.MonteCarlo{}.Run(ctx, a, b, inside)
//
// A trial with an argument that is not finite is invalid, as elsewhere. An indicator is not a
// smooth function: [Evaluate] warns of its result ([ErrFirstOrder]). The function may be called
// from several goroutines at once.
func Event(name string, happens func(x []float64) bool, args ...Quantity) Quantity {
	if happens == nil {
		return Fail(&Error{Op: "uncertainty.Event", Name: name,
			Err: unit.Errorf(ErrDomain, "function is nil; expected a function")})
	}
	q := CallWithGradient(name, func(x []float64) float64 {
		// A comparison with NaN would be false and count as "does not happen".
		for _, v := range x {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return math.NaN()
			}
		}
		if happens(x) {
			return 1
		}
		return 0
	}, func(gradient, _ []float64) { clear(gradient) }, args...)
	if m, ok := q.n.aux.(*many); ok {
		// The slope of 0 is worth nothing: the event may begin within any step. A doubt of 1/bound
		// says that one bound of the argument, its greatest possible u, may change the indicator by
		// 1, which stepFinding then reports.
		m.call.doubt = make([]float64, len(m.args))
		for i, a := range m.args {
			if a.bound > 0 {
				m.call.doubt[i] = 1 / a.bound
			}
		}
	}
	return q
}
