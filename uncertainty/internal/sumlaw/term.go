// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/internal/studentt"
)

// A Term is one of the independent terms of a sum. All but those of [Known] are symmetric about
// 0; a sensitivity coefficient is part of the half-width or scale, and its sign does not matter.
type Term struct {
	kind  kind
	a, b  float64 // see the constructors
	value func(p float64) float64

	moments bool // are counted
}

type kind uint8

const (
	normal kind = iota
	rectangles
	arcsine
	widened
	student
	known
)

// Normal is a normal term about 0 of standard deviation sigma > 0.
func Normal(sigma float64) Term { return Term{kind: normal, a: sigma} }

// Rectangles is the sum of two rectangles about 0 of half-widths a > 0 and b ≥ 0: a
// rectangle for b = 0, a triangle for b = a, else a trapezoid.
func Rectangles(a, b float64) Term { return Term{kind: rectangles, a: max(a, b), b: min(a, b)} }

// Arcsine is an arcsine term on ±a, a > 0.
func Arcsine(a float64) Term { return Term{kind: arcsine, a: a} }

// RandomWidth is a rectangle about 0 whose half-width is itself rectangular on a ± d, a > 0
// and 0 ≤ d ≤ a.
func RandomWidth(a, d float64) Term { return Term{kind: widened, a: a, b: d} }

// StudentT is a t-term about 0 of scale a > 0 and nu > 0 degrees of freedom.
func StudentT(a, nu float64) Term { return Term{kind: student, a: a, b: nu} }

// Known is the term value(U) for U uniform between 0 and 1: value is its quantile function, or
// that of a variate under any function, which need not rise. It is asked for some
// thousand values, at probabilities between 1e-11 and 1 − 1e-11. [Law.Known] counts its
// moments if asked.
func Known(value func(p float64) float64, moments bool) Term {
	return Term{kind: known, value: value, moments: moments}
}

// outside is the probability that a period leaves out, per term: what lies outside is counted on
// the wrong side, and the law is to hold to 1e-9 for up to ten such terms.
const outside = 1e-10

// extent is what is needed of a term to choose the period. Terms with a proxy add theirs up as
// variances, the others their half-widths: the first is much narrower for many terms.
type extent struct {
	centre float64
	proxy  float64 // P(|X − centre| > x) ≤ 2·exp(−x²/(2·proxy)) where tail is 0
	reach  float64 // half-width of the support, may be infinite
	tail   float64 // half-width that holds all but outside, where proxy is 0

	mean, variance float64 // of a known term, about
}

// extent takes the sharpest bound that is known for the tails of a term. For a known term it
// costs the panels of a low frequency, about 1,000 values, twice.
func (t *Term) extent() extent {
	switch t.kind {
	case normal:
		return extent{proxy: t.a * t.a, reach: math.Inf(1)}
	case rectangles:
		// A rectangle has no heavier tails than a normal variate of its variance.
		// sinh(a·s)/(a·s) ≤ exp(a²s²/6) term by term of the series.
		return extent{proxy: (float64(t.a*t.a) + float64(t.b*t.b)) / 3, reach: t.a + t.b}
	case arcsine:
		// Hoeffding's lemma: cosh-like bounds hold for any law on ±a (from memory).
		return extent{proxy: t.a * t.a, reach: t.a}
	case widened: // any law on ± reach has the tails of a normal one of that deviation
		reach := t.a + t.b
		return extent{proxy: reach * reach, reach: reach}
	case student:
		return extent{tail: t.a * studentt.Upper(outside, 0.5-outside, t.b), reach: math.Inf(1)}
	}
	// The panels that a low frequency needs see what a few quantiles may miss: a function
	// of a variate need not rise.
	low, high := t.value(outside), t.value(1-outside)
	for _, p := range [...]float64{0.01, 0.25, 0.5, 0.75, 0.99} {
		low, high = min(low, t.value(p)), max(high, t.value(p))
	}
	var mean, variance float64
	for range 2 {
		// 50 rad over what was seen so far: panels as fine as that meet the humps of any curve
		// that 256 cells can draw. Twice, since the first look may have widened the range.
		nodes, _ := t.discrete(0, 50/(high-low))
		for _, w := range nodes {
			low, high = min(low, w.value), max(high, w.value)
		}
		mean, variance = momentsOf(nodes)
	}
	half := (high - low) / 2
	return extent{centre: low + half, tail: half, reach: half, mean: mean, variance: variance}
}

// reach is the half-width of the support of a symmetric term, infinite where it has no ends.
func (t *Term) reach() float64 {
	switch t.kind {
	case rectangles, widened:
		// Two rectangles at their ends together; the widest of the random widths.
		return t.a + t.b
	case arcsine:
		return t.a
	}
	return math.Inf(1)
}

