// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/internal/studentt"
	"example.com/ohmwright/uncertainty/unit"
)

// A Distribution describes what is known about an input quantity. Every
// continuous distribution of gonum's stat/distuv that has these methods is one as it is.
//
// Mean is the estimate and StdDev the standard uncertainty, unless the value also
// has a method
//
//	Uncertainty() (u, dof float64)
//
// which then gives the standard uncertainty and its degrees of freedom. The guides
// differ for the mean of n readings: JCGM 100 takes s/√n with n−1 degrees of
// freedom, JCGM 101 (6.4.9) samples a t-distribution, whose standard deviation is
// larger. Quantile is asked for 0 < p < 1 only, and by Monte Carlo from several
// goroutines at once.
//
// The constructors of this package take estimates, widths and uncertainties in the unit
// of the quantity; coverage factors, probabilities and degrees of freedom are pure
// numbers. They always return a distribution: a parameter that is not finite
// ([ErrNotFinite]) or outside the stated domain ([ErrDomain]) and too few observations
// ([ErrObservations]) come out as an [*Error] of the quantity that is made of it.
type Distribution interface {
	Mean() float64
	StdDev() float64
	Quantile(p float64) float64
}

// law is every distribution of this package that is known by parameters. It is comparable, so
// that two statements of one source can be checked against each other. What its fields hold:
//
//	kind           x            a                     b
//	normal         estimate     u
//	t              estimate     scale, which is u
//	rectangular    middle       half-width
//	triangular     middle       half-width
//	arcsine        middle       half-width
//	trapezoidal    middle       half-width            top over base, 0 to 1
//	curvilinear    middle       half-width, middle    inexactness of the half-width
//	exponential    expectation  expectation
//	gamma          shape        u
type law struct {
	kind   kind
	x      float64 // estimate
	a      float64 // half-width of a bounded law, else u
	b      float64 // second parameter: beta of a trapezoid, d of a curvilinear one
	u      float64 // standard uncertainty in the sense of JCGM 100
	dof    float64 // degrees of freedom of u
	n      int     // observations, Type A only
	factor float64 // stated coverage factor, where it is below 1; a source takes it away
	cause  error   // what is wrong with the parameters
}

// kind is the family of a law; its values index kindNames, and the divisors in flat.
type kind uint8

const (
	// The kinds of laws, by the clause of JCGM 101 that says how to draw from them.
	normal kind = iota
	rectangular
	triangular
	arcsine
	student
	trapezoidal
	curvilinear
	exponential
	gamma
)

var kindNames = [...]string{
	"normal", "rectangular", "triangular", "arcsine", "t",
	"trapezoidal", "curvilinear trapezoidal", "exponential", "gamma",
}

// Normal returns the normal distribution with expectation x and standard
// deviation u ≥ 0, in the unit of the quantity (JCGM 101 6.4.7).
func Normal(x, u float64) Distribution {
	return bell(normal, x, u, math.Inf(1), firstRefusal("Normal", width("standard uncertainty", u),
		number("estimate", x)))
}

// Certificate returns the normal distribution of a value x stated with expanded
// uncertainty U ≥ 0 and coverage factor k > 0: u = U/k (GUM 4.3.3). With k < 1 budget and
// simulation warn ([ErrSmallFactor]): certificates seldom state less than a standard
// uncertainty, and 0.95 is most likely the coverage probability (see [CertificateDOF]).
func Certificate(x, U, k float64) Distribution {
	l := bell(normal, x, U/k, math.Inf(1),
		firstRefusal("Certificate", width("expanded uncertainty", U),
			positive("coverage factor", k), number("estimate", x)))
	// Monte Carlo draws the same as without: the factor is for the warning alone.
	if k < 1 {
		l.factor = k
	}
	return l
}

// suspectFactor warns of a coverage factor below 1, for which somebody may have taken the
// coverage probability.
func (s *source) suspectFactor() error {
	if s.factor == 0 {
		return nil
	}
	return &Error{Op: "uncertainty.Evaluate", Name: s.name, Value: s.factor,
		Err: unit.Errorf(ErrSmallFactor,
			"coverage factor %v makes the standard uncertainty larger than the expanded one; "+
				"expected 1 or more, such as 2: is it the coverage probability?", s.factor)}
}

// A CertificateStatement is what a certificate says about a value whose coverage factor
// comes from Student's distribution.
type CertificateStatement struct {
	X   float64 // value
	U   float64 // expanded uncertainty, ≥ 0, in the unit of X
	P   float64 // coverage probability of U, 0 < P < 1
	DOF float64 // effective degrees of freedom, > 0, may be infinite
}

