// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// At the peak the first-order sensitivity to temperature vanishes; the second
// order is left: β u² for the estimate, √2 |β| u² for the uncertainty (normal t).
func TestSecondOrderAtThePeak(t *testing.T) {
	at := uncertainty.Input("t", uncertainty.Normal(25, 2))
	q := NewLaw(25, 0, -0.5e-6).RatioOf(at)
	if u := evaluate(t, q).StandardUncertainty; u != 0 {
		t.Errorf("first order u = %v, want 0", u)
	}
	b, err := uncertainty.SecondOrder(q)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "second-order u", b.StandardUncertainty, math.Sqrt2*0.5e-6*4, 1e-9)
}

// Trials of a Monte Carlo run that leave the range near its end are continued, not
// lost.
func TestTrialsBeyondTheEnds(t *testing.T) {
	pt := Platinum(100)
	for _, q := range []uncertainty.Quantity{
		pt.ResistanceOf(uncertainty.Input("t", uncertainty.Normal(-199.9, 1))),
		pt.ValueOf(uncertainty.Input("r", uncertainty.Normal(18.53, 0.4))),
		pt.ValueOf(uncertainty.Input("r", uncertainty.Normal(390.48, 0.4))),
	} {
		sim, err := uncertainty.MonteCarlo{Trials: 10000, Seed: 1}.Run(t.Context(), q)
		if err != nil || sim.Invalid != 0 {
			t.Fatalf("%v", err)
		}
		near(t, "u", sim.Outputs[0].StandardUncertainty, evaluate(t, q).StandardUncertainty, 0.03)
	}
}
