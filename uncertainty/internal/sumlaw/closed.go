// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"cmp"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/elementary"
)

// closed is the law of a sum of n rectangles of half-widths a_i and a normal term of standard
// deviation σ. Each rectangle integrates the distribution function once and takes the
// difference of two places, so that
//
//	F(z) = Σ ±Ψ_n(z ± a_1 ± … ± a_n)/Π 2a_i
//
// over all combinations of signs, with their product in front, where Ψ_n is the n-th integral
// of the normal distribution function from −∞.
//
// Rectangles that are much narrower than the normal term would make these terms cancel. They
// count by their variances and fourth cumulants κ, as the series of Edgeworth has it:
// F + κ/24·F⁗ (Handbook of Mathematical Functions, National Bureau of Standards, 1964, 26.2.48).
type closed struct {
	n      int
	unit   float64 // of all lengths: no power of them overflows or vanishes
	sigma  float64
	steps  []weighted // ±a_1 ± … ± a_n, and what stands in front
	reach  float64    // of the rectangles together
	fourth float64    // κ/24 of the narrow ones
}

const (
	mostPieces = 8
	// mostCancelled bounds the terms of the sum, which is 1 at most: so much of their rounding
	// leaves 1e-10.
	mostCancelled = 1e5
	// narrow is the half-width in σ below which a rectangle counts by its cumulants: the
	// next is a⁶/2835, whose term is 8e-4·(a/σ)⁶ at most.
	narrow = 0.07
)

// newClosed is false where the terms would cancel: that is with rectangles that are much
// narrower than others.
func newClosed(pieces []float64, sigma float64) (*closed, bool) {
	f := &closed{}
	variance := float64(sigma * sigma)
	var wide []float64
	for _, a := range pieces {
		f.reach += a
		if square := float64(a * a); a > narrow*sigma {
			// Without a normal term all are wide: there is no smooth law to expand about.
			wide = append(wide, a)
		} else {
			variance += square / 3
			f.fourth -= float64(square*square) * 2 / 15 / 24
		}
	}
	f.n, pieces = len(wide), wide
	if f.fourth != 0 {
		sigma = math.Sqrt(variance)
	}
	f.sigma = sigma
	// Lengths of 1e-200 or 1e+200 would underflow or overflow as eighth powers.
	f.unit = f.reach + 2*sigma
	if f.n > mostPieces || !(f.unit > 0) || math.IsInf(f.unit, 0) {
		return nil, false
	}
	// The recursion below adds a sign to each place: 2ⁿ places, at most 256.
	largest := 1.0 // Ψ_n(unit)/Π 2a_i is less than (unit)ⁿ/n!/Π 2a_i
	f.steps = []weighted{{0, 1}}
	for i, a := range pieces {
		a /= f.unit
		largest /= float64(2*a) * float64(i+1)
		for _, s := range f.steps {
			w := s.weight / (2 * a)
			f.steps = append(f.steps, weighted{s.value - a, -w})
		}
		for k := range len(f.steps) / 2 {
			s := &f.steps[k]
			*s = weighted{s.value + a, s.weight / (2 * a)}
		}
	}
	if !(largest <= mostCancelled) {
		return nil, false
	}
	f.joinSteps()
	f.sigma /= f.unit
	f.fourth /= f.unit * f.unit * f.unit * f.unit
	return f, true
}

// joinSteps adds up what stands at one place, as with equal rectangles: eight of one width have
// nine places in place of 256, whose weights are binomial.
func (f *closed) joinSteps() {
	slices.SortFunc(f.steps, func(a, b weighted) int { return cmp.Compare(a.value, b.value) })
	kept := f.steps[:1]
	for _, s := range f.steps[1:] {
		if last := &kept[len(kept)-1]; s.value == last.value {
			last.weight += s.weight
		} else {
			kept = append(kept, s)
		}
	}
	f.steps = kept
}

func (f *closed) cdf(z float64) float64 {
	if z > 0 { // fewer terms count below, and small probabilities keep their digits
		return 1 - f.cdf(-z)
	}
	z /= f.unit
	sum := 0.0
	for _, s := range f.steps {
		sum += float64(s.weight * f.psi(0, z+s.value))
	}
	return max(0, min(0.5, sum))
}

// integral is that of the distribution function once or twice, up to x: Ψ_(n+count) in the place
// of Ψ_n. [peeled] needs it. The unit of each integration is put back.
func (f *closed) integral(count int, x float64) float64 {
	x /= f.unit
	sum := 0.0
	for _, s := range f.steps {
		sum += float64(s.weight * f.psi(count, x+s.value))
	}
	for range count {
		sum *= f.unit
	}
	return sum
}

// psi is Ψ_(n+more) with what the narrow rectangles add, by
//
//	n·Ψ_n(x) = x·Ψ_(n−1)(x) + σ²·Ψ_(n−2)(x)
//
// from Ψ_0, the normal distribution function, and Ψ_(−1), its density (Handbook of Mathematical
// Functions, National Bureau of Standards, 1964, 7.2.5). It holds for derivatives too, n < 0.
func (f *closed) psi(more int, x float64) float64 {
	n := f.n + more
	if f.sigma == 0 {
		if x <= 0 {
			// Φ(−38) is the smallest that float64 can hold, and all integrals of it are smaller.
			return 0
		}
		// Without a normal term Ψ_0 is the step at 0 and Ψ_n is xⁿ/n!.
		v := 1.0
		for k := 1; k <= n; k++ {
			v *= x / float64(k)
		}
		return v
	}
	z := x / f.sigma
	if z < -38 { // Φ(−38) = 3e-316, below the normal numbers of float64
		return 0
	}
	square := float64(f.sigma * f.sigma)
	const zero = 4 // place of Ψ_0
	var psi [zero + mostPieces + 3]float64
	psi[zero], psi[zero-1] = elementary.NormalCDF(z), elementary.NormalDensity(z)/f.sigma
	if f.fourth != 0 {
		for k := -2; k >= -4; k-- { // the same, solved for the last
			psi[zero+k] = (float64(float64(k+2)*psi[zero+k+2]) - float64(x*psi[zero+k+1])) / square
		}
	}
	for k := 1; k <= n; k++ {
		psi[zero+k] = (float64(x*psi[zero+k-1]) + float64(square*psi[zero+k-2])) / float64(k)
	}
	return psi[zero+n] + float64(f.fourth*psi[n])
}

func (f *closed) ends() (low, high float64) {
	if f.sigma == 0 {
		return -f.reach, f.reach
	}
	// Only where solve begins; the law itself has no end there.
	far := f.reach + float64(9*f.sigma*f.unit) // 1e-19 is beyond
	return -far, far
}
