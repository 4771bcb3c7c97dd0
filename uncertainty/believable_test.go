// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
)

// Where the model leaves its slope within the uncertainties the linear budget says so.
// What is expected follows from the functions themselves.
func TestLinearResultIsHeldAgainstTheModel(t *testing.T) {
	in := func(name string, x, u float64) uncertainty.Quantity {
		return uncertainty.Input(name, uncertainty.Normal(x, u))
	}
	call := func(f func(x float64) float64, q uncertainty.Quantity) uncertainty.Quantity {
		return uncertainty.Call("f", func(x []float64) float64 { return f(x[0]) }, q)
	}
	abs, round := math.Abs, math.Round
	x, n := in("x", 0, 1), in("n", 0, 1e-9)
	for _, c := range []struct {
		name string
		y    uncertainty.Quantity
		want bool
	}{
		{"a square with a little noise", x.Mul(x).Add(n), true},
		{"|x| at 0", call(abs, in("a", 0, 0.1)), true},
		{"|x| far from 0", call(abs, in("a", 1, 0.1)), false},
		{"a rounded value", call(round, in("a", 1.2, 0.5)), true},
		{"a cosine beside its maximum", uncertainty.Cos(in("a", 1e-8, 0.1)), true},
		{"a product about 0", x.Mul(in("y", 0, 1)), true},
		{"a product about 0 with noise", x.Mul(in("y", 0, 1)).Add(n), true},
		{"four in a product", x.Mul(in("y", 0, 1)).Mul(in("z", 1, 1e-3)).Add(in("w", 1, 1e-3)), true},
		{"a divisor four u from 0", in("a", 1, 0.01).Div(in("b", 1, 0.25)), true},
		{"a divisor two u from 0", in("a", 1, 0.01).Div(in("b", 0.2, 0.1)), true},
		{"a divisor a thousand u from 0", in("a", 1, 0.01).Div(in("b", 1, 0.001)), false},
		{"a root one u from its end", uncertainty.Sqrt(in("a", 0.1, 0.1)), true},
		{"a kink inside", call(func(x float64) float64 { return max(x, 1.2) }, in("a", 1, 0.2)), true},
		{"a large square that does not matter", x.Mul(x).Scale(1e-3).Add(in("w", 1, 1)), false},
		{"a sum of many", uncertainty.Sum(x, n, in("w", 1, 1)), false},
		{"a panic away from the estimate", call(func(x float64) float64 {
			if x > 0.15 {
				panic("out of range")
			}
			return x
		}, in("a", 0, 0.1)), true},
		{"a bounded input", uncertainty.Sqrt(uncertainty.Input("a", uncertainty.Rectangular(1, 0.1))), false},
		{"the root of a tiny one", uncertainty.Sqrt(in("a", 1e-200, 1e-203)), false},
	} {
		b := evaluate(t, c.y)
		if got := warned(b, uncertainty.ErrFirstOrder); got != c.want {
			t.Errorf("%s: warned %v: u = %v, warnings %v", c.name, got, b.StandardUncertainty, b.Warnings)
		}
	}
}

// The check sees inputs of a large model, where it cannot move all of them one by one.
func TestLinearResultOfManyInputs(t *testing.T) {
	y := uncertainty.Exact(1)
	for i := range 2000 {
		y = y.Mul(uncertainty.Input("x"+
			string(rune('a'+i/26/26%26))+string(rune('a'+i/26%26))+string(rune('a'+i%26)),
			uncertainty.Normal(1, 1e-6)))
	}
	if b := evaluate(t, y); warned(b, uncertainty.ErrFirstOrder) {
		t.Errorf("a product of many: %v", b.Warnings)
	}
	bad := uncertainty.Input("bad", uncertainty.Normal(0, 1))
	if b := evaluate(t, y.Add(bad.Mul(bad))); !warned(b, uncertainty.ErrFirstOrder) {
		t.Error("a square beside a product of many: no warning")
	}
}

