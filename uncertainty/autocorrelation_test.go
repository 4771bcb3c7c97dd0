// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// NIST certifies the coefficient at lag 1. It does not depend on the scale: the data
// are entered in units of their last decimal, which float64 holds exactly.
func TestPublishedAutocorrelation(t *testing.T) {
	for _, row := range []struct {
		name    string
		scale   float64
		printed string
	}{
		{"Michelso", 100, "0.535199668621283"}, {"Mavro", 1e4, "0.937989183438248"}, {"NumAcc1", 1, "-0.5"},
		{"NumAcc2", 10, "-0.999"}, {"NumAcc3", 10, "-0.999"}, {"NumAcc4", 10, "-0.999"},
	} {
		for _, d := range readDatasets(t) {
			if d.Name != row.name {
				continue
			}
			whole := make([]float64, len(d.fullData))
			for i, v := range d.fullData {
				whole[i] = math.Round(v * row.scale)
			}
			r, err := uncertainty.Autocorrelation(whole, 1)
			if err != nil || r[0] != 1 {
				t.Fatalf("%s: %v, %v", d.Name, r, err)
			}
			uncertaintytest.Published{Name: d.Name, Source: d.Source, Place: d.Place,
				Provenance: d.Provenance, Printed: row.printed}.Run(t, r[1])
		}
	}
}

// series is an autoregressive one: each value keeps a part of the one before.
func series(random *rand.Rand, n int, keep float64) []float64 {
	x := make([]float64, n)
	last := random.NormFloat64()
	for i := range x {
		x[i] = 5 + last
		last = keep*last + math.Sqrt(1-keep*keep)*random.NormFloat64()
	}
	return x
}

// The mean of simulated series scatters as stated. The variance of the mean of an
// autoregressive series is known: σ²/n·((1+a)/(1−a) − 2a(1−aⁿ)/(n(1−a)²)) (textbook).
func TestAutocorrelatedMeanAgainstSimulation(t *testing.T) {
	// The simulated variance is known to √(2/runs) of itself, the share to √(0.0475/runs):
	// the limits are about three of these.
	runs, known3, share3 := 300.0, 0.25, 0.038
	if uncertaintytest.Long() {
		runs, known3, share3 = 1500, 0.12, 0.02
	}
	for _, keep := range []float64{0, 0.3, 0.6, 0.8} {
		const n = 200
		random := rand.New(rand.NewPCG(4, uint64(100*keep)))
		var scatter, stated float64
		inside := 0
		for range int(runs) {
			d := uncertainty.TypeAAutocorrelated(series(random, n, keep)...)
			b := evaluate(t, uncertainty.Input("x", d))
			scatter += (b.Estimate - 5) * (b.Estimate - 5) / runs
			stated += b.StandardUncertainty * b.StandardUncertainty / runs
			if b.Expanded.Contains(5) {
				inside++
			}
		}
		known := ((1+keep)/(1-keep) - 2*keep*(1-math.Pow(keep, n))/(n*(1-keep)*(1-keep))) / n
		if ratio := scatter / known; math.Abs(ratio-1) > known3 {
			t.Errorf("keep %v: simulated variance %v of the known one", keep, ratio)
		}
		if ratio := stated / known; ratio < 0.95 || ratio > 1.25 { // the cut at zero is on the cautious side
			t.Errorf("keep %v: stated variance %v of the known one", keep, ratio)
		}
		if share := float64(inside) / runs; math.Abs(share-0.945) > share3+0.005 {
			t.Errorf("keep %v: 95 %% interval holds the truth in %v of the runs", keep, share)
		}
		if naive := 1 / float64(n); keep >= 0.6 && known < 3*naive {
			t.Errorf("keep %v: no difference to a naive evaluation", keep)
		}
	}
}

