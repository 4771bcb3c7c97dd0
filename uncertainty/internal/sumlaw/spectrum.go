// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"math"
	"slices"
)

// Numbers of frequencies, and what they decide.
const (
	fewest    = 64          // of a lattice
	most      = 1 << 16     // of a lattice: some 40 ms and 4 MB
	plenty    = 1 << 10     // from here on a way without the wide term may cost less
	mixedFrom = 16 * plenty // from here on even the dear values of mixed do
	foresee   = 256         // after these the effort with known terms is foreseen

	// remainder is where φ may be cut off. What follows adds (1/π)·Σ |φ|/(m + ½) at most, which
	// is remainder/a for a φ that falls as the power m^−a.
	remainder = 3e-10
	relaxed   = 100 // times the remainder where nothing else helps

	// mostProducts bounds the products of frequencies and the points of known terms: some 70 ms.
	mostProducts = 1 << 25
)

// part is a term at work: with what is computed once for all frequencies.
type part struct {
	Term
	extent
	mixing []weighted // of a t-term
	nodes  []weighted // of a known term
	served int        // frequencies that the nodes serve
	before float64    // largest |φ| of a known term among the last frequencies but these
	last   float64    // and among these
}

// spectrum is the characteristic function of a sum at the frequencies (m + ½)·step. Why half of
// a step: of a value x of the sum the series in the package comment makes
//
//	½ − (1/π) Σ sin((m + ½)·2π(x − z)/P)/(m + ½),
//
// the Fourier series of a square wave in x. It is 1 for −P < x − z < 0 and 0 for 0 < x − z < P,
// as the indicator of x ≤ z should be, then changes its sign again and again. Its expectation is
// F(z), and the only error of the period is of values that lie farther than P from z.
type spectrum struct {
	parts  []part
	centre float64
	half   float64 // of the period
	step   float64
	tails  *tails  // that are put back, or nil
	left   float64 // of φ, at most, where the sum may end
}

// newSpectrum chooses the period. The tails of t-terms may be put back, which allows a shorter
// one; not in a rest that is to be integrated, whose tails would have to be integrated too.
func newSpectrum(terms []Term, back bool) *spectrum {
	s := &spectrum{parts: make([]part, len(terms)), left: remainder}
	for i, t := range terms {
		s.parts[i] = part{Term: t, extent: t.extent()}
		if t.kind == student {
			s.parts[i].mixing = mixture(t.b)
		}
	}
	s.spread(back)
	s.step = math.Pi / s.half // 2π over the period
	return s
}

// spread finds the centre, and the half-width that holds all but 1e-10, or all but what is put
// back. z and x both lie within half a period of the centre, so that they are never P apart.
func (s *spectrum) spread(back bool) {
	var proxy, endless, reach, heavy float64
	for _, e := range s.parts {
		s.centre += e.centre
		proxy += e.proxy
		switch {
		case e.proxy == 0:
			heavy += e.tail
		case math.IsInf(e.extent.reach, 1):
			endless += e.proxy
		default:
			reach += e.extent.reach
		}
	}
	// The tails of the sum of all proxies are those of one normal variate.
	const far = 7.2 // 2·exp(−far²/2) = 1e-11
	// Two bounds hold: the ends of what is bounded plus the tails of the rest, and the tails of
	// all.
	bounded := min(reach+float64(far*math.Sqrt(endless)), far*math.Sqrt(proxy))
	// A margin of 2 %: the interpolation needs lattice points beyond the last value.
	s.half = 1.02 * (bounded + heavy)
	if t, ok := tailsOf(s.parts); ok && back {
		rest := 0.0 // of what is not put back
		for _, e := range s.parts {
			if e.proxy == 0 && (e.kind == known || e.b >= mostHeavy) {
				rest += e.tail
			}
		}
		// The tails count from the mean of the sum; their period has to hold them about the
		// centre.
		if half := t.half(1.02*(bounded+rest)) + math.Abs(t.mean-s.centre); half < s.half {
			s.half, s.tails = half, &t
		}
	}
}

// foreseen is the number of frequencies that the sum will take, more than most where that does
// not suffice. Known terms, which are not looked at yet, are taken to be no help.
func (s *spectrum) foreseen() int {
	if !(s.half > 0) || math.IsInf(s.half, 0) {
		return 2 * most
	}
	for _, p := range s.parts {
		if p.kind == known {
			return most
		}
	}
	n := fewest
	// By doublings, as lattice proceeds: sixteen looks a doubling are cheap.
	for ; n <= most; n *= 2 {
		if s.largest(n) < s.left*math.Pi {
			break
		}
	}
	return n
}

