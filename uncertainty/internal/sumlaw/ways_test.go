// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// quadrature is a distribution function of a sum by adaptive integration over one term after
// the other, given by density or by quantile function: slow, and nothing of this package.
type quadrature func(z float64) float64

// plus adds a term by its quantile function, which is integrated with the substitution
// p = 3t² − 2t³ and panels that shrink towards both ends and towards the places given.
func (f quadrature) plus(q func(p float64) float64, places ...float64) quadrature {
	return func(z float64) float64 {
		sum := 0.0
		ends := append([]float64{0}, append(places, 1)...)
		for i := 1; i < len(ends); i++ {
			a, b := ends[i-1], ends[i]
			g := func(t float64) float64 {
				p := a + (b-a)*t*t*t*(10-15*t+6*t*t)
				return f(z-q(p)) * (b - a) * 30 * t * t * (1 - t) * (1 - t)
			}
			var breaks []float64
			for e := 1.0 / 512; e < 0.5; e *= 2 {
				breaks = append(breaks, e)
			}
			breaks = append(append([]float64{0}, breaks...), 0.5)
			for k := len(breaks) - 2; k >= 0; k-- {
				breaks = append(breaks, 1-breaks[k])
			}
			for k := 1; k < len(breaks); k++ {
				sum += quad.Fixed(g, breaks[k-1], breaks[k], 32, nil, 0)
			}
		}
		return sum
	}
}

