// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"example.com/ohmwright/uncertainty"
)

// smallModels are models whose values or standard uncertainties float64 does not hold, and some
// like them where it holds all that matters.
func smallModels() map[string]struct {
	y      uncertainty.Quantity
	refuse bool
	u      float64 // where it is not refused, by hand
} {
	in := func(name string, x, u float64) uncertainty.Quantity {
		return uncertainty.Input(name, uncertainty.Normal(x, u))
	}
	x, y := in("x", 1e-200, 1e-202), in("y", 1e-200, 1e-202)
	z, tiny, zero := in("z", 1, 0.1), in("t", 1e-161, 1e-163), in("o", 0, 1e-170)
	product := func(v []float64) float64 { return v[0] * v[1] }
	return map[string]struct {
		y      uncertainty.Quantity
		refuse bool
		u      float64
	}{
		"product":              {x.Mul(y), true, 0},
		"square":               {tiny.Mul(tiny), true, 0},
		"square at 0":          {zero.Mul(zero), true, 0},
		"power":                {uncertainty.Pow(in("p", 1e-100, 1e-102), uncertainty.Exact(4)), true, 0},
		"quotient":             {in("d", 1e-10, 1e-12).Div(uncertainty.Exact(1e300)).Div(uncertainty.Exact(1e20)), true, 0},
		"scaled":               {in("s", 0, 1e-300).Scale(1e-50), true, 0},
		"exponential":          {uncertainty.Exp(in("e", -1000, 1)), true, 0},
		"few digits":           {uncertainty.Exp(in("f", -740, 0.1)), true, 0},
		"sum of small ones":    {in("a", 1e-322, 1e-323).Add(in("b", 0, 1e-323)), true, 0},
		"root of a product":    {uncertainty.Sqrt(x.Mul(y)), true, 0},
		"function":             {uncertainty.Call("f", product, x, y), true, 0},
		"enlarged again":       {x.Mul(y).Scale(1e300), true, 0},
		"linear combination":   {uncertainty.Linear(0, []float64{1e-200}, []uncertainty.Quantity{x}), true, 0},
		"product beside 1":     {x.Mul(y).Add(uncertainty.Exact(1)), false, 0},
		"product beside z":     {x.Mul(y).Add(z), false, 0.1},
		"exponential beside 1": {uncertainty.Exact(1).Sub(uncertainty.Exp(in("e", -1000, 1))), false, 0},
		"difference":           {z.Sub(z), false, 0},
		"greater":              {uncertainty.Max(z, uncertainty.Exact(5)), false, 0},
		"0 times":              {z.Mul(uncertainty.Exact(0)), false, 0},
		"small but whole":      {x.Add(y.Scale(2)), false, math.Sqrt(5) * 1e-202},
	}
}

// No evaluation makes 0 ± 0, or an u of a digit, of what is too small for float64; neither do
// fixed or adaptive simulations, with twins and without.
func TestUnderflowIsNotZero(t *testing.T) {
	ways := map[string]func(y uncertainty.Quantity) (float64, error){
		"Evaluate": func(y uncertainty.Quantity) (float64, error) {
			b, err := uncertainty.Evaluate(y)
			if err != nil {
				return 0, err
			}
			return b.StandardUncertainty, nil
		},
		"Propagate": func(y uncertainty.Quantity) (float64, error) {
			u, _, err := uncertainty.Propagate(y)
			return u, err
		},
		"SecondOrder": func(y uncertainty.Quantity) (float64, error) {
			b, err := uncertainty.SecondOrder(y)
			if err != nil {
				return 0, err
			}
			return b.StandardUncertainty, nil
		},
	}
	for name, m := range map[string]uncertainty.MonteCarlo{
		"MonteCarlo":          {Trials: 40_000},
		"MonteCarlo, no twin": {Trials: 40_000, Twin: uncertainty.TwinOff},
		"MonteCarlo, kept":    {Trials: 40_000, Quantiles: []float64{0.5}},
		"adaptive":            {Trials: 110_000, Digits: 1},
	} {
		ways[name] = func(y uncertainty.Quantity) (float64, error) {
			s, err := m.Run(t.Context(), y)
			if err != nil {
				return 0, err
			}
			return s.Outputs[0].StandardUncertainty, nil
		}
	}
	for model, c := range smallModels() {
		for way, evaluate := range ways {
			u, err := evaluate(c.y)
			switch {
			case c.refuse && !errors.Is(err, uncertainty.ErrRange):
				t.Errorf("%s of %s: u = %v, error %v; want ErrRange", way, model, u, err)
			case !c.refuse && (err != nil || math.Abs(u-c.u) > 0.02*c.u):
				t.Errorf("%s of %s: u = %v, error %v; want %v", way, model, u, err, c.u)
			}
		}
	}
}

