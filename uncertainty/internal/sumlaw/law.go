// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/elementary"
)

// A Law is the distribution of a sum.
type Law struct {
	centre, step float64
	cdf          []float64 // at centre + (j − len/2)·step, rising

	single   *Term   // of a sum of one term that needs no lattice
	mean     float64 // of the known terms that were asked for theirs
	variance float64
}

const (
	fewest       = 64      // frequencies
	most         = 1 << 16 // of them
	remainder    = 3e-10   // of φ
	foresee      = 256     // frequencies, after which the effort is known
	mostProducts = 1 << 25 // of them and the points of discrete distributions
	oversample   = 8       // lattice points for two frequencies, where these are few
)

// New returns the law of the sum of the terms. It is false where the law cannot be told to
// 1e-9, and for no terms.
func New(terms ...Term) (*Law, bool) {
	terms = merged(terms)
	switch {
	case len(terms) == 0:
		return nil, false
	case len(terms) == 1 && (terms[0].kind == rectangles || terms[0].kind == student):
		return &Law{single: &terms[0]}, true
	}
	l := &Law{}
	parts := make([]part, len(terms))
	for i := range parts {
		parts[i] = part{Term: terms[i], extent: terms[i].extent()}
	}
	half := l.spread(parts)
	if !(half > 0) || math.IsInf(half, 0) {
		return nil, false
	}
	step := math.Pi / half // 2π over the period
	var re, im []float64
	for n := fewest; ; n *= 2 {
		if n > most {
			return nil, false
		}
		first := len(re)
		re, im = slices.Grow(re, n-first)[:n], slices.Grow(im, n-first)[:n]
		if !l.fill(parts, re[first:], im[first:], first, step) {
			return nil, false
		}
		largest := 0.0
		for i := n / 2; i < n; i++ {
			largest = max(largest, math.Abs(re[i])+math.Abs(im[i]))
		}
		if largest < remainder*math.Pi {
			break
		}
		if n == foresee && !affordable(parts, step) {
			return nil, false
		}
	}
	l.invert(re, im, half)
	return l, true
}

// merged adds up what needs no convolution: normal terms, and two rectangles alone.
func merged(terms []Term) []Term {
	var out []Term
	at := -1
	for _, t := range terms {
		switch {
		case t.kind != known && !(t.a > 0):
		case t.kind == normal && at >= 0:
			out[at].a = elementary.Hypot(out[at].a, t.a)
		default:
			if t.kind == normal {
				at = len(out)
			}
			out = append(out, t)
		}
	}
	if len(out) == 2 && out[0].kind == rectangles && out[1].kind == rectangles && out[0].b == 0 &&
		out[1].b == 0 {
		return []Term{Rectangles(out[0].a, out[1].a)}
	}
	return out
}

// part is a term at work.
type part struct {
	Term
	extent
	nodes  []weighted // of a known term
	served int        // frequencies that the nodes serve
	before float64    // largest |φ| of a known term among the last frequencies but these
	last   float64    // and among these
}

// affordable reports whether the sum will be found with the effort that is allowed. The
// characteristic functions of known terms are taken to go on falling as a power of the
// frequency, as they did with the last doubling; the others are looked up.
func affordable(parts []part, step float64) bool {
	points := 0
	envelope := 1.0
	fall := 1.0
	for _, t := range parts {
		if t.kind == known {
			points += len(t.nodes)
			envelope *= t.last
			fall *= min(1, t.last/t.before)
		}
	}
	for n := 2 * foresee; n <= most; n *= 2 {
		envelope *= fall
		largest := 0.0
		const looks = 16
		for k := range looks {
			re, im := []float64{1}, []float64{0}
			for i := range parts {
				if parts[i].kind != known {
					parts[i].factor(re, im, n/2+n*k/(2*looks), step)
				}
			}
			largest = max(largest, math.Abs(re[0]))
		}
		if largest*envelope < remainder*math.Pi {
			return float64(points)/foresee*float64(n)*float64(n) <= mostProducts
		}
	}
	return false
}

// spread finds the centre, and the half-width that holds all but 1e-10.
func (l *Law) spread(parts []part) (half float64) {
	var proxy, endless, reach, tails float64
	for _, e := range parts {
		l.centre += e.centre
		proxy += e.proxy
		switch {
		case e.proxy == 0:
			tails += e.tail
		case math.IsInf(e.reach, 1):
			endless += e.proxy
		default:
			reach += e.reach
		}
	}
	const far = 7.2 // 2·exp(−far²/2) = 1e-11
	bounded := reach + float64(far*math.Sqrt(endless))
	return 1.02 * (min(bounded, far*math.Sqrt(proxy)) + tails)
}