// factor multiplies φ at the points (m + ½)·step, m from first on, by the characteristic
// function of a symmetric term, which is real:
//
//	normal      exp(−(σt)²/2)
//	rectangles  sin(at)/(at)·sin(bt)/(bt)
//	arcsine     J_0(at)
//	widened     ∫ sin(wt)/(wt) dw/(2d) over w = a ± d
//	student     Σ w_k·exp(−(at)²·v_k/2), the normal law mixed over its variance v
//
// A frequency of a t-term costs as many exponentials as its mixture has points: 25 for many
// degrees of freedom, 104 for three, 267 for one.
func (t *part) factor(re, im []float64, first int, step float64) {
	for i := range re {
		x := (float64(first+i) + 0.5) * step
		v := 1.0
		switch t.kind {
		case normal:
			s := float64(t.a * x)
			v = elementary.Exp(-0.5 * float64(s*s))
		case rectangles:
			v = sinc(float64(t.a * x))
			if t.b > 0 {
				v *= sinc(float64(t.b * x))
			}
		case arcsine:
			v = besselJ0(float64(t.a * x))
		case widened:
			v = t.meanSinc(x)
		case student:
			s := float64(t.a * x)
			s = -0.5 * float64(s*s)
			v = 0
			for _, w := range t.mixing {
				if e := float64(s * w.value); e > -45 { // e⁻⁴⁵ = 3e-20 adds nothing
					v += float64(w.weight * elementary.Exp(e))
				}
			}
		}
		re[i] *= v
		im[i] *= v
	}
}

// meanSinc is the mean of sin(w·x)/(w·x) over the half-widths w of a widened rectangle, the
// difference of two sine integrals, which would cancel where few radians lie between.
func (t *Term) meanSinc(x float64) float64 {
	const most = 16 // radians that a Gauss rule spans
	low, high := float64((t.a-t.b)*x), float64((t.a+t.b)*x)
	switch d := high - low; {
	case d == 0:
		return sinc(low)
	// So far apart the two integrals differ by far more than either rounds.
	case d > most:
		return (sineIntegral(high) - sineIntegral(low)) / d
	default:
		return gauss(sinc, low, high) / d
	}
}

// sineIntegral is ∫ sin(w)/w dw from 0 to x ≥ 0 (Handbook of Mathematical Functions, National
// Bureau of Standards, 1964, 5.2.8, 5.2.34 and 5.2.35).
func sineIntegral(x float64) float64 {
	if x < 32 {
		// Up to 32 rad in two panels of 16: the rule of 16 points is exact to rounding there.
		return gauss(sinc, 0, x/2) + gauss(sinc, x/2, x)
	}
	// f = Σ (−1)^k (2k)!/x^2k and g the same with (2k + 1)!, both without the powers 1/x and
	// 1/x² in front, which come last.
	f, g, term := 1.0, 1.0, 1.0
	for k := 1.0; k <= 12; k++ { // asymptotic: terms below 1e-13 for x ≥ 32
		term = float64(term * (-2 * k / x * (2*k - 1) / x))
		f += term
		g += float64(term * (2*k + 1))
	}
	s, c := sinCos(x)
	return math.Pi/2 - float64(f*c)/x - float64(g*s)/x/x
}

func sinc(x float64) float64 {
	if x < 1e-4 {
		// The next term, x⁴/120, is below 1e-18.
		return 1 - float64(x*x)/6
	}
	s, _ := sinCos(x)
	return s / x
}

// weighted is a value of a discrete distribution with its probability. Rules of quadrature and
// the places of a closed form, whose weights need not be positive, have the same shape.
type weighted struct{ value, weight float64 }

// mixture makes the distribution of ν/χ² discrete: a t variate is a normal one of that
// variance (JCGM 101 6.4.9). The trapezoidal rule in ln χ² has an error that falls
// exponentially with its step, and normalises itself.
func mixture(nu float64) []weighted {
	// ln χ²/ν has the standard deviation √(2/ν) for large ν: two thirds of it a step.
	step := min(0.3, 0.7*math.Sqrt(2/nu))
	least := -64/nu - float64(8*math.Sqrt(2/nu)) // exp(−32) of the density is left out
	var out []weighted
	sum := 0.0
	// Whole multiples of the step, so that 0, where the density is highest, is one of them.
	for u := math.Floor(least / step); ; u++ {
		v := float64(u * step)
		e := elementary.Exp(v) // χ²/ν
		// The logarithm of the density of v = ln(χ²/ν), less its largest value: ν/2·(v − e^v +
		// 1).
		w := 0.5 * nu * (v - e + 1)
		if w < -40 { // e⁻⁴⁰ = 4e-18 of the largest density
			if v > 0 {
				break
			}
			continue
		}
		w = elementary.Exp(w)
		sum += w
		out = append(out, weighted{1 / e, w})
	}
	for i := range out {
		out[i].weight /= sum
	}
	return out
}
