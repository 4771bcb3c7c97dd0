// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/internal/sumlaw"
	"example.com/ohmwright/uncertainty/unit"
)

// Trapezoidal returns the symmetric trapezoidal distribution on x ± a, a ≥ 0, with a
// flat top on x ± beta·a, 0 ≤ beta ≤ 1: u = a·√((1 + beta²)/6) (JCGM 101 6.4.4, GUM
// 4.3.9). It is the law of the sum of two rectangles. beta = 0 is the triangle,
// beta = 1 the rectangle.
func Trapezoidal(x, a, beta float64) Distribution {
	err := firstRefusal("Trapezoidal", width("half-width", a), number("estimate", x),
		share("beta", beta, "the width of the top over that of the base, 0 to 1"))
	// The sum of rectangles of half-widths a(1 ± beta)/2 has the variance a²(1 + beta²)/6.
	u := a * math.Sqrt((1+float64(beta*beta))/6)
	return law{kind: trapezoidal, x: x, a: a, b: beta, u: u, dof: math.Inf(1), cause: err}
}

// CurvilinearTrapezoidal returns the distribution of a rectangle on x ± a whose
// limits are themselves known to ± d only, 0 ≤ d ≤ a: u = √(a²/3 + d²/9)
// (JCGM 101 6.4.3). The limits move so that x stays in the middle; the support is
// x ± (a + d). d = 0 is the rectangle.
func CurvilinearTrapezoidal(x, a, d float64) Distribution {
	err := firstRefusal("CurvilinearTrapezoidal", width("half-width", a),
		width("inexactness of the limits", d), number("estimate", x))
	// Limits that reach beyond each other would be no limits.
	if err == nil && d > a {
		err = &Error{Op: "uncertainty.CurvilinearTrapezoidal", Value: d,
			Err: unit.Errorf(ErrDomain, "inexactness of the limits is %v; expected at most the "+
				"half-width %v", d, a)}
	}
	u := math.Sqrt(float64(a*a)/3 + float64(d*d)/9)
	return law{kind: curvilinear, x: x, a: a, b: d, u: u, dof: math.Inf(1), cause: err}
}

// share refuses what is not a part of 1.
func share(what string, v float64, meaning string) error {
	if !(v >= 0 && v <= 1) {
		return &Error{Value: v, Err: unit.Errorf(ErrDomain, "%s is %v; expected %s", what, v,
			meaning)}
	}
	return nil
}

// edge is the quantile of a trapezoid about 0 with half-width 1.
func (l law) edge(p float64) float64 {
	// The upper half is the lower one mirrored.
	if p >= 0.5 {
		if p == 0.5 {
			return 0
		}
		return -l.edge(1 - p)
	}
	if l.kind == trapezoidal {
		return -slopedSide(p, l.b)
	}
	// Fixed limits: a rectangle.
	if l.b == 0 {
		return 2*p - 1
	}
	return -l.curvedSide(p)
}

// slopedSide returns the s ≥ 0 with tail probability p ≤ 1/2 beyond it. The density
// is 1/(1+beta) on the top.
func slopedSide(p, beta float64) float64 {
	// The slopes are parabolas in the distribution function, the top is a straight line.
	if p < (1-beta)/(2*(1+beta)) {
		return 1 - math.Sqrt(2*p*float64((1-beta)*(1+beta)))
	}
	return (0.5 - p) * (1 + beta)
}

// curvedSide is slopedSide for the curvilinear trapezoid. With M = 1 + d the tail
// beyond s, d in units of a, is
//
//	(M − s − s·ln(M/s))/(4d)   for s ≥ 1 − d
//
// and the density below is constant. Newton's iteration: the tail is convex in s, so
// that it converges from the left.
func (l law) curvedSide(p float64) float64 {
	d := l.b / l.a
	m := 1 + d
	inner := 1 - d
	atInner := sumlaw.RandomWidthTail(inner, d)
	// On the top the density is constant: linear between the middle and the edge of the top.
	if p >= atInner {
		return (0.5 - p) * inner / (0.5 - atInner)
	}
	s := inner
	// ln(M/s) needs s above 0; d = a makes the top vanish.
	if s == 0 {
		s = 1e-3 * m
	}
	for range 100 {
		// The derivative of the tail by s is −ln(M/s)/(4d).
		next := s + (sumlaw.RandomWidthTail(s, d)-p)*4*d/elementary.Log(m/s)
		next = max(s/2, min(next, m-(m-s)/16)) // stay inside
		if math.Abs(next-s) <= 1e-16*m {
			break
		}
		s = next
	}
	return s
}

// flatness is the excess kurtosis of both trapezoids: a sum of two rectangles, and a
// rectangle of random width.
func (l law) flatness() float64 {
	if l.kind == trapezoidal {
		p, q := float64((1+l.b)*(1+l.b)), float64((1-l.b)*(1-l.b))
		// Fourth moments of two independent rectangles, with the halves of the width p and q.
		return -1.2 * (float64(p*p) + float64(q*q)) / float64((p+q)*(p+q))
	}
	w, d := float64(l.a*l.a), float64(l.b*l.b)
	// E(W²)/3 and E(W⁴)/5 of a rectangle of half-width W, which is uniform on a ± d.
	second := (w + d/3) / 3
	fourth := (float64(w*w) + 2*float64(w*d) + float64(d*d)/5) / 5
	return fourth/float64(second*second) - 3
}