// CertificateDOF returns the scaled and shifted t-distribution of a value that is stated
// with an expanded uncertainty at a coverage probability and effective degrees of freedom:
// u = U/t_P(DOF) (GUM G.3, JCGM 101 6.4.9.7).
func CertificateDOF(c CertificateStatement) Distribution {
	err := firstRefusal("CertificateDOF", width("expanded uncertainty", c.U), probability(c.P),
		freedom(c.DOF), number("estimate", c.X))
	if err != nil {
		return law{cause: err}
	}
	k, err := CoverageFactor(c.P, c.DOF)
	return bell(student, c.X, c.U/k, c.DOF, err)
}

// StudentT returns the scaled and shifted t-distribution with estimate x, scale
// u ≥ 0 and dof > 0 degrees of freedom (JCGM 101 6.4.9). An infinite dof gives the
// normal distribution.
func StudentT(x, u, dof float64) Distribution {
	return bell(student, x, u, dof, firstRefusal("StudentT", width("scale", u), freedom(dof),
		number("estimate", x)))
}

// Rectangular returns the uniform distribution on x ± a, a ≥ 0: u = a/√3
// (GUM 4.3.7).
func Rectangular(x, a float64) Distribution { return flat("Rectangular", rectangular, x, a) }

// Triangular returns the symmetric triangular distribution on x ± a, a ≥ 0:
// u = a/√6 (GUM 4.3.9).
func Triangular(x, a float64) Distribution { return flat("Triangular", triangular, x, a) }

// Arcsine returns the U-shaped distribution of a quantity that cycles sinusoidally
// between x − a and x + a, a ≥ 0: u = a/√2 (JCGM 101 6.4.6).
func Arcsine(x, a float64) Distribution { return flat("Arcsine", arcsine, x, a) }

// Resolution returns the distribution of a reading x of an indicator that shows
// steps of q ≥ 0: uniform on x ± q/2, u = q/√12 (GUM F.2.2.1).
func Resolution(x, q float64) Distribution {
	if err := firstRefusal("Resolution", width("step", q)); err != nil {
		return law{cause: err}
	}
	return flat("Resolution", rectangular, x, q/2)
}

// Between returns the uniform distribution between two limits, lower ≤ upper: the
// estimate is their middle, u = (upper − lower)/√12 (GUM 4.3.7). It is the one
// constructor that takes limits and not an estimate.
func Between(lower, upper float64) Distribution {
	err := firstRefusal("Between", number("lower limit", lower), number("upper limit", upper))
	// Equal limits are allowed: the value is known.
	if err == nil && lower > upper {
		err = &Error{Op: "uncertainty.Between", Value: lower,
			Err: unit.Errorf(ErrDomain, "lower limit %v above the upper limit %v; expected lower "+
				"≤ upper", lower, upper)}
	}
	if err != nil {
		return law{cause: err}
	}
	// Half the difference first, so that limits of opposite sign near the largest float64 do not
	// overflow.
	return flat("Between", rectangular, lower+(upper-lower)/2, (upper-lower)/2)
}

// Reliability returns the degrees of freedom of a standard uncertainty that is
// itself judged to be uncertain by the given fraction: ν = 1/(2·fraction²)
// (GUM G.4.2). A fraction of 0 means that u is known exactly: ν is infinite.
// It is an error for a fraction that is not finite, below 0 or above 1e9, where u says
// nothing; the degrees of freedom are 0 then.
func Reliability(fraction float64) (dof float64, err error) {
	const op = "Reliability"
	if err := number("fraction", fraction); err != nil {
		return 0, refused("uncertainty."+op, "fraction", err)
	}
	if fraction < 0 || fraction > 1e9 {
		return 0, refusal(op, fraction, ErrDomain,
			"an uncertainty uncertain by the fraction %v of itself; expected 0 to 1e9, "+
				"such as 0.25 for a quarter", fraction)
	}
	return 1 / (2 * fraction * fraction), nil
}

// bell is a law of the normal family with estimate x, scale u and dof; err is what the constructor
// found wrong. For a t-distribution of readings u is s/√n, which JCGM 100 takes for the standard
// uncertainty and JCGM 101 for the scale: both are one number here, and StdDev another.
func bell(k kind, x, u, dof float64, err error) law {
	// The limit of infinite degrees of freedom is the normal law itself (GUM G.3.2).
	if k == student && math.IsInf(dof, 1) {
		k = normal
	}
	return law{kind: k, x: x, a: u, u: u, dof: dof, cause: err}
}