// A negative variance is an error, and a variance of 0 from terms that cancel is no
// silent 0. The variance of sin x about 0 to second order is u² − u⁴ (JCGM 100, note to
// 5.1.2); the reflection coefficient of JCGM 102 9.3 is near 0 there.
func TestSecondOrderIsHeldAgainstTheModel(t *testing.T) {
	sine := func(u float64) uncertainty.Quantity {
		return uncertainty.Sin(uncertainty.Input("x", uncertainty.Normal(0, u)))
	}
	x := uncertainty.Input("x", uncertainty.Normal(0, 0.1))
	for _, u := range []float64{1.5, 2, 10} {
		if b, err := uncertainty.SecondOrder(sine(u)); !errors.Is(err, uncertainty.ErrSecondOrder) {
			t.Errorf("sin(0 ± %v): %v, error %v", u, b, err)
		}
	}
	for _, c := range []struct {
		name string
		y    uncertainty.Quantity
		want bool
	}{
		{"sin, u = 1", sine(1), true},
		{"sin, u = 0.8", sine(0.8), true},
		{"sin, u = 0.1", sine(0.1), false},
		{"third power at 0", x.Mul(x).Mul(x), true},
		{"fourth power at 0", uncertainty.Pow(x, uncertainty.Exact(4)), true},
		{"square at 0", x.Mul(x), false},
		{"a product about 0", x.Mul(uncertainty.Input("y", uncertainty.Normal(0, 1))), false},
	} {
		b, err := uncertainty.SecondOrder(c.y)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if got := warned(b, uncertainty.ErrSecondOrder); got != c.want {
			t.Errorf("%s: warned %v, u = %v, %v", c.name, got, b.StandardUncertainty, b.Warnings)
		}
	}
}

// The derivative of a Call follows the true uncertainty of its argument, not the sum of
// those that cancel in it.
func TestStepOfACallFollowsItsArgument(t *testing.T) {
	s := uncertainty.Input("s", uncertainty.Normal(0.01, 0.027))
	c := uncertainty.Input("c", uncertainty.Normal(0, 100))
	exp := func(x []float64) float64 { return math.Exp(x[0]) }
	b := evaluate(t, uncertainty.Call("exp", exp, c.Add(s).Sub(c)))
	want := 0.027 * math.Exp(0.01)
	if math.Abs(b.StandardUncertainty/want-1) > 1e-6 {
		t.Errorf("u = %v; want %v", b.StandardUncertainty, want)
	}
	// A jump within the step.
	b = evaluate(t, uncertainty.Call("jump", func(x []float64) float64 { return math.Floor(x[0]) },
		uncertainty.Input("x", uncertainty.Normal(1, 0.1))))
	if !warned(b, uncertainty.ErrFirstOrder) {
		t.Errorf("a jump: %v", b.Warnings)
	}
}

// Equal readings say nothing below a step of the display (GUM F.2.2.1), and u is not 0
// because its square is too small for a float64.
func TestZeroUncertaintyIsMeant(t *testing.T) {
	equal := evaluate(t, uncertainty.Input("reading", uncertainty.TypeA(100.1, 100.1, 100.1)))
	if !warned(equal, uncertainty.ErrNotStated) || !strings.Contains(equal.Warnings[0].Error(), "resolution") {
		t.Errorf("equal readings: %v", equal.Warnings)
	}
	readings := uncertainty.Input("reading",
		uncertainty.TypeA(100.1, 100.1, 100.1)).Add(uncertainty.Input("other",
		uncertainty.Normal(0, 1)))
	sim, err := uncertainty.MonteCarlo{Trials: 10_000}.Run(context.Background(), readings)
	if err != nil || len(sim.Warnings) != 1 || !errors.Is(sim.Warnings[0], uncertainty.ErrNotStated) {
		t.Errorf("equal readings, simulated: %v, error %v", sim, err)
	}
	together := uncertainty.JointTypeA([]string{"equal", "other"},
		[][]float64{{5, 5, 5, 5}, {2, 2.1, 2.2, 2.1}}).Inputs()
	if b := evaluate(t, together[0].Add(together[1])); !warned(b, uncertainty.ErrNotStated) {
		t.Errorf("equal readings beside others made together: %v", b.Warnings)
	}
	if b := evaluate(t, together[1].Scale(2)); warned(b, uncertainty.ErrNotStated) {
		t.Errorf("readings that differ, beside equal ones: %v", b.Warnings)
	}
	tiny := evaluate(t, uncertainty.Input("tiny", uncertainty.Normal(1e-300, 1e-302)).Scale(2))
	if u := tiny.StandardUncertainty; math.Abs(u/2e-302-1) > 1e-12 {
		t.Errorf("u = %v; want 2e-302", u)
	}
	if share := tiny.Components[0].Share; share != 1 {
		t.Errorf("share = %v; want 1", share)
	}
	a, b := uncertainty.Input("a", uncertainty.Normal(1, 3e-170)), uncertainty.Input("b", uncertainty.Normal(1, 4e-170))
	if u := evaluate(t, a.Add(b)).StandardUncertainty; math.Abs(u/5e-170-1) > 1e-12 {
		t.Errorf("u = %v; want 5e-170", u)
	}
}

