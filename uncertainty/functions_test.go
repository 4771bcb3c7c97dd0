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

	"gonum.org/v1/gonum/num/dual"

	"example.com/ohmwright/uncertainty"
)

// Values against package math of the standard library, derivatives against gonum's dual
// numbers or the identities of the functions.
func TestFunctions(t *testing.T) {
	d := func(f func(dual.Number) dual.Number) func(x float64) (v, s float64) {
		return func(x float64) (float64, float64) { n := f(dual.Number{Real: x, Emag: 1}); return n.Real, n.Emag }
	}
	for _, c := range []struct {
		name string
		ours func(uncertainty.Quantity) uncertainty.Quantity
		want func(x float64) (v, d float64)
		at   []float64
	}{
		{"sinh", uncertainty.Sinh, d(dual.Sinh), []float64{-3, -1e-9, 0, 1e-300, 0.2, 12, 200}},
		{"cosh", uncertainty.Cosh, d(dual.Cosh), []float64{-3, 0, 0.2, 12, 200}},
		{"tanh", uncertainty.Tanh, func(x float64) (float64, float64) { c := math.Cosh(x); return math.Tanh(x), 1 / c / c }, []float64{-3, -1e-9, 0, 0.2, 12, 19, 25}},
		{"log10", uncertainty.Log10, func(x float64) (float64, float64) { return math.Log10(x), 1 / x / math.Ln10 }, []float64{1e-300, 0.3, 1, 10, 1e200}},
		{"abs", uncertainty.Abs, d(dual.Abs), []float64{-3, 1e-9, 5}},
	} {
		for _, x := range c.at {
			b := evaluate(t, c.ours(uncertainty.Input("x", uncertainty.Normal(x, 1e-3*max(math.Abs(x), 1e-300)))))
			v, s := c.want(x)
			if math.Abs(b.Estimate-v) > 4e-16*math.Abs(v) ||
				math.Abs(b.Components[0].Sensitivity-s) > 4e-16*math.Abs(s)+1e-300 {
				t.Errorf("%s(%v) = %v, slope %v; want %v, %v", c.name, x, b.Estimate, b.Components[0].Sensitivity, v, s)
			}
		}
	}
}

func TestFunctionsOfTwo(t *testing.T) {
	for _, c := range []struct {
		name   string
		ours   func(a, b uncertainty.Quantity) uncertainty.Quantity
		x, y   float64
		v      float64
		dx, dy float64
	}{
		{"hypot", uncertainty.Hypot, 3, 4, 5, 0.6, 0.8},
		{"hypot", uncertainty.Hypot, -3e100, 4e100, 5e100, -0.6, 0.8},
		{"atan2", uncertainty.Atan2, 1, 1, math.Pi / 4, 0.5, -0.5},
		{"atan2", uncertainty.Atan2, 3, -4, math.Atan2(3, -4), -4. / 25, -3. / 25},
		{"atan2", uncertainty.Atan2, -3, -4, math.Atan2(-3, -4), -4. / 25, 3. / 25},
		{"atan2", uncertainty.Atan2, 2, 0, math.Pi / 2, 0, -0.5},
		{"min", uncertainty.Min, 3, 4, 3, 1, 0},
		{"min", uncertainty.Min, 4, 3, 3, 0, 1},
		{"max", uncertainty.Max, 3, 4, 4, 0, 1},
		{"max", uncertainty.Max, -3, -4, -3, 1, 0},
	} {
		x := uncertainty.Input("x", uncertainty.Normal(c.x, 0.01*math.Abs(c.x)+1e-3))
		y := uncertainty.Input("y", uncertainty.Normal(c.y, 0.01*math.Abs(c.y)+1e-3))
		b := evaluate(t, c.ours(x, y))
		if math.Abs(b.Estimate-c.v) > 2e-15*math.Abs(c.v) ||
			math.Abs(b.Components[0].Sensitivity-c.dx) > 1e-15 ||
			math.Abs(b.Components[1].Sensitivity-c.dy) > 1e-15 {
			t.Errorf("%s(%v, %v) = %v, %v, %v; want %v, %v, %v", c.name, c.x, c.y, b.Estimate,
				b.Components[0].Sensitivity, b.Components[1].Sensitivity, c.v, c.dx, c.dy)
		}
	}
}

