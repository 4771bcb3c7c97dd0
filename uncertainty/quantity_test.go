// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/num/dual"

	"example.com/ohmwright/uncertainty"
)

// sensitivities returns ∂y/∂x by input name.
func sensitivities(t testing.TB, y uncertainty.Quantity) map[string]float64 {
	t.Helper()
	out := map[string]float64{}
	for _, c := range evaluate(t, y).Components {
		out[c.Name] = c.Sensitivity
	}
	return out
}

func TestFunctionsAgainstDualNumbers(t *testing.T) {
	two := uncertainty.Input("k", uncertainty.Normal(2, 0.1))
	for _, c := range []struct {
		name string
		f    func(uncertainty.Quantity) uncertainty.Quantity
		want func(dual.Number) dual.Number
		at   []float64
	}{
		{"Sqrt", uncertainty.Sqrt, dual.Sqrt, []float64{1e-6, 0.3, 2, 1e8}},
		{"Exp", uncertainty.Exp, dual.Exp, []float64{-3, 0, 2}},
		{"Log", uncertainty.Log, dual.Log, []float64{1e-3, 1, 7}},
		{"Sin", uncertainty.Sin, dual.Sin, []float64{-2, 0, 0.5, 3}},
		{"Cos", uncertainty.Cos, dual.Cos, []float64{-2, 0.1, 0.5, 3}},
		{"Tan", uncertainty.Tan, dual.Tan, []float64{-1, 0, 1.5}},
		{"Asin", uncertainty.Asin, dual.Asin, []float64{-0.9, 0, 0.5}},
		{"Acos", uncertainty.Acos, dual.Acos, []float64{-0.9, 0, 0.5}},
		{"Atan", uncertainty.Atan, dual.Atan, []float64{-5, 0, 0.5}},
		{"Pow", func(q uncertainty.Quantity) uncertainty.Quantity { return uncertainty.Pow(q, uncertainty.Exact(1.7)) },
			func(d dual.Number) dual.Number { return dual.PowReal(d, 1.7) }, []float64{0.2, 1, 6}},
		{"Pow to itself", func(q uncertainty.Quantity) uncertainty.Quantity { return uncertainty.Pow(q, q) },
			func(d dual.Number) dual.Number { return dual.Pow(d, d) }, []float64{0.2, 1, 3}},
		{"Neg", uncertainty.Quantity.Neg, func(d dual.Number) dual.Number { return dual.Scale(-1, d) }, []float64{-1, 4}},
		{"Scale", func(q uncertainty.Quantity) uncertainty.Quantity { return q.Scale(3) },
			func(d dual.Number) dual.Number { return dual.Scale(3, d) }, []float64{-1, 4}},
		{"quotient", func(q uncertainty.Quantity) uncertainty.Quantity { return q.Div(q.Add(uncertainty.Exact(1))) },
			func(d dual.Number) dual.Number { return dual.Mul(d, dual.Inv(dual.Add(d, dual.Number{Real: 1}))) }, []float64{0.5, 3}},
	} {
		for _, x := range c.at {
			y := c.f(uncertainty.Input("x", uncertainty.Normal(x, 1e-3)))
			want := c.want(dual.Number{Real: x, Emag: 1})
			if got := sensitivities(t, y)["x"]; !near(y.Estimate(), want.Real, 1e-14) || !near(got, want.Emag, 1e-12) {
				t.Errorf("%s(%v) = %v, derivative %v; want %v, %v", c.name, x, y.Estimate(), got, want.Real, want.Emag)
			}
		}
	}
	// The derivative after the exponent: x^k·ln x.
	y := uncertainty.Pow(uncertainty.Exact(3), two)
	if got := sensitivities(t, y)["k"]; !near(got, 9*math.Log(3), 1e-14) {
		t.Errorf("derivative after the exponent %v; want %v", got, 9*math.Log(3))
	}
}

// tree is a random model in two forms: quantities, and a plain function of the same
// inputs for the oracle.
type tree struct {
	q uncertainty.Quantity
	f func(x []float64) float64
}