// flat is a law on x ± a. The variance of a symmetric law on ± a is a²/3, a²/6 or a²/2: GUM
// 4.3.7, 4.3.9 and, for arcsine, the mean of cos².
func flat(op string, k kind, x, a float64) law {
	u := a / [...]float64{rectangular: math.Sqrt(3), triangular: math.Sqrt(6),
		arcsine: math.Sqrt2}[k]
	return law{kind: k, x: x, a: a, u: u, dof: math.Inf(1),
		cause: firstRefusal(op, width("half-width", a), number("estimate", x))}
}

// firstRefusal is the first of the refusals that is not nil, with the operation; nil if all are.
// All checks have been made by then: they cost a comparison each.
func firstRefusal(op string, errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return refused("uncertainty."+op, "", err)
		}
	}
	return nil
}

// width refuses what is negative, positive what is not above 0, probability and freedom what
// their names say.
func width(what string, v float64) error {
	if err := number(what, v); err != nil {
		return err
	}
	if v < 0 {
		return &Error{Value: v, Err: unit.Errorf(ErrDomain, "%s is %v; expected 0 or more",
			what, v)}
	}
	return nil
}

// positive refuses what is not above 0, and what is not finite.
func positive(what string, v float64) error {
	if err := number(what, v); err != nil {
		return err
	}
	if v <= 0 {
		return &Error{Value: v, Err: unit.Errorf(ErrDomain, "%s is %v; expected more than 0",
			what, v)}
	}
	return nil
}

// probability refuses what is no coverage probability: 0 and 1 have no quantile.
func probability(p float64) error {
	if !(p > 0 && p < 1) {
		return &Error{Value: p, Err: unit.Errorf(ErrDomain, "coverage probability is %v; "+
			"expected more than 0 and less than 1", p)}
	}
	return nil
}

// freedom refuses what are no degrees of freedom; +Inf is one.
func freedom(dof float64) error {
	if !(dof > 0) {
		return &Error{Value: dof, Err: unit.Errorf(ErrDomain, "degrees of freedom are %v; "+
			"expected more than 0, or +Inf", dof)}
	}
	return nil
}

// Mean returns the estimate.
func (l law) Mean() float64 { return l.x }

// StdDev returns the standard deviation of the distribution in the sense of
// JCGM 101: for a t-distribution it is u·√(ν/(ν−2)), infinite for ν ≤ 2.
func (l law) StdDev() float64 {
	// The guides differ for this law alone, see [Distribution].
	if l.kind != student {
		return l.u
	}
	if l.dof <= 2 {
		return math.Inf(1)
	}
	return l.u * math.Sqrt(l.dof/(l.dof-2))
}

// Uncertainty returns the standard uncertainty and its degrees of freedom in the
// sense of JCGM 100.
func (l law) Uncertainty() (u, dof float64) { return l.u, l.dof }

// Quantile returns the value below which the quantity lies with probability p.
func (l law) Quantile(p float64) float64 {
	// At 0 and 1 some laws are infinite and some are not: neither is asked for.
	if !(p > 0 && p < 1) {
		return math.NaN()
	}
	switch l.kind {
	case rectangular:
		return l.x + float64(l.a*(2*p-1))
	case triangular:
		// The upper half by symmetry, where 1 − p keeps the digits that p loses.
		if p > 0.5 {
			return l.x + float64(l.a*(1-math.Sqrt(2*(1-p))))
		}
		return l.x - float64(l.a*(1-math.Sqrt(2*p)))
	case arcsine:
		// F = ½ + arcsin(z)/π, so that z = −cos πp
		return l.x - float64(l.a*elementary.Cos(math.Pi*p))
	case student:
		return l.x + float64(l.a*studentt.Quantile(p, l.dof))
	case trapezoidal, curvilinear:
		return l.x + float64(l.a*l.edge(p))
	case exponential:
		return -float64(l.x * elementary.Log1p(-p)) // Log1p keeps the digits of a small p
	case gamma:
		return gammaQuantile(l.x, p)
	default:
		return l.x + float64(l.a*elementary.NormalQuantile(p))
	}
}

// String names the distribution as a budget prints it.
func (l law) String() string { return kindNames[l.kind] }

// reach is the half-width of a bounded law, else infinite. A law with one end, such as the
// exponential one, counts as unbounded.
func (l law) reach() float64 {
	switch l.kind {
	case rectangular, triangular, arcsine, trapezoidal:
		return l.a
	case curvilinear:
		// The limits themselves are uncertain by ± d.
		return l.a + l.b
	}
	// What does not vary has a bound, whatever its law.
	if l.u == 0 {
		return 0
	}
	return math.Inf(1)
}
