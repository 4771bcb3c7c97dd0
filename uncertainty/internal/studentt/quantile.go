// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package studentt

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
)

// Quantile returns the t with Pr(T ≤ t) = p for a probability p in (0, 1) and nu degrees
// of freedom in (0, +Inf], the normal distribution. It is infinite where float64 has no
// number.
func Quantile(p, nu float64) float64 {
	if p < 0.5 {
		return -Upper(p, 0.5-p, nu)
	}
	return Upper(1-p, p-0.5, nu)
}

// Factor returns the two-sided factor, the k with Pr(−k < T < k) = p, for p in (0, 1)
// and nu in (0, +Inf]. It is infinite where float64 has no number.
func Factor(p, nu float64) float64 { return Upper((1-p)/2, p/2, nu) }

// ExpansionFrom is the number of degrees of freedom above which [CornishFisher] may
// serve.
const ExpansionFrom = 1000

const (
	// The expansion in 1/nu is used for nu above ExpansionFrom and z²/nu below this
	// number: its fifth term, about 7e-5 (z²/nu)^5 of t, is then far under 1e-15.
	expansionRatio = 0.005
	// A step of this size is followed by an error of its cube.
	lastStep = 1e-6
	maxSteps = 50
)

// Upper returns the t ≥ 0 with upper tail q and probability d between 0 and
// t, q + d = 1/2.
func Upper(q, d, nu float64) float64 {
	// The centre: the quantile is 0 whatever nu is.
	if d == 0 {
		return 0
	}
	z := normalUpper(q, d)
	if nu > ExpansionFrom && z*z < expansionRatio*nu {
		return CornishFisher(z, nu)
	}
	// The density at the centre serves the start and every step.
	s := newDensity(nu)
	t, done := s.start(z, q, d)
	for range maxSteps {
		if done || t == 0 || math.IsInf(t, 1) {
			break
		}
		h := s.step(t, q, d)
		// A step changes ln t; four units of it are a factor of 55, in case a start was poor.
		t *= elementary.Exp(min(max(h, -4), 4))
		done = math.Abs(h) < lastStep
	}
	return t
}

// normalUpper is the limit of Upper for infinite nu.
func normalUpper(q, d float64) float64 {
	return elementary.NormalUpper(q, d)
}

// CornishFisher is the expansion of the t quantile about the normal one, z, in powers of
// 1/nu (Handbook of Mathematical Functions, National Bureau of Standards, 1964,
// 26.7.5).
func CornishFisher(z, nu float64) float64 {
	x := float64(z * z)
	g1 := (x + 1) / 4
	g2 := (float64((float64(5*x)+16)*x) + 3) / 96
	g3 := (float64((float64((float64(3*x)+19)*x)+17)*x) - 15) / 384
	g4 := (float64((float64((float64((float64(79*x)+776)*x)+1482)*x)-1920)*x) - 945) / 92160
	r := 1 / nu
	return z + float64(z*r*(g1+float64(r*(g2+float64(r*(g3+float64(r*g4)))))))
}

// density is that of the distribution: its degrees of freedom with their square root,
// and its value at the centre.
type density struct {
	nu, root, centre float64
}

// newDensity takes the density at the centre,
//
//	Γ((nu+1)/2) / (Γ(nu/2) √(π nu)),
//
// from the asymptotic series of ln Γ(x+1/2) - ln Γ(x) at x ≥ 10, reached by the
// recurrence of Γ: the difference of two logarithms would lose digits for large nu.
func newDensity(nu float64) density {
	x, ratio := nu/2, 1.0
	for x < 10 {
		ratio *= x / (x + 0.5)
		x++
	}
	r := 1 / x
	y := r * r
	// (-1)^(k+1) (B_(k+1)(1/2) - B_(k+1)) / (k(k+1)) for odd k from 13 down to 1; the
	// next term is 6e-17 at x = 10.
	series := -5461.0 / 425984
	for _, c := range [...]float64{691.0 / 180224, -31.0 / 18432, 17.0 / 14336, -1.0 / 640,
		1.0 / 192, -1.0 / 8} {
		series = float64(series*y) + c
	}
	gamma := ratio * elementary.Exp(series*r) // Γ(nu/2+1/2) / (Γ(nu/2) √x)
	return density{nu, math.Sqrt(nu), gamma * math.Sqrt(x/nu/math.Pi)}
}