func grow(r *rand.Rand, leaves []tree, depth int) tree {
	if depth == 0 || r.IntN(6) == 0 {
		return leaves[r.IntN(len(leaves))]
	}
	a := grow(r, leaves, depth-1)
	one := uncertainty.Exact(1)
	switch r.IntN(12) {
	case 0:
		return tree{uncertainty.Sin(a.q), func(x []float64) float64 { return math.Sin(a.f(x)) }}
	case 1:
		return tree{uncertainty.Atan(a.q), func(x []float64) float64 { return math.Atan(a.f(x)) }}
	case 2:
		return tree{uncertainty.Exp(uncertainty.Cos(a.q)), func(x []float64) float64 {
			return math.Exp(math.Cos(a.f(x)))
		}}
	case 3:
		return tree{uncertainty.Sqrt(one.Add(a.q.Mul(a.q))), func(x []float64) float64 {
			v := a.f(x)
			return math.Sqrt(1 + v*v)
		}}
	case 4:
		return tree{uncertainty.Log(uncertainty.Exact(2).Add(a.q.Mul(a.q))), func(x []float64) float64 {
			v := a.f(x)
			return math.Log(2 + v*v)
		}}
	}
	b := grow(r, leaves, depth-1)
	switch r.IntN(5) {
	case 0:
		return tree{a.q.Add(b.q), func(x []float64) float64 { return a.f(x) + b.f(x) }}
	case 1:
		return tree{a.q.Sub(b.q), func(x []float64) float64 { return a.f(x) - b.f(x) }}
	case 2:
		return tree{uncertainty.Sin(a.q.Mul(b.q)), func(x []float64) float64 { return math.Sin(a.f(x) * b.f(x)) }}
	case 3:
		return tree{a.q.Div(uncertainty.Exact(2).Add(uncertainty.Sin(b.q))), func(x []float64) float64 {
			return a.f(x) / (2 + math.Sin(b.f(x)))
		}}
	default:
		return tree{uncertainty.Linear(0.5, []float64{2, -3}, []uncertainty.Quantity{a.q, b.q}),
			func(x []float64) float64 {
				return 0.5 + 2*a.f(x) - 3*b.f(x)
			}}
	}
}

func TestRandomModelsAgainstFiniteDifferences(t *testing.T) {
	const seed = 20260301
	r := rand.New(rand.NewPCG(seed, 2))
	names := []string{"a", "b", "c"}
	for n := range 300 {
		x := []float64{r.Float64()*2 - 1, r.Float64()*2 - 1, r.Float64()*2 - 1}
		u := []float64{0.1 * r.Float64(), 0.1 * r.Float64(), 0.1 * r.Float64()}
		var leaves []tree
		for i, name := range names {
			leaves = append(leaves,
				tree{uncertainty.Input(name, uncertainty.Normal(x[i], u[i])),
					func(x []float64) float64 { return x[i] }})
		}
		m := grow(r, leaves, 5)
		b := evaluate(t, m.q)
		if !near(b.Estimate, m.f(x), 1e-12) {
			t.Fatalf("seed %d, model %d: estimate %v; want %v", seed, n, b.Estimate, m.f(x))
		}
		want := fd.Gradient(nil, m.f, x, &fd.Settings{Formula: fd.Central})
		// One node that calls the same function must give the same derivatives.
		call := sensitivities(t, uncertainty.Call("f", m.f, leaves[0].q, leaves[1].q, leaves[2].q))
		var variance, shares float64
		for _, c := range b.Components {
			i := int(c.Name[0] - 'a')
			scale := max(1, math.Abs(want[i]))
			if math.Abs(c.Sensitivity-want[i]) > 1e-6*scale || math.Abs(call[c.Name]-c.Sensitivity) > 1e-6*scale {
				t.Fatalf("seed %d, model %d: ∂/∂%s = %v, by Call %v; finite differences give %v",
					seed, n, c.Name, c.Sensitivity, call[c.Name], want[i])
			}
			variance += c.Contribution * c.Contribution
			shares += c.Share
		}
		if !near(b.StandardUncertainty, math.Sqrt(variance), 1e-12) || variance > 0 && !near(shares, 1, 1e-9) {
			t.Fatalf("seed %d, model %d: u = %v, shares %v; want %v, 1", seed, n,
				b.StandardUncertainty, shares, math.Sqrt(variance))
		}
	}
}

func TestCallDerivatives(t *testing.T) {
	// Estimates from far below the uncertainty to far above it, with a value of f that
	// does not vanish: 1 + α·x and cos x.
	for _, x := range []float64{0, 1e-12, 1e-9, 1e-6, 0.1, 5, 1e4, -300} {
		for _, u := range []float64{1e-5, 0.05, 1, 10} {
			if math.Abs(x)*1e-10 > u {
				continue
			}
			in := uncertainty.Input("x", uncertainty.Normal(x, u))
			linear := uncertainty.Call("law", func(x []float64) float64 { return 1 + 4e-3*x[0] }, in)
			if got := sensitivities(t, linear)["x"]; !near(got, 4e-3, 1e-6) {
				t.Errorf("x = %v, u = %v: derivative %v; want 4e-3", x, u, got)
			}
		}
		in := uncertainty.Input("x", uncertainty.Normal(x, 0.01))
		cosine := uncertainty.Call("cos", func(x []float64) float64 { return math.Cos(x[0]) }, in)
		if got := sensitivities(t, cosine)["x"]; math.Abs(got+math.Sin(x)) > 1e-8 {
			t.Errorf("cos at %v: derivative %v; want %v", x, got, -math.Sin(x))
		}
	}
	// An uncertainty below the resolution of the estimate.
	clock := uncertainty.Input("t", uncertainty.Normal(1e9, 1e-9))
	rate := uncertainty.Call("rate", func(x []float64) float64 { return 3 * x[0] }, clock)
	if got := sensitivities(t, rate)["t"]; !near(got, 3, 1e-6) {
		t.Errorf("t = 1e9, u = 1e-9: derivative %v; want 3", got)
	}
	// Near the end of a domain the step shrinks.
	in := uncertainty.Input("x", uncertainty.Normal(1-1e-9, 1e-11))
	y := uncertainty.Call("asin", func(x []float64) float64 { return math.Asin(x[0]) }, in)
	if got, want := sensitivities(t, y)["x"], 1/math.Sqrt(2e-9-1e-18); !near(got, want, 1e-3) {
		t.Errorf("asin near 1: derivative %v; want %v", got, want)
	}
}

