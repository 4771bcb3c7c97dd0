// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// C4 returns the factor c4 by which an experimental standard deviation with dof > 0 degrees
// of freedom falls short on average, E(s) = c4·σ, for normally distributed observations:
//
//	c4 = √(2/ν)·Γ((ν + 1)/2)/Γ(ν/2)
//
// so that s/c4 estimates σ without bias (the factor of control charts). For n observations
// of one quantity dof is n − 1. An infinite dof gives 1.
func C4(dof float64) (float64, error) {
	if err := freedom(dof); err != nil {
		return 0, refused("uncertainty.C4", "dof", err)
	}
	// From the logarithm, which neither overflows nor underflows.
	return math.Exp(logC4(dof)), nil
}

// StdDevUncertainty returns the relative standard uncertainty of an experimental standard
// deviation with dof > 0 degrees of freedom, for normally distributed observations: that of
// s/c4, whose expectation is right,
//
//	√(1 − c4²)/c4
//
// (GUM E.4.3 and table E.1, which tabulate it for the standard deviation of a mean of
// n = dof + 1 observations). The approximation of the guide, 1/√(2ν), is that of
// [Reliability].
func StdDevUncertainty(dof float64) (float64, error) {
	if err := freedom(dof); err != nil {
		return 0, refused("uncertainty.StdDevUncertainty", "dof", err)
	}
	// (1 − c4²)/c4² = exp(−2·ln c4) − 1, by Expm1 without cancelling for large ν.
	v := math.Sqrt(math.Expm1(-2 * logC4(dof)))
	if err := number("relative uncertainty of the standard deviation", v); err != nil {
		return 0, refused("uncertainty.StdDevUncertainty", "dof", err)
	}
	return v, nil
}

// logC4 is the logarithm of c4. From 50 degrees of freedom on it is the expansion of the
// ratio of two gamma functions, by Stirling's series with the Bernoulli numbers B,
//
//	ln c4 = −Σ (4^k − 1)·B_2k/(2k(2k − 1)·ν^(2k−1))
//	      = −1/(4ν) + 1/(24ν³) − 1/(20ν⁵) + 17/(112ν⁷) − …
//
// whose next term, 31/(36ν⁹), is below 1e-15 there.
func logC4(dof float64) float64 {
	if dof < 50 {
		// Γ(ν/2 + 1) = ν/2·Γ(ν/2) takes √(2/ν) to √(ν/2), and keeps the argument away from 0.
		return math.Log(math.Sqrt(dof/2) * math.Gamma((dof+1)/2) / math.Gamma(dof/2+1))
	}
	r := 1 / dof
	s := float64(r * r)
	return -r * (0.25 - float64(s*(1.0/24-float64(s*(0.05-float64(s*17/112))))))
}

// A PooledStdDev is the standard deviation of one observation, from several series that are
// scattered alike about means of their own (GUM 4.2.4, H.3.6).
type PooledStdDev struct {
	StdDev float64 // s_p = √(Σν·s²/Σν)
	DOF    float64 // Σν
	Series int     // those with two observations or more

	// ChiSquared is Bartlett's statistic of the hypothesis that all series scatter alike,
	// with Series − 1 degrees of freedom; Probability is that of a larger one by chance.
	// NaN and 1 where there is one series only. Where a series does not scatter at all and
	// another does, ChiSquared is infinite.
	ChiSquared, Probability float64
}

// Pool pools the experimental standard deviations of series of observations in one unit,
//
//	s_p² = Σ(n_i − 1)·s_i²/Σ(n_i − 1),
//
// and tests whether they may be pooled (Bartlett; NIST/SEMATECH Handbook of Statistical
// Methods, 1.3.5.7). Series of one observation contribute nothing. It refuses no series with two
// observations ([ErrObservations]) and values that are not finite ([ErrNotFinite]). The result
// goes into [TypeAPooled].
func Pool(series ...[]float64) (PooledStdDev, error) {
	const op = "Pool"
	p := PooledStdDev{ChiSquared: math.NaN(), Probability: 1}
	var squares compensated
	var logs, inverse float64
	for _, x := range series {
		// One observation has no degree of freedom; it is only looked at.
		if len(x) < 2 {
			if _, err := mean(op, x); len(x) == 1 && err != nil {
				return PooledStdDev{}, err
			}
			continue
		}
		m, err := mean(op, x)
		if err != nil {
			return PooledStdDev{}, err
		}
		// (n − 1)·s², not s², so that nothing is divided and multiplied again.
		sum, dof := squaresAbout(m, x), float64(len(x)-1)
		squares.add(sum)
		// −Inf for a series that does not scatter: the statistic then becomes infinite.
		logs += float64(dof * math.Log(sum/dof))
		inverse += 1 / dof
		p.DOF += dof
		p.Series++
	}
	if p.Series == 0 {
		return PooledStdDev{}, refusal(op, float64(len(series)), ErrObservations,
			"%d series, none with two observations; expected one or more with two", len(series))
	}
	variance := (squares.sum + squares.lost) / p.DOF
	if err := number("pooled variance", variance); err != nil {
		return PooledStdDev{}, refused("uncertainty."+op, "", err)
	}
	p.StdDev = math.Sqrt(variance)
	// One series has nothing to be compared with.
	if p.Series > 1 {
		p.bartlett(float64(p.DOF*math.Log(variance))-logs, inverse)
	}
	return p, nil
}

// bartlett fills in the test from Σν·ln(s_p²/s²) and Σ1/ν.
// M/C of Bartlett's test, C the correction for small samples.
func (p *PooledStdDev) bartlett(spread, inverse float64) {
	free := float64(p.Series - 1)
	p.ChiSquared = max(0, spread) / (1 + (inverse-1/p.DOF)/(3*free))
	switch {
	case p.StdDev == 0: // nothing scatters: all alike
		p.ChiSquared = 0
	case math.IsInf(p.ChiSquared, 1):
		p.Probability = 0
		return
	}
	// The upper tail of χ² with Series − 1 degrees of freedom.
	p.Probability = mathext.GammaIncRegComp(free/2, p.ChiSquared/2)
}