// Squares below float64 are not those of 0: the second order of x² about 0 is √2·u² also at
// u = 1e-100, a convolution has the u of its terms, and U of a rectangle is compared with its
// bound.
func TestSquaresBelowFloat64(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(0, 1e-100))
	b, err := uncertainty.SecondOrder(x.Mul(x))
	if err != nil || math.Abs(b.StandardUncertainty/(math.Sqrt2*1e-200)-1) > 1e-12 {
		t.Errorf("second order of x²: %v, error %v; want u = 1.414e-200", b, err)
	}
	a, c := uncertainty.Input("a", uncertainty.Normal(0, 3e-200)), uncertainty.Input("c", uncertainty.Normal(0, 4e-200))
	o := simulate(t, uncertainty.MonteCarlo{Trials: 20_000}, a.Add(c)).Outputs[0]
	if math.Abs(o.StandardUncertainty/5e-200-1) > 1e-12 {
		t.Errorf("convolution: u = %v; want 5e-200", o.StandardUncertainty)
	}
	for _, half := range []float64{1, 1e-170} {
		b := evaluate(t, uncertainty.Input("r", uncertainty.Rectangular(0, half)))
		for _, cause := range []error{uncertainty.ErrExceedsBounds, uncertainty.ErrNotNormal} {
			if !slices.ContainsFunc(b.Warnings, func(err error) bool { return errors.Is(err, cause) }) {
				t.Errorf("rectangle ± %v: warnings %v; want %v", half, b.Warnings, cause)
			}
		}
	}
}

// Covariances of results whose variances float64 does not hold are 0, which is said; their
// correlation is not 0.
func TestCovarianceBelowFloat64(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(0, 1e-170))
	small := func(err error) bool { return errors.Is(err, uncertainty.ErrRange) }
	m := must(uncertainty.EvaluateAll(x, x.Scale(2)))
	if !slices.ContainsFunc(m.Budgets[0].Warnings, small) {
		t.Errorf("EvaluateAll: warnings %v; want ErrRange", m.Budgets[0].Warnings)
	}
	if r, err := m.Correlation(0, 1); !small(err) {
		t.Errorf("correlation of budgets %v, error %v; want ErrRange", r, err)
	}
	s := simulate(t, uncertainty.MonteCarlo{Trials: 20_000}, x, x.Scale(2))
	if !slices.ContainsFunc(s.Warnings, small) {
		t.Errorf("MonteCarlo: warnings %v; want ErrRange", s.Warnings)
	}
	if r, err := s.Correlation(0, 1); !small(err) {
		t.Errorf("correlation of outputs %v, error %v; want ErrRange", r, err)
	}
	if mean, err := uncertainty.WeightedMean(x, x.Scale(2)); !small(err) {
		t.Errorf("weighted mean %v, error %v; want ErrRange", mean, err)
	}
}

// Trials that differ by their rounding alone say nothing of the model: 1 + 1e-17·x·y is 1 in each.
func TestTrialsOfRounding(t *testing.T) {
	x, y := uncertainty.Input("x", uncertainty.Normal(1, 1)), uncertainty.Input("y", uncertainty.Normal(1, 1))
	for _, c := range []struct {
		scale float64
		want  bool
	}{{1e-20, true}, {1e-17, true}, {1e-16, true}, {3e-15, false}, {1, false}} {
		for _, about := range []float64{1, 1e9} {
			q := x.Mul(y).Scale(c.scale * about).Add(uncertainty.Exact(about))
			s := simulate(t, uncertainty.MonteCarlo{Trials: 20_000}, q)
			got := slices.ContainsFunc(s.Warnings, func(err error) bool { return errors.Is(err, uncertainty.ErrRange) })
			if got != c.want {
				t.Errorf("%v·(1 + %v·x·y): u = %v, warnings %v; want one: %v", about, c.scale, s.Outputs[0].StandardUncertainty, s.Warnings, c.want)
			}
		}
	}
	// What cancels in every trial is exact.
	if s := simulate(t, uncertainty.MonteCarlo{Trials: 20_000}, x.Sub(x)); len(s.Warnings) > 0 {
		t.Errorf("x − x: warnings %v; want none", s.Warnings)
	}
}
