// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

func warned(b *uncertainty.Budget, want error) bool {
	return errors.Is(errors.Join(b.Warnings...), want)
}

func TestSharedSourceCorrelates(t *testing.T) {
	standard := uncertainty.Input("standard", uncertainty.Normal(100, 0.3))
	r1 := standard.Mul(uncertainty.Input("r1", uncertainty.Normal(1, 0.001)))
	r2 := standard.Mul(uncertainty.Input("r2", uncertainty.Normal(1, 0.002)))
	m, err := uncertainty.EvaluateAll(r1, r2, r1.Sub(r2), r1.Div(r2), standard.Sub(standard))
	if err != nil {
		t.Fatal(err)
	}
	// u(r1, r2) = u²(standard); the difference keeps the ratios alone.
	if got := m.Covariance.At(0, 1); !near(got, 0.09, 1e-14) {
		t.Errorf("covariance %v; want 0.09", got)
	}
	if got, want := correlationOf(t, m, 0, 1),
		0.09/math.Sqrt((0.09+0.01)*(0.09+0.04)); !near(got, want, 1e-14) ||
		correlationOf(t, m, 1, 0) != got || correlationOf(t, m, 1, 1) != 1 {
		t.Errorf("correlation %v; want %v", got, want)
	}
	if got, want := m.Budgets[2].StandardUncertainty, math.Hypot(0.1, 0.2); !near(got, want, 1e-14) {
		t.Errorf("u of the difference %v; want %v", got, want)
	}
	if got, want := m.Budgets[3].StandardUncertainty, math.Hypot(0.001, 0.002); !near(got, want, 1e-12) {
		t.Errorf("u of the ratio %v; want %v", got, want)
	}
	if b := m.Budgets[4]; b.StandardUncertainty != 0 || len(b.Components) != 1 ||
		correlationOf(t, m, 0, 4) != 0 || warned(b, uncertainty.ErrFirstOrder) {
		t.Errorf("x − x: %+v; want u = 0, one row, no warning", b)
	}
	for _, pair := range [][2]int{{0, 5}, {5, 0}, {5, 5}, {-1, 0}, {0, -1}} {
		if r, err := m.Correlation(pair[0], pair[1]); !errors.Is(err, uncertainty.ErrRange) || r != 0 {
			t.Errorf("correlation of measurands %v of 5: %v, %v; want ErrRange", pair, r, err)
		}
	}
	for name, m := range map[string]*uncertainty.Multivariate{"nil": nil, "no covariance": {Budgets: m.Budgets}} {
		if _, err := m.Correlation(0, 1); err == nil {
			t.Errorf("%s: a correlation without an error", name)
		}
	}
}

