// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"math"
	"reflect"
	"slices"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// The result of the adaptive procedure does not depend on the number of workers where many trials
// are invalid either: here three in ten, so that two batches hold fewer than the pilot wants.
func TestAdaptiveInvalidWorkers(t *testing.T) {
	y := uncertainty.Sqrt(uncertainty.Input("x", uncertainty.Normal(0.25, 0.5)))
	for seed := range uint64(8) {
		m := uncertainty.MonteCarlo{Digits: 1, MaxInvalid: 0.5, Seed: seed, Workers: 1}
		want := simulate(t, m, y)
		m.Workers = 3
		got := simulate(t, m, y)
		if got.Trials != want.Trials ||
			!reflect.DeepEqual(got.Outputs[0].Histogram, want.Outputs[0].Histogram) {
			t.Errorf("seed %d: bins from %v of %v with three workers, from %v of %v with one", seed,
				got.Outputs[0].Histogram.Lower, got.Outputs[0].Histogram.Width,
				want.Outputs[0].Histogram.Lower, want.Outputs[0].Histogram.Width)
		}
	}
}

// Trials without a result take the twin away: the procedure must not stop because of the figures
// that the twin would have corrected. Of x below 0 there are 3 in 100 000.
func TestAdaptiveInvalidNotCorrected(t *testing.T) {
	y := uncertainty.Sqrt(uncertainty.Input("x", uncertainty.Normal(1, 0.25)))
	s := simulate(t, uncertainty.MonteCarlo{Digits: 3, Trials: 400_000, MaxInvalid: 0.01}, y)
	o := s.Outputs[0]
	if s.Invalid == 0 || o.Twin.Kind != uncertainty.TwinNone ||
		o.Twin.Reason != "trials without a finite result" {
		t.Fatalf("%d invalid trials, twin %+v; want some, and no twin", s.Invalid, o.Twin)
	}
	settled := !slices.ContainsFunc(s.Warnings,
		func(err error) bool { return errors.Is(err, uncertainty.ErrNotSettled) })
	// Three digits of u = 0.13 are 0.0005.
	if settled && 2.5*o.Sampling.Lower > 0.0006 {
		t.Errorf("settled after %d trials with a sampling error of %v", s.Trials, o.Sampling.Lower)
	}
}

// Trials is the greatest number: fewer than two batches are refused, not exceeded.
func TestAdaptiveFewTrials(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Rectangular(1, 0.1))
	for name, m := range map[string]uncertainty.MonteCarlo{
		"fewer than two batches":       {Digits: 2, Trials: 20_000},
		"batches of a large coverage":  {Digits: 2, Coverage: 0.999999},
		"batches beyond a 32-bit size": {Digits: 1, Coverage: 1 - 1e-9, Trials: math.MaxInt32},
	} {
		if _, err := m.Run(t.Context(), x.Mul(x)); !errors.Is(err, uncertainty.ErrTrials) {
			t.Errorf("%s: %v; want ErrTrials", name, err)
		}
	}
	if s := simulate(t, uncertainty.MonteCarlo{Digits: 2, Trials: 20_480}, x.Mul(x)); s.Trials > 20_480 {
		t.Errorf("%d trials; want at most 20480", s.Trials)
	}
}