// start returns a first t, and whether it is the last too.
func (s density) start(z, q, d float64) (t float64, done bool) {
	// t = y + (1+1/nu) y³/6 + O(((1+1/nu) y²)²) y, y = d/centre.
	y := d / s.centre
	if c := y * y * (1 + 1/s.nu); c < 0.1 {
		return y + float64(y*c/6), c < 1e-9
	}
	// The tail of heavy-tailed distributions is q = centre/√nu (nu/t²)^(nu/2).
	if s.nu < 40 {
		switch u := elementary.Pow(s.centre/(s.root*q), 1/s.nu); {
		case u > 1e9:
			return s.root * u, true
		case u > 3:
			return s.root * math.Sqrt(float64(u*u)-1), false
		}
	}
	// The normal deviate of t is about (8 nu+1)/(8 nu+3) √(nu ln(1+t²/nu)) (Annals of
	// Mathematical Statistics 30, 1959, 1121: bounds on normal approximations).
	w := z * (float64(8*s.nu) + 3) / (float64(8*s.nu) + 1)
	return s.root * math.Sqrt(elementary.Expm1(w*w/s.nu)), false
}

// step returns the change of ln t by one Halley step on the logarithm of the upper
// tail or, nearer to the centre, of the probability between 0 and t.
func (s density) step(t, q, d float64) float64 {
	u := t / s.root
	y := float64(u * u)
	g, upper := s.factor(y)
	lnF := elementary.Log(s.centre*t*g) - float64((s.nu+1)/2*elementary.Log1p(y)) // ln(g t f(t))
	curve := 1 - float64((s.nu+1)*y/(1+y))
	if upper {
		h := (lnF - elementary.Log(q)) * g
		return h / max(0.5, 1+float64(h*(curve+1/g)/2))
	}
	h := (elementary.Log(d) - lnF) * g
	return h / max(0.5, 1+float64(h*(curve-1/g)/2))
}

// factor returns the g for which g t f(t), with y = t²/nu and the density f(t), is
// either the probability above t or that between 0 and t. The series for the second
// is taken while it is short and the tail not yet small against it (t² < 6 for large
// nu): its digits serve the tail too.
func (s density) factor(y float64) (g float64, upper bool) {
	if x := y / (1 + y); x < 3/(s.nu/2+5) {
		return centralSeries((s.nu+1)/2, x), false
	}
	return tailFraction(s.nu/2, 1/(1+y)) / s.nu, true
}

// centralSeries is the hypergeometric 2F1(1, a; 3/2; x) for 0 ≤ x < 1, all of whose
// terms are positive. Times t and the density it is the probability between 0 and t,
// with a = (nu+1)/2 and x = t²/(nu+t²) (Handbook of Mathematical Functions, 26.5.4).
func centralSeries(a, x float64) float64 {
	sum, term := 1.0, 1.0
	for n := 0.0; n < 1000; n++ {
		term = float64(term * ((a + n) / (1.5 + n) * x))
		sum += term
		if term < 1e-17*sum {
			break
		}
	}
	return sum
}

// tailFraction is the continued fraction of the incomplete beta function I(z; a, 1/2)
// (Handbook of Mathematical Functions, 26.5.8), evaluated forward by the method of
// Lentz. Times t/nu and the density it is the probability above t, with a = nu/2 and
// z = nu/(nu+t²).
func tailFraction(a, z float64) float64 {
	c, d := 1.0, 1/(1-float64((a+0.5)/(a+1)*z))
	f := d
	for m := 1.0; m < 2000; m++ {
		// Even and odd coefficients of 26.5.8, two at a time.
		even := m * (0.5 - m) * z / ((a + 2*m - 1) * (a + 2*m))
		d = 1 / (1 + float64(even*d))
		c = 1 + even/c
		f *= d * c
		odd := -(a + m) * (a + 0.5 + m) * z / ((a + 2*m) * (a + 2*m + 1))
		d = 1 / (1 + float64(odd*d))
		c = 1 + odd/c
		f *= d * c
		if math.Abs(float64(d*c)-1) < 3e-16 {
			break
		}
	}
	return f
}

// UpperTail returns Pr(T > t) for nu degrees of freedom in (0, +Inf] and finite t.
func UpperTail(t, nu float64) float64 {
	switch {
	case t < 0:
		return 1 - UpperTail(-t, nu)
	case t == 0:
		return 0.5
	case math.IsInf(nu, 1):
		return elementary.NormalCDF(-t)
	}
	s := newDensity(nu)
	u := t / s.root
	y := float64(u * u)
	// The tail itself where it is small, else the part between 0 and t.
	g, upper := s.factor(y)
	p := float64(float64(s.centre*t*g) * elementary.Exp(-float64((nu+1)/2*elementary.Log1p(y))))
	if upper {
		return p
	}
	return 0.5 - p
}
