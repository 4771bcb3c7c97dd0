// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"context"
	"errors"
	"fmt"
	"log"
	"math"
	"strings"
	"testing"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/uncertaintytest"
)

// A resistance thermometer, R = R0 (1 + At + Bt²), as JCGM 102, 9.5 has it: the quadratic
// equation in t has a closed solution, and its sensitivities follow from it.
func TestImplicitThermometer(t *testing.T) {
	in := func(name string, x, u float64) uncertainty.Quantity {
		return uncertainty.Input(name, uncertainty.Normal(x, u))
	}
	r, r0 := in("R", 138.5055, 0.01), in("R0", 100, 0.005)
	a, b := in("A", 3.9083e-3, 1e-7), in("B", -5.775e-7, 1e-9)
	h := func(temperature uncertainty.Quantity) uncertainty.Quantity {
		w := uncertainty.Exact(1).Add(a.Mul(temperature)).Add(b.Mul(temperature).Mul(temperature))
		return r0.Mul(w).Sub(r)
	}
	root := uncertainty.Sqrt(a.Mul(a).Sub(b.Scale(4).Mul(uncertainty.Exact(1).Sub(r.Div(r0)))))
	closed := root.Sub(a).Div(b.Scale(2))
	want, got := evaluate(t, closed), evaluate(t, uncertainty.Implicit(20, h).InUnit("°C"))
	if math.Abs(got.Estimate-want.Estimate) > 1e-11 ||
		math.Abs(got.StandardUncertainty-want.StandardUncertainty) > 1e-10*want.StandardUncertainty {
		t.Errorf("%v; want %v", got, want)
	}
	if got.Unit != "°C" || len(got.Components) != 4 {
		t.Errorf("unit %q, %d components", got.Unit, len(got.Components))
	}
	for _, c := range want.Components {
		if s := row(t, got, c.Name).Sensitivity; math.Abs(s-c.Sensitivity) > 1e-9*math.Abs(c.Sensitivity) {
			t.Errorf("sensitivity of %s: %v; want %v", c.Name, s, c.Sensitivity)
		}
	}
	// Two temperatures by one thermometer share its coefficients (9.5.3).
	r2 := in("R2", 119.3971, 0.01)
	second := uncertainty.Implicit(20, func(x uncertainty.Quantity) uncertainty.Quantity {
		return r0.Mul(uncertainty.Exact(1).Add(a.Mul(x)).Add(b.Mul(x).Mul(x))).Sub(r2)
	})
	m, err := uncertainty.EvaluateAll(uncertainty.Implicit(20, h), second)
	if err != nil {
		t.Fatal(err)
	}
	if got := correlationOf(t, m, 0, 1); !(got > 0.05 && got < 0.95) {
		t.Errorf("correlation %v; want that of the shared coefficients", got)
	}
	// Monte Carlo solves the equation in each trial.
	s, err := uncertainty.MonteCarlo{Trials: 50_000, Seed: 3}.Run(context.Background(),
		uncertainty.Implicit(20, h), closed)
	if err != nil {
		t.Fatal(err)
	}
	x, y := s.Outputs[0], s.Outputs[1]
	if math.Abs(x.Symmetric.Lower-y.Symmetric.Lower) > 1e-9 || math.Abs(x.Symmetric.Upper-y.Symmetric.Upper) > 1e-9 {
		t.Errorf("%v; the closed solution %v", x, y)
	}
}

// GUM H.2 as two equations, V = I·|Z| and tan φ = X/R: the same printed figures as from the
// explicit model.
func TestPublishedImplicit(t *testing.T) {
	in := uncertainty.JointTypeA([]string{"V", "I", "phi"}, [][]float64{
		{5.007, 4.994, 5.005, 4.990, 4.999},
		{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3},
		{1.0456, 1.0438, 1.0468, 1.0428, 1.0433},
	}).Inputs()
	v, i, phi := in[0], in[1], in[2]
	z := uncertainty.ImplicitAll([]float64{100, 100}, func(y []uncertainty.Quantity) []uncertainty.Quantity {
		return []uncertainty.Quantity{i.Mul(uncertainty.Hypot(y[0], y[1])).Sub(v),
			uncertainty.Tan(phi).Mul(y[0]).Sub(y[1])}
	})
	m, err := uncertainty.EvaluateAll(z...)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, printed string
		got           float64
	}{
		{"R", "127.732", m.Budgets[0].Estimate}, {"u(R)", "0.071", m.Budgets[0].StandardUncertainty},
		{"X", "219.847", m.Budgets[1].Estimate}, {"r(R, X)", "-0.588", correlationOf(t, m, 0, 1)},
	} {
		uncertaintytest.Published{Name: c.name + " as an implicit model", Source: "JCGM 100:2008",
			Place:   "H.2, tables H.3 and H.4",
			Printed: c.printed, Provenance: uncertaintytest.FromMemory}.Run(t, c.got)
	}
	// The moments of a Weibull distribution: lifetimes of ball bearings. The printed shape A is
	// not what the printed equations give for the printed data; scale and mean are.
	lives := []float64{6.0, 8.6, 17.8, 18.0, 27.5, 33.5, 50.5, 51.5, 69.0, 74.0, 74.0, 89.0, 109.0,
		118.0, 119.0, 138.0, 141.0, 144.0, 146.0, 150, 151, 153, 153, 153}
	mean, square := 0.0, 0.0
	for _, x := range lives {
		mean += x / float64(len(lives))
		square += x * x / float64(len(lives))
	}
	gamma := func(x []float64) float64 { return math.Gamma(x[0]) }
	one := uncertainty.Exact(1)
	weibull := uncertainty.ImplicitAll([]float64{90, 1.5}, func(y []uncertainty.Quantity) []uncertainty.Quantity {
		s, a := y[0], y[1]
		first := uncertainty.Call("gamma", gamma, one.Add(one.Div(a)))
		second := uncertainty.Call("gamma", gamma, one.Add(uncertainty.Exact(2).Div(a)))
		return []uncertainty.Quantity{s.Mul(first).Sub(uncertainty.Exact(mean)),
			s.Mul(s).Mul(second).Sub(uncertainty.Exact(square))}
	})
	const guide, place = "JCGM GUM-6:2020", "11.3.3 example 2, 11.9.4 example 1"
	uncertaintytest.Published{Name: "Weibull scale by moments", Source: guide, Place: place,
		Printed: "103", Provenance: uncertaintytest.Seen}.Run(t, weibull[0].Estimate())
	uncertaintytest.Published{Name: "Weibull mean", Source: guide, Place: place, Printed: "91.4",
		Provenance: uncertaintytest.Seen}.Run(t,
		weibull[0].Estimate()*math.Gamma(1+1/weibull[1].Estimate()))
	uncertaintytest.Published{Name: "Weibull shape by moments", Source: guide, Place: place,
		Printed: "1.89", Provenance: uncertaintytest.Seen,
		Exception: "the printed data solve the printed equations at 1.785; 1.89 would need a " +
			"standard deviation of 50.3 in place of 52.95"}.Run(t, weibull[1].Estimate())
}

