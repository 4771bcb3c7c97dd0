// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
)

// Convolution promises 1e-9 in probability: about so much of the width of the interval.
const convolutionTolerance = 5e-9

func rectangles(a ...float64) uncertainty.Quantity {
	var in []uncertainty.Quantity
	for i, a := range a {
		in = append(in, uncertainty.Input(fmt.Sprint("x", i), uncertainty.Rectangular(0, a)))
	}
	return uncertainty.Sum(in...)
}

// coveredByRectangles is the probability of |Σ| ≤ h for rectangles of half-widths a:
// the exact piecewise polynomial, Σ ±(h ± a1 ± a2 …)₊ⁿ/(n!·Π 2a).
func coveredByRectangles(h float64, a ...float64) float64 {
	n := len(a)
	below := func(x float64) float64 {
		var sum float64
		scale := 1.0
		for i, v := range a {
			scale *= 2 * v * float64(i+1)
		}
		for signs := range 1 << n {
			edge, sign := x, 1.0
			for i, v := range a {
				if signs>>i&1 == 1 {
					edge, sign = edge-v, -sign
				} else {
					edge += v
				}
			}
			sum += sign * math.Pow(max(0, edge), float64(n))
		}
		return sum / scale
	}
	return below(h) - below(-h)
}

func TestConvolutionOfRectangles(t *testing.T) {
	for _, a := range [][]float64{{1}, {1, 1}, {1, 0.3}, {0.05, 0.011}, {1, 1, 1}, {3, 2, 1},
		{1, 0.9, 0.2}, {1, 0.1, 0.1, 0.1}} {
		b := evaluate(t, rectangles(a...))
		for _, p := range []float64{0.05, 0.5, 0.6827, 0.9, 0.95, 0.9545, 0.99, 0.9973} {
			h := half(t, b, p)
			want := solve(func(h float64) float64 { return coveredByRectangles(h, a...) - p }, sum(a))
			if math.Abs(h-want) > convolutionTolerance*2*want {
				t.Errorf("rectangles %v, p = %v: half-width %.7g; exactly %.7g", a, p, h, want)
			}
		}
	}
}

func sum(x []float64) (s float64) {
	for _, v := range x {
		s += v
	}
	return s
}

// solve finds the zero of a rising function between 0 and high.
func solve(f func(float64) float64, high float64) float64 {
	low := 0.0
	for range 100 {
		if m := (low + high) / 2; f(m) < 0 {
			low = m
		} else {
			high = m
		}
	}
	return low
}

// The 95 % factor of the exact trapezoid of the two rectangles of the multimeter
// example of EA-4/02, S9 (inputs from memory); the factor was computed from the
// piecewise polynomial with 40 digits.
func TestConvolutionOfTrapezoid(t *testing.T) {
	b := evaluate(t, rectangles(0.05, 0.011))
	if k := half(t, b, 0.95) / b.StandardUncertainty; math.Abs(k-1.7089168056) > 1e-9 {
		t.Errorf("k = %v; want 1.7089168", k)
	}
	full := evaluate(t, rectangles(0.05, 0.011).Add(uncertainty.Input("VS", uncertainty.Certificate(100, 0.002, 2))))
	if k := half(t, full, 0.95) / full.StandardUncertainty; math.Abs(k-1.7089) > 1e-3 {
		t.Errorf("with the standard k = %v; want about 1.709", k)
	}
}

