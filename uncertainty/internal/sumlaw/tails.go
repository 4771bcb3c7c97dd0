// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"math"

	"example.com/ohmwright/uncertainty/internal/studentt"
)

// A period that leaves out 1e-10 of a t-term of few degrees of freedom is thousands to millions
// of times as wide as the term. But so far out the sum has the tails of its t-terms, one large
// value at a time (W. Feller, An Introduction to Probability Theory and Its Applications II,
// 1971, VIII.8), and what they leave out can be put back. The period need hold only what two
// terms do together.
type tails struct {
	terms []Term  // t-terms of few degrees of freedom
	mean  float64 // of all the other terms
	other float64 // their variance, or what bounds it
}

// mostHeavy is the number of degrees of freedom from which the tails are left to the period.
const mostHeavy = 8

// tailsOf returns the tails of a sum; it is false where nothing needs them. For other terms the
// variance matters, for normal and bounded ones the proxy, which is no smaller.
func tailsOf(parts []part) (t tails, ok bool) {
	for _, e := range parts {
		switch {
		case e.kind == student && e.b < mostHeavy:
			t.terms = append(t.terms, e.Term)
		case e.kind == student:
			// The variance of a t-term is a²·ν/(ν − 2); eight degrees of freedom have one.
			u := e.a * math.Sqrt(e.b/(e.b-2))
			t.other += float64(u * u)
		case e.kind == known:
			t.mean += e.mean
			t.other += e.variance
		default:
			t.other += e.proxy
		}
	}
	return t, len(t.terms) > 0
}

// beyond is the probability above x from the mean, far out, as it is below −x.
func (t tails) beyond(x float64) float64 {
	sum := 0.0
	for _, e := range t.terms {
		sum += studentt.UpperTail(x/e.a, e.b)
	}
	return sum
}

// quantile is where the probability below is p, far out, from the mean. The answer lies between
// the quantiles of one term alone at p and of the widest of n terms at p/2n.
func (t tails) quantile(p float64) float64 {
	low, high := 0.0, 0.0
	for _, e := range t.terms { // one term alone reaches less far than all of them together
		low = min(low, e.quantile(p/float64(2*len(t.terms))))
		high = min(high, e.quantile(p))
	}
	return solve(func(z float64) float64 { return t.beyond(-z) - p }, low, high)
}

// missed is about what beyond is wrong by: each tail moved by all other terms, to second
// order, and two large values at a time.
func (t tails) missed(x float64) float64 {
	middle := 0.0 // variance of all terms within ±x
	within := make([]float64, len(t.terms))
	for i, e := range t.terms {
		within[i] = e.squareWithin(x)
		middle += within[i]
	}
	middle += t.other
	// Moved towards the middle by three standard deviations of the others, a power is steepest.
	near := x - float64(3*math.Sqrt(middle))
	if !(near > x/2) {
		return 1
	}
	sum := 0.0
	for i, e := range t.terms {
		bend := e.b * (e.b + 1) / 2 // half of the second derivative of a power
		sum += studentt.UpperTail(near/e.a, e.b) * bend * (middle - within[i]) / float64(near*near)
		for _, f := range t.terms[:i] {
			// Two values beyond x/2 each, of one sign: the pair is counted by no single tail.
			both := studentt.UpperTail(x/2/e.a, e.b) * studentt.UpperTail(x/2/f.a, f.b)
			sum += float64(2 * both)
		}
	}
	return sum
}

// squareWithin bounds the mean square of a t-term within ±x: 2·∫ 2y·P(T > y) dy by octaves.
func (t *Term) squareWithin(x float64) float64 {
	sum, low := 0.0, 0.0
	for high := t.a / 2; low < x; low, high = high, 2*high {
		high = min(high, x)
		upper := studentt.UpperTail(low/t.a, t.b)
		sum += float64(2 * upper * float64((high-low)*(high+low)))
	}
	return sum
}

// half is the half-width of a period that needs the tails put back, and holds what is given at
// least.
func (t tails) half(least float64) float64 {
	// Well below the 1e-9 that the law may be wrong by.
	const allowed = 3e-11
	for _, e := range t.terms {
		least = max(least, e.a) // so far out at least
	}
	low, high := least, least
	// Doubled, then halved in logarithms to 2 %: a period longer than needed costs frequencies
	// only.
	for t.missed(high) > allowed {
		low, high = high, 2*high
		if math.IsInf(high, 1) {
			return high
		}
	}
	for high > 1.02*low {
		middle := math.Sqrt(low) * math.Sqrt(high)
		if t.missed(middle) > allowed {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

const (
	tailCells  = 48 // on each side, where the correction is interpolated
	alternated = 16 // periods
)

// correct puts back into a lattice of the given half-width what lies beyond its period P, twice
// that: a value of the sum between P and 2P above z counts as if it were below, one between 2P
// and 3P rightly again, and so on (see the square wave at [spectrum]). With B for beyond, the
// lattice lacks
//
//	Σ (−1)^(i+1)·(B(iP − z) − B(iP + z)), i = 1, 2, …
//
// The correction is smooth on the scale of the period: it is computed at 105 places and
// interpolated.
func (t tails) correct(l *lattice, half float64) {
	coarse := &lattice{step: half / tailCells, values: make([]float64, 2*(tailCells+4)+1)}
	middle := len(coarse.values) / 2
	off := t.mean - l.centre
	for k := range coarse.values {
		z := float64(float64(k-middle)*coarse.step) - off
		var partial [alternated]float64
		sum, sign := 0.0, 1.0
		for i := range partial {
			period := float64(2 * half * float64(i+1))
			sum += float64(sign * (t.beyond(period-z) - t.beyond(period+z)))
			partial[i], sign = sum, -sign
		}
		// Means of neighbours, again and again, make an alternating sum converge (Euler's
		// transformation; Handbook of Mathematical Functions, 1964, 3.6.27).
		for n := alternated - 1; n > 0; n-- {
			for i := range n {
				partial[i] = (partial[i] + partial[i+1]) / 2
			}
		}
		coarse.values[k] = partial[0]
	}
	n := len(l.values)
	for j := range l.values {
		k, s := coarse.place(float64(float64(j-n/2) * l.step))
		l.values[j] += coarse.between(k, s)
	}
}
