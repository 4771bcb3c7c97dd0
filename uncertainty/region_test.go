// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
)

// Two resistances measured with one standard: their errors are not independent, and
// the region that holds both is an ellipse (JCGM 102 6.5.2; factor 2.45, Table 1).
func ExampleMultivariate_Ellipse() {
	standard := uncertainty.Input("standard", uncertainty.Normal(100, 0.002))
	r1 := standard.Mul(uncertainty.Input("ratio 1", uncertainty.Normal(1.00010, 1e-5)))
	r2 := standard.Mul(uncertainty.Input("ratio 2", uncertainty.Normal(0.99990, 1e-5)))
	m, err := uncertainty.EvaluateAll(r1, r2)
	if err != nil {
		fmt.Println(err)
		return
	}
	e, err := m.Ellipse(0.95)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("k = %.2f\n", e.K)
	fmt.Println("both high:", e.Contains(100.013, 99.993))
	fmt.Println("one high, one low:", e.Contains(100.013, 99.987))
	// Output:
	// k = 2.45
	// both high: true
	// one high, one low: false
}

// The factors against their other definitions: one output is the two-sided t factor,
// two normal ones follow −2·ln(1 − p), and the probability of the factor is p by the
// distribution function of the general-purpose library.
func TestRegionFactors(t *testing.T) {
	for _, p := range []float64{0.5, 0.9, 0.95, 0.99, 0.9973} {
		for _, dof := range []float64{1, 3, 8.5, 50, infinity} {
			k1, err := uncertainty.EllipseFactor(p, 1, dof)
			if err != nil {
				t.Fatal(err)
			}
			q1, err := uncertainty.RectangleFactor(p, 1, dof)
			if err != nil {
				t.Fatal(err)
			}
			if want := factor(t, p, dof); !near(k1, want, 1e-8) || !near(q1, want, 1e-12) {
				t.Errorf("p = %v, ν = %v: factors %v and %v, want %v", p, dof, k1, q1, want)
			}
			for _, m := range []int{2, 3, 10, 50} {
				k, err := uncertainty.EllipseFactor(p, m, dof)
				if err != nil {
					t.Fatal(err)
				}
				got := distuv.ChiSquared{K: float64(m)}.CDF(k * k)
				if !math.IsInf(dof, 1) {
					got = distuv.F{D1: float64(m), D2: dof}.CDF(k * k / float64(m))
				}
				if !near(got, p, 1e-9) {
					t.Errorf("p = %v, m = %d, ν = %v: probability of the factor is %v", p, m, dof, got)
				}
			}
		}
		if k, _ := uncertainty.EllipseFactor(p, 2, infinity); !near(k*k, -2*math.Log(1-p), 1e-12) {
			t.Errorf("p = %v: k² = %v", p, k*k)
		}
	}
	// Both sides of the change of method, and far beyond.
	for _, m := range []int{1, 2, 3, 10, 50} {
		inf, _ := uncertainty.EllipseFactor(0.95, m, infinity)
		below, _ := uncertainty.EllipseFactor(0.95, m, 0.999e6)
		above, _ := uncertainty.EllipseFactor(0.95, m, 1.001e6)
		if !near((below-inf)/(above-inf), 1.001/0.999, 2e-3) {
			t.Errorf("m = %d: factors %v and %v on both sides of a million degrees of freedom", m, below, above)
		}
		for _, dof := range []float64{1e9, 1e12, 1e15, 1e300} {
			if k, err := uncertainty.EllipseFactor(0.95, m, dof); err != nil || !near(k, inf, 30/dof+1e-15) {
				t.Errorf("m = %d, ν = %v: factor %v, %v; want %v", m, dof, k, err, inf)
			}
		}
		if _, err := uncertainty.EllipseFactor(0.95, m, 1e-3); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("hardly any degrees of freedom: %v", err)
		}
	}
	if _, err := uncertainty.RectangleFactor(0.95, 2, 1e-3); !errors.Is(err, uncertainty.ErrNotFinite) {
		t.Errorf("hardly any degrees of freedom: %v", err)
	}
	for _, bad := range []struct {
		p   float64
		m   int
		dof float64
	}{{0, 2, 3}, {1, 2, 3}, {math.NaN(), 2, 3}, {0.95, 0, 3}, {0.95, 2, 0}, {0.95, 2, math.NaN()}} {
		if _, err := uncertainty.EllipseFactor(bad.p, bad.m, bad.dof); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("%v: %v", bad, err)
		}
		if _, err := uncertainty.RectangleFactor(bad.p, bad.m, bad.dof); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("%v: %v", bad, err)
		}
	}
}

func correlated(r float64, dof float64) []uncertainty.Quantity {
	return uncertainty.JointSource{
		Names: []string{"a", "b"}, Estimates: []float64{10, -5},
		Covariance: mat.NewSymDense(2, []float64{4, 2 * r * 3, 2 * r * 3, 9}), DOF: dof,
	}.Inputs()
}

// The analytical ellipse holds the share p of simulated pairs, normal and t.
func TestEllipseHoldsItsShare(t *testing.T) {
	for _, dof := range []float64{0, 5} {
		ys := correlated(0.7, dof)
		m, err := uncertainty.EvaluateAll(ys...)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range []float64{0.5, 0.95} {
			e, err := m.Ellipse(p)
			if err != nil {
				t.Fatal(err)
			}
			rectangle, err := m.Rectangle(p)
			if err != nil {
				t.Fatal(err)
			}
			inside := uncertainty.Call("inside", func(x []float64) float64 {
				if e.Contains(x...) {
					return 1
				}
				return 0
			}, ys...)
			within := uncertainty.Call("within", func(x []float64) float64 {
				if rectangle.Contains(x...) {
					return 1
				}
				return 0
			}, ys...)
			s := simulate(t, uncertainty.MonteCarlo{Trials: 40_000}, inside, within)
			if z := (s.Outputs[0].Estimate - p) / math.Sqrt(p*(1-p)/40_000); math.Abs(z) > 4 {
				t.Errorf("ν = %v, p = %v: ellipse holds %v", dof, p, s.Outputs[0].Estimate)
			}
			if s.Outputs[1].Estimate < p-4*math.Sqrt(p*(1-p)/40_000) {
				t.Errorf("ν = %v, p = %v: rectangle holds %v", dof, p, s.Outputs[1].Estimate)
			}
		}
	}
}

