// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
)

func secondOrder(t testing.TB, y uncertainty.Quantity) *uncertainty.Budget {
	t.Helper()
	b, err := uncertainty.SecondOrder(y)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The bromine example of JCGM GUM-6:2020, 13.1.4: at a stationary point the
// first-order uncertainty vanishes.
func ExampleSecondOrder() {
	x := uncertainty.Input("x79", uncertainty.Normal(0.5, 0.005))
	b, err := uncertainty.SecondOrder(x.Mul(uncertainty.Exact(1).Sub(x)).Scale(2))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("u = %.5f, bias %.5f\n", b.StandardUncertainty, b.Higher.Bias)
	// Output:
	// u = 0.00007, bias -0.00005
}

// model is a function that can be built at any estimates.
type model struct {
	name string
	x, u []float64
	f    func(q []uncertainty.Quantity) uncertainty.Quantity
}

func (m model) at(x []float64) uncertainty.Quantity {
	q := make([]uncertainty.Quantity, len(x))
	for i := range x {
		q[i] = uncertainty.Input(fmt.Sprint("x", i), uncertainty.Normal(x[i], m.u[i]))
	}
	return m.f(q)
}

func (m model) gradient(t testing.TB, x []float64) []float64 {
	c := make([]float64, len(x))
	for _, row := range evaluate(t, m.at(x)).Components {
		var i int
		fmt.Sscanf(row.Name, "x%d", &i)
		c[i] = row.Sensitivity
	}
	return c
}

// bySecondDifferences applies the formula of the note to JCGM 100, 5.1.2 with
// derivatives found by differences of the exact gradient.
func (m model) bySecondDifferences(t testing.TB) (variance, bias float64) {
	n := len(m.x)
	c := m.gradient(t, m.x)
	for i := range n {
		variance += c[i] * c[i] * m.u[i] * m.u[i]
	}
	for j := range n {
		h := 1e-3 * max(math.Abs(m.x[j]), 0.1)
		shifted := func(s float64) []float64 {
			x := append([]float64(nil), m.x...)
			x[j] += s * h
			return m.gradient(t, x)
		}
		// Fourth-order stencils: Handbook of Mathematical Functions, NBS 1964, 25.2, 25.3.
		p2, p1, m1, m2 := shifted(2), shifted(1), shifted(-1), shifted(-2)
		uj := m.u[j] * m.u[j]
		for i := range n {
			first := (8*(p1[i]-m1[i]) - (p2[i] - m2[i])) / (12 * h)
			second := (16*(p1[i]+m1[i]) - (p2[i] + m2[i]) - 30*c[i]) / (12 * h * h)
			variance += (first*first/2 + c[i]*second) * m.u[i] * m.u[i] * uj
			if i == j {
				bias += first * uj / 2
			}
		}
	}
	return variance, bias
}

func curvedModels() []model {
	type Q = uncertainty.Quantity
	one := uncertainty.Exact(1)
	return []model{
		{"product", []float64{2, 3}, []float64{0.1, 0.2}, func(q []Q) Q { return q[0].Mul(q[1]) }},
		{"quotient", []float64{2, 3}, []float64{0.1, 0.2}, func(q []Q) Q { return q[0].Div(q[1]) }},
		{"elementary", []float64{0.3, 0.7, 1.2}, []float64{0.02, 0.03, 0.05}, func(q []Q) Q {
			return uncertainty.Sin(q[0]).Mul(uncertainty.Exp(q[1])).Add(uncertainty.Log(q[2]).Div(uncertainty.Cos(q[0]))).Sub(uncertainty.Sqrt(q[1].Mul(q[2])))
		}},
		{"inverse functions", []float64{0.3, -0.4, 1.1}, []float64{0.02, 0.03, 0.05}, func(q []Q) Q {
			return uncertainty.Asin(q[0]).Add(uncertainty.Acos(q[1]).Mul(uncertainty.Tan(q[0]))).Add(uncertainty.Atan(q[2].Mul(q[1])))
		}},
		{"powers", []float64{1.7, 0.6, -2}, []float64{0.1, 0.05, 0.1}, func(q []Q) Q {
			return uncertainty.Pow(q[0], q[1]).Add(uncertainty.Pow(q[2], uncertainty.Exact(3))).Add(uncertainty.Pow(q[0], uncertainty.Exact(-1.5)))
		}},
		{"shared and scaled", []float64{1.7, 0.6}, []float64{0.1, 0.05}, func(q []Q) Q {
			a := q[0].Mul(q[0]).Scale(3).Neg()
			return uncertainty.Linear(1, []float64{2, -1, 4}, []Q{a, q[1], a.Mul(q[1])}).Div(one.Add(q[1])).Named("y")
		}},
		{"stationary", []float64{0, 2}, []float64{0.1, 0.05}, func(q []Q) Q { return uncertainty.Cos(q[0]).Mul(q[1].Sub(one.Scale(2))) }},
	}
}

func TestSecondOrderAgreesWithDifferences(t *testing.T) {
	for _, m := range curvedModels() {
		variance, bias := m.bySecondDifferences(t)
		b := secondOrder(t, m.at(m.x))
		if u := math.Sqrt(variance); !near(b.StandardUncertainty, u, 1e-6) {
			t.Errorf("%s: u = %v, by differences %v", m.name, b.StandardUncertainty, u)
		}
		if math.Abs(b.Higher.Bias-bias) > 1e-6*math.Abs(bias)+1e-12 {
			t.Errorf("%s: bias %v, by differences %v", m.name, b.Higher.Bias, bias)
		}
	}
}

// A function given to Call is differenced; within the documented accuracy it gives
// what the graph gives.
func TestSecondOrderOfCall(t *testing.T) {
	x := []uncertainty.Quantity{uncertainty.Input("a", uncertainty.Normal(0.3, 0.02)),
		uncertainty.Input("b", uncertainty.Normal(0.7, 0.03))}
	inner := x[0].Mul(x[1])
	graph := uncertainty.Exp(inner).Mul(uncertainty.Sin(x[0])).Add(x[1])
	call := uncertainty.Call("f",
		func(v []float64) float64 { return math.Exp(v[0])*math.Sin(v[1]) + v[2] }, inner, x[0],
		x[1])
	g, c := secondOrder(t, graph), secondOrder(t, call)
	if !near(c.StandardUncertainty, g.StandardUncertainty, 1e-6) || !near(c.Higher.Bias, g.Higher.Bias, 1e-4) {
		t.Errorf("call: u %v, bias %v; graph: %v, %v", c.StandardUncertainty, c.Higher.Bias,
			g.StandardUncertainty, g.Higher.Bias)
	}
	// An argument at a stationary point has no first-order uncertainty.
	z := uncertainty.Input("z", uncertainty.Normal(0, 0.1))
	double := func(v []float64) float64 { return 2 * v[0] }
	g, c = secondOrder(t, z.Mul(z).Scale(2)), secondOrder(t, uncertainty.Call("double", double, z.Mul(z)))
	if !near(c.StandardUncertainty, g.StandardUncertainty, 1e-9) ||
		!near(g.StandardUncertainty, 2*math.Sqrt2*0.01, 1e-12) {
		t.Errorf("call at a stationary point: u %v; graph: %v", c.StandardUncertainty, g.StandardUncertainty)
	}
}

// For a quadratic form of jointly normal inputs the second-order result is exact:
// Var(xᵀAx + bᵀx) = 2 tr(AVAV) + gᵀVg with g = b + 2Aμ.
func TestSecondOrderOfCorrelatedInputs(t *testing.T) {
	g := rand.New(rand.NewPCG(5, 6))
	for range 20 {
		const n = 3
		x := []float64{g.NormFloat64(), g.NormFloat64(), g.NormFloat64()}
		l := mat.NewDense(n, n, nil)
		a := mat.NewSymDense(n, nil)
		for i := range n {
			for k := range n {
				l.Set(i, k, 0.3*g.NormFloat64())
				a.SetSym(i, k, g.NormFloat64())
			}
		}
		var v mat.SymDense
		v.SymOuterK(1, l)
		q := uncertainty.Joint([]string{"a", "b", "c"}, x, &v)
		y := uncertainty.Exact(0)
		for i := range n {
			for k := range n {
				y = y.Add(q[i].Mul(q[k]).Scale(a.At(i, k)))
			}
		}
		var av, avav mat.Dense
		av.Mul(a, &v)
		avav.Mul(&av, &av)
		var grad, vg mat.VecDense
		grad.MulVec(a, mat.NewVecDense(n, x))
		grad.ScaleVec(2, &grad)
		vg.MulVec(&v, &grad)
		want := math.Sqrt(2*mat.Trace(&avav) + mat.Dot(&grad, &vg))
		b := secondOrder(t, y)
		if !near(b.StandardUncertainty, want, 1e-10) || !near(b.Higher.Bias, mat.Trace(&av), 1e-10) {
			t.Fatalf("u = %v, bias %v; want %v, %v", b.StandardUncertainty, b.Higher.Bias, want, mat.Trace(&av))
		}
	}
}

func TestSecondOrderSaysWhetherFirstOrderIsAdequate(t *testing.T) {
	for _, c := range []struct {
		x, u float64
		want bool
	}{{0.5, 0.005, true}, {0.3, 0.005, false}, {0.3, 0.2, true}} {
		x := uncertainty.Input("x", uncertainty.Normal(c.x, c.u))
		b := secondOrder(t, x.Mul(uncertainty.Exact(1).Sub(x)))
		warned := false
		for _, w := range b.Warnings {
			warned = warned || errors.Is(w, uncertainty.ErrFirstOrder)
		}
		if warned != c.want {
			t.Errorf("x = %v(%v): warned %v, want %v: %v", c.x, c.u, warned, c.want, b.Warnings)
		}
	}
	x := uncertainty.Input("x", uncertainty.Rectangular(0.3, 0.2))
	curved := secondOrder(t, x.Mul(x))
	if got, want := half(t, curved, 0.95),
		factor(t, 0.95, infinity)*curved.StandardUncertainty; !near(got, want, 1e-9) {
		t.Errorf("convolution of a second-order budget is ±%v, want the normal ±%v", got, want)
	}
	sum := 0.0
	for _, c := range curved.Components {
		sum += c.Share
	}
	for _, h := range curved.Higher.Terms {
		sum += h.Variance / (curved.StandardUncertainty * curved.StandardUncertainty)
	}
	if !near(sum, 1, 1e-12) {
		t.Errorf("shares and terms add up to %v", sum)
	}
	// Warnings that do not speak of the first-order result stay; those that do go.
	shared := func(id string) uncertainty.Quantity {
		return uncertainty.Source{Name: "s", ID: id, Distribution: uncertainty.Rectangular(1, 0.1)}.Input()
	}
	first := evaluate(t, shared("1").Scale(20).Add(shared("2")))
	second := secondOrder(t, shared("1").Scale(20).Add(shared("2")))
	if len(first.Warnings) < 2 || len(second.Warnings) != 1 ||
		!errors.Is(second.Warnings[0], uncertainty.ErrSharedName) {
		t.Errorf("warnings: %v; first order %v", second.Warnings, first.Warnings)
	}
	b := secondOrder(t, uncertainty.Input("a",
		uncertainty.Normal(1, 1)).Add(uncertainty.Input("b", uncertainty.Normal(1, 1))))
	if len(b.Higher.Terms) != 0 || b.Higher.Bias != 0 || !near(b.StandardUncertainty, math.Sqrt2, 1e-15) {
		t.Errorf("a sum has second-order terms: %+v", b.Higher)
	}
}

func TestSecondOrderJSON(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(0.5, 0.01))
	b := secondOrder(t, uncertainty.Exp(x))
	text, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	var back uncertainty.Budget
	if err := json.Unmarshal(text, &back); err != nil {
		t.Fatal(err)
	}
	if back.Higher == nil || !reflect.DeepEqual(back.Higher, b.Higher) {
		t.Errorf("read back %+v, wrote %+v", back.Higher, b.Higher)
	}
}

