// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
)

// The variances of JCGM 101:2008, Table 1 and 6.4 (seen), with limits a and b as the
// guide has them.
func TestPublishedDistributionVariances(t *testing.T) {
	for _, c := range []struct {
		clause         string
		d              uncertainty.Distribution
		mean, variance float64
	}{
		{"6.4.2", uncertainty.Rectangular(1, 2), (-1 + 3) / 2.0, 16.0 / 12},
		{"6.4.3, eq. 4", uncertainty.CurvilinearTrapezoidal(0, 1, 0.5), 0, 4.0/12 + 0.25/9},
		{"6.4.4", uncertainty.Trapezoidal(3, 3, 1.0/3), 3, 36.0 / 24 * (1 + 1.0/9)},
		{"6.4.5", uncertainty.Triangular(100, 4), 100, 64.0 / 24},
		{"6.4.6", uncertainty.Arcsine(0, 0.5), 0, 1.0 / 8},
		{"6.4.7", uncertainty.Normal(5, 0.2), 5, 0.04},
		{"6.4.9.4, eq. 13", uncertainty.StudentT(10, 0.3/math.Sqrt(6), 5), 10, 5.0 / 3 * 0.09 / 6},
		{"6.4.9.6", uncertainty.TypeAPooled(13, 24, 215, 215, 215, 215, 215), 215, 24.0 / 22 * 169 / 5},
		{"6.4.10", uncertainty.Exponential(2.5), 2.5, 6.25},
		{"6.4.11, eq. 15", uncertainty.Counts(7), 8, 8},
	} {
		if !near(c.d.Mean(), c.mean, 1e-14) || !near(c.d.StdDev()*c.d.StdDev(), c.variance, 1e-14) {
			t.Errorf("%s: mean %v, variance %v; want %v, %v", c.clause, c.d.Mean(),
				c.d.StdDev()*c.d.StdDev(), c.mean, c.variance)
		}
	}
}

// Mean and variance also follow from the quantiles, by quadrature.
func TestQuantilesHaveTheMoments(t *testing.T) {
	for _, c := range []struct {
		name string
		d    uncertainty.Distribution
	}{
		{"trapezoidal", uncertainty.Trapezoidal(3, 3, 1.0/3)}, {"trapezoidal 0", uncertainty.Trapezoidal(3, 3, 0)}, {"trapezoidal 1", uncertainty.Trapezoidal(3, 3, 1)},
		{"curvilinear", uncertainty.CurvilinearTrapezoidal(0, 1, 0.5)}, {"curvilinear, widest", uncertainty.CurvilinearTrapezoidal(0, 1, 1)},
		{"curvilinear, narrow", uncertainty.CurvilinearTrapezoidal(0, 1, 1e-3)}, {"exponential", uncertainty.Exponential(2.5)},
		{"counts 0", uncertainty.Counts(0)}, {"counts 7", uncertainty.Counts(7)}, {"counts 500", uncertainty.Counts(500)},
	} {
		// p = s²(3 − 2s) takes the ends of the quantile away.
		moment := func(k float64) float64 {
			return quad.Fixed(func(s float64) float64 {
				return math.Pow(c.d.Quantile(s*s*(3-2*s))-c.d.Mean(), k) * 6 * s * (1 - s)
			}, 0, 1, 1000, nil, 0)
		}
		if mean, variance := moment(1), moment(2); math.Abs(mean) > 1e-5*c.d.StdDev() ||
			!near(variance, c.d.StdDev()*c.d.StdDev(), 1e-4) {
			t.Errorf("%s: by quadrature mean %v off, variance %v; want %v", c.name, mean, variance,
				c.d.StdDev()*c.d.StdDev())
		}
	}
}

