// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"cmp"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/elementary"
)

// A Law is the distribution of a sum.
type Law struct {
	shape
	symmetric bool    // about 0
	reach     float64 // of all terms together where that is so, else infinite
	mean      float64 // of the known terms that were asked for theirs
	variance  float64
}

// shape is a distribution function.
type shape interface {
	cdf(z float64) float64
	ends() (low, high float64) // beyond which it is 0 and 1, or as good as that
}

// New returns the law of the sum of the terms. It is false where the law cannot be told to
// 1e-9, and for no terms. Three arcsines or more and nothing else are told to 3e-8, and to 1e-9
// but next to the corners of their law.
func New(terms ...Term) (*Law, bool) {
	terms = merged(terms)
	l := &Law{symmetric: true}
	for _, t := range terms {
		if t.kind == known {
			l.symmetric, l.reach = false, math.Inf(1)
			break
		}
		l.reach += t.reach()
	}
	ok := l.find(terms)
	return l, ok
}

// find looks for the cheapest way to tell the law.
func (l *Law) find(terms []Term) bool {
	switch {
	case len(terms) == 0:
		return false
	case len(terms) == 1 && terms[0].kind != known:
		l.shape = &terms[0]
		return true
	}
	pieces, sigma, others := sorted(terms)
	if others == 0 {
		if f, ok := newClosed(pieces, sigma); ok {
			l.shape = f
			return true
		}
		for count := 1; count <= min(2, len(pieces)-1); count++ {
			if f, ok := newClosed(pieces[count:], sigma); ok {
				wide, _ := newPeeled(nil, pieces, count)
				wide.over(f)
				l.shape = wide
				return true
			}
		}
	}
	whole := newSpectrum(terms, true)
	n := whole.foreseen()
	// A wide rectangle beside what is narrow asks for many frequencies; without it there are
	// few, and what it does can be integrated.
	for count := 1; count <= min(2, len(pieces)) && n > plenty; count++ {
		wide, rest := newPeeled(terms, pieces, count)
		if base := newSpectrum(rest, false); len(rest) > 0 && base.foreseen() <= n/4 {
			if f, ok := base.lattice(l); ok {
				wide.over(f.twice())
				l.shape = wide
				return true
			}
		}
	}
	// With poles or corners in a wide term a lattice becomes long; by itself the term costs
	// nothing before, but more for each value.
	if n > 16*plenty && l.mix(terms) {
		return true
	}
	if n > most {
		whole.left *= 100 // the sum of nothing but three arcsines or more falls so far
	}
	if whole.foreseen() <= most {
		if f, ok := whole.lattice(l); ok {
			l.shape = f
			return true
		}
	}
	return false
}

// mix takes a wide term with poles or corners by itself. What is left must be found without
// doing that again, which would cost too much.
func (l *Law) mix(terms []Term) bool {
	widest := -1
	for i, t := range terms {
		if (t.kind == arcsine || t.kind == widened) && (widest < 0 || t.a > terms[widest].a) {
			widest = i
		}
	}
	if widest < 0 || !l.symmetric {
		return false
	}
	var rest Law
	wide := terms[widest]
	left := slices.Delete(slices.Clone(terms), widest, widest+1)
	if !rest.find(left) {
		return false
	}
	if _, again := rest.shape.(*mixed); again {
		return false
	}
	l.shape = &mixed{&wide, rest.shape}
	return true
}

// sorted divides the terms into rectangles, widest first, normal ones, of which it returns the
// standard deviation, and others, which it counts.
func sorted(terms []Term) (pieces []float64, sigma float64, others int) {
	for _, t := range terms {
		switch t.kind {
		case normal:
			sigma = elementary.Hypot(sigma, t.a)
		case rectangles:
			pieces = append(pieces, t.a)
			if t.b > 0 {
				pieces = append(pieces, t.b)
			}
		default:
			others++
		}
	}
	slices.SortFunc(pieces, func(a, b float64) int { return cmp.Compare(b, a) })
	return pieces, sigma, others
}

// merged leaves out terms that do not vary, and adds up what needs no convolution: normal
// terms, those of one degree of freedom (the sum of two Cauchy variates is one), and two
// rectangles alone.
func merged(terms []Term) []Term {
	var out []Term
	bell, cauchy := -1, -1 // places in out
	for _, t := range terms {
		single := t.kind == student && t.b == 1
		switch {
		case t.kind != known && !(t.a > 0):
			continue
		case t.kind == normal && bell >= 0:
			out[bell].a = elementary.Hypot(out[bell].a, t.a)
			continue
		case single && cauchy >= 0:
			out[cauchy].a += t.a
			continue
		case t.kind == normal:
			bell = len(out)
		case single:
			cauchy = len(out)
		}
		out = append(out, t)
	}
	if len(out) == 2 && out[0].kind == rectangles && out[1].kind == rectangles && out[0].b == 0 &&
		out[1].b == 0 {
		return []Term{Rectangles(out[0].a, out[1].a)}
	}
	return out
}

// CDF returns the probability of a sum up to z.
func (l *Law) CDF(z float64) float64 {
	switch {
	case math.IsNaN(z):
		return z
	case z <= -l.reach: // infinite too
		return 0
	case z >= l.reach:
		return 1
	}
	return l.cdf(z)
}

// Survival returns the probability of a sum above z. Small ones keep their digits where all
// terms are symmetric.
func (l *Law) Survival(z float64) float64 {
	if l.symmetric {
		return l.CDF(-z)
	}
	return 1 - l.CDF(z)
}

// Quantile returns the value below which the sum lies with probability p, 0 < p < 1.
func (l *Law) Quantile(p float64) float64 {
	if f, ok := l.shape.(interface{ quantile(p float64) float64 }); ok {
		return max(-l.reach, min(l.reach, f.quantile(p)))
	}
	if l.symmetric && p > 0.5 {
		return -l.Quantile(1 - p)
	}
	low, high := l.ends()
	if l.symmetric {
		low, high = max(low, -l.reach), 0
	}
	return solve(func(z float64) float64 { return l.cdf(z) - p }, low, high)
}

// solve finds the zero of a function that rises between two values.
func solve(f func(z float64) float64, low, high float64) float64 {
	flow, fhigh := f(low), f(high)
	side := 0
	for range 200 {
		if !(high-low > 4e-16*max(math.Abs(low), math.Abs(high))) || flow >= 0 || fhigh <= 0 {
			break
		}
		// Regula falsi that halves an end kept twice (M. Dowell and P. Jarratt, BIT 11, 1971,
		// 168), and the middle where that hardly moves.
		z := low + float64((high-low)*(-flow))/(fhigh-flow)
		if !(z > low && z < high) {
			z = low + (high-low)/2
			if !(z > low && z < high) {
				break
			}
		}
		switch v := f(z); {
		case v == 0:
			return z
		case v < 0:
			if low, flow = z, v; side == -1 {
				fhigh /= 2
			}
			side = -1
		default:
			if high, fhigh = z, v; side == 1 {
				flow /= 2
			}
			side = 1
		}
	}
	switch {
	case flow >= 0:
		return low
	case fhigh <= 0:
		return high
	}
	return low + (high-low)/2
}

// Known returns expectation and variance of the terms of [Known] that have moments.
func (l *Law) Known() (mean, variance float64) { return l.mean, l.variance }
