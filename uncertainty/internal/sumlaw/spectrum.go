// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"math"
	"slices"
)

const (
	fewest       = 64      // frequencies
	most         = 1 << 16 // of them
	plenty       = 1 << 10 // of them, from which other ways may cost less
	remainder    = 3e-10   // of φ
	foresee      = 256     // frequencies, after which the effort is known
	mostProducts = 1 << 25 // of them and the points of discrete distributions
)

// part is a term at work.
type part struct {
	Term
	extent
	mixing []weighted // of a t-term
	nodes  []weighted // of a known term
	served int        // frequencies that the nodes serve
	before float64    // largest |φ| of a known term among the last frequencies but these
	last   float64    // and among these
}

// spectrum is the characteristic function of a sum at the frequencies (m + ½)·step.
type spectrum struct {
	parts  []part
	centre float64
	half   float64 // of the period
	step   float64
	tails  *tails  // that are put back, or nil
	left   float64 // of φ, at most, where the sum may end
}

// newSpectrum chooses the period; the tails of t-terms may be put back, or not.
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
// back.
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
	const far = 7.2 // 2·exp(−far²/2) = 1e-11
	bounded := min(reach+float64(far*math.Sqrt(endless)), far*math.Sqrt(proxy))
	s.half = 1.02 * (bounded + heavy)
	if t, ok := tailsOf(s.parts); ok && back {
		rest := 0.0 // of what is not put back
		for _, e := range s.parts {
			if e.proxy == 0 && (e.kind == known || e.b >= mostHeavy) {
				rest += e.tail
			}
		}
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

// lattice finds the law. The moments of known terms go to l.
func (s *spectrum) lattice(l *Law) (*lattice, bool) {
	if !(s.half > 0) || math.IsInf(s.half, 0) {
		return nil, false
	}
	var re, im []float64
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
			return float64(points)/foresee*float64(n)*float64(n) <= mostProducts
		}
	}
	return false
}

// fill finds φ at the frequencies from first on.
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

func momentsOf(nodes []weighted) (mean, variance float64) {
	var square float64
	for _, w := range nodes {
		mean += float64(w.weight * w.value)
		square += float64(w.weight * float64(w.value*w.value))
	}
	return mean, square - float64(mean*mean)
}