// A trapezoid of top 0 is the triangle, of top 1 the rectangle; so is a curvilinear
// one of exact limits. Gamma of one is exponential.
func TestDistributionsMeetAtTheirEnds(t *testing.T) {
	for name, pair := range map[string][2]uncertainty.Distribution{
		"triangle":    {uncertainty.Trapezoidal(1, 2, 0), uncertainty.Triangular(1, 2)},
		"rectangle":   {uncertainty.Trapezoidal(1, 2, 1), uncertainty.Rectangular(1, 2)},
		"curvilinear": {uncertainty.CurvilinearTrapezoidal(1, 2, 0), uncertainty.Rectangular(1, 2)},
		"nearly":      {uncertainty.CurvilinearTrapezoidal(1, 2, 1e-9), uncertainty.Rectangular(1, 2)},
		"counts":      {uncertainty.Counts(0), uncertainty.Exponential(1)},
		"exponential": {uncertainty.Exponential(4), distuv.Exponential{Rate: 0.25}},
		"gamma":       {uncertainty.Counts(12), distuv.Gamma{Alpha: 13, Beta: 1}},
	} {
		for _, p := range []float64{1e-9, 0.001, 0.1, 0.3, 0.5, 0.7, 0.9, 0.999} {
			if a, b := pair[0].Quantile(p), pair[1].Quantile(p); math.Abs(a-b) > 1e-8*(1+math.Abs(b)) {
				t.Errorf("%s: quantile %v is %v, want %v", name, p, a, b)
			}
		}
	}
	for _, d := range []uncertainty.Distribution{uncertainty.Trapezoidal(0, 1, 0.4),
		uncertainty.CurvilinearTrapezoidal(0, 1, 0.4), uncertainty.Exponential(1),
		uncertainty.Counts(3)} {
		if !math.IsNaN(d.Quantile(0)) || !math.IsNaN(d.Quantile(1)) || !math.IsNaN(d.Quantile(math.NaN())) {
			t.Errorf("%v: quantiles outside 0 to 1", d)
		}
		if fmt.Sprint(d) == "" {
			t.Error("no name")
		}
	}
}

// The interval by convolution knows the trapezoids too: alone each is its own
// quantile.
func TestConvolutionOfTrapezoids(t *testing.T) {
	for _, d := range []uncertainty.Distribution{uncertainty.Trapezoidal(0, 1, 0.5),
		uncertainty.CurvilinearTrapezoidal(0, 1, 0.3),
		uncertainty.CurvilinearTrapezoidal(0, 1, 1)} {
		b := evaluate(t, uncertainty.Input("x", d))
		for _, p := range []float64{0.5, 0.95, 0.99} {
			if got, want := half(t, b, p), d.Quantile((1+p)/2); !near(got, want, 2e-4) {
				t.Errorf("%v at %v: %v, want %v", d, p, got, want)
			}
		}
	}
}

func TestNewDistributionsRefuse(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		d    uncertainty.Distribution
		want error
	}{
		"beta above 1": {uncertainty.Trapezoidal(0, 1, 1.1), uncertainty.ErrDomain}, "beta NaN": {uncertainty.Trapezoidal(0, 1, nan), uncertainty.ErrDomain},
		"half-width": {uncertainty.Trapezoidal(0, -1, 0.5), uncertainty.ErrDomain}, "estimate": {uncertainty.Trapezoidal(inf, 1, 0.5), uncertainty.ErrNotFinite},
		"d above a": {uncertainty.CurvilinearTrapezoidal(0, 1, 1.1), uncertainty.ErrDomain}, "d": {uncertainty.CurvilinearTrapezoidal(0, 1, nan), uncertainty.ErrNotFinite},
		"negative d": {uncertainty.CurvilinearTrapezoidal(0, 1, -0.1), uncertainty.ErrDomain},
		"zero mean":  {uncertainty.Exponential(0), uncertainty.ErrDomain}, "mean NaN": {uncertainty.Exponential(nan), uncertainty.ErrNotFinite},
		"count": {uncertainty.Counts(-1), uncertainty.ErrDomain},
	} {
		if err := uncertainty.Input("x", c.d).Err(); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
}

// Two corrections are known to ±2 mΩ and ±1 mΩ: their sum lies in a trapezoid
// (JCGM 101 6.4.4).
func ExampleTrapezoidal() {
	d := uncertainty.Trapezoidal(0, 0.003, 1.0/3) // top ±(2 − 1) mΩ of base ±(2 + 1) mΩ
	fmt.Printf("u = %.5f, 95 %% within ±%.5f\n", d.StdDev(), d.Quantile(0.975))
	// Output:
	// u = 0.00129, 95 % within ±0.00237
}

// A bath is held within ±0.10 °C by its controller; the limit itself is known to
// ±0.02 °C only (JCGM 101 6.4.3).
func ExampleCurvilinearTrapezoidal() {
	bath := uncertainty.Input("bath", uncertainty.CurvilinearTrapezoidal(23, 0.10, 0.02))
	b, err := uncertainty.Evaluate(bath)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("u = %.4f, against %.4f for exact limits\n", b.StandardUncertainty,
		uncertainty.Rectangular(23, 0.10).StdDev())
	// Output:
	// u = 0.0581, against 0.0577 for exact limits
}

// Seven contact faults were counted in a month (JCGM 101 6.4.11).
func ExampleCounts() {
	faults := uncertainty.Counts(7)
	fmt.Printf("expected %.0f, u %.2f, 95 %%: %.1f to %.1f\n", faults.Mean(), faults.StdDev(),
		faults.Quantile(0.025), faults.Quantile(0.975))
	// Output:
	// expected 8, u 2.83, 95 %: 3.5 to 14.4
}
