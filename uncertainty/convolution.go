// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// The interval y ± k·u_c rests on the central limit theorem (GUM G.2). Where one
// rectangle dominates it is too wide, even wider than what is certain: a rectangle ± a alone has
// u = a/√3, so that 1.96·u = 1.13·a, while 0.95·a covers 95 %. This file finds the interval of
// the linear model itself, by convolution of the laws of its inputs, and warns where the two
// differ.
//
// The linear model is y + Σ c_i·(X_i − x_i). Its law is that of a sum of independent terms, which
// package internal/sumlaw knows to 1e-9; this file says what the terms are:
//
//	input            term
//	own law, alone   its law scaled by c_i, in closed form where sumlaw has one
//	foreign law      its quantile function scaled by c_i
//	group            the normal or t-distribution of Σ c_i·X_i over its members
//
// Two questions are asked of it, at very different prices. A caller of Convolution wants all
// digits and waits for a millisecond. A warning needs the interval to a per cent, in every
// evaluation: it looks at the kurtosis first, which is a sum, and rarely goes on.

import (
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/internal/sumlaw"
	"example.com/ohmwright/uncertainty/unit"
)

// shape is an input as the linear model sees it: its term is c·(X − x). Budgets hold those with
// c ≠ 0 and u > 0. Members of a group are among them, so that certain is infinite with them, but
// their law is in the joint term of Budget.joint.
type shape struct {
	c float64 // sensitivity
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

// excess is the excess kurtosis of the law where it is known, E(z⁴) − 3 of the reduced deviation
// z = (X − x)/u: 0 for a normal law. A flat law with sharp ends has less. The fourth moments of
// laws on ± a are a⁴/5 for a rectangle, a⁴/15 for a triangle and 3a⁴/8 for an arcsine, their
// variances a²/3, a²/6 and a²/2.
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

// boundRounding is how much more than the certain bound rounding may make of U.
const boundRounding = 1 + 1e-12

// flatKurtosis is the excess kurtosis of the result above which k·u is taken for right. Three
// equal rectangles (−1.2/3 = −0.4) are 1 % off at 95 %, two (−0.6) 3 %: above −0.5 nothing that
// anybody would notice is lost, and most budgets end here.
const flatKurtosis = -0.5

// noticedWidth is the part by which k·u may differ from the half-width that the laws give: 5 %
// may change the second digit of U.
const noticedWidth = 0.05

// coverageFindings compares the expanded uncertainty with what the laws of the inputs allow. Both
// warnings name the input that contributes most, since its law decides the shape. A rectangle
// ± a beside a normal part of a third of its u shows the order of the tests: the kurtosis is
// −1.2·0.9² = −0.97, so the half-width is computed, 1.06·a, where k·u is 1.19·a.
func (b *Budget) coverageFindings() []error {
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
	// 95 % of a sum of bounded laws cannot reach beyond all of them.
	if b.Expanded.U > certain*boundRounding {
		warn(unit.Errorf(ErrExceedsBounds, "U = %.3g exceeds ±%.3g, which the result cannot "+
			"leave: state the interval from the distributions of the inputs",
			b.Expanded.U, certain))
	}
	if kurtosis > flatKurtosis {
		return out
	}
	h, ok := b.aboutHalfWidth()
	// What cannot be convolved has no interval to compare with.
	if ok && math.Abs(b.Expanded.U/h-1) > noticedWidth {
		warn(unit.Errorf(ErrNotNormal, "the result is not normally distributed: about ±%.3g "+
			"covers %s %%, where k·u gives ±%.3g", h, unit.Percent(b.Expanded.P), b.Expanded.U))
	}
	return out
}

// What aboutHalfWidth does not take as normal, as a part of the variance of the result.
const (
	// ownShare is for bounded laws. What is below it changes the kurtosis of the result by
	// 0.01²·1.5 at most.
	ownShare = 0.01
	// tailShare is for t-distributions of fewer than normalDOF degrees of freedom. It is smaller,
	// since they have tails that reach far beyond the rest.
	tailShare = 0.002
	// normalDOF are degrees of freedom from which a normal law of the same standard deviation
	// gives the half-width by 0.7 % too wide at most; at 3 it is 8 %.
	normalDOF = 10
	// roundingShare is what differences of variances leave where nothing is left.
	roundingShare = 1e-12
)

// aboutHalfWidth is the half-width of the interval of the coverage probability to about 1 %;
// ok is false where it is not known. Every evaluation asks, thousands of them in the report of
// a box, and [Budget.Convolution] takes a millisecond: parts of little weight are taken as
// normal, and t-distributions as normal with their own standard deviation, unless they have
// so few degrees of freedom that it would be seen.
func (b *Budget) aboutHalfWidth() (h float64, ok bool) {
	var terms []sumlaw.Term
	u := b.StandardUncertainty
	rest := 1.0 // of the variance, correlations included, in u², which may underflow
	for _, p := range b.shape {
		v := float64(p.u() / u * (p.u() / u))
		if p.bounded() && v > ownShare {
			terms = append(terms, p.term())
			rest -= v
		}
		if l, own := p.s.dist.(law); own && l.kind == student {
			if l.dof <= 2 {
				return 0, false // no variance: it has a warning of its own
			}
			if l.dof < normalDOF && v > tailShare {
				i, err := b.Convolution(b.Expanded.P)
				return i.Width() / 2, err == nil
			}
			// Its variance is v·ν/(ν − 2) = v + 2v/(ν − 2), of which v is in the rest already.
			rest += float64(v * 2 / (l.dof - 2))
		}
	}
	if rest > roundingShare {
		terms = append(terms, sumlaw.Normal(u*math.Sqrt(rest)))
	}
	l, ok := sumlaw.New(terms...)
	if !ok {
		return 0, false
	}
	return -l.Quantile((1 - b.Expanded.P) / 2), true // by symmetry from the lower tail
}

// term is the law of c·(X − x). A closed form takes |c|, since its law is symmetric or, where it
// is not, is not among those that termOf knows.
func (p shape) term() sumlaw.Term {
	l, own := p.s.dist.(law)
	if t, closed := termOf(l, math.Abs(p.c)); own && closed {
		return t
	}
	return sumlaw.Known(p.quantile, false)
}

// quantile is that of c·(X − x). A negative factor turns the law round: the lower tail of the
// term is the upper one of X.
func (p shape) quantile(q float64) float64 {
	if p.c < 0 {
		q = 1 - q
	}
	return float64(p.c * (p.s.dist.Quantile(q) - p.s.x))
}

// linearLaw is the distribution of the linear model about the estimate: that of the sum of its
// parts (JCGM 100 G.1.4). A budget that was read, or of second order, knows no laws: it is
// normal. It is false where sumlaw cannot tell it. A single foreign law is its own result, which
// keeps laws that cannot be convolved, such as discrete ones.
func (b *Budget) linearLaw() (*sumlaw.Law, bool) {
	terms := slices.Clone(b.joint)
	var alone shape
	for _, p := range b.shape {
		if p.s.group == nil {
			terms = append(terms, p.term())
			alone = p
		}
	}
	switch {
	case len(b.shape) == 0:
		terms = append(terms, sumlaw.Normal(b.StandardUncertainty))
	case len(terms) == 1 && alone.s != nil && !alone.closed():
		return sumlaw.Single(alone.quantile), true // whatever it is, nothing is to be added up
	}
	return sumlaw.New(terms...)
}

// closed reports whether the sum of laws knows the law of the input by name.
func (p shape) closed() bool {
	l, own := p.s.dist.(law)
	_, closed := termOf(l, 1)
	return own && closed
}

// Convolution returns the coverage interval of the linear model with the laws of its inputs as
// they are, with equal probabilities beyond both ends: 0 < p < 1. Where all laws are symmetric it
// is symmetric about the estimate. Where inputs are rectangular, triangular or arcsine it stays
// inside the limits that are certain for the result, which y ± k·u may exceed. It is the interval
// that [MonteCarlo] gives where the model is linear.
//
// It is exact to 1e-9 in probability (3e-8 for a sum of nothing but three arcsines or more). Each
// independent input has its own distribution, a t-distribution too, correlated inputs the normal
// or t-distribution that they have together. A budget that was read, or of second order, is taken
// as normal. Where the distribution of the sum cannot be computed as exactly as that, as with
// t-distributions of much less than one degree of freedom or with sums of discrete distributions,
// it is an error ([ErrDomain]): use Monte Carlo there.
func (b *Budget) Convolution(p float64) (Interval, error) {
	const op = "uncertainty.Budget.Convolution"
	if b == nil {
		return Interval{}, &Error{Op: op,
			Err: unit.Errorf(ErrNoQuantity, "budget is nil; expected the result of Evaluate")}
	}
	if err := probability(p); err != nil {
		return Interval{}, refused(op, "", err)
	}
	if b.StandardUncertainty == 0 {
		return Interval{b.Estimate, b.Estimate, b.Unit}, nil
	}
	l, ok := b.linearLaw()
	if !ok {
		return Interval{}, &Error{Op: op, Name: b.Name, Err: unit.Errorf(ErrDomain,
			"the distribution of the sum cannot be convolved to 1e-9; expected inputs whose "+
				"distributions are smooth or bounded: use Monte Carlo")}
	}
	tail := (1 - p) / 2
	return Interval{b.Estimate + l.Quantile(tail), b.Estimate + l.Quantile(1-tail), b.Unit}, nil
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