// correlationOf is that of two results of one evaluation.
func correlationOf(t testing.TB, of interface {
	Correlation(i, j int) (float64, error)
}, i, j int) float64 {
	t.Helper()
	r, err := of.Correlation(i, j)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestSourceIDs(t *testing.T) {
	build := func(id string, u float64) uncertainty.Quantity {
		return uncertainty.Source{Name: "standard", ID: id, Distribution: uncertainty.Normal(100, u)}.Input()
	}
	// One ID is one quantity, however often it is built.
	b := evaluate(t, build("S-1", 0.3).Sub(build("S-1", 0.3)))
	if b.StandardUncertainty != 0 || len(b.Components) != 1 {
		t.Errorf("difference of one ID: u = %v, %d rows; want 0, 1", b.StandardUncertainty, len(b.Components))
	}
	if b := evaluate(t, build("S-1", 0.3).Add(build("S-1", 0.3))); !near(b.StandardUncertainty, 0.6,
		1e-15) || b.Components[0].Sensitivity != 2 || b.Components[0].ID != "S-1" {
		t.Errorf("sum of one ID: u = %v; want 0.6", b.StandardUncertainty)
	}
	// Rounding left by equal sources that cancel is no uncertainty.
	third := build("S-1", 0.3).Scale(1. / 3)
	if b := evaluate(t, uncertainty.Sum(third, third, third).Sub(build("S-1", 0.3))); b.StandardUncertainty != 0 {
		t.Errorf("three thirds less the whole: u = %v; want 0", b.StandardUncertainty)
	}
	for _, u := range []uncertainty.Quantity{
		build("S-1", 0.4),
		uncertainty.Source{Name: "other", ID: "S-1", Distribution: uncertainty.Normal(100, 0.3)}.Input(),
		uncertainty.Source{Name: "standard", ID: "S-1", Unit: "Ω", Distribution: uncertainty.Normal(100, 0.3)}.Input(),
		uncertainty.Source{Name: "standard", ID: "S-1", DOF: 5, Distribution: uncertainty.Normal(100, 0.3)}.Input(),
		uncertainty.Source{Name: "standard", ID: "S-1", Distribution: uncertainty.Rectangular(100, 0.3*math.Sqrt(3))}.Input(),
	} {
		if _, err := uncertainty.Evaluate(build("S-1", 0.3).Add(u)); !errors.Is(err, uncertainty.ErrSameID) {
			t.Errorf("one ID stated differently: error %v; want %v", err, uncertainty.ErrSameID)
		}
	}
	// Different IDs of one name: allowed, with a warning; against no ID: refused.
	b = evaluate(t, build("S-1", 0.3).Add(build("S-2", 0.4)))
	if !near(b.StandardUncertainty, 0.5, 1e-15) || !warned(b, uncertainty.ErrSharedName) {
		t.Errorf("two IDs: u = %v, warnings %v", b.StandardUncertainty, b.Warnings)
	}
	if _, err := uncertainty.Evaluate(build("S-1", 0.3).Add(build("", 0.3))); !errors.Is(err, uncertainty.ErrSameName) {
		t.Errorf("an ID against none: %v", err)
	}
}

func TestJointSourceIDs(t *testing.T) {
	build := func(names []string, r float64) []uncertainty.Quantity {
		return uncertainty.JointSource{
			Names: names, Units: []string{"V", "A"}, Estimates: []float64{1, 2}, ID: "run 1",
			Covariance: mat.NewSymDense(2, []float64{0.01, 0.02 * r, 0.02 * r, 0.04}),
		}.Inputs()
	}
	ab := []string{"a", "b"}
	one, two := build(ab, 0.5), build(ab, 0.5)
	m, err := uncertainty.EvaluateAll(one[0], two[1], one[0].Sub(two[0]))
	if err != nil {
		t.Fatal(err)
	}
	if got := correlationOf(t, m, 0, 1); !near(got, 0.5, 1e-14) || m.Budgets[2].StandardUncertainty != 0 {
		t.Errorf("r = %v, u of the difference %v; want 0.5, 0", got, m.Budgets[2].StandardUncertainty)
	}
	if u := m.Budgets[1].Unit; u != "A" {
		t.Errorf("unit %q; want A", u)
	}
	for name, other := range map[string][]uncertainty.Quantity{"another r": build(ab, 0.1),
		"another name": build([]string{"a", "c"}, 0.5)} {
		if _, err := uncertainty.Evaluate(one[0].Add(other[1])); !errors.Is(err, uncertainty.ErrSameID) {
			t.Errorf("%s: error %v; want %v", name, err, uncertainty.ErrSameID)
		}
	}
}

func TestJointInputs(t *testing.T) {
	for _, r := range []float64{-1, -0.6, 0, 0.3, 1} {
		c := mat.NewSymDense(2, []float64{9, 12 * r, 12 * r, 16})
		q := uncertainty.Joint([]string{"a", "b"}, []float64{10, 20}, c)
		c.SetSym(0, 0, 1e6) // the matrix was copied
		m, err := uncertainty.EvaluateAll(q[0].Add(q[1]), q[0].Scale(4).Add(q[1].Scale(3)))
		if err != nil {
			t.Fatal(err)
		}
		b := m.Budgets[0]
		if want := math.Sqrt(25 + 24*r); !near(b.StandardUncertainty, want, 1e-14) {
			t.Errorf("r = %v: u = %v; want %v", r, b.StandardUncertainty, want)
		}
		if want := math.Sqrt(288 + 288*r); !near(m.Budgets[1].StandardUncertainty, want, 1e-9) {
			t.Errorf("r = %v: u = %v; want %v", r, m.Budgets[1].StandardUncertainty, want)
		}
		if want := []uncertainty.Correlation{{A: "a", B: "b", R: r}}; r != 0 &&
			!cmp.Equal(b.Correlations, want,
				cmpopts.IgnoreFields(uncertainty.Correlation{}, "Share")) ||
			r == 0 && b.Correlations != nil {
			t.Errorf("correlations %v; want %v", b.Correlations, want)
		}
		shares := b.Components[0].Share + b.Components[1].Share
		for _, c := range b.Correlations {
			shares += c.Share
		}
		if !near(shares, 1, 1e-12) || !b.Components[0].Joint {
			t.Errorf("r = %v: shares add up to %v; want 1", r, shares)
		}
	}
}

func TestPrintedCorrelationsAreAccepted(t *testing.T) {
	// Three quantities of one cause, r = 1, with r printed to two digits and off by
	// 0.005: not semidefinite by a little.
	c := mat.NewSymDense(3, []float64{1, 0.995, 0.995, 0.995, 1, 0.985, 0.995, 0.985, 1})
	q := uncertainty.Joint([]string{"a", "b", "c"}, []float64{0, 0, 0}, c)
	if u := evaluate(t, uncertainty.Sum(q...)).StandardUncertainty; !near(u, 3, 0.01) {
		t.Errorf("u = %v; want about 3", u)
	}
	// A combination of negative variance is 0, not NaN.
	if u := evaluate(t, uncertainty.Linear(0, []float64{2, -1, -1}, q)).StandardUncertainty; u < 0 || math.IsNaN(u) {
		t.Errorf("u = %v; want 0 or more", u)
	}
}

func TestJointTypeA(t *testing.T) {
	// By hand: x = 1, 2, 3; y = 2, 4, 9: means 2 and 5, s_xy/n = 7/6.
	q := uncertainty.JointTypeA([]string{"x", "y"}, [][]float64{{1, 2, 3}, {2, 4, 9}}).Inputs()
	m, err := uncertainty.EvaluateAll(q[0], q[1], q[0].Add(q[1]))
	if err != nil {
		t.Fatal(err)
	}
	if m.Budgets[0].Estimate != 2 || m.Budgets[1].Estimate != 5 || !near(m.Covariance.At(0, 1), 7./6, 1e-14) {
		t.Errorf("means %v, %v, covariance %v; want 2, 5, 7/6", m.Budgets[0].Estimate,
			m.Budgets[1].Estimate, m.Covariance.At(0, 1))
	}
	b := m.Budgets[2]
	// The sum of the means is the mean of the sums: its degrees of freedom are exact.
	direct := evaluate(t, uncertainty.Input("sum", uncertainty.TypeA(3, 6, 12)))
	if !near(b.StandardUncertainty, direct.StandardUncertainty, 1e-14) || !near(b.DOF, direct.DOF, 1e-12) {
		t.Errorf("u = %v, ν = %v; want %v, %v", b.StandardUncertainty, b.DOF, direct.StandardUncertainty, direct.DOF)
	}
	if warned(b, uncertainty.ErrJointDOF) || b.Components[0].Type != uncertainty.EvaluationA {
		t.Errorf("type %v, warnings %v", b.Components[0].Type, b.Warnings)
	}
}

func TestCovarianceMatrix(t *testing.T) {
	const seed = 5
	r := rand.New(rand.NewPCG(seed, 3))
	for n := range 50 {
		var in []uncertainty.Quantity
		for i := range 4 {
			in = append(in, uncertainty.Input(fmt.Sprint("x", i), uncertainty.Normal(r.NormFloat64(), r.Float64())))
		}
		a, b := r.Float64(), r.Float64()
		in = append(in, uncertainty.Joint([]string{"j", "k"}, []float64{a, b},
			mat.NewSymDense(2, []float64{a * a, 0.7 * a * b, 0.7 * a * b, b * b}))...)
		var ys []uncertainty.Quantity
		for range 5 {
			c := make([]float64, len(in))
			for i := range c {
				c[i] = r.NormFloat64()
			}
			ys = append(ys, uncertainty.Sin(uncertainty.Linear(0, c, in)).Add(in[r.IntN(len(in))]))
		}
		m, err := uncertainty.EvaluateAll(ys...)
		if err != nil {
			t.Fatal(err)
		}
		var e mat.EigenSym
		if !e.Factorize(m.Covariance, false) || e.Values(nil)[0] < -1e-12*e.Values(nil)[4] {
			t.Fatalf("seed %d, model %d: not positive semidefinite", seed, n)
		}
		for i, budget := range m.Budgets {
			if !near(m.Covariance.At(i, i), budget.StandardUncertainty*budget.StandardUncertainty, 1e-14) {
				t.Fatalf("seed %d, model %d: variance of measurand %d differs from its budget", seed, n, i)
			}
		}
	}
}

func TestDegreesOfFreedom(t *testing.T) {
	in := func(name string, u, dof float64) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Distribution: uncertainty.Normal(0, u), DOF: dof}.Input()
	}
	for _, c := range []struct {
		y    uncertainty.Quantity
		want float64
	}{
		{in("a", 1, 5), 5},
		{in("a", 1, 5).Add(in("b", 1, 5)), 10},     // (1+1)²/(1/5+1/5)
		{in("a", 1, 4).Add(in("b", 2, 0)), 100},    // 25/(1/4)
		{in("a", 3, 4).Scale(7), 4},                // scale does not matter
		{in("a", 1, 0), infinity},                  // 0: the distribution's own
		{in("a", 1, 5).Add(in("b", 0, 1)), 5},      // no u, no vote
		{in("a", 1, 50).Sub(in("b", 1, 25)), 66.6}, // 4/(1/50+1/25)
	} {
		b := evaluate(t, c.y)
		if want := c.want; !near(b.DOF, want, 1e-2) || want != 66.6 && !near(b.DOF, want, 1e-12) {
			t.Errorf("ν = %v; want %v", b.DOF, want)
		}
		if k := factor(t, 0.95, b.DOF); b.Expanded.K != k || b.Expanded.P != 0.95 ||
			b.Expanded.U != k*b.StandardUncertainty ||
			b.Expanded.Lower != b.Estimate-b.Expanded.U ||
			b.Expanded.Upper != b.Estimate+b.Expanded.U {
			t.Errorf("expanded %+v; want k = %v", b.Expanded, k)
		}
	}
}

