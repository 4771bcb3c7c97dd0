// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
)

func TestStdDevFactors(t *testing.T) {
	// Both branches agree where they meet, and with the gamma functions in logarithms.
	for _, dof := range []float64{1e-300, 0.3, 1, 2.5, 49.999999, 50, 51, 1000, 1e6} {
		a, _ := math.Lgamma((dof + 1) / 2)
		b, _ := math.Lgamma(dof / 2)
		want := math.Sqrt(2/dof) * math.Exp(a-b)
		if got := must(uncertainty.C4(dof)); !near(got, want, 1e-9) {
			t.Errorf("c4 of %v degrees of freedom is %v, want %v", dof, got, want)
		}
	}
	if low, high := must(uncertainty.C4(50*(1-1e-15))), must(uncertainty.C4(50)); !near(low, high,
		1e-14) {
		t.Errorf("c4 jumps at 50 degrees of freedom: %v, %v", low, high)
	}
	if c := must(uncertainty.C4(math.Inf(1))); c != 1 {
		t.Errorf("c4 of infinite degrees of freedom is %v", c)
	}
	if u := must(uncertainty.StdDevUncertainty(math.Inf(1))); u != 0 {
		t.Errorf("relative uncertainty of a known standard deviation is %v", u)
	}
	if u := must(uncertainty.StdDevUncertainty(1e8)); !near(u, 1/math.Sqrt(2e8), 1e-7) {
		t.Errorf("relative uncertainty with 1e8 degrees of freedom is %v", u)
	}
	for _, dof := range []float64{0, -1, math.NaN(), math.Inf(-1)} {
		if _, err := uncertainty.C4(dof); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("C4(%v): %v", dof, err)
		}
		if _, err := uncertainty.StdDevUncertainty(dof); !errors.Is(err, uncertainty.ErrDomain) {
			t.Errorf("StdDevUncertainty(%v): %v", dof, err)
		}
	}
}

func TestFQuantileInverts(t *testing.T) {
	for _, dof := range [][2]float64{{1, 1}, {0.5, 3}, {3, 1.5}, {9, 40}, {200, 7}, {1000, 1000}} {
		for _, p := range []float64{1e-6, 0.05, 0.5, 0.95, 0.999} {
			f := must(uncertainty.FQuantile(p, dof[0], dof[1]))
			if got := (distuv.F{D1: dof[0], D2: dof[1]}).CDF(f); !near(got, p, 1e-9) {
				t.Errorf("F of %v at %v lies above a share of %v", dof, p, got)
			}
		}
	}
	// Many degrees of freedom are as good as infinitely many.
	for _, p := range []float64{0.05, 0.95} {
		for _, order := range [][4]float64{{5, 1e9, 5, math.Inf(1)}, {1e9, 5, math.Inf(1), 5}} {
			a, b := must(uncertainty.FQuantile(p, order[0],
				order[1])), must(uncertainty.FQuantile(p, order[2], order[3]))
			if !near(a, b, 1e-8) {
				t.Errorf("F of %v at %v: %v, %v", order, p, a, b)
			}
		}
	}
	for _, dof := range [][2]float64{{1, 1e307}, {1e18, math.MaxFloat64}, {2e307, math.MaxFloat64}} {
		for _, p := range []float64{1e-6, 0.04, 0.95} {
			f := must(uncertainty.FQuantile(p, dof[0], dof[1]))
			if limit := must(uncertainty.FQuantile(p, dof[0], math.Inf(1))); !near(f, limit, 1e-12) {
				t.Errorf("F of %v at %v: %v, with infinitely many %v", dof, p, f, limit)
			}
		}
	}
	if f := must(uncertainty.FQuantile(0.95, math.Inf(1), math.Inf(1))); f != 1 {
		t.Errorf("F of known variances is %v", f)
	}
	for _, c := range [][3]float64{{0, 1, 1}, {1, 1, 1}, {math.NaN(), 1, 1}, {0.5, 0, 1},
		{0.5, 1, -2}, {0.5, 1, math.NaN()}, {0.99, 1e-5, 1e-5}, {0.5, 5e-324, 1}, {0.5, 1e300, 5e-324}} {
		if _, err := uncertainty.FQuantile(c[0], c[1], c[2]); !errors.Is(err,
			uncertainty.ErrDomain) {
			t.Errorf("%v: %v", c, err)
		}
	}
}