// All ways of finding a law, with sums for which each is meant.
func TestWaysAgainstQuadrature(t *testing.T) {
	phi := distuv.UnitNormal.CDF
	student := func(a, nu float64) distuv.StudentsT { return distuv.StudentsT{Sigma: a, Nu: nu} }
	uniform := func(a float64) func(p float64) float64 { return func(p float64) float64 { return a * (2*p - 1) } }
	sine := func(a float64) func(p float64) float64 {
		return func(p float64) float64 { return -a * math.Cos(math.Pi*p) }
	}
	arc := func(a float64) quadrature {
		return func(z float64) float64 { return 0.5 + math.Asin(max(-1, min(1, z/a)))/math.Pi }
	}
	normal := func(u float64) quadrature { return func(z float64) float64 { return phi(z / u) } }
	cauchy := func(a float64) quadrature { return func(z float64) float64 { return 0.5 + math.Atan(z/a)/math.Pi } }
	for _, c := range []struct {
		name  string
		terms []Term
		way   string
		at    []float64
		cdf   func(z float64) quadrature // at a place, which the panels may depend on
	}{
		{"arcsine alone", []Term{Arcsine(2)}, "*sumlaw.Term", []float64{-1.99, -0.3, 1.2, 3}, func(float64) quadrature { return arc(2) }},
		{"rectangle and normal", []Term{Rectangles(1, 0), Normal(0.01)}, "*sumlaw.closed", []float64{-1.02, -0.99, 0.4, 1}, func(z float64) quadrature {
			p := max(0, min(1, (z+1)/2))
			return normal(0.01).plus(uniform(1), max(0, p-0.05), p, min(1, p+0.05))
		}},
		{"trapezoid and normal", []Term{Rectangles(1, 0.3), Normal(0.1)}, "*sumlaw.closed", []float64{-1.5, -0.6, 0.1, 1.1}, func(float64) quadrature {
			return normal(0.1).plus(uniform(1)).plus(uniform(0.3))
		}},
		{"rectangles of all widths and normal", []Term{Rectangles(1.1, 0), Rectangles(0.025, 0), Rectangles(0.0004, 0), Rectangles(1e-6, 0), Normal(0.006)}, "*sumlaw.closed", []float64{-1.15, -1.1, -1.08, 0.4, 1.12}, func(z float64) quadrature {
			return func(z float64) float64 { // the wide one is integrated already
				g := func(x float64) float64 { return x*phi(x/0.006) + 0.006*distuv.UnitNormal.Prob(x/0.006) }
				f := quadrature(func(z float64) float64 { return (g(z+1.1) - g(z-1.1)) / 2.2 })
				return f.plus(uniform(0.025)).plus(uniform(0.0004))(z)
			}
		}},
		{"narrow rectangle and normal", []Term{Rectangles(0.069, 0), Normal(1)}, "*sumlaw.closed", []float64{-3, -1.8, -0.7, 0.4, 1.12}, func(z float64) quadrature {
			return normal(1).plus(uniform(0.069))
		}},
		{"wide rectangle, narrow t and rectangle", []Term{Rectangles(1, 0), StudentT(1e-5, 5), Rectangles(2e-5, 0)}, "*sumlaw.peeled", []float64{-1.00001, -0.99998, 0.2, 0.99999}, func(z float64) quadrature {
			s := student(1e-5, 5)
			return func(z float64) float64 { // both in closed form but one integral over the t-term
				g := func(x float64) float64 { v := max(0, x+2e-5); w := max(0, x-2e-5); return (v*v - w*w) / 8e-5 }
				f := func(x float64) float64 { return s.Prob(x) * (g(z-x+1) - g(z-x-1)) / 2 }
				sum := 0.0
				for _, b := range [][]float64{{-1e-1, -1e-2, -1e-3, -3e-4, -1e-4, -5e-5}, {-5e-5, -4e-5, -3e-5, -2e-5, -1e-5, 0, 1e-5, 2e-5, 3e-5, 4e-5, 5e-5}, {5e-5, 1e-4, 3e-4, 1e-3, 1e-2, 1e-1}} {
					sum += over(f, b...)
				}
				return sum
			}
		}},
		{"a wide rectangle and two very narrow ones", []Term{Rectangles(0.2, 0), Rectangles(2e-10, 0), Rectangles(1e-10, 0)}, "*sumlaw.peeled", []float64{-0.2, -0.1999999, -0.1, 0.05, 0.2}, func(z float64) quadrature {
			return func(z float64) float64 { return max(0, min(1, (z+0.2)/0.4)) } // but for 2e-10
		}},
		{"two wide rectangles, narrow ones", []Term{Rectangles(1, 0.7), Rectangles(1e-6, 0), Rectangles(1e-6, 0), Rectangles(1e-6, 0)}, "*sumlaw.peeled", []float64{-1.5, -0.30000003, 0.1, 1.2}, func(z float64) quadrature {
			return func(z float64) float64 { // the narrow ones matter to 1e-12 only
				h := func(x float64) float64 { x = max(0, x); return x * x / 2 }
				return (h(z+1.7) - h(z+0.3) - h(z-0.3) + h(z-1.7)) / 2.8
			}
		}},
		{"arcsine and a narrow normal", []Term{Arcsine(1), Normal(1e-6)}, "*sumlaw.mixed", []float64{-1, -0.9999995, -0.5, 0.9}, func(z float64) quadrature {
			low, high := math.Acos(-max(-1, min(1, z-1e-5)))/math.Pi, math.Acos(-max(-1, min(1, z+1e-5)))/math.Pi
			return normal(1e-6).plus(sine(1), low, high)
		}},
		{"arcsine and rectangle", []Term{Arcsine(1), Rectangles(0.3, 0)}, "*sumlaw.mixed", []float64{-1.25, -0.7, -0.69, 0.2, 1.1}, func(z float64) quadrature {
			return func(z float64) float64 { // the integral of the distribution function of the arcsine
				g := func(x float64) float64 {
					if x > 1 {
						return x
					}
					x = max(-1, x)
					return x/2 + (x*math.Asin(x)+math.Sqrt(1-x*x))/math.Pi
				}
				return (g(z+0.3) - g(z-0.3)) / 0.6
			}
		}},
		{"two arcsines", []Term{Arcsine(1), Arcsine(0.5)}, "*sumlaw.mixed", []float64{-1.45, -0.6, 0.45, 1}, func(z float64) quadrature {
			p := math.Acos(-max(-1, min(1, z-0.5))) / math.Pi
			q := math.Acos(-max(-1, min(1, z+0.5))) / math.Pi
			return arc(0.5).plus(sine(1), p, q)
		}},
		{"rectangle of random width and a narrow normal", []Term{RandomWidth(1, 0.5), Normal(0.001)}, "*sumlaw.lattice", []float64{-1.49, -0.7, -0.5, 0.2, 1.1}, func(float64) quadrature {
			return func(z float64) float64 { // over the half-width the rectangle is integrated already
				g := func(x float64) float64 { return x*phi(x/0.001) + 0.001*distuv.UnitNormal.Prob(x/0.001) }
				f := func(w float64) float64 { return (g(z+w) - g(z-w)) / (2 * w) }
				m := max(0.5, min(1.5, math.Abs(z)))
				return over(f, 0.5, max(0.5, m-0.01), m, min(1.5, m+0.01), 1.5)
			}
		}},
		{"two readings and a normal term", []Term{StudentT(1, 1), Normal(0.5)}, "*sumlaw.lattice", []float64{-1e5, -800, -12, -1, 0.2, 3, 63, 1e4}, func(float64) quadrature {
			return func(z float64) float64 {
				return over(func(x float64) float64 { return distuv.UnitNormal.Prob(x) * cauchy(1)(z-0.5*x) }, -9, -4, 0, 4, 9)
			}
		}},
		{"three readings, rectangle and certificate", []Term{StudentT(1, 2), Rectangles(2, 0), Normal(0.3)}, "*sumlaw.lattice", []float64{-5000, -300, -40, -2, 0.1, 4.3, 100, 2000}, func(float64) quadrature {
			return func(z float64) float64 {
				inner := func(x float64) float64 { // t of two degrees of freedom and the rectangle
					g := func(y float64) float64 { return y/2 + math.Sqrt(2+y*y)/2 }
					return (g(x+2) - g(x-2)) / 4
				}
				return over(func(x float64) float64 { return distuv.UnitNormal.Prob(x) * inner(z-0.3*x) }, -9, -4, 0, 4, 9)
			}
		}},
		{"two pairs of readings", []Term{StudentT(1, 1), StudentT(0.25, 1), Normal(1e-3)}, "", []float64{-900, -12, -1, 0.2, 3, 63, 1e4}, func(float64) quadrature {
			return func(z float64) float64 { // the normal term matters to 1e-7 of its width only
				return over(func(x float64) float64 { return distuv.UnitNormal.Prob(x) * cauchy(1.25)(z-1e-3*x) }, -9, -4, 0, 4, 9)
			}
		}},
		{"t, 3 and 5 degrees of freedom", []Term{StudentT(1, 3), StudentT(0.7, 5)}, "*sumlaw.lattice", []float64{-200, -30, -4, -1, 0.3, 2, 9, 80}, func(float64) quadrature {
			return func(z float64) float64 { return product(z, 3, 1, 5, 0.7) }
		}},
	} {
		l, ok := New(c.terms...)
		if !ok {
			t.Errorf("%s: no law", c.name)
			continue
		}
		if way := fmt.Sprintf("%T", l.shape); c.way != "" && way != c.way {
			t.Errorf("%s: %s; want %s", c.name, way, c.way)
		}
		for _, z := range c.at {
			got, want := l.CDF(z), c.cdf(z)(z)
			if !(math.Abs(got-want) <= exact) {
				t.Errorf("%s (%T): CDF(%v) = %v; want %v, off by %.2g", c.name, l.shape, z, got, want, got-want)
			}
			if p := want; p > 1e-7 && p < 1-1e-7 {
				if back := l.CDF(l.Quantile(p)); math.Abs(back-p) > exact {
					t.Errorf("%s: quantile %v has probability %v", c.name, p, back)
				}
			}
		}
	}
}