func TestSecondOrderRefuses(t *testing.T) {
	if _, err := uncertainty.SecondOrder(uncertainty.Quantity{}); !errors.Is(err, uncertainty.ErrNoQuantity) {
		t.Error(err)
	}
	if _, err := uncertainty.SecondOrder(
		uncertainty.Input("x", uncertainty.Normal(1, -1))); !errors.Is(err, uncertainty.ErrDomain) {
		t.Error(err)
	}
	huge := uncertainty.Input("x", uncertainty.Normal(1, 1e200))
	if _, err := uncertainty.SecondOrder(huge.Mul(huge)); !errors.Is(err, uncertainty.ErrNotFinite) {
		t.Error(err)
	}
}

// Shares are of the variance with the terms of second order, those of correlations too:
// c·u squared and 2·c1·c2·cov keep their sizes.
func TestSharesOfSecondOrder(t *testing.T) {
	const u1, u2, cov = 0.3, 0.2, 0.03
	x := uncertainty.Joint([]string{"x", "y"}, []float64{2, 3},
		mat.NewSymDense(2, []float64{u1 * u1, cov, cov, u2 * u2}))
	b, err := uncertainty.SecondOrder(x[0].Mul(x[1]))
	if err != nil {
		t.Fatal(err)
	}
	// 9·0.09 + 4·0.04 + 2·6·0.03 to first order; the product adds u1²·u2² + cov².
	variance := 0.81 + 0.16 + 0.36 + u1*u1*u2*u2 + cov*cov
	if got := b.StandardUncertainty * b.StandardUncertainty; !near(got, variance, 1e-9) {
		t.Errorf("variance %v; expected %v", got, variance)
	}
	for i, want := range []float64{0.81, 0.16} {
		if got := b.Components[i].Share * variance; !near(got, want, 1e-9) {
			t.Errorf("%s: variance %v; expected %v", b.Components[i].Name, got, want)
		}
	}
	if len(b.Correlations) != 1 || !near(b.Correlations[0].Share*variance, 0.36, 1e-9) {
		t.Errorf("correlations %+v; expected one with a variance of 0.36", b.Correlations)
	}
}

