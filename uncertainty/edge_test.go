// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
)

// Variance and covariance of few trials have the divisor n − 1 (JCGM 101 7.6): on the
// average over many runs they are those of the model, and not smaller by 1/n or 2/n.
func TestVarianceOfFewTrialsIsUnbiased(t *testing.T) {
	const n, runs = 40, 4000
	a := uncertainty.Input("a", uncertainty.Normal(5, 2))
	sum := a.Add(uncertainty.Input("b", uncertainty.Normal(0, 1)))
	var variance, total, covariance float64
	for seed := range uint64(runs) {
		sim, err := uncertainty.MonteCarlo{Trials: n, Seed: seed, Workers: 1,
			Twin: uncertainty.TwinOff}.Run(context.Background(), a, sum)
		if err != nil {
			t.Fatal(err)
		}
		u, both := sim.Outputs[0].StandardUncertainty, sim.Covariance.At(0, 1)
		if got := sim.Outputs[0].Sampling.Estimate; !near(got, u/math.Sqrt(n), 1e-12) ||
			!near(sim.Covariance.At(0, 0), u*u, 1e-12) {
			t.Fatalf("seed %d: sampling %v, variance %v; want u/√n and u² for u = %v", seed, got,
				sim.Covariance.At(0, 0), u)
		}
		variance, covariance, total = variance+u*u/runs, covariance+both/runs, total+sim.Covariance.At(1, 1)/runs
	}
	// The averages are uncertain by 0.4 %.
	if !near(variance, 4, 0.02) || !near(covariance, 4, 0.02) || !near(total, 5, 0.02) {
		t.Errorf("average variances %v and %v, covariance %v; want 4, 5, 4", variance, total, covariance)
	}
}

// The far tail of a rectangle with inexact limits: beyond (1 − e)·M, M = 1 + d, lies the
// probability M·(e²/2 + e³/6 + e⁴/12 + …)/(4d), from M − s − s·ln(M/s) with the series of
// the logarithm.
func TestFarTailOfInexactLimits(t *testing.T) {
	const d = 0.5
	for _, e := range []float64{1e-2, 5e-4, 2e-4} {
		p := (1 + d) * (e*e/2 + e*e*e/6 + e*e*e*e/12 + e*e*e*e*e/20) / (4 * d)
		want := -(1 + d) * (1 - e)
		if got := uncertainty.CurvilinearTrapezoidal(0, 1, d).Quantile(p); math.Abs(got-want) > 1e-9*e {
			t.Errorf("quantile at %v: %v; want %v", p, got, want)
		}
	}
}

// The interval by convolution of one trapezoid is that of its own tails: β = 1/2, and
// beyond s the probability (1 − s)²/(2(1 − β²)).
func TestConvolutionOfOneTrapezoid(t *testing.T) {
	y := uncertainty.Input("x", uncertainty.Trapezoidal(10, 1, 0.5))
	b := evaluate(t, y.Add(uncertainty.Input("noise", uncertainty.Normal(0, 1e-6))))
	for _, p := range []float64{0.7, 0.9, 0.95, 0.99} {
		i, err := b.Convolution(p)
		s := 1 - math.Sqrt((1-p)*(1-0.25))
		if err != nil || math.Abs(i.Upper-10-s) > 1e-4 || math.Abs(10-i.Lower-s) > 1e-4 {
			t.Errorf("%v: %v, %v; want 10 ± %v", p, i, err, s)
		}
	}
}

// A quantity of a joint source of two that were observed together has a degree of freedom less than the source: with
// two of its own it has no standard deviation, with more it has one.
func TestJointSourceOfFewDegreesOfFreedom(t *testing.T) {
	for dof, want := range map[float64]bool{2.5: true, 3: true, 3.5: false, 9: false} {
		q := uncertainty.JointSource{
			Names: []string{"a", "b"}, Estimates: []float64{1, 2},
			Covariance: mat.NewSymDense(2, []float64{1, 0.5, 0.5, 1}),
			DOF:        dof, Observations: 10, Type: uncertainty.EvaluationA,
		}.Inputs()
		sim, err := uncertainty.MonteCarlo{Trials: 1000, Seed: 1}.Run(context.Background(), q[0].Add(q[1]))
		if err != nil {
			t.Fatal(err)
		}
		warned := false
		for _, w := range sim.Warnings {
			warned = warned || errors.Is(w, uncertainty.ErrNoMoments)
		}
		if warned != want {
			t.Errorf("%v degrees of freedom: warnings %v; want one of no moments: %v", dof, sim.Warnings, want)
		}
	}
}

func TestAutocorrelationOfNoLag(t *testing.T) {
	if r, err := uncertainty.Autocorrelation([]float64{1, 2, 4}, 0); err != nil || len(r) != 1 || r[0] != 1 {
		t.Errorf("lag 0: %v, %v; want r = [1]", r, err)
	}
	if r, err := uncertainty.Autocorrelation([]float64{1, 2, 4}, 2); err != nil || len(r) != 3 {
		t.Errorf("largest lag: %v, %v; want three", r, err)
	}
	for _, lags := range []int{-1, 3} {
		if r, err := uncertainty.Autocorrelation([]float64{1, 2, 4}, lags); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("lag %d: %v, %v; want ErrDomain", lags, r, err)
		}
	}
}

// The quotient of two quantities of one unit is a number, also of a unit that nobody
// knows; of two without a unit nothing is known.
func TestUnitOfAQuotient(t *testing.T) {
	for unit, want := range map[string]string{"Ω": "1", "digit": "1", "": ""} {
		in := func(name string) uncertainty.Quantity {
			return uncertainty.Source{Name: name, Unit: unit, Distribution: uncertainty.Normal(2, 0.1)}.Input()
		}
		if got := evaluate(t, in("a").Div(in("b"))).Unit; got != want {
			t.Errorf("%q by %q: unit %q; want %q", unit, unit, got, want)
		}
	}
}

// full is a writer that has room for so many bytes.
type full struct{ room int }

func (f *full) Write(b []byte) (int, error) {
	if f.room -= len(b); f.room < 0 {
		return 0, io.ErrShortWrite
	}
	return len(b), nil
}

// Wherever the disk is full, the writer of a budget says so.
func TestBudgetOnAFullDisk(t *testing.T) {
	sum := uncertainty.Exact(0)
	for i := range 30 {
		sum = sum.Add(uncertainty.Input(fmt.Sprint("part ", i), uncertainty.Normal(1, 1+float64(i%3))))
	}
	for i := range 5 { // folded into one line
		sum = sum.Add(uncertainty.Input(fmt.Sprint("dust ", i), uncertainty.Normal(0, 1e-6)))
	}
	b := evaluate(t, sum)
	enough := &full{1 << 20}
	if err := b.WriteText(enough); err != nil {
		t.Fatal(err)
	}
	size := 1<<20 - enough.room
	for room := range size {
		if err := b.WriteText(&full{room}); !errors.Is(err, io.ErrShortWrite) {
			t.Fatalf("room for %d of %d bytes: %v; want an error", room, size, err)
		}
	}
	if err := b.WriteText(&full{size}); err != nil {
		t.Errorf("room for all %d bytes: %v", size, err)
	}
}