func TestIntervalsNest(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.TypeA(1, 2, 4, 3))
	y := evaluate(t, x.Add(uncertainty.Input("y", uncertainty.Rectangular(0, 3))).Add(
		uncertainty.Input("z", uncertainty.Triangular(0, 1))))
	var last, lastShape float64
	for p := 0.01; p < 0.9999; p += 0.03 {
		e, err := y.ExpandedAt(p)
		i, err2 := y.Convolution(p)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		if e.U <= last || i.Width() <= lastShape || !e.Contains(y.Estimate) || !i.Contains(y.Estimate) {
			t.Fatalf("p = %v: U = %v after %v, width %v after %v", p, e.U, last, i.Width(), lastShape)
		}
		last, lastShape = e.U, i.Width()
	}
}

func TestStationaryPointWarns(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(0, 0.1))
	other := uncertainty.Input("other", uncertainty.Normal(1, 0.1))
	for _, c := range []struct {
		name string
		y    uncertainty.Quantity
		want bool
	}{
		{"square at its minimum", x.Mul(x), true},
		{"cosine at its maximum", uncertainty.Cos(x).Scale(3), true},
		{"difference of itself", x.Sub(x), false},
		{"square beside it", x.Mul(x).Scale(0.1).Add(other), false},
		{"large square beside it", x.Mul(x).Add(other), true},
		{"square elsewhere", other.Add(uncertainty.Exact(4)).Mul(other.Add(uncertainty.Exact(4))), false},
	} {
		b := evaluate(t, c.y)
		if got := warned(b, uncertainty.ErrFirstOrder); got != c.want {
			t.Errorf("%s: warning %v, u = %v; want %v", c.name, got, b.StandardUncertainty, c.want)
		}
	}
}