// Three factors about 0 have no term of first or second order: the variance is u²·u²·u², and
// 0 ± 0 is wrong. Factors that are known well need no warning.
func TestSecondOrderSeesThreeFactors(t *testing.T) {
	product := func(n int, x, u float64) uncertainty.Quantity {
		q := uncertainty.Exact(1)
		for i := range n {
			q = q.Mul(uncertainty.Input(fmt.Sprint("factor ", i+1), uncertainty.Normal(x, u)))
		}
		return q
	}
	for _, c := range []struct {
		n    int
		x, u float64
		want bool
	}{{3, 0, 1, true}, {4, 0, 1, true}, {5, 0.01, 0.3, true}, {3, 1, 0.05, false}, {10, 1, 0.05, false}, {2, 0, 1, false}} {
		b := secondOrder(t, product(c.n, c.x, c.u))
		if got := warned(b, uncertainty.ErrSecondOrder); got != c.want {
			t.Errorf("%d factors %v ± %v: u = %v, warned %v; want %v: %v", c.n, c.x, c.u,
				b.StandardUncertainty, got, c.want, b.Warnings)
		}
	}
}

// The variance of x·z² is E(x²)·E(z⁴) = m⁴ + 6m² + 3 for x = 0 ± 1, z = m ± 1 (moments of the
// normal distribution). The terms to third order give m⁴ + 6m²: at m = 2.5 that is 2 % of u less,
// and nothing to warn of.
func TestSecondOrderKnowsTheJointTermOfThirdOrder(t *testing.T) {
	const m = 2.5
	x := uncertainty.Input("x", uncertainty.Normal(0, 1))
	y := uncertainty.Input("y", uncertainty.Normal(0, 0.01))
	z := uncertainty.Input("z", uncertainty.Normal(m, 1))
	b := secondOrder(t, x.Mul(z).Mul(z).Add(y))
	if want := math.Sqrt(m*m*m*m + 6*m*m + 3); !near(b.StandardUncertainty, want, 0.025) {
		t.Errorf("u = %v; want %v", b.StandardUncertainty, want)
	}
	if warned(b, uncertainty.ErrSecondOrder) {
		t.Errorf("warnings %v; want none of what the terms leave", b.Warnings)
	}
}

