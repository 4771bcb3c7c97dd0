// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// exact is what the package promises.
const exact = 1e-9

// over is ∫ f between the breaks, by the rule of Gauss and Legendre of another library.
func over(f func(float64) float64, breaks ...float64) float64 {
	sum := 0.0
	for i := 1; i < len(breaks); i++ {
		const parts = 16
		for k := range parts {
			w := (breaks[i] - breaks[i-1]) / parts
			sum += quad.Fixed(f, breaks[i-1]+float64(k)*w, breaks[i-1]+float64(k+1)*w, 32, nil, 0)
		}
	}
	return sum
}

// irwinHall is the distribution function of the sum of n rectangles on ±½.
func irwinHall(z float64, n int) float64 {
	x := z + float64(n)/2
	sum := 0.0
	for k := 0; float64(k) <= x && k <= n; k++ {
		sum += math.Pow(-1, float64(k)) * math.Pow(x-float64(k),
			float64(n)) / math.Gamma(float64(k+1)) / math.Gamma(float64(n-k+1))
	}
	return sum
}

func TestLawAgainstClosedForms(t *testing.T) {
	phi := distuv.UnitNormal.CDF
	rect := Rectangles(0.5, 0)
	gamma := func(k float64) func(p float64) float64 { return distuv.Gamma{Alpha: k, Beta: 1}.Quantile }
	for _, c := range []struct {
		name  string
		terms []Term
		cdf   func(z float64) float64
		scale float64
	}{
		{"two normal terms", []Term{Normal(3), Normal(4)}, func(z float64) float64 { return phi(z / 5) }, 5},
		{"three rectangles", []Term{rect, rect, rect}, func(z float64) float64 { return irwinHall(z, 3) }, 0.5},
		{"seven rectangles, as trapezoids", []Term{Rectangles(0.5, 0.5), Rectangles(0.5, 0.5), Rectangles(0.5, 0.5), rect}, func(z float64) float64 { return irwinHall(z, 7) }, 0.8},
		{"t, 4 degrees of freedom", []Term{StudentT(2, 4)}, func(z float64) float64 { return distuv.StudentsT{Sigma: 2, Nu: 4}.CDF(z) }, 2},
		{"t, 1.5 degrees of freedom", []Term{StudentT(1, 1.5)}, func(z float64) float64 { return distuv.StudentsT{Sigma: 1, Nu: 1.5}.CDF(z) }, 1},
		{"t, 3 degrees of freedom, and a rectangle", []Term{StudentT(0.5, 3), Rectangles(1, 0)}, func(z float64) float64 {
			return over(func(x float64) float64 { return distuv.StudentsT{Sigma: 0.5, Nu: 3}.CDF(z-x) / 2 }, -1, 1)
		}, 0.7},
		{"t, 100 degrees of freedom, and a little more", []Term{StudentT(1, 100), Normal(1e-7)}, func(z float64) float64 { return distuv.StudentsT{Sigma: 1, Nu: 100}.CDF(z) }, 1},
		{"normal and rectangle", []Term{Normal(0.1), Rectangles(1, 0)}, func(z float64) float64 {
			g := func(x float64) float64 { return x*phi(x) + distuv.UnitNormal.Prob(x) }
			return 0.05 * (g((z+1)/0.1) - g((z-1)/0.1))
		}, 0.6},
		{"normal and arcsine", []Term{Normal(0.2), Arcsine(1)}, func(z float64) float64 {
			return over(func(a float64) float64 { return phi((z-math.Sin(a))/0.2) / math.Pi }, -math.Pi/2, math.Pi/2)
		}, 0.7},
		{"normal and rectangle of random width", []Term{Normal(0.1), RandomWidth(1, 0.4)}, func(z float64) float64 {
			g := func(x float64) float64 { return x*phi(x) + distuv.UnitNormal.Prob(x) }
			return over(func(w float64) float64 { return 0.05 / w * (g((z+w)/0.1) - g((z-w)/0.1)) / 0.8 }, 0.6, 1.4)
		}, 0.6},
		{"two gamma variates", []Term{Known(gamma(3), false), Known(gamma(5), false)}, func(z float64) float64 {
			if z <= 0 {
				return 0
			}
			return mathext.GammaIncReg(8, z)
		}, 3},
		{"square of a normal variate, and another", []Term{Known(func(p float64) float64 { z := distuv.UnitNormal.Quantile(p); return z * z }, false), Normal(0.3)}, func(z float64) float64 {
			return over(func(x float64) float64 { return distuv.UnitNormal.Prob(x) * phi((z-x*x)/0.3) }, -9, -3, 0, 3, 9)
		}, 1},
		{"a function with a pit, and a normal variate", []Term{Known(func(p float64) float64 { return p - 3*max(0, 1-math.Abs(p-2e-5)*1e5) }, false), Normal(0.05)}, func(z float64) float64 {
			f := func(p float64) float64 { return phi((z - p + 3*max(0, 1-math.Abs(p-2e-5)*1e5)) / 0.05) }
			return over(f, 0, 1e-5, 2e-5, 3e-5, 0.25, 0.5, 0.75, 1)
		}, 0.3},
		{"two values", []Term{Known(func(p float64) float64 { return math.Floor(p + 0.7) }, false), Normal(0.2)}, func(z float64) float64 {
			return 0.3*phi(z/0.2) + 0.7*phi((z-1)/0.2)
		}, 0.6},
	} {
		l, ok := New(c.terms...)
		if !ok {
			t.Errorf("%s: no law", c.name)
			continue
		}
		worst, at := 0.0, 0.0
		for x := -6.0; x <= 6; x += 0.0625 {
			if d := math.Abs(l.CDF(c.scale*x) - c.cdf(c.scale*x)); !(d <= worst) {
				worst, at = d, c.scale*x
			}
		}
		if !(worst <= exact) {
			t.Errorf("%s: off by %.2g at %v", c.name, worst, at)
		}
		for _, p := range []float64{1e-4, 0.025, 0.3, 0.5, 0.975, 0.9999} {
			if got := c.cdf(l.Quantile(p)); !(math.Abs(got-p) <= exact) {
				t.Errorf("%s: quantile %v has probability %v", c.name, p, got)
			}
		}
		t.Logf("%s: %.1g, %T", c.name, worst, l.shape)
	}
}

