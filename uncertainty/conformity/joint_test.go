// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// equallyCorrelated are n results 0 with u = 1 and one correlation coefficient.
func equallyCorrelated(t testing.TB, n int, r, dof float64) *uncertainty.Multivariate {
	t.Helper()
	names := make([]string, n)
	c := mat.NewSymDense(n, nil)
	for i := range n {
		names[i] = fmt.Sprint("x", i+1)
		for k := range i {
			c.SetSym(i, k, r)
		}
		c.SetSym(i, i, 1)
	}
	j := uncertainty.JointSource{Names: names, Estimates: make([]float64, n), Covariance: c,
		Type: uncertainty.EvaluationA}
	if !math.IsInf(dof, 1) {
		j.DOF = dof
	}
	m, err := uncertainty.EvaluateAll(j.Inputs()...)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func jointly(t testing.TB, tolerance uncertainty.Interval,
	m *uncertainty.Multivariate) conformity.JointProbability {
	t.Helper()
	all := make([]uncertainty.Interval, len(m.Budgets))
	for i := range all {
		all[i] = tolerance
	}
	p, err := conformity.Jointly(all, m)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Comparisons of several treatments with one control: the differences have the correlation
// 0.5, and all lie inside the tabulated limit with 95 %.
func TestPublishedComparisonsWithControl(t *testing.T) {
	for _, table := range []struct {
		name    string
		dof     float64
		lower   float64 // −1: two-sided
		printed []string
	}{
		{"one-sided", inf, nothing, []string{"1.64", "1.92", "2.06", "2.16", "2.23", "2.29",
			"2.34", "2.38", "2.42"}},
		{"two-sided", inf, -1, []string{"1.96", "2.21", "2.35", "2.44", "2.51", "2.57", "2.61",
			"2.65", "2.69"}},
		{"one-sided", 10, nothing, []string{"1.81", "2.15", "2.34", "2.47", "2.56", "2.64",
			"2.70", "2.76", "2.81"}},
		{"one-sided", 20, nothing, []string{"1.72", "2.03", "2.19", "2.30", "2.39", "2.46",
			"2.51", "2.56", "2.60"}},
	} {
		for i, printed := range table.printed {
			n := i + 1
			if n > 5 && !math.IsInf(table.dof, 1) {
				continue // the larger ones of finite degrees of freedom take minutes
			}
			if (n > 3 || n == 3 && !math.IsInf(table.dof, 1)) && !uncertaintytest.Long() {
				continue
			}
			m := equallyCorrelated(t, n, 0.5, table.dof)
			missing := func(limit float64) float64 {
				tolerance := interval(nothing, limit)
				if table.lower == -1 {
					tolerance.Lower = -limit
				}
				return math.Log((1 - jointly(t, tolerance, m).Conforming) / 0.05)
			}
			// The logarithm is nearly straight: three steps of the secant.
			last, limit := 2.0, 2.2
			before := missing(last)
			for range 3 {
				now := missing(limit)
				last, limit, before = limit, limit-now*(limit-last)/(now-before), now
			}
			uncertaintytest.Published{
				Name: fmt.Sprintf("%s, %d comparisons, %v degrees of freedom", table.name, n,
					table.dof),
				Source:  "Journal of the American Statistical Association 50 (1955) 1096",
				Place:   "tables of comparisons with a control, P = 0.95",
				Printed: printed, Provenance: uncertaintytest.FromMemory,
			}.Run(t, limit)
		}
	}
}

// Probabilities of quadrants and octants are arcsines of the correlation coefficients.
func TestJointlyOfOrthants(t *testing.T) {
	for _, r := range []float64{-0.45, 0, 0.3, 0.9, 0.9999, 1} {
		two := 0.25 + math.Asin(r)/(2*math.Pi)
		three := 0.125 + 3*math.Asin(r)/(4*math.Pi)
		for n, want := range map[int]float64{2: two, 3: three} {
			for _, dof := range []float64{inf, 3} { // the scale does not matter for an orthant
				got := jointly(t, interval(0, inf), equallyCorrelated(t, n, r, dof))
				if math.Abs(got.Conforming-want) > max(2e-5, got.Error) {
					t.Errorf("%d results, r = %v: %+v, want %v", n, r, got, want)
				}
			}
		}
	}
}

func TestJointlyOfFewSources(t *testing.T) {
	// Ten settings of one dial with one common error: the widest decides.
	common := uncertainty.Input("standard", uncertainty.Normal(0, 1))
	var ys []uncertainty.Quantity
	var tolerances []uncertainty.Interval
	for i := range 10 {
		ys = append(ys, common.Scale(float64(i+1)))
		tolerances = append(tolerances, interval(-8, 9))
	}
	m, err := uncertainty.EvaluateAll(ys...)
	if err != nil {
		t.Fatal(err)
	}
	p, err := conformity.Jointly(tolerances, m)
	want := probability(t, interval(-0.8, 0.9), known(t, 0, 1))
	if err != nil || math.Abs(p.Conforming-want) > 1e-12 {
		t.Errorf("%+v, %v; want %v", p, err, want)
	}
	// Two sources, four results: against an integral over the first source, and against
	// simulation, which shares no code.
	own := uncertainty.Input("own", uncertainty.Normal(0, 2))
	ys = []uncertainty.Quantity{common.Add(own), common.Sub(own),
		own.Scale(0.5).Add(uncertainty.Exact(0.3)), common.Scale(3)}
	tolerances = []uncertainty.Interval{interval(-3, 4), interval(nothing, 3), interval(-1, inf),
		interval(-4, 5)}
	m, err = uncertainty.EvaluateAll(ys...)
	if err != nil {
		t.Fatal(err)
	}
	p, err = conformity.Jointly(tolerances, m)
	if err != nil {
		t.Fatal(err)
	}
	want = 0
	const cells = 100_000 // from −4/3 to 5/3, where the fourth result is inside
	for i := range cells {
		c := -4.0/3 + 3*(float64(i)+0.5)/cells
		low, high := max(-3-c, c-3, -2.6), 4-c
		within := (math.Erf(high/2/math.Sqrt2) - math.Erf(low/2/math.Sqrt2)) / 2
		want += math.Exp(-c*c/2) / math.Sqrt(2*math.Pi) * max(0, within) * 3 / cells
	}
	if math.Abs(p.Conforming-want) > 1e-5 {
		t.Errorf("%+v, want %v", p, want)
	}
	s, err := conformity.JointlySimulated(context.Background(),
		uncertainty.MonteCarlo{Trials: 200_000, Seed: 1}, tolerances, ys...)
	if err != nil || math.Abs(p.Conforming-s.Conforming) > s.Error+p.Error || !(s.Error < 0.004) {
		t.Errorf("%+v integrated, %+v simulated, %v", p, s, err)
	}
}

func TestJointlyEdges(t *testing.T) {
	exact, err := uncertainty.EvaluateAll(uncertainty.Exact(1), uncertainty.Exact(2))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		upper, want float64
	}{{2, 1}, {1.5, 0}} {
		if p := jointly(t, interval(0, c.upper), exact); p.Conforming != c.want || p.Error != 0 {
			t.Errorf("exact results up to %v: %+v", c.upper, p)
		}
	}
	free := jointly(t, interval(nothing, inf), equallyCorrelated(t, 3, 0.2, 4))
	if math.Abs(free.Conforming-1) > 1e-12 {
		t.Errorf("no limits: %+v", free)
	}
	one := jointly(t, interval(-2, inf), equallyCorrelated(t, 1, 0, inf))
	if want := probability(t, interval(-2, inf), known(t, 0,
		1)); math.Abs(one.Conforming-want) > 1e-12 {
		t.Errorf("one result: %+v, want %v", one, want)
	}
	far := jointly(t, interval(9, 10), equallyCorrelated(t, 2, 0.5, inf))
	// Given what the two share, √½·z, they are independent.
	var want float64
	for i := range 4000 {
		z := 5 + float64(i)/400
		inside := func(x float64) float64 { return math.Erfc((x-z*math.Sqrt(0.5))/math.Sqrt(0.5)/math.Sqrt2) / 2 }
		p := inside(9) - inside(10)
		want += math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) * p * p / 400
	}
	if math.Abs(far.Conforming/want-1) > 0.01 {
		t.Errorf("far outside: %+v, want %v", far, want)
	}
	dominated, err := uncertainty.EvaluateAll(uncertainty.Input("r",
		uncertainty.Rectangular(0, 1)), uncertainty.Input("n", uncertainty.Normal(0, 1)))
	if err != nil {
		t.Fatal(err)
	}
	if p := jointly(t, interval(-1, 1), dominated); len(p.Warnings) == 0 ||
		!errors.Is(p.Warnings[0], uncertainty.ErrExceedsBounds) {
		t.Errorf("a rectangle is taken as normal without a word: %v", p.Warnings)
	}
}