// The square of a joint term of third order is not in the variance: x·z² with both about 0 has
// E(x²)·E(z⁴) = 3 and nothing else.
func TestSecondOrderWarnsOfJointTermsOfThirdOrder(t *testing.T) {
	for _, about := range []float64{0, 0.2, 0.5} {
		x := uncertainty.Input("x", uncertainty.Normal(0, 1))
		y := uncertainty.Input("y", uncertainty.Normal(0, 0.1))
		z := uncertainty.Input("z", uncertainty.Normal(about, 1))
		for _, q := range []uncertainty.Quantity{x.Mul(z).Mul(z), x.Mul(z).Mul(z).Add(y)} {
			b := secondOrder(t, q)
			want := math.Sqrt(about*about*about*about + 6*about*about + 3)
			if !warned(b, uncertainty.ErrSecondOrder) {
				t.Errorf("about %v: u = %v for %v without a warning", about, b.StandardUncertainty, want)
			}
		}
	}
}

// An uncertainty whose square float64 does not hold is none of 0.
func TestSecondOrderWithoutUnderflow(t *testing.T) {
	x, y := uncertainty.Input("x", uncertainty.Normal(1e-170, 3e-172)),
		uncertainty.Input("y", uncertainty.Normal(1e-170, 4e-172))
	for name, c := range map[string]struct {
		q    uncertainty.Quantity
		want float64
	}{
		"one input": {uncertainty.Input("x", uncertainty.Normal(1e-300, 1e-302)), 1e-302},
		"a sum":     {x.Add(y), 5e-172},
	} {
		if b := secondOrder(t, c.q); math.Abs(b.StandardUncertainty/c.want-1) > 1e-14 {
			t.Errorf("%s: u = %v; want %v", name, b.StandardUncertainty, c.want)
		}
	}
}

// The product of two figures of 1e-200 has no float64 and no uncertainty of 0.
func TestUncertaintyBelowFloat64(t *testing.T) {
	small := func(name string) uncertainty.Quantity {
		return uncertainty.Input(name, uncertainty.Normal(1e-200, 1e-202))
	}
	q := small("x").Mul(small("y"))
	if b, err := uncertainty.Evaluate(q); !errors.Is(err, uncertainty.ErrRange) {
		t.Errorf("Evaluate: %v, error %v; want ErrRange", b, err)
	}
	if u, _, err := uncertainty.Propagate(q); !errors.Is(err, uncertainty.ErrRange) {
		t.Errorf("Propagate: u = %v, error %v; want ErrRange", u, err)
	}
}