// Every t-distribution of two degrees of freedom or fewer is warned of, not that of
// readings alone.
func TestFewDegreesOfFreedom(t *testing.T) {
	joint := uncertainty.JointSource{Names: []string{"p", "q"}, Estimates: []float64{1, 2},
		Covariance: mat.NewSymDense(2, []float64{1, 0, 0, 1}), DOF: 2}.Inputs()
	for name, y := range map[string]uncertainty.Quantity{
		"readings":    uncertainty.Input("x", uncertainty.TypeA(1, 2)),
		"StudentT":    uncertainty.Input("x", uncertainty.StudentT(1, 0.1, 2)),
		"certificate": uncertainty.Input("x", uncertainty.CertificateDOF(uncertainty.CertificateStatement{X: 1, U: 1, P: 0.95, DOF: 1.5})),
		"joint":       joint[0].Add(joint[1]),
	} {
		if b := evaluate(t, y); !warned(b, uncertainty.ErrFewObservations) {
			t.Errorf("%s: %v", name, b.Warnings)
		}
	}
	if b := evaluate(t, uncertainty.Input("x", uncertainty.StudentT(1, 0.1, 3))); warned(b,
		uncertainty.ErrFewObservations) {
		t.Errorf("three degrees of freedom: %v", b.Warnings)
	}
}

// A standard deviation that another seed would move by a tenth is not printed as a
// standard uncertainty, nor one that does not exist.
func TestUnsettledStandardUncertainty(t *testing.T) {
	a, b := uncertainty.Input("a", uncertainty.Normal(1, 0.01)), uncertainty.Input("b", uncertainty.Normal(1, 0.25))
	for name, c := range map[string]struct {
		y    uncertainty.Quantity
		want bool
	}{
		"quotient":     {a.Div(b), false},
		"two readings": {uncertainty.Input("x", uncertainty.TypeA(1.0, 1.1)), false},
		"sum":          {a.Add(b), true},
	} {
		for seed := range uint64(4) {
			sim, err := uncertainty.MonteCarlo{Trials: 100_000, Seed: seed}.Run(context.Background(), c.y)
			if err != nil {
				t.Fatal(err)
			}
			o := sim.Outputs[0]
			text, err := json.Marshal(sim)
			if err != nil {
				t.Fatal(err)
			}
			warned := false
			for _, w := range sim.Warnings {
				warned = warned || errors.Is(w, uncertainty.ErrNoMoments)
			}
			printed := strings.Contains(o.String(), "(") &&
				strings.Contains(string(text),
					`"standardUncertainty":`+format(o.StandardUncertainty))
			if o.HasStandardUncertainty() != c.want || warned == c.want || printed != c.want {
				t.Errorf("%s, seed %d: has u %v, warned %v, printed %v: %v", name, seed,
					o.HasStandardUncertainty(), warned, printed, o)
			}
		}
	}
}

func format(v float64) string {
	text, _ := json.Marshal(v)
	return string(text)
}

// Ends of an interval are rounded by its own width: that of two readings is far narrower
// than a standard deviation of trials that does not exist.
func TestIntervalEndsByTheirWidth(t *testing.T) {
	o := uncertainty.Output{Estimate: 100, StandardUncertainty: 250, Coverage: 0.95,
		Symmetric: uncertainty.Interval{Lower: 98.7, Upper: 101.3}}
	o.Sampling.StandardUncertainty = 100
	if got, want := o.String(), "95 %: 98.7 to 101.3"; got != want {
		t.Errorf("%q; want %q", got, want)
	}
}

// A divisor that comes near 0 leaves the quotient without a standard deviation: the next
// seed would print another one. The interval stands.
func ExampleOutput_HasStandardUncertainty() {
	a := uncertainty.Input("a", uncertainty.Normal(1, 0.01))
	b := uncertainty.Input("b", uncertainty.Normal(1, 0.25))
	simulation, err := uncertainty.MonteCarlo{Trials: 100_000, Seed: 1}.Run(context.Background(), a.Div(b))
	if err != nil {
		fmt.Println(err)
		return
	}
	quotient := simulation.Outputs[0]
	fmt.Println(quotient.HasStandardUncertainty())
	fmt.Printf("%.1f to %.1f\n", quotient.Symmetric.Lower, quotient.Symmetric.Upper)
	// Output:
	// false
	// 0.7 to 2.0
}

