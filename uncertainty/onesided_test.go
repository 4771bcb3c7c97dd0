// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func TestPublishedOneSidedFactors(t *testing.T) {
	dofs := []float64{1, 2, 5, 10, 20, 30, math.Inf(1)}
	for p, printed := range map[float64][]string{
		0.90: {"3.078", "1.886", "1.476", "1.372", "1.325", "1.310", "1.282"},
		0.95: {"6.314", "2.920", "2.015", "1.812", "1.725", "1.697", "1.645"},
		0.99: {"31.821", "6.965", "3.365", "2.764", "2.528", "2.457", "2.326"},
	} {
		for i, dof := range dofs {
			uncertaintytest.Published{
				Name: fmt.Sprintf("t, one-sided, %v, %v degrees of freedom", p,
					dof), Source: "NIST/SEMATECH e-Handbook of Statistical Methods",
				Place: "1.3.6.7.2", Printed: printed[i], Provenance: uncertaintytest.FromMemory,
			}.Run(t, must(uncertainty.OneSidedFactor(p, dof)))
		}
	}
}

func TestOneSidedStatements(t *testing.T) {
	if k := must(uncertainty.OneSidedFactor(0.5, 3)); k != 0 {
		t.Errorf("half of all lies below %v", k)
	}
	for _, c := range [][2]float64{{0.49, 3}, {1, 3}, {math.NaN(), 3}, {0.9, 0},
		{0.9, math.NaN()}, {1 - 1e-15, 1e-3}} {
		if _, err := uncertainty.OneSidedFactor(c[0], c[1]); !errors.Is(err,
			uncertainty.ErrDomain) {
			t.Errorf("%v: %v", c, err)
		}
	}
	b := evaluate(t, source(uncertainty.StudentT(7, 2, 5)))
	up, low := must(b.UpperLimit(0.95)), must(b.LowerLimit(0.95))
	if want := 2 * must(uncertainty.OneSidedFactor(0.95, 5)); !near(up-7, want, 1e-12) ||
		!near(7-low, want, 1e-12) {
		t.Errorf("%v and %v, want 7 ± %v", low, up, want)
	}
	if half := must(b.UpperLimit(0.5)); half != 7 {
		t.Errorf("half of all lies below %v", half)
	}
	flat := evaluate(t, source(uncertainty.Rectangular(0, 1)))
	if up := must(flat.UpperLimit(0.95)); !near(up, 0.9, 1e-9) {
		t.Errorf("95 %% of a rectangle lie below %v, want 0.9", up)
	}
	for _, p := range []float64{0.4, 1, math.NaN()} {
		if _, err := b.UpperLimit(p); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("%v: %v", p, err)
		}
		if _, err := b.LowerLimit(p); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("%v: %v", p, err)
		}
	}
	var none *uncertainty.Budget
	if _, err := none.LowerLimit(0.9); !errors.Is(err, uncertainty.ErrNoQuantity) {
		t.Errorf("nil budget: %v", err)
	}
}

func TestEvent(t *testing.T) {
	x := source(uncertainty.Normal(0, 1))
	positive := func(v []float64) bool { return v[0] > 0 }
	s := simulate(t, uncertainty.MonteCarlo{Trials: 40_000},
		uncertainty.Event("positive", positive, x), x)
	if o := s.Outputs[0]; math.Abs(o.Estimate-0.5) > 4*o.Sampling.Estimate ||
		!near(o.Sampling.Estimate, 0.5/200, 1e-3) {
		t.Errorf("a half is %v ± %v", o.Estimate, o.Sampling.Estimate)
	}
	// The first-order result is worth nothing, and says so.
	b := evaluate(t, uncertainty.Event("positive", positive, x))
	if len(b.Warnings) == 0 || !errors.Is(b.Warnings[0], uncertainty.ErrFirstOrder) {
		t.Errorf("no warning: %v", b.Warnings)
	}
	// That holds where it begins beyond any step that is tried, or lies between two of them.
	for name, happens := range map[string]func(v []float64) bool{
		"far":    func(v []float64) bool { return v[0] > 6 },
		"narrow": func(v []float64) bool { return v[0] > 0.4 && v[0] < 0.6 },
	} {
		b := evaluate(t, uncertainty.Event(name, happens, x))
		if !warned(b, uncertainty.ErrFirstOrder) {
			t.Errorf("%s: no warning: %v", name, b.Warnings)
		}
	}
	if err := uncertainty.Event("none", nil, x).Err(); !errors.Is(err, uncertainty.ErrDomain) {
		t.Errorf("no function: %v", err)
	}
	// Trials without a finite value are invalid, not misses.
	root := uncertainty.Sqrt(source(uncertainty.Normal(1, 1)))
	m := uncertainty.MonteCarlo{Trials: 20_000, MaxInvalid: 0.5}
	all, err := m.Run(context.Background(), uncertainty.Event("any",
		func([]float64) bool { return true }, root))
	if err != nil || all.Outputs[0].Estimate != 1 || all.Invalid == 0 {
		t.Errorf("%+v, %v", all, err)
	}
}