func TestImplicitRefuses(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(2, 0.1))
	square := func(c float64) func(uncertainty.Quantity) uncertainty.Quantity {
		return func(y uncertainty.Quantity) uncertainty.Quantity { return y.Mul(y).Add(x.Scale(c)) }
	}
	for name, c := range map[string]struct {
		q    uncertainty.Quantity
		want string
	}{
		"no solution":   {uncertainty.Implicit(1, square(1)), "nearer to 0"},
		"double root":   {uncertainty.Implicit(1, func(y uncertainty.Quantity) uncertainty.Quantity { return y.Mul(y).Sub(x.Scale(0)) }), "no solution after 100 steps"},
		"no y":          {uncertainty.Implicit(1, func(uncertainty.Quantity) uncertainty.Quantity { return x }), "singular"},
		"nil":           {uncertainty.Implicit(1, nil), "expected a function"},
		"NaN":           {uncertainty.Implicit(math.NaN(), square(-1)), "NaN"},
		"zero quantity": {uncertainty.Implicit(1, func(uncertainty.Quantity) uncertainty.Quantity { return uncertainty.Quantity{} }), "zero Quantity"},
		"one of two":    {uncertainty.ImplicitAll([]float64{1, 2}, func(y []uncertainty.Quantity) []uncertainty.Quantity { return y[:1] })[0], "1 equation; expected 2"},
		"bad input": {uncertainty.Implicit(1, func(y uncertainty.Quantity) uncertainty.Quantity {
			return y.Sub(uncertainty.Input("", uncertainty.Normal(0, -1)))
		}), "-1"},
	} {
		if err := c.q.Err(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; want %q", name, err, c.want)
		}
	}
	if err := uncertainty.Implicit(1, square(1)).Err(); !errors.Is(err, uncertainty.ErrNoSolution) {
		t.Errorf("%v; want %v", err, uncertainty.ErrNoSolution)
	}
	if uncertainty.ImplicitAll(nil, nil) != nil {
		t.Error("results of no equation")
	}
	b := evaluate(t, uncertainty.Implicit(1, square(-1)))
	if math.Abs(b.Estimate-math.Sqrt2) > 1e-15 || math.Abs(b.StandardUncertainty-0.1/2/math.Sqrt2) > 1e-15 {
		t.Errorf("root of 2: %v", b)
	}
}

// The anomaly of a planet's orbit, M = E − e sin E, has no formula for E.
func ExampleImplicit() {
	m, e := uncertainty.Input("M", uncertainty.Normal(1.2, 0.001)),
		uncertainty.Input("e", uncertainty.Normal(0.2, 0.002))
	anomaly := uncertainty.Implicit(1, func(y uncertainty.Quantity) uncertainty.Quantity {
		return y.Sub(e.Mul(uncertainty.Sin(y))).Sub(m)
	})
	b, err := uncertainty.Evaluate(anomaly.InUnit("rad"))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(b.Concise(2))
	// Output: 1.3970(23) rad
}

// Two resistors from their sum and their value in parallel.
func ExampleImplicitAll() {
	in := func(name string, x, u float64) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Unit: "Ω", Distribution: uncertainty.Normal(x, u)}.Input()
	}
	series, parallel := in("series", 300.1, 0.03), in("parallel", 66.69, 0.01)
	r := uncertainty.ImplicitAll([]float64{90, 210}, func(y []uncertainty.Quantity) []uncertainty.Quantity {
		a, b := y[0], y[1]
		return []uncertainty.Quantity{a.Add(b).Sub(series), a.Mul(b).Sub(parallel.Mul(series))}
	})
	for _, q := range r {
		b, err := uncertainty.Evaluate(q.InUnit("Ω"))
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(b.Concise(2))
	}
	// Output:
	// 100.037(32) Ω
	// 200.063(50) Ω
}
