// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// A divisor with a density at 0 leaves no standard deviation, whatever the trials of a seed show:
// ∫ f(x)/x² dx diverges there. What is expected of each model follows from that integral.
func TestPoleIsFoundForEverySeed(t *testing.T) {
	N, R := uncertainty.Normal, uncertainty.Rectangular
	one := uncertainty.Exact(1)
	x, n, w := in("x", N(1, 0.25)), in("n", N(1, 0.01)), in("w", R(1, 0.9))
	z, q := in("z", N(0, 1)), in("q", N(3, 1))
	far := in("far", N(-1, 0.1))
	for _, c := range []struct {
		name string
		y    uncertainty.Quantity
		want bool
	}{
		{"1/x, four u from 0", one.Div(x), true},
		{"1/x, ten u from 0", one.Div(far), false},
		{"a/x", n.Div(x), true},
		{"a negative divisor", n.Div(x.Neg()), true},
		{"x to the power -1", uncertainty.Pow(x, uncertainty.Exact(-1)), true},
		{"x to the power -1/4", uncertainty.Pow(x, uncertainty.Exact(-0.25)), false},
		{"1/x in a sum", n.Add(one.Div(x)), true},
		{"1/x²", one.Div(x.Mul(x)), true},
		{"1/x³", one.Div(x.Mul(x).Mul(x)), true},
		{"a difference as a divisor", one.Div(x.Sub(in("v", N(3, 0.2)))), false},
		{"a small difference as a divisor", one.Div(x.Sub(in("v", N(2, 0.1)))), true},
		{"a divisor that ends before 0", n.Div(w), false},
		{"a divisor that ends at 0", n.Div(in("e", R(1, 1))), true},
		{"a divisor that ends beyond 0", n.Div(in("e", R(1, 1.5))), true},
		{"a t-distribution ten u from 0", n.Div(in("s", uncertainty.StudentT(1, 0.1, 4))), true},
		{"1/exp z", one.Div(uncertainty.Exp(z)), false},
		{"1/(1 + q²)", one.Div(one.Add(q.Mul(q))), false},
		{"two in parallel, of bounded parts", one.Div(one.Div(w).Add(one)), false},
		{"two in parallel, 1/(1 + 1/x)", one.Div(one.Div(x).Add(one)), false},
	} {
		// The other two evaluations say so too, in their own terms.
		if c.want {
			if b := evaluate(t, c.y); !warned(b, uncertainty.ErrFirstOrder) {
				t.Errorf("%s: to first order %v", c.name, b.Warnings)
			}
			b, err := uncertainty.SecondOrder(c.y)
			if err != nil && !errors.Is(err, uncertainty.ErrSecondOrder) {
				t.Errorf("%s: to second order: %v", c.name, err)
			}
			if err == nil && !warned(b, uncertainty.ErrSecondOrder) {
				t.Errorf("%s: to second order %v", c.name, b.Warnings)
			}
		}
		for seed := range uint64(3) {
			m := uncertainty.MonteCarlo{Trials: 20_000, Seed: seed, MaxInvalid: 0.5, Workers: 1}
			s := simulate(t, m, c.y, n)
			found := false
			for _, w := range s.Warnings {
				found = found || errors.Is(w, uncertainty.ErrNoMoments) && strings.Contains(w.Error(), "divisor")
			}
			o := s.Outputs[0]
			if found != c.want || found && o.HasStandardUncertainty() {
				t.Errorf("%s, seed %d: found %v, u = %v, printed %v, %v", c.name, seed, found,
					o.StandardUncertainty, o.HasStandardUncertainty(), s.Warnings)
			}
			if !s.Outputs[1].HasStandardUncertainty() {
				t.Errorf("%s: the other output lost its standard uncertainty", c.name)
			}
		}
	}
}

// At a corner there is no slope, but trials need none. |x| of a standard normal x has the mean
// √(2/π), the variance 1 − 2/π and the quantile of (1 + p)/2; the greater of two has the mean
// 1/√π and the variance 1 − 1/π (order statistics of two, in any textbook); √(x² + y²) is a
// Rayleigh variable.
func TestTrialsGoOverCorners(t *testing.T) {
	x, y := in("x", uncertainty.Normal(0, 1)), in("y", uncertainty.Normal(0, 1))
	for _, c := range []struct {
		name         string
		q            uncertainty.Quantity
		mean, u      float64
		lower, upper float64 // ends of the symmetric interval, 95 %
	}{
		// Standard normal quantiles at 0.5125 and 0.9875.
		{"abs", uncertainty.Abs(x), math.Sqrt(2 / math.Pi), math.Sqrt(1 - 2/math.Pi), 0.031338, 2.241403},
		// Φ² at 0.025 and 0.975: quantiles at √0.025 and √0.975.
		{"max", uncertainty.Max(x, y), 1 / math.Sqrt(math.Pi), math.Sqrt(1 - 1/math.Pi), -1.002240, 2.238964},
		{"min", uncertainty.Min(x, y), -1 / math.Sqrt(math.Pi), math.Sqrt(1 - 1/math.Pi), -2.238964, 1.002240},
		{"hypot", uncertainty.Hypot(x, y), math.Sqrt(math.Pi / 2), math.Sqrt(2 - math.Pi/2), math.Sqrt(-2 * math.Log(0.975)), math.Sqrt(-2 * math.Log(0.025))},
	} {
		s := simulate(t, uncertainty.MonteCarlo{Trials: 100_000, Workers: 1}, c.q)
		o := s.Outputs[0]
		for _, v := range []struct {
			what           string
			got, want, err float64
		}{
			{"estimate", o.Estimate, c.mean, o.Sampling.Estimate},
			{"u", o.StandardUncertainty, c.u, o.Sampling.StandardUncertainty},
			{"lower end", o.Symmetric.Lower, c.lower, o.Sampling.Lower},
			{"upper end", o.Symmetric.Upper, c.upper, o.Sampling.Upper},
		} {
			if !(math.Abs(v.got-v.want) <= 4*v.err) {
				t.Errorf("%s: %s = %v ± %v; want %v", c.name, v.what, v.got, v.err, v.want)
			}
		}
		if o.Twin.Kind != uncertainty.TwinNone || !strings.Contains(o.Twin.Reason, "corner") || len(s.Warnings) > 0 {
			t.Errorf("%s: %v, %v", c.name, o.Twin, s.Warnings)
		}
	}
	// Another output of the run keeps its twin.
	s := simulate(t, uncertainty.MonteCarlo{Trials: 20_000}, uncertainty.Abs(x), x.Add(y))
	if kind := s.Outputs[1].Twin.Kind; kind != uncertainty.TwinExact {
		t.Errorf("a sum beside a corner: %v", kind)
	}
}
