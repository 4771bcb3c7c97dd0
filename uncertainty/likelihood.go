// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"

	"example.com/ohmwright/uncertainty/elementary"
)

// TypeAWithPrior returns what n ≥ 1 normally distributed observations say of a quantity of
// which nothing else is known, when the standard deviation of one observation was s0 ≥ 0 in
// earlier series with dof0 > 0 degrees of freedom, and may be so again (Bayes' theorem; JCGM
// 101 6.4.9 with an informative prior, the scaled inverse χ² distribution of σ²). The
// posterior is a t-distribution about x̄ with ν = dof0 + n − 1 degrees of freedom and scale
//
//	u = √((dof0·s0² + Σ(x − x̄)²)/ν)/√n.
//
// Compared with [TypeA] it has more degrees of freedom, so that two or three observations give a
// useful interval and a standard deviation, √(ν/(ν − 2))·u, which their own t lacks; unlike
// [TypeAPooled] it counts the scatter of the observations too. It tends to TypeA as dof0 falls
// to 0, and to the known s0 as it grows. It is the same as pooling all series ([Pool]). Where s0
// is a judgement, not a measurement, [Reliability] turns its uncertainty into dof0: 12.5 for ±20
// %.
func TypeAWithPrior(s0, dof0 float64, observations ...float64) Distribution {
	const op = "TypeAWithPrior"
	n := len(observations)
	// One of each, and the observations: with no scatter the earlier s0 alone is the scale.
	err := firstRefusal(op, width("earlier standard deviation", s0), freedom(dof0))
	if err == nil && n == 0 {
		err = fewObservations(op, 0, "1 or more")
	}
	if err != nil {
		return law{cause: err}
	}
	m, err := mean(op, observations)
	if err != nil {
		return law{cause: err}
	}
	// Degrees of freedom of independent estimates of one variance add up.
	dof := dof0 + float64(n-1)
	// One observation says nothing about the scatter, an s0 known exactly needs no more.
	scale := s0
	if n > 1 && !math.IsInf(dof0, 1) {
		// Shares first: a dof0 near the end of float64 would overflow in dof0·s0².
		scatter := math.Sqrt(squaresAbout(m, observations) / dof)
		// (dof0·s0² + Σ(x − x̄)²)/ν by shares, without squares of s0.
		scale = elementary.Hypot(s0*math.Sqrt(dof0/dof), scatter)
	}
	// The prior is about σ, not about the mean: u falls with √n.
	l := bell(student, m, scale/math.Sqrt(float64(n)), dof,
		firstRefusal(op, number("scale", scale)))
	l.n = n
	return l
}

// TypeAUniform returns what n ≥ 4 observations say of the middle of a rectangle of unknown
// width from which they are drawn (a uniform likelihood; its estimate is the middle of the
// range). With a prior ∝ 1/a of the half-width, and half the range h, the posterior is
//
//	p(μ) ∝ (h + |μ − middle|)^(−n), u = h·√(2/((n − 2)(n − 3))).
//
// u falls with n, not with √n: the ends of a rectangle are sharp. For observations that
// may lie outside any rectangle it is far too small.
func TypeAUniform(observations ...float64) Distribution {
	const op = "TypeAUniform"
	x, err := likelihoodSorted(op, observations)
	if err != nil {
		return law{cause: err}
	}
	// Half the difference first, as in [Between].
	h := (x[len(x)-1] - x[0]) / 2
	return middleOfRange{x[0] + h, h, len(x)}
}

// likelihoodSorted checks 4 or more observations, fewer of which leave no variance, that are
// not all equal.
func likelihoodSorted(op string, observations []float64) ([]float64, error) {
	n := len(observations)
	if n < 4 {
		return nil, fewObservations(op, n, "4 or more")
	}
	x, err := sortedObservations(op, observations)
	if err == nil && x[0] == x[n-1] {
		err = refusal(op, x[0], ErrDomain, "all observations are %v; expected some that differ",
			x[0])
	}
	return x, err
}

// middleOfRange is the posterior of TypeAUniform.
type middleOfRange struct { // x is the middle, h half the range, n the number of observations
	x, h float64
	n    int
}

// Mean and StdDev are those of the posterior, which exist from four observations on.
func (d middleOfRange) Mean() float64 { return d.x }

// The variance of (h + |t|)^(−n) about 0; it needs four observations.
func (d middleOfRange) StdDev() float64 {
	return d.h * math.Sqrt(2/(float64(d.n-2)*float64(d.n-3)))
}