func TestConvolutionWithNormal(t *testing.T) {
	// Each law on ±1 as a value and a density over v from −1 to 1; v is the phase for
	// the arcsine, whose density has poles.
	for _, s := range []struct {
		name      string
		law       func(x, a float64) uncertainty.Distribution
		value     func(v float64) float64
		density   func(v float64) float64
		tolerance float64
	}{
		{"rectangular", uncertainty.Rectangular, func(v float64) float64 { return v }, func(float64) float64 { return 0.5 }, convolutionTolerance},
		{"triangular", uncertainty.Triangular, func(v float64) float64 { return v }, func(v float64) float64 { return 1 - math.Abs(v) }, convolutionTolerance},
		{"arcsine", uncertainty.Arcsine, func(v float64) float64 { return math.Sin(math.Pi / 2 * v) }, func(float64) float64 { return 0.5 }, convolutionTolerance},
	} {
		for _, u := range []float64{0.005, 0.02, 0.1, 0.5, 2, 20} {
			b := evaluate(t, uncertainty.Input("x", s.law(3, 1)).Add(uncertainty.Input("n", uncertainty.Normal(0, u))))
			for _, p := range []float64{0.5, 0.95, 0.99} {
				covered := func(h float64) float64 {
					f := func(v float64) float64 {
						x := s.value(v)
						return s.density(v) * (distuv.UnitNormal.CDF((h-x)/u) - distuv.UnitNormal.CDF((-h-x)/u))
					}
					// In pieces: the integrand has kinks and steep places.
					var sum float64
					const pieces = 100
					for i := range 2 * pieces {
						sum += quad.Fixed(f, float64(i-pieces)/pieces, float64(i+1-pieces)/pieces, 8, nil, 0)
					}
					return sum
				}
				h := half(t, b, p)
				// Tolerance in h becomes one in probability: two values, no search.
				low, high := covered(h*(1-2*s.tolerance)), covered(h*(1+2*s.tolerance))
				if !(low <= p && p <= high) {
					t.Errorf("%s and normal, u = %v, p = %v: half-width %.7g covers %.7g to %.7g "+
						"by quadrature", s.name, u, p, h, low, high)
				}
			}
		}
	}
}

func TestConvolutionOfOneLaw(t *testing.T) {
	for _, d := range []uncertainty.Distribution{uncertainty.Normal(5, 2),
		uncertainty.Rectangular(5, 2), uncertainty.Triangular(5, 2), uncertainty.Arcsine(5, 2)} {
		b := evaluate(t, uncertainty.Input("x", d).Scale(-3))
		for _, p := range []float64{0.1, 0.5, 0.95, 0.99} {
			i, err := b.Convolution(p)
			want := 3 * (d.Quantile(0.5+p/2) - 5)
			if err != nil || math.Abs(i.Width()/2-want) > 2*convolutionTolerance*want ||
				!near(i.Lower+i.Upper, -30, 1e-12) {
				t.Errorf("%v, p = %v: %v, error %v; want −15 ± %v", d, p, i, err, want)
			}
		}
	}
}

func TestConvolutionStaysInsideCertainBound(t *testing.T) {
	const seed = 7
	r := rand.New(rand.NewPCG(seed, 4))
	for n := range 30 {
		var in []uncertainty.Quantity
		var bound float64
		for i := range 1 + r.IntN(5) {
			a := math.Pow(10, -2*r.Float64())
			bound += a
			law := []func(x, a float64) uncertainty.Distribution{uncertainty.Rectangular,
				uncertainty.Triangular, uncertainty.Arcsine}[r.IntN(3)]
			in = append(in, uncertainty.Input(fmt.Sprint("x", i), law(0, a)))
		}
		b := evaluate(t, uncertainty.Sum(in...))
		for _, p := range []float64{0.5, 0.95, 0.9999, 1 - 1e-12} {
			if h := half(t, b, p); h > bound*(1+1e-12) {
				t.Fatalf("seed %d, sum %d, p = %v: half-width %v beyond ±%v", seed, n, p, h, bound)
			}
		}
	}
}

func TestConvolutionOfReadings(t *testing.T) {
	// Four readings, three and two: the t-distribution itself.
	for _, dof := range []float64{3, 2, 1} {
		b := evaluate(t, uncertainty.Input("x", uncertainty.StudentT(0, 1, dof)))
		if h, want := half(t, b, 0.95), factor(t, 0.95, dof); !near(h, want, 1e-9) {
			t.Errorf("%v degrees of freedom: half-width %v; want %v", dof, h, want)
		}
	}
	// No uncertainty: a point.
	if i, err := evaluate(t, uncertainty.Exact(3)).Convolution(0.95); err != nil || i.Lower != 3 || i.Upper != 3 {
		t.Errorf("exact: %v, %v; want the point 3", i, err)
	}
}