func TestEveryInputHasARow(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(0, 1))
	y := uncertainty.Input("y", uncertainty.Normal(0, 1))
	z := uncertainty.Source{Name: "z", Unit: "m", Note: "tape",
		Distribution: uncertainty.Rectangular(1, 0.3), DOF: 8}.Input()
	b := evaluate(t, z.Add(x.Mul(y)))
	want := []uncertainty.Component{
		{Name: "z", Unit: "m", Note: "tape", Distribution: "rectangular", Estimate: 1, StandardUncertainty: 0.3 / math.Sqrt(3), DOF: 8, Sensitivity: 1, Contribution: 0.3 / math.Sqrt(3), Share: 1},
		{Name: "x", Distribution: "normal", StandardUncertainty: 1, DOF: infinity},
		{Name: "y", Distribution: "normal", StandardUncertainty: 1, DOF: infinity},
	}
	if diff := cmp.Diff(want, b.Components); diff != "" {
		t.Errorf("components (-want +got):\n%s", diff)
	}
}

func TestUnits(t *testing.T) {
	in := func(name, unit string) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Unit: unit, Distribution: uncertainty.Normal(2, 0.1)}.Input()
	}
	a, b, ratio, v := in("a", "Ω"), in("b", "Ω"), in("ratio", "1"), in("v", "V")
	for _, c := range []struct {
		name string
		q    uncertainty.Quantity
		want string
	}{
		{"input", a, "Ω"}, {"sum", a.Add(b), "Ω"}, {"constant", a.Sub(uncertainty.Exact(1)), "Ω"}, {"factor", ratio.Mul(a).Scale(3), "Ω"},
		{"exact factor", uncertainty.Exact(2).Mul(a).Div(ratio), "Ω"}, {"quotient", a.Div(b), "1"}, {"linear", uncertainty.Linear(1, []float64{1, 2}, []uncertainty.Quantity{a, b}), "Ω"},
		{"named", a.Named("r").Neg(), "Ω"}, {"product", a.Mul(b), ""}, {"root", uncertainty.Sqrt(a), ""},
		{"current", v.Div(a), "A"},
	} {
		if got := evaluate(t, c.q).Unit; got != c.want {
			t.Errorf("%s: unit %q; want %q", c.name, got, c.want)
		}
	}
}