// With F of ν and ν degrees of freedom, √ν (√F − 1/√F)/2 has the t distribution of ν
// (Cacoullos, Journal of the American Statistical Association 60, 1965, 528; from memory).
func TestFQuantileAgainstT(t *testing.T) {
	for _, dof := range []float64{2, 30, 1e3, 9e4, 1e5, 1e6, 3e6, 1e7, 1e9, 1e15} {
		for _, coverage := range []float64{0.2, 0.9, 0.95, 0.999, 1 - 1e-8} {
			k := must(uncertainty.CoverageFactor(coverage, dof))
			want := 2 * math.Asinh(k/math.Sqrt(dof))
			for _, side := range []float64{-1, 1} {
				p := (1 + side*coverage) / 2
				got := math.Log(must(uncertainty.FQuantile(p, dof, dof)))
				if !near(got, side*want, 1e-8) {
					t.Errorf("ln F of %v at %v is %v; by t %v", dof, p, got, side*want)
				}
			}
		}
	}
}

// Between the ways in which it is computed the quantile does not jump, and it is the inverse of
// the one with the degrees of freedom and the tails exchanged.
func TestFQuantileWithoutSteps(t *testing.T) {
	for _, few := range []float64{2, 5, 29, 31, 500, 9e4, 1.1e5, 9e5, 1.1e6} {
		for _, p := range []float64{0.001, 0.05, 0.5, 0.95} {
			f := func(many float64) float64 { return must(uncertainty.FQuantile(p, few, many)) }
			for _, edge := range []float64{1e5, 1e6} {
				below, above := f(edge*(1-1e-9)), f(edge*(1+1e-9))
				if math.Abs(above-below) > 1e-9*below {
					t.Errorf("at %v, %v and %v: %v, %v", p, few, edge, below, above)
				}
			}
			for _, many := range []float64{2e6, 1e8, math.Inf(1)} {
				if g := must(uncertainty.FQuantile(1-p, many, few)); !near(1/g, f(many), 1e-9) {
					t.Errorf("at %v, %v and %v: %v, exchanged %v", p, few, many, f(many), 1/g)
				}
			}
		}
	}
}

func TestPoolOfSeries(t *testing.T) {
	p := must(uncertainty.Pool([]float64{1, 3}, []float64{7}, []float64{2, 4, 6}))
	if want := math.Sqrt((2. + 8) / 3); !near(p.StdDev, want, 1e-15) || p.DOF != 3 ||
		p.Series != 2 {
		t.Errorf("%+v, want %v with 3 degrees of freedom", p, want)
	}
	one := must(uncertainty.Pool([]float64{1, 3}))
	if !math.IsNaN(one.ChiSquared) || one.Probability != 1 {
		t.Errorf("one series: %+v", one)
	}
	still := must(uncertainty.Pool([]float64{1, 1}, []float64{2, 2}))
	if still.StdDev != 0 || still.ChiSquared != 0 || still.Probability != 1 {
		t.Errorf("no scatter: %+v", still)
	}
	half := must(uncertainty.Pool([]float64{1, 1}, []float64{2, 3}))
	if !math.IsInf(half.ChiSquared, 1) || half.Probability != 0 {
		t.Errorf("scatter in one of two: %+v", half)
	}
	for _, c := range []struct {
		series [][]float64
		want   error
	}{
		{nil, uncertainty.ErrObservations}, {[][]float64{{1}, {2}}, uncertainty.ErrObservations},
		{[][]float64{{1, math.Inf(1)}}, uncertainty.ErrNotFinite}, {[][]float64{{1, 2},
			{math.NaN()}}, uncertainty.ErrNotFinite},
		{[][]float64{{1e200, -1e200}}, uncertainty.ErrNotFinite},
	} {
		if _, err := uncertainty.Pool(c.series...); !errors.Is(err, c.want) {
			t.Errorf("%v: %v, want %v", c.series, err, c.want)
		}
	}
}