// Building a sum takes time in proportion to its terms: a hundred thousand of them are no
// matter of minutes.
func TestSumOfManyTerms(t *testing.T) {
	const n = 100_000
	terms := make([]uncertainty.Quantity, n)
	for i := range terms {
		terms[i] = uncertainty.Input(fmt.Sprint("x", i), uncertainty.Normal(1, 1))
	}
	if b := evaluate(t, uncertainty.Sum(terms...)); math.Abs(
		b.StandardUncertainty/math.Sqrt(n)-1) > 1e-12 || b.Estimate != n {
		t.Errorf("%v, u = %v", b.Estimate, b.StandardUncertainty)
	}
}

// Absurd figures are refused, and none comes back as NaN or infinite, or as a panic.
func TestAbsurdFiguresAreRefused(t *testing.T) {
	for _, c := range []struct {
		p   float64
		m   int
		dof float64
	}{{3e-105, 17, 2e307}, {1e-50, 14, 1e15}, {1e-300, 3, 4}, {1 - 1e-16, 3, 0.01}, {5e-324, 1, math.Inf(1)}} {
		k, err := uncertainty.EllipseFactor(c.p, c.m, c.dof)
		if err == nil && !(k > 0 && k <= math.MaxFloat64) ||
			err != nil && (k != 0 || !errors.Is(err, uncertainty.ErrDomain)) {
			t.Errorf("EllipseFactor(%v, %d, %v) = %v, %v", c.p, c.m, c.dof, k, err)
		}
	}
	for _, x := range [][]float64{{1, 2, 1e200}, {1e308, -1e308}} {
		m, s, err := uncertainty.MeanStdDev(x)
		if !errors.Is(err, uncertainty.ErrNotFinite) || m != 0 || s != 0 {
			t.Errorf("MeanStdDev(%v) = %v, %v, %v; want ErrNotFinite", x, m, s, err)
		}
	}
	if err := uncertainty.Input("x", uncertainty.TypeA(1, 2, 1e200)).Err(); !errors.Is(err, uncertainty.ErrNotFinite) {
		t.Errorf("TypeA of 1e200: %v; want ErrNotFinite", err)
	}
}

// What lies beyond two standard uncertainties, or between one and two, and what only a product of
// squares shows: models that random expressions found, each with what makes it unbelievable.
func TestEvaluationsLookFartherWhereIntervalsReach(t *testing.T) {
	in := func(name string, d uncertainty.Distribution) uncertainty.Quantity {
		return uncertainty.Input(name, d)
	}
	N, T := uncertainty.Normal, uncertainty.StudentT
	x, z := in("x", N(0, 0.05)), in("z", N(0, 0.2))
	jump := in("j", uncertainty.Triangular(-1, 2.4))
	n := in("n", uncertainty.Rectangular(0.001, 0.00085))
	for name, c := range map[string]struct {
		y             uncertainty.Quantity
		first, second bool // whether the evaluation warns
	}{
		"|x| at two u, t(3)":          {uncertainty.Abs(in("a", T(10, 5, 3))), true, false},
		"|x| at five u":               {uncertainty.Abs(in("a", N(10, 2))), false, false},
		"x²·z² about 0":               {x.Mul(z).Mul(x.Mul(z)), true, true},
		"max beyond two u":            {uncertainty.Max(in("a", N(-1, 0.5)), in("b", N(0.3, 3e-7))), true, true},
		"max far away":                {uncertainty.Max(in("a", N(-1, 0.2)), in("b", N(0.3, 3e-7))), false, false},
		"a jump that comes back":      {uncertainty.Hypot(n, jump).Sub(jump.Div(uncertainty.Hypot(n, jump))), true, true},
		"a straight product of t":     {in("a", T(10, 0.1, 3)).Mul(in("b", T(5, 0.02, 4))), false, false},
		"a little bent, ordinary t":   {uncertainty.Exp(in("a", T(1, 0.005, 4))), false, false},
		"max of two, one ever larger": {uncertainty.Max(in("a", N(3, 0.1)), in("b", N(1, 0.1))), false, false},
	} {
		warns := func(b *uncertainty.Budget) bool {
			return slices.ContainsFunc(b.Warnings, func(err error) bool {
				return errors.Is(err, uncertainty.ErrFirstOrder) || errors.Is(err, uncertainty.ErrSecondOrder)
			})
		}
		if b := evaluate(t, c.y); warns(b) != c.first {
			t.Errorf("%s: warnings %v; want one: %v", name, b.Warnings, c.first)
		}
		if b := secondOrder(t, c.y); warns(b) != c.second {
			t.Errorf("%s, second order: warnings %v; want one: %v", name, b.Warnings, c.second)
		}
	}
}
