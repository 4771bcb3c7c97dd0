// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// The interval y ± k·u_c rests on the central limit theorem (GUM G.2). Where one
// rectangle dominates it is too wide, even wider than what is certain. This file
// finds the interval of the linear model itself, by convolution of the laws of its
// inputs, and warns where the two differ.

import (
	"cmp"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

// shape is an independent input as the linear model sees it: y + c·(X − x).
type shape struct {
	c float64
	s *source
}

// u is the standard uncertainty that the input contributes, reach the half-width.
func (p shape) u() float64     { return math.Abs(p.c) * p.s.u }
func (p shape) reach() float64 { return float64(math.Abs(p.c) * p.s.reach) }

// bounded reports whether the law is one of this package with a finite support; all
// of them are symmetric.
func (p shape) bounded() bool {
	l, own := p.s.dist.(law)
	// A member of a group has a part in common with others, which its own shape does not show.
	return own && p.s.group == nil && l.bounded()
}

// excess is the excess kurtosis of the law, where it is known.
func (p shape) excess() float64 {
	// Laws without a bound count as normal, whose excess is 0.
	if !p.bounded() {
		return 0
	}
	switch l := p.s.dist.(law); l.kind {
	case rectangular:
		return -1.2 // 9/5 − 3
	case triangular:
		return -0.6 // 12/5 − 3
	case arcsine:
		return -1.5 // 3/2 − 3
	default:
		return l.flatness()
	}
}

// fit compares the expanded uncertainty with what the laws of the inputs allow.
func (b *Budget) fit() []error {
	u := b.StandardUncertainty
	if u == 0 {
		return nil
	}
	certain := b.certain()
	var kurtosis float64
	var widest shape
	for _, p := range b.shape {
		// Fourth cumulants of independent parts add up, each with the fourth power of its weight.
		r := p.u() / u
		kurtosis += float64(float64(r*r*r*r) * p.excess())
		if widest.s == nil || p.u() > widest.u() {
			widest = p
		}
	}
	var out []error
	if widest.s == nil {
		return nil // nothing is known of the laws
	}
	warn := func(err error) {
		out = append(out, &Error{Op: "uncertainty.Evaluate", Name: widest.s.name,
			Value: b.Expanded.U, Err: err})
	}
	const almost = 1 + 1e-12 // U = bound is no excess
	// 95 % of a sum of bounded laws cannot reach beyond all of them.
	if b.Expanded.U > certain*almost {
		warn(unit.Errorf(ErrExceedsBounds, "U = %.3g exceeds ±%.3g, which the result cannot "+
			"leave: state the interval from the distributions of the inputs", b.Expanded.U, certain))
	}
	// Three equal rectangles (kurtosis −0.4) are 1 % off at 95 %, two (−0.6) 3 %: above −0.5
	// nothing that anybody would notice is lost, and most budgets end here.
	if kurtosis > -0.5 {
		return out
	}
	// Two values of the distribution function are cheaper than its quantile.
	if b.nearNormal(certain) {
		return out
	}
	h, err := b.halfWidth(b.Expanded.P, coarse)
	// A t-distribution without a variance has its own warning.
	if err != nil {
		return out
	}
	if math.Abs(b.Expanded.U/h-1) > 0.05 {
		warn(unit.Errorf(ErrNotNormal, "the result is not normally distributed: ±%.3g covers "+
			"%.4g %%, where k·u gives ±%.3g", h, 100*b.Expanded.P, b.Expanded.U))
	}
	return out
}

// nearNormal reports whether k·u is within 5 % of the half-width of the same probability,
// which two values of the distribution tell without solving for it.
func (b *Budget) nearNormal(certain float64) bool {
	U, p := b.Expanded.U, b.Expanded.P
	wide, sigma, err := b.split()
	// A single law has a quantile of its own, and within() knows no cell of width 0.
	if err != nil || len(wide) == 1 && sigma == 0 || U > certain {
		return false
	}
	m := mix(wide, sigma, coarse)
	return m.within(U/1.05) <= p && p <= m.within(U/0.95)
}

// Convolution returns the coverage interval, symmetric about the estimate, of the
// linear model with the laws of its inputs as they are: 0 < p < 1. Where inputs are
// rectangular, triangular or arcsine it stays inside what is certain, as y ± k·u
// may not.
//
// It is exact to 2e-5 of its width for those laws and for normal ones (1e-4 with
// an arcsine). Inputs that are correlated or of a foreign distribution are taken as normal; so is a
// t-distribution, with its own standard deviation, and one of 2 degrees of freedom
// or less is an error ([ErrDomain]): use Monte Carlo there.
func (b *Budget) Convolution(p float64) (Interval, error) {
	if b == nil {
		return Interval{}, &Error{Op: "uncertainty.Budget.Convolution",
			Err: unit.Errorf(ErrNoQuantity, "budget is nil; expected the result of Evaluate")}
	}
	if err := probability(p); err != nil {
		return Interval{}, refused("uncertainty.Budget.Convolution", "", err)
	}
	h, err := b.halfWidth(p, fine)
	if err != nil {
		return Interval{}, err
	}
	return Interval{b.Estimate - h, b.Estimate + h}, nil
}

// The number of cells from the middle of a convolution to its end.
const (
	fine   = 1024
	coarse = 128 // for the warnings
)

// halfWidth is half the length of the interval, at so many cells from the middle to the end.
func (b *Budget) halfWidth(p float64, half int) (float64, error) {
	wide, sigma, err := b.split()
	if err != nil {
		return 0, err
	}
	if len(wide) == 1 && sigma == 0 { // one law: its own quantile
		l := wide[0].s.dist.(law)
		return math.Abs(wide[0].c) * (l.Quantile(0.5+p/2) - l.x), nil
	}
	h := mix(wide, sigma, half).halfWidth(p)
	// Cells reach half a cell beyond the bound.
	if certain := b.certain(); certain > 0 {
		h = min(h, certain)
	}
	return h, nil
}

// certain is the bound that the result cannot leave, infinite if there is none; it
// is 0 for a budget that was read.
func (b *Budget) certain() float64 {
	var sum float64
	for _, p := range b.shape {
		sum += p.reach()
	}
	return sum
}

// split divides the inputs into those whose shape matters and the standard
// deviation of all the others together.
func (b *Budget) split() (wide []shape, sigma float64, err error) {
	u := b.StandardUncertainty
	// The covariances of groups are in the whole, so a difference keeps them.
	variance := float64(u * u) // what is left after the wide ones, correlations included
	for _, p := range b.shape {
		v := float64(p.u() * p.u())
		// A narrow law looks normal in the sum: 0.2 % of the variance moves no end by 1e-5.
		switch {
		case p.bounded() && v > 0.002*u*u:
			wide = append(wide, p)
			variance -= v
		case !p.bounded() && p.s.group == nil:
			l, own := p.s.dist.(law)
			if !own || l.kind != student {
				continue
			}
			if l.dof <= 2 {
				return nil, 0, &Error{Op: "uncertainty.Budget.Convolution", Name: p.s.name,
					Value: l.dof,
					Err: unit.Errorf(ErrDomain,
						// The law with infinite variance would make every other one vanish.
						"t-distribution of 2 degrees of freedom or less has no standard "+
							"deviation; expected more")}
			}
			// The variance of t is ν/(ν − 2) times the square of its scale: this is what is
			// missing.
			variance += float64(v * 2 / (l.dof - 2))
		}
	}
	// The widest first: each later convolution is with a shorter column.
	slices.SortFunc(wide, func(p, q shape) int { return cmp.Compare(q.reach(), p.reach()) })
	// What is left by rounding is no normal part.
	if variance < 1e-12*u*u {
		variance = 0
	}
	return wide, math.Sqrt(variance), nil
}

// mixture is a sum of bounded laws in cells of one width, each cell uniform, plus a
// normal part.
type mixture struct {
	mass  []float64 // of the cells, symmetric about the middle one
	cell  float64
	sigma float64
}

// mix convolves the wide laws, in cells so wide that half of them reach to the end.
func mix(wide []shape, sigma float64, half int) mixture {
	var total float64
	for _, p := range wide {
		total += p.reach()
	}
	// No shape matters: one mass in the middle, and the normal part is all.
	if total == 0 {
		return mixture{mass: []float64{1}, sigma: sigma}
	}
	m := mixture{mass: []float64{1}, cell: total / float64(half)}
	for _, p := range wide {
		m.mass = convolve(m.mass, cells(p, m.cell))
	}
	// Moving mass to the middle of a cell takes cell²/12 from each variance; the
	// uniform cells of the result give one back.
	lost := float64(len(wide)-1) * m.cell * m.cell / 12
	m.sigma = math.Sqrt(float64(sigma*sigma) + lost)
	return m
}

// cells returns the probability of each cell of a bounded law.
func cells(p shape, cell float64) []float64 {
	a := p.reach()
	// The last cell ends at or beyond a: its middle is at most half a cell inside.
	n := int(math.Ceil(a/cell - 0.5))
	mass := make([]float64, 2*n+1)
	below := 0.0
	for i := range mass {
		// Differences of the distribution function keep the sum at 1 whatever the cells.
		upTo := p.s.dist.(law).cdf((float64(i-n) + 0.5) * cell / a)
		mass[i] = upTo - below
		below = upTo
	}
	return mass
}

// cdf is the distribution function of a bounded law, its support taken as −1 to 1.
func (l law) cdf(x float64) float64 {
	x = max(-1, min(1, x))
	switch {
	case l.kind == rectangular:
		return (1 + x) / 2 // integral of 1/2 from −1
	case l.kind == arcsine:
		return 0.5 + elementary.Asin(x)/math.Pi // integral of 1/(π√(1 − x²))
	case l.kind == trapezoidal || l.kind == curvilinear:
		return l.trapezoidCDF(x)
	case x <= 0:
		return (1 + x) * (1 + x) / 2 // integral of 1 + x from −1; the other half by symmetry
	default:
		return 1 - float64((1-x)*(1-x))/2
	}
}

// convolve is the direct sum: a few hundred cells are too few for a transform to pay.
func convolve(a, b []float64) []float64 {
	out := make([]float64, len(a)+len(b)-1)
	for i, x := range a {
		row := out[i : i+len(b)]
		for k, y := range b {
			row[k] += float64(x * y)
		}
	}
	return out
}

// within returns the probability of |X| ≤ h.
func (m mixture) within(h float64) float64 {
	mid := len(m.mass) / 2
	var sum float64
	for i, w := range m.mass {
		sum += float64(w * m.below(h-float64(float64(i-mid)*m.cell)))
	}
	// Pr(|X| ≤ h) = F(h) − F(−h) = 2·F(h) − 1.
	return 2*sum - 1 // the law is symmetric
}

// below is the distribution function at x of a uniform cell about 0 plus the normal
// part.
func (m mixture) below(x float64) float64 {
	edge := m.cell / 2
	switch {
	// Beyond eight standard deviations the normal part is below 1e-15.
	case x >= edge+8*m.sigma:
		return 1
	case x <= -edge-8*m.sigma:
		return 0
	// The normal part is too narrow to round off a cell.
	case m.sigma < 1e-3*m.cell:
		return min(1, (x+edge)/m.cell)
	case m.cell == 0:
		return elementary.NormalCDF(x / m.sigma)
	}
	// The integral of Φ from −∞ is z·Φ(z) + φ(z); a uniform cell is the mean of Φ over it.
	integral := func(z float64) float64 {
		return float64(z*elementary.NormalCDF(z)) + elementary.NormalDensity(z)
	}
	return (integral((x+edge)/m.sigma) - integral((x-edge)/m.sigma)) * m.sigma / m.cell
}

// halfWidth solves within(h) = p; within rises with h.
func (m mixture) halfWidth(p float64) float64 {
	// At low the probability is 0, at high it is 1 to the last bit: the solution lies between.
	low, high := 0.0, float64(len(m.mass))*m.cell/2+float64(9*m.sigma)
	flow, fhigh := -p, 1-p
	side := 0
	for range 200 {
		if high-low <= 1e-12*high {
			break
		}
		// Regula falsi that halves an end kept twice (Illinois).
		// The point where the chord is 0.
		h := low + (high-low)*(-flow)/(fhigh-flow)
		f := m.within(h) - p
		switch {
		case math.Abs(f) < 1e-13:
			return h
		case f < 0:
			low, flow = h, f
			// The end that stayed twice counts half, or the bracket would close from one side
			// only.
			if side == -1 {
				fhigh /= 2
			}
			side = -1
		default:
			high, fhigh = h, f
			if side == 1 {
				flow /= 2
			}
			side = 1
		}
	}
	return low + (high-low)/2
}