// A budget of readings, limits, a certificate, correlated inputs and a skew law, its convolution
// against the quantiles of the characteristic function, inverted here by another quadrature
// (P. Hughett, Journal of Statistical Software 2(5), 1998, gives the integral).
func TestConvolutionAgainstInversion(t *testing.T) {
	c := mat.NewSymDense(2, []float64{1, -0.5, -0.5, 1})
	pair := uncertainty.Joint([]string{"p", "q"}, []float64{1, 2}, c)
	y := in("x", uncertainty.StudentT(0, 0.4, 3)).Add(in("d", uncertainty.Rectangular(0, 1))).Add(
		pair[0].Add(pair[1]).Scale(0.3)).
		Sub(in("e", distuv.Exponential{Rate: 2}))
	b := evaluate(t, y)
	phi := func(w float64) complex128 { // of the deviation from the estimate
		s := math.Sqrt(3) * 0.4 * w
		v := (1 + s) * math.Exp(-s) * math.Sin(w) / w * math.Exp(-0.5*0.09*w*w) // variance 1 + 1 − 1
		return complex(v, 0) * cmplx.Exp(complex(0, w*0.5)) / complex(1, w/2)
	}
	cdf := func(z float64) float64 {
		f := func(w float64) float64 { return imag(phi(w)*cmplx.Exp(complex(0, -w*z))) / w }
		sum := 0.0
		for k := range 400 {
			sum += quad.Fixed(f, 0.1*float64(k), 0.1*float64(k+1), 20, nil, 0)
		}
		return 0.5 - sum/math.Pi
	}
	for _, p := range []float64{0.5, 0.95, 0.999} {
		i, err := b.Convolution(p)
		if err != nil {
			t.Fatal(err)
		}
		if l, u := cdf(i.Lower-b.Estimate), cdf(i.Upper-b.Estimate); math.Abs(l-(1-p)/2) > 1e-9 ||
			math.Abs(u-(1+p)/2) > 1e-9 {
			t.Errorf("p = %v: %v below the ends, %v up to the upper", p, l, u)
		}
		o := simulate(t, uncertainty.MonteCarlo{Coverage: p}, y).Outputs[0]
		if math.Abs(o.Symmetric.Lower-i.Lower) > 1e-7 ||
			math.Abs(o.Symmetric.Upper-i.Upper) > 1e-7 || o.Twin.Kind != uncertainty.TwinExact {
			t.Errorf("p = %v: convolution %v, Monte Carlo %v", p, i, o)
		}
	}
}

// Where the sum cannot be told the refusal says what to do.
func TestConvolutionThatCannotBeTold(t *testing.T) {
	b := evaluate(t, in("n",
		uncertainty.Counts(3)).Add(in("m", uncertainty.StudentT(0, 1, 0.2))).Add(
		in("k", uncertainty.StudentT(0, 1, 0.3))))
	if i, err := b.Convolution(0.95); !errors.Is(err, uncertainty.ErrDomain) ||
		!strings.Contains(err.Error(), "use Monte Carlo") {
		t.Errorf("%v, %v; want %v", i, err, uncertainty.ErrDomain)
	}
}

func TestShapeWarnings(t *testing.T) {
	for _, c := range []struct {
		name               string
		y                  uncertainty.Quantity
		notNormal, exceeds bool
	}{
		{"one rectangle", rectangles(1), true, true}, // 1.96/√3 = 1.13
		{"one dominant rectangle", rectangles(1, 0.05), true, true},
		{"three rectangles", rectangles(1, 1, 1), false, false},
		{"an arcsine", uncertainty.Input("x", uncertainty.Arcsine(0, 1)), true, true},
		{"a normal", uncertainty.Input("x", uncertainty.Normal(0, 1)), false, false},
		{"a rectangle lost in a normal", rectangles(1).Add(uncertainty.Input("n", uncertainty.Normal(0, 2))), false, false},
	} {
		b := evaluate(t, c.y)
		if n, e := warned(b, uncertainty.ErrNotNormal),
			warned(b, uncertainty.ErrExceedsBounds); n != c.notNormal || e != c.exceeds {
			t.Errorf("%s: not normal %v, beyond the bound %v; want %v, %v", c.name, n, e, c.notNormal, c.exceeds)
		}
	}
}
