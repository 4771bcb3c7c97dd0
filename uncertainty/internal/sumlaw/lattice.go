// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"math"
	"slices"
)

// lattice is a distribution function at equal distances. The values rise from 0 to 1 within
// rounding. Eight points serve each interval, so that the first three intervals and the last few
// have none of their own (first, last).
type lattice struct {
	centre, step float64
	values       []float64 // at centre + (j − len/2)·step
	tails        *tails    // beyond, or nil for none
}

const oversample = 8 // lattice points for two frequencies, where these are few

// invert makes the lattice from φ (the formula in the comment of the package).
func (s *spectrum) invert(re, im []float64) *lattice {
	n := 2 * len(re)
	if n <= 1<<14 {
		// More points than the frequencies need: the polynomials want several of them in a
		// period of the highest one.
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
	l := &lattice{centre: s.centre, step: 2 * s.half / float64(n), values: x, tails: s.tails}
	for j := range x {
		s, c := sinCos(math.Pi * float64(j-n/2) / float64(n))
		// The imaginary part of exp(−iπ(j − n/2)/n)·X_j.
		x[j] = 0.5 - (float64(c*y[j])-float64(s*x[j]))/math.Pi
	}
	if s.tails != nil {
		s.tails.correct(l, s.half)
	}
	least := 0.0
	for j, f := range x {
		least = max(least, min(1, f)) // rounding must not make F fall
		x[j] = least
	}
	return l
}

// place returns the lattice interval of z and the place in it, 0 ≤ s < 1. A z outside, infinite
// too, has the interval −1 or n.
func (l *lattice) place(z float64) (j int, s float64) {
	n := len(l.values)
	x := (z-l.centre)/l.step + float64(n/2)
	j = int(math.Floor(max(-1, min(float64(n), x))))
	return j, x - float64(j)
}

// The first and the last interval of a lattice with enough points on both sides: in interval j the
// polynomial runs through the points j − 3 to j + 4.
func (l *lattice) first() int { return 3 }
func (l *lattice) last() int  { return len(l.values) - 5 }

// cdf is the lattice between its ends, the tails beyond, where there are any, and 0 and 1 else.
func (l *lattice) cdf(z float64) float64 {
	j, s := l.place(z)
	switch {
	case l.tails != nil && j < l.first():
		return l.tails.beyond(l.tails.mean - z)
	case l.tails != nil && j > l.last():
		return 1 - l.tails.beyond(z-l.tails.mean)
	case j < l.first():
		return 0
	case j > l.last():
		return 1
	}
	return max(0, min(1, l.between(j, s)))
}

// ends are half a period on either side of the centre.
func (l *lattice) ends() (low, high float64) {
	half := float64(float64(len(l.values)/2) * l.step)
	return l.centre - half, l.centre + half
}

// between interpolates in the eight points about an interval of the lattice, 0 ≤ s ≤ 1
// (barycentric form of the polynomial of Lagrange; the weights are binomial).
func (l *lattice) between(j int, s float64) float64 {
	if s == 0 {
		return l.values[j]
	}
	var sum, all float64
	for k, w := range [...]float64{1, -7, 21, -35, 35, -21, 7, -1} {
		// At a point itself the formula is 0/0.
		d := s - float64(k-3)
		if d == 0 {
			return l.values[j-3+k]
		}
		w /= d
		all += w
		sum += float64(w * l.values[j-3+k])
	}
	return sum / all
}

// quantile finds the interval by the values at its ends and bisects the polynomial inside.
func (l *lattice) quantile(p float64) float64 {
	if l.tails != nil {
		if p < l.values[l.first()] {
			return l.tails.mean + l.tails.quantile(p)
		}
		if p > l.values[l.last()] {
			return l.tails.mean - l.tails.quantile(1-p)
		}
	}
	// The values rise: invert has seen to that.
	j, _ := slices.BinarySearch(l.values, p) // the first that is p or more
	j = max(l.first(), min(l.last(), j-1))
	low, high := 0.0, 1.0
	for range 60 { // bisection: the polynomial may be flat to rounding in the tails
		s := low + (high-low)/2
		if l.between(j, s) < p {
			low = s
		} else {
			high = s
		}
	}
	return l.centre + float64((float64(j-len(l.values)/2)+low)*l.step)
}