func TestDeepModel(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(0, 1))
	y, step := x, uncertainty.Exact(1)
	length := 200_000 // what is quadratic does not end with that either
	if uncertaintytest.Long() {
		length = 1_000_000
	}
	for range 1_000 {
		y = y.Add(step)
	}
	failed := y.Div(uncertainty.Exact(0))
	for range length - 1_000 {
		y = y.Add(step)
		failed = failed.Neg()
	}
	if b := evaluate(t, y); b.Estimate != float64(length) || b.StandardUncertainty != 1 {
		t.Errorf("%v, u = %v; want %d, 1", b.Estimate, b.StandardUncertainty, length)
	}
	if err := failed.Err(); !errors.Is(err, uncertainty.ErrDomain) {
		t.Errorf("error at the end of a long chain: %v", err)
	}
}

func TestConcurrentUse(t *testing.T) {
	shared := uncertainty.Input("shared", uncertainty.Normal(2, 0.1))
	f := func(x []float64) float64 { return math.Sin(x[0]) * x[1] }
	want := evaluate(t, uncertainty.Call("f", f, shared, shared)).StandardUncertainty
	var group sync.WaitGroup
	for i := range 16 {
		group.Go(func() {
			own := uncertainty.Input(fmt.Sprint("own ", i), uncertainty.Normal(1, 0.1))
			y := uncertainty.Call("f", f, shared, shared)
			m, err := uncertainty.EvaluateAll(y, y.Mul(own))
			if err != nil || m.Budgets[0].StandardUncertainty != want {
				t.Errorf("u = %v, error %v; want %v", m, err, want)
			}
		})
	}
	group.Wait()
}

// Propagate is Evaluate without the budget: the same figures and the same refusals.
func TestPropagateAgainstEvaluate(t *testing.T) {
	a := uncertainty.Input("a", uncertainty.Normal(3, 0.1))
	b := uncertainty.Input("b", uncertainty.TypeA(1.1, 1.3, 1.2))
	joint := uncertainty.JointSource{Names: []string{"p", "q"}, Estimates: []float64{1, 2},
		Covariance: mat.NewSymDense(2, []float64{0.04, 0.01, 0.01, 0.09}), DOF: 7}.Inputs()
	for _, y := range []uncertainty.Quantity{a, a.Mul(b), a.Sub(a), uncertainty.Exact(2),
		joint[0].Mul(joint[1]).Add(b)} {
		want, err := uncertainty.Evaluate(y)
		if err != nil {
			t.Fatal(err)
		}
		u, dof, err := uncertainty.Propagate(y)
		if err != nil || u != want.StandardUncertainty || dof != want.DOF {
			t.Errorf("%v: u %v, dof %v, %v; want %v, %v", y, u, dof, err, want.StandardUncertainty, want.DOF)
		}
	}
	twice := uncertainty.Input("a", uncertainty.Normal(3, 0.2)).Add(a)
	for _, y := range []uncertainty.Quantity{{}, uncertainty.Input("x", uncertainty.Normal(0, -1)), twice} {
		_, want := uncertainty.Evaluate(y)
		if _, _, err := uncertainty.Propagate(y); err == nil || want == nil ||
			errors.Is(want, uncertainty.ErrSameName) != errors.Is(err, uncertainty.ErrSameName) {
			t.Errorf("%v; want as %v", err, want)
		}
	}
}