func TestFunctionsRefuse(t *testing.T) {
	x := func(v float64) uncertainty.Quantity { return uncertainty.Input("x", uncertainty.Normal(v, 0.1)) }
	for name, q := range map[string]uncertainty.Quantity{
		"log10 of 0":   uncertainty.Log10(x(0)),
		"log10 of -1":  uncertainty.Log10(x(-1)),
		"atan2 at 0":   uncertainty.Atan2(x(0), uncertainty.Exact(0)),
		"sinh of 1000": uncertainty.Sinh(x(1000)),
	} {
		if err := q.Err(); err == nil {
			t.Errorf("%s: %v", name, q.Estimate())
		}
	}
	// Without slopes only simulations go on.
	for name, q := range map[string]uncertainty.Quantity{
		"abs at its corner": uncertainty.Abs(x(0)),
		"abs in a sum":      uncertainty.Abs(x(0)).Add(uncertainty.Input("y", uncertainty.Normal(1, 0.1))),
		"min of equals":     uncertainty.Min(x(1), uncertainty.Input("y", uncertainty.Normal(1, 0.1))),
		"max of equals":     uncertainty.Max(x(1), uncertainty.Input("y", uncertainty.Normal(1, 0.1))),
		"hypot at 0":        uncertainty.Hypot(x(0), uncertainty.Exact(0)),
	} {
		_, first := uncertainty.Evaluate(q)
		_, all := uncertainty.EvaluateAll(in("other", uncertainty.Normal(1, 0.1)), q)
		_, second := uncertainty.SecondOrder(q)
		_, _, short := uncertainty.Propagate(q)
		for _, err := range []error{first, all, second, short} {
			if !errors.Is(err, uncertainty.ErrDomain) || !strings.Contains(err.Error(), "corner") {
				t.Errorf("%s: error %v", name, err)
			}
		}
		if err := q.Err(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, q := range map[string]uncertainty.Quantity{
		"abs of an exact 0": uncertainty.Abs(uncertainty.Exact(0)),
		"min of exact ones": uncertainty.Min(uncertainty.Exact(1), uncertainty.Exact(1)),
	} {
		if err := q.Err(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(1, 0.1)}.Input()
	i := uncertainty.Source{Name: "I", Unit: "A", Distribution: uncertainty.Normal(2, 0.1)}.Input()
	for want, q := range map[string]uncertainty.Quantity{
		"hypot of V in V and I in A": uncertainty.Hypot(v, i), "atan2 of V in V and I in A": uncertainty.Atan2(v, i),
		"min of V in V and I in A": uncertainty.Min(v, i), "sinh of V in V": uncertainty.Sinh(v),
	} {
		if _, err := uncertainty.Evaluate(q); !errors.Is(err, uncertainty.ErrUnitMismatch) ||
			!strings.Contains(err.Error(), want) {
			t.Errorf("%v; want %q", err, want)
		}
	}
	if b := evaluate(t, uncertainty.Hypot(v, v.Scale(0.5))); b.Unit != "V" {
		t.Errorf("unit %q; want V", b.Unit)
	}
	if b := evaluate(t, uncertainty.Abs(i)); b.Unit != "A" {
		t.Errorf("unit %q; want A", b.Unit)
	}
	if b := evaluate(t, uncertainty.Atan2(v, v)); b.Unit != "1" {
		t.Errorf("unit %q; want 1", b.Unit)
	}
}

// Formulas with the functions are printed and read back with the same result, and so are
// the others of package uncertainty.
func TestFunctionsInFormulas(t *testing.T) {
	x, y := uncertainty.Input("x", uncertainty.Normal(0.3, 0.01)), uncertainty.Input("y", uncertainty.Normal(0.7, 0.02))
	for _, text := range []string{"sinh(x) + cosh(y)", "tanh(x * y)", "log10(x) / ln(y)",
		"abs(x - y)", "hypot(x, y)", "atan2(x, -y)", "min(x, y) * max(x, 2 * y)"} {
		q, err := uncertainty.Formula(text, x, y)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		again, err := uncertainty.Formula(q.Expression(), x, y)
		if err != nil {
			t.Errorf("%s printed as %s: %v", text, q.Expression(), err)
			continue
		}
		a, b := evaluate(t, q), evaluate(t, again)
		if a.Estimate != b.Estimate || a.StandardUncertainty != b.StandardUncertainty {
			t.Errorf("%s printed as %s: %v; want %v", text, q.Expression(), b.Estimate, a.Estimate)
		}
		s, err := uncertainty.MonteCarlo{Trials: 20_000, Seed: 2}.Run(context.Background(), q)
		if err != nil || math.Abs(s.Outputs[0].StandardUncertainty/a.StandardUncertainty-1) > 0.05 {
			t.Errorf("%s: u = %v by Monte Carlo, %v by the law of propagation, %v", text,
				s.Outputs[0].StandardUncertainty, a.StandardUncertainty, err)
		}
	}
	for text, want := range map[string]string{
		"floor(x) + y": "jumps: its slope is 0 between whole numbers", "round(x) + y": "distribution of its resolution",
		"hypot(x) + y": "expected hypot(x, y)", "lg(x) + y": "expected log10(x)", "sec(x) + y": "unknown function \"sec\"; expected sqrt exp", "atan2 + x + y": "atan2 is a function",
	} {
		if _, err := uncertainty.Formula(text, x, y); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v; want %q", text, err, want)
		}
	}
}

func printed(q uncertainty.Quantity) {
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(b.Concise(2))
}

func ExampleSinh() {
	printed(uncertainty.Sinh(uncertainty.Input("x", uncertainty.Normal(1, 0.01))))
	// Output: 1.175(15)
}

func ExampleCosh() {
	printed(uncertainty.Cosh(uncertainty.Input("x", uncertainty.Normal(1, 0.01))))
	// Output: 1.543(12)
}

func ExampleTanh() {
	printed(uncertainty.Tanh(uncertainty.Input("x", uncertainty.Normal(1, 0.01))))
	// Output: 0.7616(42)
}

// A ratio of powers in bels.
func ExampleLog10() {
	printed(uncertainty.Log10(uncertainty.Input("ratio", uncertainty.Normal(200, 2))))
	// Output: 2.3010(43)
}

func ExampleAbs() {
	printed(uncertainty.Abs(uncertainty.Input("x", uncertainty.Normal(-5, 0.2))))
	// Output: 5.00(20)
}

func ExampleMin() {
	a, b := uncertainty.Input("a", uncertainty.Normal(9.81, 0.01)),
		uncertainty.Input("b", uncertainty.Normal(9.92, 0.02))
	printed(uncertainty.Min(a, b))
	// Output: 9.810(10)
}

func ExampleMax() {
	a, b := uncertainty.Input("a", uncertainty.Normal(9.81, 0.01)),
		uncertainty.Input("b", uncertainty.Normal(9.92, 0.02))
	printed(uncertainty.Max(a, b))
	// Output: 9.920(20)
}

// Magnitude and phase of an impedance from its parts.
func ExampleHypot() {
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(127.732, 0.071)}.Input()
	x := uncertainty.Source{Name: "X", Unit: "Ω", Distribution: uncertainty.Normal(219.847, 0.295)}.Input()
	printed(uncertainty.Hypot(r, x))
	// Output: 254.26(26) Ω
}

func ExampleAtan2() {
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Normal(127.732, 0.071)}.Input()
	x := uncertainty.Source{Name: "X", Unit: "Ω", Distribution: uncertainty.Normal(219.847, 0.295)}.Input()
	printed(uncertainty.Atan2(x, r))
	// Output: 1.04446(63)
}