func TestTwoWay(t *testing.T) {
	// Sums of effects and no rest: 10·row + 1·column, repeats ± 0.5.
	cells := make([][][]float64, 3)
	for i := range cells {
		for k := range 4 {
			v := 10*float64(i) + float64(k)
			cells[i] = append(cells[i], []float64{v - 0.5, v + 0.5})
		}
	}
	a := must(uncertainty.NewTwoWay(cells))
	for _, row := range []struct {
		name      string
		got, want float64
	}{
		{"mean", a.Mean, 11.5}, {"rows", a.Row.Sum, 8 * 200}, {"columns", a.Column.Sum,
			6 * 5}, {"within", a.Within.Sum, 12 * 0.5},
		{"rows, degrees of freedom", float64(a.Row.DOF), 2}, {"columns, degrees of freedom",
			float64(a.Column.DOF), 3},
		{"interaction, degrees of freedom", float64(a.Interaction.DOF),
			6}, {"within, degrees of freedom", float64(a.Within.DOF), 12},
		{"standard deviation of rows", a.Components().Row, 10}, {"of columns",
			a.Components().Column, math.Sqrt(5. / 3)},
		{"of repeats", a.Components().Within, math.Sqrt(0.5)},
	} {
		if !near(row.got, row.want, 1e-13) {
			t.Errorf("%s: %v, want %v", row.name, row.got, row.want)
		}
	}
	if a.Interaction.Sum != 0 || a.Components().Interaction != 0 {
		t.Errorf("interaction: %+v", a.Interaction)
	}
	// u² is that of three rows and four columns: 100/3 + (5/3)/4.
	if u := a.MeanOfAll().(interface{ Uncertainty() (float64, float64) }); u != nil {
		got, dof := u.Uncertainty()
		if want := math.Sqrt(100./3 + 5./12); !near(got, want, 1e-13) || !(dof > 2 && dof < 2.1) {
			t.Errorf("u of the mean %v with %v degrees of freedom, want %v", got, dof, want)
		}
	}
	alone := must(uncertainty.NewTwoWay([][][]float64{{{1}, {2}}, {{3}, {7}}}))
	if c := alone.Components(); !math.IsNaN(c.Within) || !near(c.Interaction, 1.5, 1e-14) ||
		alone.Within.DOF != 0 {
		t.Errorf("without repeats: %+v", c)
	}
	// Rows and columns that vary less than their interaction do not make u smaller.
	cross := must(uncertainty.NewTwoWay([][][]float64{{{1}, {-1}}, {{-1}, {1}}}))
	if u, dof := cross.MeanOfAll().(interface {
		Uncertainty() (float64,
			float64)
	}).Uncertainty(); !near(u, 1, 1e-14) || dof != 1 {
		t.Errorf("interaction alone: u = %v, %v degrees of freedom", u, dof)
	}
	// A component of exactly 0 is not below 0: mean squares 36, 4 and 4 of one degree of freedom
	// each have 36²/(36² + 4² + 4²) by Welch and Satterthwaite, not the 1 of the rows alone.
	even := must(uncertainty.NewTwoWay([][][]float64{{{5}, {1}}, {{-3}, {-3}}}))
	if u, dof := even.MeanOfAll().(interface {
		Uncertainty() (float64, float64)
	}).Uncertainty(); !near(u, 3, 1e-14) || !near(dof, 1296./1328, 1e-14) {
		t.Errorf("columns like the interaction: u = %v, %v degrees of freedom", u, dof)
	}
}

func TestAnalysesRefuse(t *testing.T) {
	for name, c := range map[string]struct {
		cells [][][]float64
		want  error
	}{
		"none": {nil, uncertainty.ErrObservations}, "one row": {[][][]float64{{{1}, {2}}},
			uncertainty.ErrObservations},
		"one column": {[][][]float64{{{1}}, {{2}}},
			uncertainty.ErrObservations}, "ragged": {[][][]float64{{{1}, {2}},
			{{1}}}, uncertainty.ErrDomain},
		"empty cell": {[][][]float64{{{1}, {}}, {{1}, {2}}},
			uncertainty.ErrDomain}, "repeats": {[][][]float64{{{1}, {2, 3}},
			{{1}, {2}}}, uncertainty.ErrDomain},
		"NaN": {[][][]float64{{{1}, {math.NaN()}}, {{1}, {2}}},
			uncertainty.ErrNotFinite}, "overflow": {[][][]float64{{{1e300}, {-1e300}},
			{{1}, {2}}}, uncertainty.ErrNotFinite},
	} {
		if _, err := uncertainty.NewTwoWay(c.cells); !errors.Is(err, c.want) {
			t.Errorf("two-way, %s: %v, want %v", name, err, c.want)
		}
	}
	for name, c := range map[string]struct {
		groups [][][]float64
		want   error
	}{
		"none": {nil, uncertainty.ErrObservations}, "one group": {[][][]float64{{{1}, {2}}},
			uncertainty.ErrObservations},
		"empty group": {[][][]float64{{{1}, {2}}, {}},
			uncertainty.ErrObservations}, "empty subgroup": {[][][]float64{{{1}, {}},
			{{2}}}, uncertainty.ErrObservations},
		"no subgroups": {[][][]float64{{{1, 2}}, {{2, 3}}},
			uncertainty.ErrObservations}, "NaN": {[][][]float64{{{1}, {math.NaN()}},
			{{2}}}, uncertainty.ErrNotFinite},
		"overflow": {[][][]float64{{{1e300}, {-1e300}}, {{2}}}, uncertainty.ErrNotFinite},
	} {
		if _, err := uncertainty.NewNested(c.groups...); !errors.Is(err, c.want) {
			t.Errorf("nested, %s: %v, want %v", name, err, c.want)
		}
	}
	f, p := uncertainty.SumOfSquares{Sum: 1}.F(uncertainty.SumOfSquares{Sum: 1, DOF: 1})
	if !math.IsNaN(f) || !math.IsNaN(p) {
		t.Errorf("F without degrees of freedom: %v, %v", f, p)
	}
	f, p = uncertainty.SumOfSquares{Sum: 1, DOF: 1}.F(uncertainty.SumOfSquares{Sum: -1, DOF: 1})
	if !math.IsNaN(f) || !math.IsNaN(p) {
		t.Errorf("F over a negative sum: %v, %v", f, p)
	}
	f, p = uncertainty.SumOfSquares{Sum: 1, DOF: 1}.F(uncertainty.SumOfSquares{DOF: 1})
	if !math.IsInf(f, 1) || p != 0 {
		t.Errorf("F over nothing: %v, %v", f, p)
	}
	if f, p = (uncertainty.SumOfSquares{Sum: 161.4476387975881,
		DOF: 1}).F(uncertainty.SumOfSquares{Sum: 1, DOF: 1}); !near(p, 0.05, 1e-9) {
		t.Errorf("F %v has the probability %v, want 0.05", f, p)
	}
}