// A sum of two rectangles is a trapezoid, one rectangle itself.
func TestRectanglesAlone(t *testing.T) {
	for _, terms := range [][]Term{{Rectangles(2, 0), Rectangles(0.5, 0)}, {Rectangles(2, 0.5)},
		{Rectangles(2, 0)}, {Rectangles(1, 1)}} {
		l, ok := New(terms...)
		if !ok {
			t.Fatal("no law")
		}
		single, ok := l.shape.(*Term)
		if !ok {
			t.Fatalf("%v: %T", terms, l.shape)
		}
		a, b := single.a, single.b
		for _, p := range []float64{1e-9, 0.01, 0.0625, 0.2, 0.5, 0.7, 0.99} {
			z := l.Quantile(p)
			var want float64
			if b > 0 {
				edges := []float64{-b, max(-b, min(b, z-a)), max(-b, min(b, z+a)), b}
				want = over(func(x float64) float64 { return max(0, min(1, (z-x+a)/(2*a))) / (2 * b) }, edges...)
			} else {
				want = (z + a) / (2 * a)
			}
			if math.Abs(l.CDF(z)-p) > 1e-14 || math.Abs(want-p) > exact {
				t.Errorf("%v: quantile %v is %v, with %v and %v", terms, p, z, l.CDF(z), want)
			}
		}
	}
}

func TestNoLaw(t *testing.T) {
	if _, ok := New(); ok {
		t.Error("a law of nothing")
	}
	if _, ok := New(Normal(0)); ok {
		t.Error("a law of what does not vary")
	}
	if _, ok := New(StudentT(1, 0.3), StudentT(1, 0.3), Normal(1)); ok {
		t.Error("tails heavier than any of readings")
	}
}

