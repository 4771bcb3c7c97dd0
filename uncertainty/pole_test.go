// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
)

// A divisor with a density at 0 leaves no standard deviation, whatever the trials of a seed show:
// ∫ f(x)/x² dx diverges there. What is expected of each model follows from that integral.
func TestPoleIsFoundForEverySeed(t *testing.T) {
	N, R := uncertainty.Normal, uncertainty.Rectangular
	one := uncertainty.Exact(1)
	x, n, w := in("x", N(1, 0.25)), in("n", N(1, 0.01)), in("w", R(1, 0.9))
	z, q := in("z", N(0, 1)), in("q", N(3, 1))
	far, minor := in("far", N(-1, 0.1)), in("minor", N(-0.125, 0.03125))
	for _, c := range []struct {
		name string
		y    uncertainty.Quantity
		want bool
	}{
		{"1/x, four u from 0", one.Div(x), true},
		{"1/x, ten u from 0", one.Div(far), false},
		{"1/x, four u from 0, x near 8", one.Div(in("v", N(8, 2))), true},
		{"1/x², four u from 0, x near -1/8", one.Div(minor.Mul(minor)), true},
		{"1/x, ten u from 0, x near 8", one.Div(in("v", N(8, 0.8))), false},
		{"a/x", n.Div(x), true},
		{"a negative divisor", n.Div(x.Neg()), true},
		{"x to the power -1", uncertainty.Pow(x, uncertainty.Exact(-1)), true},
		{"x to the power -1/4", uncertainty.Pow(x, uncertainty.Exact(-0.25)), false},
		{"1/x in a sum", n.Add(one.Div(x)), true},
		{"1/x²", one.Div(x.Mul(x)), true},
		{"1/x³", one.Div(x.Mul(x).Mul(x)), true},
		{"a difference as a divisor", one.Div(x.Sub(in("v", N(3, 0.2)))), false},
		{"a small difference as a divisor", one.Div(x.Sub(in("v", N(2, 0.1)))), true},
		{"a divisor that ends before 0", n.Div(w), false},
		{"a divisor that ends at 0", n.Div(in("e", R(1, 1))), true},
		{"a divisor that ends beyond 0", n.Div(in("e", R(1, 1.5))), true},
		{"a t-distribution ten u from 0", n.Div(in("s", uncertainty.StudentT(1, 0.1, 4))), true},
		{"1/exp z", one.Div(uncertainty.Exp(z)), false},
		{"1/(1 + q²)", one.Div(one.Add(q.Mul(q))), false},
		{"two in parallel, of bounded parts", one.Div(one.Div(w).Add(one)), false},
		{"two in parallel, 1/(1 + 1/x)", one.Div(one.Div(x).Add(one)), false},
	} {
		// The other two evaluations say so too, in their own terms.
		if c.want {
			if b := evaluate(t, c.y); !warned(b, uncertainty.ErrFirstOrder) {
				t.Errorf("%s: to first order %v", c.name, b.Warnings)
			}
			b, err := uncertainty.SecondOrder(c.y)
			if err != nil && !errors.Is(err, uncertainty.ErrSecondOrder) {
				t.Errorf("%s: to second order: %v", c.name, err)
			}
			if err == nil && !warned(b, uncertainty.ErrSecondOrder) {
				t.Errorf("%s: to second order %v", c.name, b.Warnings)
			}
		}
		for seed := range uint64(3) {
			m := uncertainty.MonteCarlo{Trials: 20_000, Seed: seed, MaxInvalid: 0.5, Workers: 1}
			s := simulate(t, m, c.y, n)
			found := false
			for _, w := range s.Warnings {
				found = found || errors.Is(w, uncertainty.ErrNoMoments) && strings.Contains(w.Error(), "divisor")
			}
			o := s.Outputs[0]
			if found != c.want || found && o.HasStandardUncertainty() {
				t.Errorf("%s, seed %d: found %v, u = %v, printed %v, %v", c.name, seed, found,
					o.StandardUncertainty, o.HasStandardUncertainty(), s.Warnings)
			}
			if !s.Outputs[1].HasStandardUncertainty() {
				t.Errorf("%s: the other output lost its standard uncertainty", c.name)
			}
		}
	}
}