// The expectation of a mean square is the sum of those of each effect alone: indicators of
// subgroups and groups, each with variance 1.
func TestNestedSizesAgainstIndicators(t *testing.T) {
	sizes := [][]int{{3, 1, 2}, {4}, {1, 1}, {2, 5, 1, 1}}
	indicator := func(is func(group, subgroup int) bool) *uncertainty.Nested {
		var groups [][][]float64
		for i, g := range sizes {
			var group [][]float64
			for k, n := range g {
				x := make([]float64, n)
				for j := range x {
					if is(i, k) {
						x[j] = 1
					}
				}
				group = append(group, x)
			}
			groups = append(groups, group)
		}
		return must(uncertainty.NewNested(groups...))
	}
	var amongSubgroups, betweenSubgroups, betweenGroups float64
	for i, g := range sizes {
		a := indicator(func(group, _ int) bool { return group == i })
		betweenGroups += a.Between.MeanSquare()
		if a.Among.Sum > 1e-20 {
			t.Errorf("a whole group varies among its subgroups: %v", a.Among.Sum)
		}
		for k := range g {
			a := indicator(func(group, subgroup int) bool { return group == i && subgroup == k })
			amongSubgroups += a.Among.MeanSquare()
			betweenSubgroups += a.Between.MeanSquare()
		}
	}
	a := indicator(func(int, int) bool { return false })
	for i, want := range []float64{amongSubgroups, betweenSubgroups, betweenGroups} {
		if !near(a.Sizes[i], want, 1e-12) {
			t.Errorf("size %d is %v, want %v", i, a.Sizes[i], want)
		}
	}
	if a.Between.DOF != 3 || a.Among.DOF != 6 || a.Within.DOF != 11 || a.Observations != 21 {
		t.Errorf("%+v", a)
	}
}

func TestNestedComponents(t *testing.T) {
	// Without repeats the two lower stages are one.
	a := must(uncertainty.NewNested([][]float64{{1}, {3}}, [][]float64{{11}, {13}}))
	c := a.Components()
	if !math.IsNaN(c.Within) || !near(c.Among, math.Sqrt2, 1e-14) || !near(c.Between, 7, 1e-13) {
		t.Errorf("without repeats: %+v", c)
	}
	if u, dof := a.MeanOfGroups().(interface {
		Uncertainty() (float64,
			float64)
	}).Uncertainty(); !near(u, 5, 1e-14) || dof != 1 || a.Mean != 7 {
		t.Errorf("mean %v, u %v, %v degrees of freedom", a.Mean, u, dof)
	}
	// Stages below chance are none.
	b := must(uncertainty.NewNested([][]float64{{1, 3}, {3, 1}}, [][]float64{{1, 3}, {3, 1}}))
	if c := b.Components(); c.Between != 0 || c.Among != 0 || !near(c.Within, math.Sqrt2, 1e-14) {
		t.Errorf("chance alone: %+v", c)
	}
}