// Quantile inverts the tail on the side where the probability is small.
func (d middleOfRange) Quantile(p float64) float64 {
	// The tail of p(μ) ∝ (h + t)^(−n) is 1 − F = ½·((h + t)/h)^(1−n) above the middle.
	// Expm1 keeps the digits near the middle, where the tail is almost ½.
	side := func(tail float64) float64 { return d.h * math.Expm1(-math.Log(2*tail)/float64(d.n-1)) }
	switch {
	case !(p > 0 && p < 1):
		return math.NaN()
	case p < 0.5:
		return d.x - side(p)
	}
	return d.x + side(1-p)
}

// String is what a budget prints.
func (d middleOfRange) String() string { return "middle of a rectangle" }

// observed marks the distribution as one of observations (Type A).
func (d middleOfRange) observed() int { return d.n }

// TypeALaplace returns what n ≥ 4 observations say of a quantity about which they are
// scattered with long tails, by the double exponential (Laplace) distribution of unknown
// width, whose most likely value is the median. With a prior ∝ 1/b of the width the posterior
// is
//
//	p(μ) ∝ (Σ|x_i − μ|)^(−n),
//
// and its mean and standard deviation are estimate and standard uncertainty. One outlying
// observation moves it little.
func TypeALaplace(observations ...float64) Distribution {
	// The posterior is made of pieces between neighbouring observations.
	x, err := likelihoodSorted("TypeALaplace", observations)
	if err != nil {
		return law{cause: err}
	}
	return newLaplacePosterior(x)
}

// laplacePosterior is piecewise a power of a straight line: between two neighbouring observations
// L(μ) = Σ|x_i − μ|/n is straight, and the density is L^(−n), not normalised. There are n + 1
// pieces, piece i below observation i and piece n above all. All is in the deviations from the
// median, in units of the mean absolute deviation from it, so that L is 1 at its lowest and L^(−n)
// is at most 1. Only middle, unit, mean and stdDev are in the unit of the quantity. Nothing changes
// once it is made; goroutines share it.
type laplacePosterior struct {
	middle, unit float64   // median, and mean absolute deviation from it
	at           []float64 // observations, reduced, in rising order
	level        []float64 // L at each
	mass         []float64 // by piece: of it and all pieces below, mass[n] is all of it
	mean, stdDev float64
}

// newLaplacePosterior prepares levels, masses and moments of the pieces for n ≥ 4 observations in
// rising order that are not all equal.
func newLaplacePosterior(sorted []float64) *laplacePosterior {
	n := len(sorted)
	d := &laplacePosterior{middle: medianOf(sorted)}
	for _, v := range sorted {
		// The mean absolute deviation as unit: the level at the median is 1, and its −n-th power
		// neither overflows nor underflows where it matters.
		d.unit += math.Abs(v-d.middle) / float64(n)
	}
	d.at, d.level = make([]float64, n), make([]float64, n)
	for i, v := range sorted {
		d.at[i] = (v - d.middle) / d.unit
	}
	// The sum of absolute deviations at each observation, directly: n² steps for an n of
	// readings.
	for i, v := range d.at {
		for _, w := range d.at {
			d.level[i] += math.Abs(v-w) / float64(n)
		}
	}
	// ∫1, ∫μ and ∫μ² over all pieces.
	var sum [3]float64
	for piece := range n + 1 {
		m := d.moments(piece)
		for k := range sum {
			sum[k] += m[k]
		}
		d.mass = append(d.mass, sum[0])
	}
	// About the median, which is near the mean: little cancels.
	mean := sum[1] / sum[0]
	// Var = E(μ²) − E(μ)²; rounding must not make it negative.
	d.stdDev = d.unit * math.Sqrt(max(0, sum[2]/sum[0]-float64(mean*mean)))
	d.mean = d.middle + float64(d.unit*mean)
	return d
}

// slope is that of Σ|x_i − μ|/n in the piece below observation i, n for the last.
func (d *laplacePosterior) slope(piece int) float64 {
	// Of n observations, "piece" lie to the left and pull up, the others pull down.
	return (2*float64(piece) - float64(len(d.at))) / float64(len(d.at))
}

// piece returns where a piece begins, its length (infinite at both ends), and the level
// there; the first piece is mirrored, so that it too begins at a finite place and rises.
func (d *laplacePosterior) piece(i int) (from, length, level, slope float64) {
	switch n := len(d.at); {
	case i == 0:
		// To the left of all observations the level rises away from them by 1 for 1.
		return d.at[0], math.Inf(1), d.level[0], 1
	case i == n:
		return d.at[n-1], math.Inf(1), d.level[n-1], 1
	default:
		return d.at[i-1], d.at[i] - d.at[i-1], d.level[i-1], d.slope(i)
	}
}