func TestJointlyRefuses(t *testing.T) {
	m := equallyCorrelated(t, 2, 0.5, inf)
	good := []uncertainty.Interval{interval(-1, 1), interval(-1, 1)}
	odd := equallyCorrelated(t, 2, 0.5, inf)
	odd.Covariance.SetSym(0, 1, math.NaN())
	short := equallyCorrelated(t, 3, 0.5, inf)
	short.Budgets = short.Budgets[:2]
	empty := equallyCorrelated(t, 2, 0.5, inf)
	empty.Budgets[1] = nil
	for name, c := range map[string]struct {
		tolerances []uncertainty.Interval
		m          *uncertainty.Multivariate
		want       error
	}{
		"no results": {good, nil, conformity.ErrDomain}, "too few limits": {good[:1], m,
			conformity.ErrDomain},
		"limits the wrong way": {[]uncertainty.Interval{interval(-1, 1), interval(1, -1)}, m,
			conformity.ErrInterval},
		"NaN limit": {[]uncertainty.Interval{interval(-1, 1), interval(math.NaN(), 1)},
			m, conformity.ErrNotFinite},
		"covariance": {good, odd, conformity.ErrNotFinite}, "rows": {good, short,
			conformity.ErrDomain}, "budget": {good, empty, conformity.ErrNotFinite},
	} {
		if _, err := conformity.Jointly(c.tolerances, c.m); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
	ctx, run := context.Background(), uncertainty.MonteCarlo{Trials: 1000}
	x := uncertainty.Input("x", uncertainty.Normal(0, 1))
	if _, err := conformity.JointlySimulated(ctx, run, nil); !errors.Is(err, conformity.ErrDomain) {
		t.Errorf("no quantities: %v", err)
	}
	if _, err := conformity.JointlySimulated(ctx, run, good, x); !errors.Is(err,
		conformity.ErrDomain) {
		t.Errorf("too many limits: %v", err)
	}
	if _, err := conformity.JointlySimulated(ctx, run, good[:1],
		uncertainty.Quantity{}); !errors.Is(err, uncertainty.ErrNoQuantity) {
		t.Errorf("no quantity: %v", err)
	}
	if p, err := conformity.JointlySimulated(ctx, run,
		[]uncertainty.Interval{interval(-100, 100)}, x); err != nil || p.Conforming != 1 ||
		p.Error != 3e-3 {
		t.Errorf("always inside: %+v, %v", p, err)
	}
}