func TestCallWithGradient(t *testing.T) {
	x, y := uncertainty.Input("x", uncertainty.Normal(3, 0.1)), uncertainty.Input("y", uncertainty.Normal(2, 0.1))
	product := func(x []float64) float64 { return x[0] * x[1] }
	q := uncertainty.CallWithGradient("product", product, func(dst, x []float64) { dst[0], dst[1] = x[1], x[0] }, x, y)
	if c := sensitivities(t, q); q.Name() != "product" || q.Estimate() != 6 || c["x"] != 2 || c["y"] != 3 {
		t.Errorf("%s = %v, sensitivities %v", q.Name(), q.Estimate(), c)
	}
	partial := uncertainty.CallWithGradient("half", product, func(dst, x []float64) { dst[0] = x[1] }, x, y)
	if partial.Err() == nil {
		t.Error("a gradient that leaves out one derivative is accepted")
	}
	// The function may write into its argument.
	vandal := uncertainty.Call("vandal",
		func(x []float64) float64 { v := x[0] * x[1]; x[0], x[1] = 0, 0; return v }, x, y)
	if c := sensitivities(t, vandal); !near(c["x"], 2, 1e-9) || !near(c["y"], 3, 1e-9) {
		t.Errorf("function that writes into x: sensitivities %v; want 2 and 3", c)
	}
}

func TestArithmetic(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(6, 0.3))
	y := uncertainty.Input("y", uncertainty.Normal(2, 0.4))
	for _, c := range []struct {
		name             string
		q                uncertainty.Quantity
		value, u, dx, dy float64
	}{
		{name: "Add", q: x.Add(y), value: 8, u: 0.5, dx: 1, dy: 1},
		{name: "Sub", q: x.Sub(y), value: 4, u: 0.5, dx: 1, dy: -1},
		{name: "Mul", q: x.Mul(y), value: 12, u: math.Hypot(0.6, 2.4), dx: 2, dy: 6},
		{name: "Div", q: x.Div(y), value: 3, u: math.Hypot(0.15, 0.6), dx: 0.5, dy: -1.5},
		{name: "Sum", q: uncertainty.Sum(x, y, x), value: 14, u: math.Hypot(0.6, 0.4), dx: 2, dy: 1},
		{name: "Linear", q: uncertainty.Linear(1, []float64{2, -1}, []uncertainty.Quantity{x, y}), value: 11, u: math.Hypot(0.6, 0.4), dx: 2, dy: -1},
		{name: "Named", q: x.Named("other"), value: 6, u: 0.3, dx: 1},
		{name: "Neg", q: y.Neg(), value: -2, u: 0.4, dy: -1},
	} {
		b, d := evaluate(t, c.q), sensitivities(t, c.q)
		if b.Estimate != c.value || !near(b.StandardUncertainty, c.u, 1e-15) || d["x"] != c.dx || d["y"] != c.dy {
			t.Errorf("%s = %v, u = %v, sensitivities %v; want %v, %v, %v, %v", c.name, b.Estimate,
				b.StandardUncertainty, d, c.value, c.u, c.dx, c.dy)
		}
	}
	if s := uncertainty.Sum(); s.Err() != nil || s.Estimate() != 0 {
		t.Errorf("Sum() = %v, %v; want 0", s.Estimate(), s.Err())
	}
	if b := evaluate(t, uncertainty.Exact(5)); b.Estimate != 5 || b.StandardUncertainty != 0 ||
		len(b.Components) != 0 || b.Expanded.U != 0 {
		t.Errorf("Exact(5): %+v", b)
	}
}

func TestIdentityAndNames(t *testing.T) {
	x := uncertainty.Input("x", uncertainty.Normal(1, 0.1))
	var zero uncertainty.Quantity
	if !zero.IsZero() || x.IsZero() || zero.Name() != "" || !math.IsNaN(zero.Estimate()) {
		t.Error("zero Quantity is not recognised")
	}
	if x.Name() != "x" || x.Named("other").Name() != "other" || x.Add(x).Name() != "" {
		t.Error("names")
	}
	if twin := uncertainty.Input("x", uncertainty.Normal(1, 0.1)); x == twin {
		t.Error("two inputs that are stated alike are one")
	}
	if same := x; same != x {
		t.Error("a copy is not the same quantity")
	}
	if got := x.String(); got != "1.00(10)" {
		t.Errorf("String() = %q; want 1.00(10)", got)
	}
	if got := zero.String(); len(got) < 3 || got[:2] != "!(" {
		t.Errorf("String() of the zero Quantity = %q; want !(…)", got)
	}
}