func TestAutocorrelatedSpecialSeries(t *testing.T) {
	alternating := make([]float64, 40)
	for i := range alternating {
		alternating[i] = float64(i % 2)
	}
	a, plain := evaluate(t, uncertainty.Input("x",
		uncertainty.TypeAAutocorrelated(alternating...))),
		evaluate(t, uncertainty.Input("x", uncertainty.TypeA(alternating...)))
	if !near(a.StandardUncertainty, plain.StandardUncertainty, 1e-12) || a.DOF != plain.DOF ||
		a.Components[0].Type != uncertainty.EvaluationA {
		t.Errorf("alternating series: u %v, dof %v; want %v, %v as without correlation",
			a.StandardUncertainty, a.DOF, plain.StandardUncertainty, plain.DOF)
	}
	if b := evaluate(t, uncertainty.Input("x",
		uncertainty.TypeAAutocorrelated(3, 3, 3, 3, 3, 3, 3, 3))); b.Estimate != 3 ||
		b.StandardUncertainty != 0 {
		t.Errorf("constant series: %v, u %v; want 3, 0", b.Estimate, b.StandardUncertainty)
	}
	ramp := make([]float64, 50)
	for i := range ramp {
		ramp[i] = float64(i)
	}
	for _, c := range []struct {
		name string
		d    uncertainty.Distribution
		want error
	}{
		{"drift", uncertainty.TypeAAutocorrelated(ramp...), uncertainty.ErrCorrelated},
		{"drift is too few observations", uncertainty.TypeAAutocorrelated(ramp...), uncertainty.ErrObservations},
		{"seven observations", uncertainty.TypeAAutocorrelated(1, 2, 3, 4, 5, 6, 7), uncertainty.ErrObservations},
		{"NaN", uncertainty.TypeAAutocorrelated(1, 2, 3, 4, 5, 6, 7, math.NaN()), uncertainty.ErrNotFinite},
	} {
		if _, err := uncertainty.Evaluate(uncertainty.Input("x", c.d)); !errors.Is(err, c.want) {
			t.Errorf("%s: %v; want %v", c.name, err, c.want)
		}
	}
}

func TestAutocorrelationRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		x    []float64
		lags int
		want error
	}{
		{"one observation", []float64{1}, 0, uncertainty.ErrObservations}, {"lag too large", []float64{1, 2}, 2, uncertainty.ErrDomain},
		{"lag negative", []float64{1, 2}, -1, uncertainty.ErrDomain}, {"constant", []float64{1, 1, 1}, 1, uncertainty.ErrDomain},
		{"infinite", []float64{1, math.Inf(1)}, 1, uncertainty.ErrNotFinite}, {"huge", []float64{1e200, -1e200}, 1, uncertainty.ErrDomain},
	} {
		if r, err := uncertainty.Autocorrelation(c.x, c.lags); r != nil || !errors.Is(err, c.want) {
			t.Errorf("%s: %v, %v; want %v", c.name, r, err, c.want)
		}
	}
}

func ExampleTypeAAutocorrelated() {
	// A meter with a slow filter: neighbouring readings resemble each other.
	readings := []float64{1.02, 1.05, 1.08, 1.06, 1.01, 0.97, 0.95, 0.98, 1.03, 1.04, 1.00, 0.96,
		0.93, 0.95, 0.99, 1.03, 1.06, 1.04, 1.00, 0.98, 0.96, 0.99, 1.02, 1.01}
	fmt.Println("as if independent", uncertainty.Input("x", uncertainty.TypeA(readings...)))
	fmt.Println("as they are      ", uncertainty.Input("x", uncertainty.TypeAAutocorrelated(readings...)))
	// Output:
	// as if independent 1.0046(81)
	// as they are       1.005(14)
}

func ExampleAutocorrelation() {
	r, err := uncertainty.Autocorrelation([]float64{1, 2, 3, 4, 5, 4, 3, 2, 1}, 3)
	fmt.Printf("%.3f %v\n", r, err)
	// Output: [1.000 0.540 -0.013 -0.467] <nil>
}