// Expectation and variance of known terms.
func TestKnownMoments(t *testing.T) {
	l, ok := New(Known(distuv.Gamma{Alpha: 3, Beta: 2}.Quantile, true),
		Known(distuv.Uniform{Min: 1, Max: 2}.Quantile, true),
		Known(distuv.Gamma{Alpha: 2, Beta: 1}.Quantile, false), Normal(0.3))
	mean, variance := l.Known()
	if !ok || math.Abs(mean-3) > 1e-9 || math.Abs(variance-(0.75+1./12)) > 1e-9 {
		t.Errorf("%v, %v; want 3 and %v", mean, variance, 0.75+1./12)
	}
}

func TestKernelsAgainstMath(t *testing.T) {
	g := rand.New(rand.NewPCG(1, 2))
	for range 100_000 {
		x := g.NormFloat64() * math.Pow(10, 6*g.Float64()-1)
		if math.Abs(x) > 1e6 {
			continue
		}
		s, c := sinCos(x)
		ws, wc := math.Sincos(x)
		if math.Abs(s-ws) > 4e-16 || math.Abs(c-wc) > 4e-16 {
			t.Fatalf("sinCos(%v) = %v, %v; want %v, %v", x, s, c, ws, wc)
		}
		if j := besselJ0(x); math.Abs(j-math.J0(x)) > 1e-12 {
			t.Fatalf("J0(%v) = %v; want %v", x, j, math.J0(x))
		}
	}
	for _, x := range []float64{0, 1e-3, 0.7, 3, 15, 31.9, 32.1, 100, 5000} {
		n := int(x) + 1
		breaks := make([]float64, n+1)
		for i := range breaks {
			breaks[i] = x * float64(i) / float64(n)
		}
		want := over(func(w float64) float64 { return math.Sin(w) / max(w, 1e-300) }, breaks...)
		if got := sineIntegral(x); math.Abs(got-want) > 1e-12 {
			t.Errorf("Si(%v) = %v; want %v", x, got, want)
		}
	}
	sum := 0.0
	for _, p := range gaussPoints {
		sum += p.weight
	}
	x, w := make([]float64, 16), make([]float64, 16)
	quad.Legendre{}.FixedLocations(x, w, -1, 1)
	for i, p := range gaussPoints {
		if math.Abs(p.value-math.Abs(x[8+i])) > 1e-15 || math.Abs(p.weight-w[8+i]) > 1e-15 {
			t.Errorf("point %d: %v; want %v, %v", i, p, x[8+i], w[8+i])
		}
	}
	n := 64
	re, im := make([]float64, n), make([]float64, n)
	a, b := make([]float64, n), make([]float64, n)
	for i := range re {
		re[i], im[i] = g.NormFloat64(), g.NormFloat64()
	}
	for j := range a { // the definition
		for m := range re {
			s, c := math.Sincos(-2 * math.Pi * float64(m*j) / float64(n))
			a[j] += re[m]*c - im[m]*s
			b[j] += re[m]*s + im[m]*c
		}
	}
	transform(re, im)
	for j := range a {
		if math.Abs(a[j]-re[j]) > 1e-12 || math.Abs(b[j]-im[j]) > 1e-12 {
			t.Fatalf("X_%d = %v + %vi; want %v + %vi", j, re[j], im[j], a[j], b[j])
		}
	}
}

func BenchmarkNew(b *testing.B) {
	for name, terms := range map[string][]Term{
		"mixed":      {Normal(0.0025), Rectangles(0.01, 0), Rectangles(0.00275, 0), Rectangles(0.0055, 0), Rectangles(0.005, 0.005), StudentT(0.0007, 4)},
		"rectangles": {Rectangles(1, 0), Rectangles(0.5, 0), Rectangles(0.2, 0)},
		"known":      {Normal(0.3), Known(distuv.Gamma{Alpha: 3, Beta: 2}.Quantile, false)},
	} {
		b.Run("terms="+name, func(b *testing.B) {
			for b.Loop() {
				New(terms...)
			}
		})
	}
}