// Three arcsines and nothing else, by integration over one of them of the law of two: 1e-9 but
// next to the corners at ±1 and ±3.
func TestThreeArcsines(t *testing.T) {
	two, _ := New(Arcsine(1), Arcsine(1))
	three, ok := New(Arcsine(1), Arcsine(1), Arcsine(1))
	if !ok {
		t.Fatal("no law")
	}
	for _, z := range []float64{-3, -2.9, -1.3, -1, -0.4, 0.2, 2} {
		p := math.Acos(max(-1, min(1, -z))) / math.Pi // where the law of two has a pole, and its ends
		q := math.Acos(max(-1, min(1, -z-2))) / math.Pi
		r := math.Acos(max(-1, min(1, 2-z))) / math.Pi
		places := []float64{min(p, q, r), p, max(p, q, r)}
		want := quadrature(two.CDF).plus(func(p float64) float64 { return -math.Cos(math.Pi * p) }, places...)(z)
		allowed := exact
		if z == -1 || z == -3 {
			allowed = 3e-8
		}
		if got := three.CDF(z); math.Abs(got-want) > allowed {
			t.Errorf("CDF(%v) = %v; want %v, off by %.2g", z, got, want, got-want)
		}
	}
}

// product inverts the product of two characteristic functions of t-terms of odd degrees of freedom, which are
// polynomials times exponentials, by the integral of Gil-Pelaez.
func product(z, nu1, a, nu2, b float64) float64 {
	phi := func(nu, x float64) float64 {
		s := math.Sqrt(nu) * x
		if nu == 3 {
			return (1 + s) * math.Exp(-s)
		}
		return (1 + s + s*s/3) * math.Exp(-s)
	}
	f := func(x float64) float64 {
		return imag(cmplx.Exp(complex(0, -x*z))) * phi(nu1, a*x) * phi(nu2, b*x) / x
	}
	var breaks []float64
	width := min(0.5, 10/math.Abs(z))
	for x := 1e-300; x < 25; x += width {
		breaks = append(breaks, x)
	}
	return 0.5 - over(f, breaks...)/math.Pi
}
