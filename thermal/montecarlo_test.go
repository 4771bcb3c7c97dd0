// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"testing"

	"example.com/ohmwright/uncertainty"
)

// Trials of a Monte Carlo run that leave the range near its end are continued, not
// lost.
func TestTrialsBeyondTheEnds(t *testing.T) {
	pt := Platinum(100)
	for _, q := range []uncertainty.Quantity{
		pt.ResistanceOf(uncertainty.Input("t", uncertainty.Normal(-199.9, 1))),
		pt.TemperatureOf(uncertainty.Input("r", uncertainty.Normal(18.53, 0.4))),
		pt.TemperatureOf(uncertainty.Input("r", uncertainty.Normal(390.48, 0.4))),
	} {
		sim, err := uncertainty.MonteCarlo{Trials: 10000, Seed: 1}.Run(t.Context(), q)
		if err != nil || sim.Invalid != 0 {
			t.Fatalf("%v", err)
		}
		near(t, "u", sim.Outputs[0].StandardUncertainty, evaluate(t, q).StandardUncertainty, 0.03)
	}
}