// fill finds φ at the frequencies from first on.
func (l *Law) fill(parts []part, re, im []float64, first int, step float64) bool {
	for i := range re {
		re[i], im[i] = 1, 0
	}
	for i := range parts {
		t := &parts[i]
		if t.kind != known {
			t.factor(re, im, first, step)
			continue
		}
		if last := first + len(re); last > t.served {
			var ok bool
			t.served = max(last, 4*fewest)
			if t.nodes, ok = t.discrete(t.centre, float64(t.served)*step); !ok {
				return false
			}
		}
		if len(t.nodes)*len(re) > mostProducts {
			return false
		}
		t.before, t.last = t.last, multiply(t.nodes, re, im, first, step)
		if first == 0 && t.moments {
			l.addMoments(t.nodes, t.centre)
		}
	}
	return true
}

func (l *Law) addMoments(nodes []weighted, centre float64) {
	var sum, square float64
	for _, w := range nodes {
		sum += float64(w.weight * w.value)
		square += float64(w.weight * float64(w.value*w.value))
	}
	l.mean += centre + sum
	l.variance += square - float64(sum*sum)
}

// invert makes the lattice from φ.
func (l *Law) invert(re, im []float64, half float64) {
	n := 2 * len(re)
	if n <= 1<<14 {
		n *= oversample
	} else {
		n *= 2
	}
	x, y := make([]float64, n), make([]float64, n)
	for m := range re {
		w := 1 / (float64(m) + 0.5)
		if m&1 == 1 {
			w = -w // the lattice begins at half a period before the centre
		}
		x[m], y[m] = float64(w*re[m]), float64(w*im[m])
	}
	transform(x, y)
	l.step = 2 * half / float64(n)
	l.cdf = x
	least := 0.0
	for j := range x {
		s, c := sinCos(math.Pi * float64(j-n/2) / float64(n))
		// The imaginary part of exp(−iπ(j − n/2)/n)·X_j.
		f := 0.5 - (float64(c*y[j])-float64(s*x[j]))/math.Pi
		least = max(least, min(1, f)) // rounding must not make F fall
		l.cdf[j] = least
	}
}

// place returns the lattice interval of z and the place in it.
func (l *Law) place(z float64) (j int, s float64) {
	x := (z-l.centre)/l.step + float64(len(l.cdf)/2)
	j = int(math.Floor(max(-1, min(float64(len(l.cdf)), x))))
	return j, x - float64(j)
}

// CDF returns the probability of a sum up to z.
func (l *Law) CDF(z float64) float64 {
	if l.single != nil {
		return l.single.cdf(z)
	}
	j, s := l.place(z)
	switch {
	case math.IsNaN(z):
		return z
	case j < 3:
		return 0
	case j > len(l.cdf)-5:
		return 1
	}
	return max(0, min(1, l.between(j, s)))
}

// between interpolates in the eight points about an interval of the lattice, 0 ≤ s ≤ 1
// (barycentric form of the polynomial of Lagrange; the weights are binomial).
func (l *Law) between(j int, s float64) float64 {
	if s == 0 {
		return l.cdf[j]
	}
	var sum, all float64
	for k, w := range [...]float64{1, -7, 21, -35, 35, -21, 7, -1} {
		d := s - float64(k-3)
		if d == 0 {
			return l.cdf[j-3+k]
		}
		w /= d
		all += w
		sum += float64(w * l.cdf[j-3+k])
	}
	return sum / all
}

// Quantile returns the value below which the sum lies with probability p, 0 < p < 1.
func (l *Law) Quantile(p float64) float64 {
	if l.single != nil {
		return l.single.quantile(p)
	}
	j, _ := slices.BinarySearch(l.cdf, p) // the first that is p or more
	j = max(3, min(len(l.cdf)-5, j-1))
	low, high := 0.0, 1.0
	for range 60 { // bisection: the polynomial may be flat to rounding in the tails
		s := low + (high-low)/2
		if l.between(j, s) < p {
			low = s
		} else {
			high = s
		}
	}
	return l.centre + float64((float64(j-len(l.cdf)/2)+low)*l.step)
}

// Known returns expectation and variance of the terms of [Known] that have moments.
func (l *Law) Known() (mean, variance float64) { return l.mean, l.variance }