// Poles that are no plain divisor, and arguments for which there is no value: each is so many
// standard uncertainties away, and its probability the tail of the normal law (gonum), to the two
// digits that are printed. Beside a large term the values one and two standard uncertainties away
// show nothing of it.
func TestPolesAndEndsOfFunctions(t *testing.T) {
	const steps = 3.5
	tail := distuv.UnitNormal.Survival(steps)
	e, w := uncertainty.Exact, in("w", uncertainty.Normal(0, 300))
	zero := in("zero", uncertainty.Normal(0, 1))
	at := func(x, end float64) uncertainty.Quantity { // as far from its end
		return in("x", uncertainty.Normal(x, math.Abs(end-x)/steps))
	}
	two := func(x, y float64) (uncertainty.Quantity, uncertainty.Quantity) { // x + y as far from 0
		u := math.Abs(x+y) / steps / math.Sqrt2
		return in("x", uncertainty.Normal(x, u)), in("y", uncertainty.Normal(y, u))
	}
	call := func(f func(x []float64) float64, args ...uncertainty.Quantity) uncertainty.Quantity {
		return uncertainty.Call("f", f, args...)
	}
	x, y := two(3, -2)
	p, m := two(1, 1)
	one := at(1, 0)
	for _, c := range []struct {
		name string
		y    uncertainty.Quantity
		end  bool    // of where the model exists, no pole
		p    float64 // probability, 0 where it is not a tail of one law
	}{
		{"tan", uncertainty.Tan(at(0.3, math.Pi/2)), false, tail},
		{"tan below 0", uncertainty.Tan(at(-0.3, -math.Pi/2)), false, tail},
		{"tan in another branch", uncertainty.Tan(at(4, 3*math.Pi/2)), false, tail},
		{"tan of an expression", uncertainty.Tan(at(0.3, math.Pi/2-0.2).Add(e(0.2))), false, tail},
		{"tan in a call", call(func(x []float64) float64 { return math.Tan(x[0]) }, at(0.3, math.Pi/2)), false, tail},
		{"a numerator of 0", zero.Div(x.Add(y)), false, tail},
		{"a difference over a sum", p.Sub(m).Div(p.Add(m)), false, tail},
		{"a product as a divisor", e(1).Div(at(1, 0).Mul(in("z", uncertainty.Normal(1, 0.01)))), false, tail},
		{"1/sin", e(1).Div(uncertainty.Sin(at(1, 0))), false, tail},
		{"1/cos", e(1).Div(uncertainty.Cos(at(1, math.Pi/2))), false, tail},
		{"1/ln", e(1).Div(uncertainty.Log(at(2, 1))), false, tail},
		{"1/√x", e(1).Div(uncertainty.Sqrt(one)), false, tail},
		{"1/(x − 1)²", e(1).Div(uncertainty.Pow(at(2, 1).Sub(e(1)), e(2))), false, tail},
		{"1/(1 − x²) about 0", e(1).Div(e(1).Sub(one.Sub(e(1)).Mul(one.Sub(e(1))))), false, 0},
		{"1/x in a call", call(func(x []float64) float64 { return 1 / x[0] }, one), false, tail},
		{"1/√x in a call", call(func(x []float64) float64 { return 1 / math.Sqrt(x[0]) }, one), false, tail},
		{"1/(x + y) in a call", call(func(x []float64) float64 { return 1 / (x[0] + x[1]) }, p, m), false, tail},
		{"√x", uncertainty.Sqrt(at(1, 0).Scale(2)), true, 0},
	} {
		for _, y := range []uncertainty.Quantity{c.y, w.Add(c.y)} {
			if c.end {
				continue
			}
			b := evaluate(t, y)
			checkPole(t, c.name, b.Warnings, uncertainty.ErrFirstOrder, 0)
			if b, err := uncertainty.SecondOrder(y); err == nil {
				checkPole(t, c.name+", second order", b.Warnings, uncertainty.ErrSecondOrder, 0)
			}
		}
		m := uncertainty.MonteCarlo{Trials: 10_000, MaxInvalid: 0.5, Workers: 1}
		if s := simulate(t, m, w.Add(c.y)); !c.end {
			checkPole(t, c.name+", simulated", s.Warnings, uncertainty.ErrNoMoments, c.p)
		}
	}
	// 3.0 standard uncertainties from the end, 0.13 % of all have no value; 3.5 are too far.
	near := func(x, end float64) uncertainty.Quantity {
		return in("x", uncertainty.Normal(x, math.Abs(end-x)/3))
	}
	for name, f := range map[string]struct {
		of     func(x uncertainty.Quantity) uncertainty.Quantity
		x, end float64
	}{
		"sqrt":  {uncertainty.Sqrt, 1, 0},
		"log":   {uncertainty.Log, 1, 0},
		"log10": {uncertainty.Log10, 1, 0},
		"asin":  {uncertainty.Asin, 0.9, 1},
		"acos":  {uncertainty.Acos, -0.9, -1},
		"power": {func(x uncertainty.Quantity) uncertainty.Quantity { return uncertainty.Pow(x, e(1.5)) }, 1, 0},
		"a call": {func(x uncertainty.Quantity) uncertainty.Quantity {
			return call(func(x []float64) float64 { return math.Log(x[0]) }, x)
		}, 1, 0},
	} {
		if name != "a call" { // which is looked at one input at a time, as far as 3.1
			checkPole(t, name, evaluate(t, w.Add(f.of(near(f.x, f.end)))).Warnings,
				uncertainty.ErrFirstOrder, distuv.UnitNormal.Survival(3))
		} else if b := evaluate(t, w.Add(f.of(near(f.x, f.end)))); !warned(b, uncertainty.ErrFirstOrder) {
			t.Errorf("%s: %v", name, b.Warnings)
		}
		if b := evaluate(t, w.Add(f.of(at(f.x, f.end)))); len(b.Warnings) > 0 {
			t.Errorf("%s, %v standard uncertainties away: %v", name, steps, b.Warnings)
		}
	}
	for name, y := range map[string]uncertainty.Quantity{
		"a tangent far from its poles":    uncertainty.Tan(in("x", uncertainty.Normal(0.3, 0.1))),
		"of a bounded law":                uncertainty.Tan(in("x", uncertainty.Rectangular(0.3, 1.2))),
		"a divisor that is never 0":       e(1).Div(e(1.5).Add(uncertainty.Sin(zero))),
		"an exponential in a call":        call(func(x []float64) float64 { return math.Exp(x[0]) }, zero),
		"a logarithm that ends in a call": call(func(x []float64) float64 { return math.Log(math.Max(x[0], 0.01)) }, one),
	} {
		for _, err := range evaluate(t, w.Add(y)).Warnings {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// checkPole expects one warning with the cause, and the probability if that is not 0.
func checkPole(t *testing.T, name string, warnings []error, cause error, p float64) {
	t.Helper()
	for _, err := range warnings {
		if !errors.Is(err, cause) {
			continue
		}
		if text := strconv.FormatFloat(p, 'e', 1, 64); p > 0 {
			mantissa, exponent, _ := strings.Cut(text, "e")
			if power, _ := strconv.Atoi(exponent); !strings.Contains(err.Error(), mantissa+"e"+strconv.Itoa(power)) &&
				!strings.Contains(err.Error(), strconv.FormatFloat(p, 'f', 1-power, 64)) {
				t.Errorf("%s: %v; want the probability %v", name, err, text)
			}
		}
		return
	}
	t.Errorf("%s: no warning of this kind: %v", name, warnings)
}

// A wave whose period divides the standard uncertainty comes back to its value after every step:
// the mean of cos 2πx is exp(−2π²u²), its standard deviation 1/√2 for u = 1, not 0.
func TestWaveOfThePeriodOfTheUncertainty(t *testing.T) {
	for _, periods := range []float64{1, 2, 5} {
		x := in("x", uncertainty.Normal(0, 1))
		b := evaluate(t, uncertainty.Cos(x.Scale(2*math.Pi*periods)).Add(in("w", uncertainty.Normal(0, 1e-3))))
		if !warned(b, uncertainty.ErrFirstOrder) {
			t.Errorf("%v periods: u = %v, %v", periods, b.StandardUncertainty, b.Warnings)
		}
	}
}

// At a corner there is no slope, but trials need none. |x| of a standard normal x has the mean
// √(2/π), the variance 1 − 2/π and the quantile of (1 + p)/2; the greater of two has the mean
// 1/√π and the variance 1 − 1/π (order statistics of two, in any textbook); √(x² + y²) is a
// Rayleigh variable.
func TestTrialsGoOverCorners(t *testing.T) {
	x, y := in("x", uncertainty.Normal(0, 1)), in("y", uncertainty.Normal(0, 1))
	for _, c := range []struct {
		name         string
		q            uncertainty.Quantity
		mean, u      float64
		lower, upper float64 // ends of the symmetric interval, 95 %
	}{
		// Standard normal quantiles at 0.5125 and 0.9875.
		{"abs", uncertainty.Abs(x), math.Sqrt(2 / math.Pi), math.Sqrt(1 - 2/math.Pi), 0.031338, 2.241403},
		// Φ² at 0.025 and 0.975: quantiles at √0.025 and √0.975.
		{"max", uncertainty.Max(x, y), 1 / math.Sqrt(math.Pi), math.Sqrt(1 - 1/math.Pi), -1.002240, 2.238964},
		{"min", uncertainty.Min(x, y), -1 / math.Sqrt(math.Pi), math.Sqrt(1 - 1/math.Pi), -2.238964, 1.002240},
		{"hypot", uncertainty.Hypot(x, y), math.Sqrt(math.Pi / 2), math.Sqrt(2 - math.Pi/2), math.Sqrt(-2 * math.Log(0.975)), math.Sqrt(-2 * math.Log(0.025))},
	} {
		s := simulate(t, uncertainty.MonteCarlo{Trials: 100_000, Workers: 1}, c.q)
		o := s.Outputs[0]
		for _, v := range []struct {
			what           string
			got, want, err float64
		}{
			{"estimate", o.Estimate, c.mean, o.Sampling.Estimate},
			{"u", o.StandardUncertainty, c.u, o.Sampling.StandardUncertainty},
			{"lower end", o.Symmetric.Lower, c.lower, o.Sampling.Lower},
			{"upper end", o.Symmetric.Upper, c.upper, o.Sampling.Upper},
		} {
			if !(math.Abs(v.got-v.want) <= 4*v.err) {
				t.Errorf("%s: %s = %v ± %v; want %v", c.name, v.what, v.got, v.err, v.want)
			}
		}
		if o.Twin.Kind != uncertainty.TwinNone || !strings.Contains(o.Twin.Reason, "corner") || len(s.Warnings) > 0 {
			t.Errorf("%s: %v, %v", c.name, o.Twin, s.Warnings)
		}
	}
	// Another output of the run keeps its twin.
	s := simulate(t, uncertainty.MonteCarlo{Trials: 20_000}, uncertainty.Abs(x), x.Add(y))
	if kind := s.Outputs[1].Twin.Kind; kind != uncertainty.TwinExact {
		t.Errorf("a sum beside a corner: %v", kind)
	}
}