// largest looks for the largest |φ| of the terms but known ones in the later half of the first n
// frequencies.
func (s *spectrum) largest(n int) float64 {
	const looks = 16
	largest := 0.0
	for k := range looks {
		// Equal distances alone could meet the zeros of sin(at)/(at) every time; those of
		// several terms hardly fall together, and one miss costs no more than a doubling.
		re, im := []float64{1}, []float64{0}
		for i := range s.parts {
			if s.parts[i].kind != known {
				s.parts[i].factor(re, im, n/2+n*k/(2*looks), s.step)
			}
		}
		largest = max(largest, math.Abs(re[0]))
	}
	return largest
}

// lattice finds the law. The frequencies are doubled until φ has fallen; each doubling keeps the
// former ones, so that the effort is that of the last number. The moments of known terms go to
// l.
func (s *spectrum) lattice(l *Law) (*lattice, bool) {
	if !(s.half > 0) || math.IsInf(s.half, 0) {
		return nil, false
	}
	var re, im []float64
	// N frequencies give a lattice of 2N points and more.
	for n := fewest; ; n *= 2 {
		if n > most {
			return nil, false
		}
		first := len(re)
		re, im = slices.Grow(re, n-first)[:n], slices.Grow(im, n-first)[:n]
		if !s.fill(l, re[first:], im[first:], first) {
			return nil, false
		}
		// Half of the frequencies, since φ of a bounded term passes through 0 again and again.
		largest := 0.0
		for i := n / 2; i < n; i++ {
			largest = max(largest, math.Abs(re[i])+math.Abs(im[i]))
		}
		if largest < s.left*math.Pi {
			break
		}
		if n == foresee && !s.affordable() {
			return nil, false
		}
	}
	return s.invert(re, im), true
}

// affordable reports whether the sum will be found with the effort that is allowed. The
// characteristic functions of known terms are taken to go on falling as a power of the
// frequency, as they did with the last doubling; the others are looked up.
func (s *spectrum) affordable() bool {
	points := 0
	// envelope is the product of |φ| of the known terms now, fall their factor a doubling.
	envelope, fall := 1.0, 1.0
	for _, t := range s.parts {
		if t.kind == known {
			points += len(t.nodes)
			envelope *= t.last
			fall *= min(1, t.last/t.before)
		}
	}
	for n := 2 * foresee; n <= most; n *= 2 {
		envelope *= fall
		if float64(s.largest(n)*envelope) < s.left*math.Pi {
			// A known term needs panels in proportion to the highest frequency, and each
			// frequency all of their points: the effort rises as n².
			return float64(points)/foresee*float64(n)*float64(n) <= mostProducts
		}
	}
	return false
}

// fill finds φ at the frequencies from first on. It is false where a known term would take more
// than mostPanels panels or more than mostProducts products.
func (s *spectrum) fill(l *Law, re, im []float64, first int) bool {
	for i := range re {
		re[i], im[i] = 1, 0
	}
	for i := range s.parts {
		t := &s.parts[i]
		if t.kind != known {
			t.factor(re, im, first, s.step)
			continue
		}
		if last := first + len(re); last > t.served {
			var ok bool
			// The nodes for 256 frequencies serve the first three doublings: panels cost more
			// than points.
			t.served = max(last, 4*fewest)
			if t.nodes, ok = t.discrete(t.centre, float64(t.served)*s.step); !ok {
				return false
			}
		}
		// As much as a million trials cost: a twin would not be worth it.
		if len(t.nodes)*len(re) > mostProducts {
			return false
		}
		t.before, t.last = t.last, multiply(t.nodes, re, im, first, s.step)
		if first == 0 && t.moments {
			l.addMoments(t.nodes, t.centre)
		}
	}
	return true
}

func (l *Law) addMoments(nodes []weighted, centre float64) {
	mean, variance := momentsOf(nodes)
	l.mean += centre + mean
	l.variance += variance
}

// momentsOf returns the moments of a discrete distribution about the place from which its values
// count. The square of the mean is small beside the variance there, so nothing cancels.
func momentsOf(nodes []weighted) (mean, variance float64) {
	var square float64
	for _, w := range nodes {
		mean += float64(w.weight * w.value)
		square += float64(w.weight * float64(w.value*w.value))
	}
	return mean, square - float64(mean*mean)
}