// moments returns ∫μ^k·level^(−n) dμ of a piece for k = 0, 1, 2.
func (d *laplacePosterior) moments(i int) (m [3]float64) {
	from, length, level, slope := d.piece(i)
	n := float64(len(d.at))
	if math.IsInf(length, 1) {
		// ∫ t^k (level + t)^(−n) dt from 0 to infinity.
		a := math.Pow(level, 1-n) / (n - 1)
		// Three observations would leave the last integral infinite: 4 is the least number.
		b := a * level / (n - 2)
		c := 2 * b * level / (n - 3)
		sign := 1.0
		// Left of all, μ = from − t: odd powers change their sign.
		if i == 0 {
			sign = -1
		}
		return [3]float64{a, float64(from*a) + float64(sign*b), float64(from*from*a) +
			float64(2*sign*from*b) + c}
	}
	// A piece is short or its level changes little against n: Gauss and Legendre in parts. Along a
	// part the n-th power changes by a factor of e or so, n·Δlevel/level = 1, which a polynomial of
	// degree 15 follows to the last digits. A piece of slope 0 is one part, and exact.
	parts := min(400, int(math.Ceil(math.Abs(slope)*length/level*n))+1)
	h := length / float64(parts)
	for k := range parts {
		// Eight points of Gauss and Legendre are exact for polynomials up to degree 15.
		begin := from + float64(h*float64(k))
		for power := range m {
			m[power] += quad.Fixed(func(mu float64) float64 {
				return math.Pow(mu, float64(power)) * math.Pow(level+float64(slope*(mu-from)), -n)
			}, begin, begin+h, 8, quad.Legendre{}, 0)
		}
	}
	return m
}

// Mean and StdDev were found with the pieces.
func (d *laplacePosterior) Mean() float64   { return d.mean }
func (d *laplacePosterior) StdDev() float64 { return d.stdDev }

// String is what a budget prints, and observed marks it as Type A.
func (d *laplacePosterior) String() string { return "Laplace likelihood" }
func (d *laplacePosterior) observed() int  { return len(d.at) }

// Quantile solves within the piece, where the integral of a power is a power.
func (d *laplacePosterior) Quantile(p float64) float64 {
	if !(p > 0 && p < 1) {
		return math.NaN()
	}
	n := len(d.at)
	// The part of the whole mass that lies below the quantile.
	wanted := p * d.mass[n]
	i, _ := slices.BinarySearch(d.mass, wanted)
	i = min(i, n)
	// Inside a piece the integral of a power of a straight line is inverted without iteration.
	from, _, level, slope := d.piece(i)
	rest := wanted // mass from the beginning of the piece on
	// The outer pieces are tails: their mass is counted from the far end.
	switch i {
	case 0: // mirrored: mass beyond
		return d.middle + float64(d.unit*(from-d.power(level, 1, wanted, true)))
	case n:
		return d.middle + float64(d.unit*(from+d.power(level, 1, (1-p)*d.mass[n], true)))
	default:
		rest -= d.mass[i-1]
	}
	return d.middle + float64(d.unit*(from+d.power(level, slope, rest, false)))
}

// power returns t with ∫(level + slope·t)^(−n) dt = mass, from 0 on or, for the tail of
// slope 1, from t to infinity.
func (d *laplacePosterior) power(level, slope, mass float64, tail bool) float64 {
	n := float64(len(d.at))
	// The mass of the whole tail beyond the level.
	whole := math.Pow(level, 1-n) / (n - 1)
	// ((mass/whole)^(−1/(n−1)) − 1)·level, with Expm1 for a mass close to the whole.
	if tail {
		return level * math.Expm1(-math.Log(mass/whole)/(n-1))
	}
	flat := mass * math.Pow(level, n) // for a slope of 0
	// The limit of the formula below, which is 0/0 there.
	if slope == 0 {
		return flat
	}
	// With w = level + slope·t the integral is (level^(1−n) − w^(1−n))/((n−1)·slope) = mass, so
	// that w/level = (1 − (n−1)·slope·flat/level)^(−1/(n−1)), and t = (w/level − 1)·level/slope.
	return level / slope * math.Expm1(-math.Log1p(-(n-1)*slope*flat/level)/(n-1))
}
