// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// Any distribution that tells its cumulative probability, for a viscosity between 12.5 and
// 16.3 mm²/s: JCGM 106:2012, 7.4 prints 0.93, 0.27 and p_c = 0.66.
func ExampleCDF() {
	var known conformity.CDF = distuv.Normal{Mu: 13.6, Sigma: 1.8}
	p, err := conformity.Probability(uncertainty.Interval{Lower: 12.5, Upper: 16.3}, known)
	fmt.Printf("%.2f - %.2f = %.2f %v\n", known.CDF(16.3), known.CDF(12.5), p, err)
	// Output: 0.93 - 0.27 = 0.66 <nil>
}

// The estimates that conform with 95 % when u is a quarter of the tolerance interval
// from 0 to 1: JCGM 106:2012, 7.7.5 prints 0.45 to 0.55.
func ExampleGuard() {
	guard, err := conformity.GuardForSpecificRisk(uncertainty.Interval{Lower: 0, Upper: 1}, 0.25, math.Inf(1), 0.05)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("w = %.2f leaves %.2f to %.2f\n", guard.Width, guard.Acceptance.Lower, guard.Acceptance.Upper)
	// Output: w = 0.45 leaves 0.45 to 0.55
}

// A process with a standard deviation of a third of the tolerance ±0.5, measured with
// C_m = 2 and without guard band: JCGM 106:2012, 9.5.6.2 prints R_C = 0.1 % and
// R_P = 1.5 %.
func ExampleGlobal() {
	tolerance := uncertainty.Interval{Lower: -0.5, Upper: 0.5}
	g, err := conformity.GlobalRisk(tolerance, tolerance, uncertainty.Normal(0, 1.0/6), 0.125)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("R_C = %.1f %%, R_P = %.1f %%\n", 100*g.Consumer, 100*g.Producer)
	fmt.Printf("%.1f %% conform, %.1f %% are accepted\n", 100*g.Conforming, 100*g.Accepted)
	// Output:
	// R_C = 0.1 %, R_P = 1.5 %
	// 99.7 % conform, 98.4 % are accepted
}

// How far a delivery may be trusted: of the accepted resistors of JCGM 106:2012, 9.5.3.2,
// 99 % conform, as printed there.
func ExampleGlobal_ConformingAmongAccepted() {
	g, err := conformity.GlobalRisk(uncertainty.Interval{Lower: 1499.8, Upper: 1500.2},
		uncertainty.Interval{Lower: 1499.82, Upper: 1500.18}, uncertainty.Normal(1500, 0.12), 0.04)
	fmt.Printf("%.0f %% %v\n", 100*g.ConformingAmongAccepted(), err)
	// Output: 99 % <nil>
}

// How many of the rejected are worth a second measurement, by a better meter: the wider
// the guard band, the more.
func ExampleGlobal_ConformingAmongRejected() {
	tolerance := uncertainty.Interval{Lower: 999, Upper: 1001}
	for _, w := range []float64{0, 0.1, 0.2} {
		accept := uncertainty.Interval{Lower: 999 + w, Upper: 1001 - w}
		g, err := conformity.GlobalRisk(tolerance, accept, uncertainty.Normal(1000, 0.5), 0.1)
		fmt.Printf("w = %.1f Ω: %.1f %% %v\n", w, 100*g.ConformingAmongRejected(), err)
	}
	// Output:
	// w = 0.0 Ω: 22.3 % <nil>
	// w = 0.1 Ω: 43.3 % <nil>
	// w = 0.2 Ω: 61.1 % <nil>
}

// Trials of a simulation, or of anything that can be repeated: what is known of the true
// value is their share on each side.
func ExampleSamples() {
	trials, err := conformity.NewSamples([]float64{99.96, 99.99, 100.00, 100.01, 100.03, 100.04,
		100.05, 100.08, 100.09, 100.12})
	if err != nil {
		fmt.Println(err)
		return
	}
	risk, err := conformity.SpecificRisk(uncertainty.Interval{Lower: 99.9, Upper: 100.1}, trials)
	fmt.Printf("outside with %.0f %% %v\n", 100*risk, err)
	// Output: outside with 10 % <nil>
}

// The share up to a value, which counts itself.
func ExampleSamples_CDF() {
	trials, err := conformity.NewSamples([]float64{9.9, 10.0, 10.0, 10.1})
	fmt.Println(trials.CDF(9.95), trials.CDF(10), trials.CDF(11), err)
	// Output: 0.25 0.75 1 <nil>
}
