// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/mathext"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/internal/studentt"
	"example.com/ohmwright/uncertainty/unit"
)

// FQuantile returns the value below which the ratio of two mean squares lies with
// probability p, 1e-15 to 1 − 1e-15, where their expectations are equal: the quantile of the F
// distribution with dof1 > 0 degrees of freedom above and dof2 > 0 below the line, either of
// which may be infinite (GUM H.5.2.3). With dof2 infinite it is the quantile of χ²/ν. A
// quantile beyond the range of float64 is refused ([ErrDomain]).
func FQuantile(p, dof1, dof2 float64) (float64, error) {
	const op = "uncertainty.FQuantile"
	// Beyond, 1 − p is 1 in float64, and the inverse functions lose their way.
	const least = 1e-15
	if !(p >= least && p <= 1-least) {
		return 0, &Error{Op: op, Name: "p", Value: p,
			Err: unit.Errorf(ErrDomain,
				"%v; expected a probability from %v to 1 − %[2]v, such as 0.95", p, least)}
	}
	for i, dof := range []float64{dof1, dof2} {
		if err := freedom(dof); err != nil {
			return 0, refused(op, []string{"dof1", "dof2"}[i], err)
		}
	}
	f := math.NaN()
	// Below leastDOF the functions have no arguments left, and no quantile that anybody needs.
	if min(dof1, dof2) >= leastDOF {
		f = fQuantile(p, dof1, dof2)
	}
	if !(f > 0) || math.IsInf(f, 0) {
		return 0, &Error{Op: op, Name: "dof1, dof2", Value: f, Err: unit.Errorf(ErrDomain,
			"the quantile for %v and %v degrees of freedom comes out as %v; expected degrees of "+
				"freedom for which float64 holds it", dof1, dof2, f)}
	}
	return f, nil
}

const (
	// mostDOF are the degrees of freedom up to which the inverse functions of gonum keep
	// twelve digits. Beyond 1e7 they are off by 1e-6 and more, beyond 1e300 they do not end.
	mostDOF = 1e6
	// expansionDOF are those, of both mean squares, from which the expansion of ln F is right
	// to 2e-13 for every p that is allowed.
	expansionDOF = 1e5
	// bentDOF are those of one mean square from which F, between mostDOF and infinity of the
	// other, is not as straight as the digits that are kept.
	bentDOF = 30
)

// leastDOF is where the inverse functions of gonum still have arguments above 0. Nobody has so few
// degrees of freedom; the limit is there for products of small numbers that somebody computes.
const leastDOF = 1e-100

// fQuantile knows no refusals: what is not finite is left to the caller.
func fQuantile(p, dof1, dof2 float64) float64 {
	switch {
	case math.IsInf(dof1, 1) && math.IsInf(dof2, 1):
		// Both mean squares are known exactly.
		return 1
	case min(dof1, dof2) >= expansionDOF:
		return elementary.Exp(logFExpansion(p, dof1, dof2))
	case math.IsInf(dof2, 1):
		// χ²/ν above the line, 1 below.
		return 2 * mathext.GammaIncRegInv(dof1/2, p) / dof1
	case math.IsInf(dof1, 1):
		// 1 above the line, χ²/ν below: the upper tail of χ² is the lower one of F.
		return dof2 / (2 * mathext.GammaIncRegCompInv(dof2/2, p))
	case max(dof1, dof2) > mostDOF:
		return fQuantileBetween(p, dof1, dof2)
	}
	// The smaller of x and 1 − x keeps its digits.
	// F = ν2·x/(ν1·(1 − x)) with x of the beta distribution (Handbook of Mathematical Functions,
	// 26.6.2 and 26.5.1).
	x := mathext.InvRegIncBeta(dof1/2, dof2/2, p)
	// The other tail, with the parameters exchanged, finds 1 − x itself.
	if x > 0.5 {
		y := mathext.InvRegIncBeta(dof2/2, dof1/2, 1-p)
		return dof2 * (1 - y) / (dof1 * y)
	}
	return dof2 * x / (dof1 * (1 - x))
}

// fQuantileBetween is the quantile where one mean square has degrees of freedom beyond mostDOF:
// between those at mostDOF and at infinity, linear in their inverse. Corrections for finite ν go
// with 1/ν, so that with share = mostDOF/ν, between 0 and 1,
//
//	F(ν) = F(∞) + share·(F(mostDOF) − F(∞)).
//
// What is dropped goes with 1/mostDOF² = 1e-12 where the other mean square has few degrees of
// freedom. Where it has many, F bends too much, and the line is drawn through what the expansion
// of ln F leaves.
func fQuantileBetween(p, dof1, dof2 float64) float64 {
	quantile, expansion := fQuantile, logFExpansion
	few, many := dof1, dof2
	if dof1 > dof2 {
		few, many = dof2, dof1
		quantile = func(p, few, many float64) float64 { return fQuantile(p, many, few) }
		expansion = func(p, few, many float64) float64 { return logFExpansion(p, many, few) }
	}
	share := mostDOF / many
	start, end := quantile(p, few, math.Inf(1)), quantile(p, few, mostDOF)
	if few < bentDOF {
		return start + float64((end-start)*share)
	}
	// ln F goes as √(1/few + 1/many). What the expansion leaves of it is small, and straight.
	rest := func(f, many float64) float64 { return elementary.Log(f) - expansion(p, few, many) }
	start, end = rest(start, math.Inf(1)), rest(end, mostDOF)
	return elementary.Exp(expansion(p, few, many) + start + float64((end-start)*share))
}

// logFExpansion is ln F by the expansion of Cornish and Fisher (Technometrics 2, 1960, 209, in
// the form for z = ln F/2, from memory) in powers of 1/√ν, six terms. With x the normal
// quantile, σ = 1/ν1 + 1/ν2 and δ = 1/ν1 − 1/ν2:
//
//	z = x√(σ/2) − δ/6 (x² + 2) + x√(σ/2) [σ/24 (x² + 3) + δ²/72σ (x² + 11)]
//	  − δσ/120 (x⁴ + 9x² + 8) + δ³/3240σ (3x⁴ + 7x² − 16)
//	  + x√(σ/2) [σ²/1920 (x⁴ + 20x² + 15) + δ²/2880 (x⁴ + 44x² + 183)
//	             + δ⁴/155520σ² (9x⁴ − 284x² − 1513)]
func logFExpansion(p, dof1, dof2 float64) float64 {
	x := studentt.Quantile(p, math.Inf(1))
	x2 := float64(x * x)
	x4 := float64(x2 * x2)
	sum, difference := 1/dof1+1/dof2, 1/dof1-1/dof2
	ratio := difference / sum // between −1 and 1, where squares of either would underflow
	polynomial := func(c4, c2, c0 float64) float64 { return float64(c4*x4) + float64(c2*x2) + c0 }
	skew := float64(ratio * ratio)
	odd := 1 + float64(sum*(polynomial(0, 1, 3)/24+float64(skew*polynomial(0, 1, 11))/72)) +
		float64(sum*sum*(polynomial(1, 20, 15)/1920+float64(skew*polynomial(1, 44, 183))/2880+
			float64(skew*skew*polynomial(9, -284, -1513))/155520))
	even := -polynomial(0, 1, 2)/6 + float64(sum*(float64(skew*polynomial(3, 7, -16))/3240-
		polynomial(1, 9, 8)/120))
	return 2 * (float64(x*math.Sqrt(sum/2)*odd) + float64(difference*even))
}
