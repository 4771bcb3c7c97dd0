// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"math"
	"slices"
)

// mixed is the law of a bounded symmetric term, wide and with poles or corners, and a rest:
//
//	F(z) = ∫ F_rest(z − Q(p)) dp
//
// with the quantile function Q of the term, 0 < p < 1. It costs much more for each value than a
// lattice, and nothing before.
type mixed struct {
	wide *Term
	rest shape
}

func (f *mixed) cdf(z float64) float64 {
	low, high := f.rest.ends()
	// The rest has all of its changes between two of these; one of them alone, inside a wide
	// panel, may be missed.
	breaks := []float64{0, f.wide.cdf(z - high), f.wide.cdf(z), f.wide.cdf(z - low), 0.5, 1}
	slices.Sort(breaks)
	g := func(p float64) float64 { return f.rest.cdf(z - f.wide.quantile(p)) }
	sum := 0.0
	for i := 1; i < len(breaks); i++ {
		if a, b := breaks[i-1], breaks[i]; b > a {
			// 1e-11 a panel, and panels are halved only where they disagree.
			sum += halved(g, a, b, gauss(g, a, b), mostHalvings)
		}
	}
	return max(0, min(1, sum))
}

func (f *mixed) ends() (low, high float64) {
	low, high = f.rest.ends()
	reach := f.wide.reach()
	return low - reach, high + reach
}

const (
	mostHalvings = 40
	fineness     = 1e-11 // of a panel
)

// gauss is the integral of g between a and b by the rule of 16 points.
func gauss(g func(p float64) float64, a, b float64) float64 {
	middle, half := a+(b-a)/2, (b-a)/2
	sum := 0.0
	for _, w := range gaussPoints {
		d := float64(half * w.value)
		sum += float64(w.weight * (g(middle-d) + g(middle+d)))
	}
	return float64(sum * half)
}

// halved improves the integral of a panel, halving it until both agree.
func halved(g func(p float64) float64, a, b, whole float64, levels int) float64 {
	middle := a + (b-a)/2
	left, right := gauss(g, a, middle), gauss(g, middle, b)
	if sum := left + right; levels == 0 || math.Abs(sum-whole) <= fineness {
		return sum
	}
	return halved(g, a, middle, left, levels-1) + halved(g, middle, b, right, levels-1)
}
