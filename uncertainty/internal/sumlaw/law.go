// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"cmp"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/elementary"
)

// A Law is the distribution of a sum. It does not change once it is found, and may be asked by
// several goroutines at a time.
type Law struct {
	// shape is a distribution function; [closed], [peeled], [lattice], [mixed] and a single
	// [Term] are the shapes. One that has a quantile function of its own is asked for it, the
	// others are solved.
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

// mostPeeled is how many wide rectangles [peeled] takes: a third would need a third integral.
const mostPeeled = 2

// New returns the law of the sum of the terms. It is false where the law cannot be told to
// 1e-9, and for no terms. Three arcsines or more and nothing else are told to 3e-8, and to 1e-9
// but next to the corners of their law.
func New(terms ...Term) (*Law, bool) {
	terms = merged(terms)
	l := &Law{symmetric: true}
	for _, t := range terms {
		// A term known by its quantile function alone may have any shape and any end.
		if t.kind == known {
			l.symmetric, l.reach = false, math.Inf(1)
			break
		}
		l.reach += t.reach()
	}
	ok := l.find(terms)
	return l, ok
}

// find takes the cheapest of the ways that tell the law to 1e-9. They are tried from the
// cheapest onwards:
//
//	one term                           its own closed form
//	rectangles and normal terms        closed, with the widest rectangles peeled off if it cancels
//	a wide rectangle, a short lattice  peeled over the lattice of the rest
//	a wide arcsine or random width     mixed over the law of the rest
//	anything else                      one lattice for all
func (l *Law) find(terms []Term) bool {
	switch {
	case len(terms) == 0:
		return false
	case len(terms) == 1 && terms[0].kind != known:
		l.shape = &terms[0]
		return true
	}
	pieces, sigma, others := sorted(terms)
	if others == 0 && l.findClosed(pieces, sigma) {
		return true
	}
	whole := newSpectrum(terms, true)
	n := whole.foreseen()
	if n > plenty && l.findPeeled(terms, pieces, n) {
		return true
	}
	// With poles or corners in a wide term a lattice becomes long; by itself the term costs
	// nothing before, but more for each value.
	if n > mixedFrom && l.mix(terms) {
		return true
	}
	if n > most {
		// The sum of nothing but three arcsines or more falls so far: |J_0(x)|³ is at most
		// (2/πx)^1.5, which is 3e-8 for three of one width at the last frequency.
		whole.left *= relaxed
	}
	return l.findLattice(whole)
}

// findClosed is for rectangles, widest first, and one normal term. Where the terms of the closed
// form would cancel, one or two rectangles are taken off before: what is left spans less.
func (l *Law) findClosed(pieces []float64, sigma float64) bool {
	if f, ok := newClosed(pieces, sigma); ok {
		l.shape = f
		return true
	}
	for count := 1; count <= min(mostPeeled, len(pieces)-1); count++ {
		if f, ok := newClosed(pieces[count:], sigma); ok {
			wide, _ := newPeeled(nil, pieces, count)
			wide.over(f)
			l.shape = wide
			return true
		}
	}
	return false
}

// findPeeled is for a wide rectangle beside what is narrow: together they ask for n frequencies,
// many; without the rectangle there are few, and what it does can be integrated. The lattice of
// the rest is taken where it is a quarter as long, since integrating it twice costs as much again.
func (l *Law) findPeeled(terms []Term, pieces []float64, n int) bool {
	for count := 1; count <= min(mostPeeled, len(pieces)); count++ {
		wide, rest := newPeeled(terms, pieces, count)
		if base := newSpectrum(rest, false); len(rest) > 0 && base.foreseen() <= n/4 {
			if f, ok := base.lattice(l); ok {
				wide.over(f.twice())
				l.shape = wide
				return true
			}
		}
	}
	return false
}

// findLattice inverts the characteristic function of all terms at once.
func (l *Law) findLattice(whole *spectrum) bool {
	if whole.foreseen() > most {
		return false
	}
	f, ok := whole.lattice(l)
	if ok {
		l.shape = f
	}
	return ok
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
		// Asymmetric terms have no closed cdf and quantile to integrate over.
		return false
	}
	var rest Law
	wide := terms[widest]
	left := slices.Delete(slices.Clone(terms), widest, widest+1)
	// rest.symmetric stays false: the caller alone uses the symmetry, of the whole sum.
	if !rest.find(left) {
		return false
	}
	// Two levels of quadrature would take thousands of values of the innermost law for one of
	// these.
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
				// A trapezoid is the sum of two rectangles, of its two half-widths.
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
		// The t-distribution of one degree of freedom is that of Cauchy.
		single := t.kind == student && t.b == 1
		switch {
		case t.kind != known && !(t.a > 0):
			continue
		// Variances of normal terms add up; so do the scales of Cauchy terms, for φ =
		// exp(−a|t|).
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
	if len(out) == 2 && out[0].isRectangle() && out[1].isRectangle() {
		return []Term{Rectangles(out[0].a, out[1].a)}
	}
	return out
}

// isRectangle reports whether the term is one rectangle: b, the second half-width, is 0.
func (t *Term) isRectangle() bool { return t.kind == rectangles && t.b == 0 }

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
	// The shapes need not be 0 and 1 beyond the ends to the last digit, so the ends are known
	// here.
	return l.cdf(z)
}

// Survival returns the probability of a sum above z. Small ones keep their digits where all
// terms are symmetric.
func (l *Law) Survival(z float64) float64 {
	// 1 − F would leave of 1e-12 four digits; F(−z) has them all.
	if l.symmetric {
		return l.CDF(-z)
	}
	return 1 - l.CDF(z)
}

// Quantile returns the value below which the sum lies with probability p, 0 < p < 1.
func (l *Law) Quantile(p float64) float64 {
	// A lattice inverts its polynomials, a term its own formula: both are faster than solving.
	if f, ok := l.shape.(interface{ quantile(p float64) float64 }); ok {
		return max(-l.reach, min(l.reach, f.quantile(p)))
	}
	// Solved in the lower half, where probabilities keep their digits.
	if l.symmetric && p > 0.5 {
		return -l.Quantile(1 - p)
	}
	low, high := l.ends()
	if l.symmetric {
		low, high = max(low, -l.reach), 0
	}
	// Between two ends with F = 0 and 1, or as good as that, a root is enclosed.
	return solve(func(z float64) float64 { return l.cdf(z) - p }, low, high)
}

// solve finds the zero of a function that rises between two values, to the last digits of the
// argument. It takes 10 to 40 values of f where f is smooth, at worst 200. Where f has no zero
// inside, the end that is nearer to it is the answer.
func solve(f func(z float64) float64, low, high float64) float64 {
	flow, fhigh := f(low), f(high)
	side := 0
	for range 200 {
		// Two units of the last digit: the middle would be one of the ends.
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
			// The value at the other end, kept for the second time, is halved: the next secant
			// then falls on its side of the zero, and no end stays for ever.
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

// Known returns expectation and variance of the terms of [Known] that were to be counted, as the
// points of their panels give them: a by-product of the lattice. They are 0 for other ways,
// which have no such terms.
func (l *Law) Known() (mean, variance float64) { return l.mean, l.variance }