func TestEllipseGeometry(t *testing.T) {
	m, err := uncertainty.EvaluateAll(correlated(0, 0)...)
	if err != nil {
		t.Fatal(err)
	}
	e, err := m.Ellipse(0.95)
	if err != nil {
		t.Fatal(err)
	}
	lengths, directions := e.SemiAxes()
	if !near(lengths[0], 3*e.K, 1e-12) || !near(lengths[1], 2*e.K, 1e-12) || math.Abs(directions.At(1, 0)) < 1-1e-12 {
		t.Errorf("axes %v, %v", lengths, mat.Formatted(directions))
	}
	if want := math.Pi * 6 * e.K * e.K; !near(e.Volume(), want, 1e-12) {
		t.Errorf("area %v, want %v", e.Volume(), want)
	}
	if d := e.Distance([]float64{14, -5}); !near(d, 2, 1e-12) {
		t.Errorf("distance %v, want 2", d)
	}
	if !math.IsInf(e.Distance([]float64{1}), 1) || e.Contains(1) {
		t.Error("a point of one coordinate")
	}
	r, err := m.Rectangle(0.95)
	if err != nil {
		t.Fatal(err)
	}
	if want := 4 * 6 * r.K * r.K; !near(r.Volume(), want, 1e-12) || r.Contains(10) ||
		!r.Contains(10, -5) || r.Contains(10, 50) {
		t.Errorf("rectangle %+v", r)
	}
}

func TestRegionsRefuse(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(0, 1))
	for name, ys := range map[string][]uncertainty.Quantity{
		"dependent": {x, x.Scale(3)}, "exact": {x, uncertainty.Exact(1)},
	} {
		m, err := uncertainty.EvaluateAll(ys...)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := m.Ellipse(0.95); !errors.Is(err, uncertainty.ErrSingular) {
			t.Errorf("%s: %v", name, err)
		}
	}
	m, err := uncertainty.EvaluateAll(x)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []float64{0, 1, math.NaN()} {
		if _, err := m.Ellipse(p); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("p = %v: %v", p, err)
		}
		if _, err := m.Rectangle(p); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("p = %v: %v", p, err)
		}
	}
	for _, m := range []*uncertainty.Multivariate{nil, {}} {
		if _, err := m.Ellipse(0.95); !errors.Is(err, uncertainty.ErrNoQuantity) {
			t.Error(err)
		}
		if _, err := m.Rectangle(0.95); !errors.Is(err, uncertainty.ErrNoQuantity) {
			t.Error(err)
		}
	}
}

// The smallest region of a bivariate normal distribution is its ellipse, of area
// π·k²·√det V; of two independent rectangles it is nearly p of the whole.
func TestSmallestRegion(t *testing.T) {
	ys := correlated(0.8, 0)
	s := simulate(t, uncertainty.MonteCarlo{Trials: 400_000, Regions: true}, ys...)
	k, err := uncertainty.EllipseFactor(0.95, 2, infinity)
	if err != nil {
		t.Fatal(err)
	}
	want := math.Pi * k * k * math.Sqrt(4*9*(1-0.64))
	if got := s.Smallest.Area(); got < 0.93*want || got > 1.07*want {
		t.Errorf("area %v, ellipse %v", got, want)
	}
	if !near(s.Ellipse.Volume(), want, 0.01) {
		t.Errorf("simulated ellipse %v, analytical %v", s.Ellipse.Volume(), want)
	}
	if !s.Smallest.Contains(10, -5) || s.Smallest.Contains(10+8, -5-12) ||
		s.Smallest.Contains(math.NaN(), 0) || s.Smallest.Contains(1e9, 0) {
		t.Error("points of the smallest region")
	}
	if (&uncertainty.Region{}).Contains(0, 0) {
		t.Error("the zero region holds a point")
	}
	s = simulate(t, uncertainty.MonteCarlo{Trials: 100_000, Regions: true},
		uncertainty.Input("a", uncertainty.Rectangular(0, 1)),
		uncertainty.Input("b", uncertainty.Rectangular(0, 1)))
	if got := s.Smallest.Area() / 4; got < 0.92 || got > 0.96 {
		t.Errorf("smallest region covers %v of a square", got)
	}
	if s.Ellipse.Volume() < s.Smallest.Area() {
		t.Error("the ellipse of a square is smaller than the smallest region")
	}
	// Three outputs have no grid; one has no region at all.
	c := uncertainty.Input("c", uncertainty.Normal(0, 1))
	s = simulate(t, uncertainty.MonteCarlo{Trials: 20_000, Regions: true}, append(ys, c)...)
	if s.Ellipse == nil || s.Rectangle == nil || s.Smallest != nil {
		t.Errorf("three outputs: %v %v %v", s.Ellipse, s.Rectangle, s.Smallest)
	}
	if s = simulate(t, uncertainty.MonteCarlo{Trials: 20_000, Regions: true}, c); s.Ellipse != nil {
		t.Error("one output has a region")
	}
}
