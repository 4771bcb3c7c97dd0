// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"
	"math"
	"math/bits"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/mathext"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// An Agreement is the comparison of two results of one quantity: see [Agree].
type Agreement struct {
	Difference          Quantity // first less second; what they share cancels
	Estimate            float64  // of the difference, in the unit of the results
	StandardUncertainty float64  // u(d)
	Expanded            Expanded // of the difference, at 95 %

	En   float64 // d/U(d); |En| ≤ 1 is agreement at 95 %
	Zeta float64 // d/u(d)

	// Probability is that of a difference as large or larger on either side, where both
	// results are of one quantity and their uncertainties are right.
	Probability float64
}

// Agree compares two results of one quantity, such as the values of two laboratories, or one
// result with the mean of several (a degree of equivalence of a key comparison). Unlike
// [EnScore] it knows what the two have in common: the same standard, or that one is part of
// the mean. Two results that differ by nothing uncertain cannot be compared ([ErrDomain]).
func Agree(first, second Quantity) (*Agreement, error) {
	d := first.Sub(second).Named("difference")
	b, err := Evaluate(d)
	if err != nil {
		return nil, err
	}
	u := b.StandardUncertainty
	if u == 0 {
		return nil, refusal("Agree", b.Estimate, ErrDomain,
			"the results differ by %v, and the difference has no uncertainty; expected one",
			b.Estimate)
	}
	a := &Agreement{Difference: d, Estimate: b.Estimate, StandardUncertainty: u,
		Expanded: b.Expanded}
	// With u = U/2 for large ν, E_n is half of ζ.
	a.Zeta, a.En = b.Estimate/u, b.Estimate/b.Expanded.U
	a.Probability = twoTails(math.Abs(a.Zeta), b.DOF)
	return a, nil
}

// twoTails is the probability of |t| above a limit, by Student's distribution.
// The tails of t are an incomplete beta function, 2·Pr(t > T) = I(ν/2, ½; ν/(ν + T²)).
func twoTails(t, dof float64) float64 {
	switch {
	// as normal: beyond it the incomplete beta function loses digits
	case dof > mostDOF: // beyond it the incomplete beta function loses digits
		return math.Erfc(t / math.Sqrt2)
	case dof < leastDOF: // so few that any deviation is within chance
		return 1
	}
	return mathext.RegIncBeta(dof/2, 0.5, dof/(dof+float64(t*t)))
}

// EnScore returns the E_n score of a result x with expanded uncertainty U against an
// assigned value, both at the same coverage probability and independent of each other:
//
//	E_n = (x − assigned)/√(U² + UAssigned²)
//
// (ISO 13528:2022, 9.7; ISO/IEC 17043). The uncertainties are ≥ 0 and not both 0.
func EnScore(x, U, assigned, UAssigned float64) (float64, error) {
	return score("EnScore", x, assigned, "U", U, "UAssigned", UAssigned)
}

// ZetaScore returns the zeta score of a result x against an assigned value, as [EnScore] does
// with standard uncertainties: ζ = (x − assigned)/√(u² + uAssigned²) (ISO 13528:2022, 9.6).
func ZetaScore(x, u, assigned, uAssigned float64) (float64, error) {
	return score("ZetaScore", x, assigned, "u", u, "uAssigned", uAssigned)
}

// ZScore returns the z score of a result x: its difference from an assigned value over the
// standard deviation sigma > 0 for proficiency assessment, which says what is good enough
// (ISO 13528:2022, 9.4). Where the assigned value is itself uncertain by more than 0.3·sigma,
// use [ZPrimeScore].
func ZScore(x, assigned, sigma float64) (float64, error) {
	return score("ZScore", x, assigned, "sigma", sigma, "", 0)
}

// ZPrimeScore returns the z' score, which allows for the standard uncertainty of the assigned
// value: z' = (x − assigned)/√(sigma² + uAssigned²) (ISO 13528:2022, 9.5).
func ZPrimeScore(x, assigned, sigma, uAssigned float64) (float64, error) {
	return score("ZPrimeScore", x, assigned, "sigma", sigma, "uAssigned", uAssigned)
}

// score is (x − assigned)/√(a² + b²) for the operation op; the names of a and b are for errors.
// For z, which has one, b is 0 and nameB empty.
func score(op string, x, assigned float64, nameA string, a float64, nameB string,
	b float64) (float64, error) {
	if err := firstRefusal(op, number("x", x), number("assigned", assigned), width(nameA, a),
		width(nameB, b)); err != nil {
		return 0, err
	}
	// Hypot neither overflows nor underflows in between.
	s := (x - assigned) / elementary.Hypot(a, b)
	// Both 0, or so small beside the difference that the quotient overflows.
	if math.IsNaN(s) || math.IsInf(s, 0) {
		what, together := nameA, ""
		if nameB != "" {
			what, together = nameA+" and "+nameB, " together"
		}
		return 0, refusal(op, elementary.Hypot(a, b), ErrDomain,
			"%s: %v; expected more than 0%s, beside which the difference can be seen", what,
			elementary.Hypot(a, b), together)
	}
	return s, nil
}

// Performance is the judgement of a laboratory by its score (ISO/IEC 17043, annex B; ISO
// 13528:2022, 9.4.2).
type Performance uint8

// The performances; the zero value is none.
const (
	PerformanceNone           Performance = iota
	PerformanceSatisfactory               // |z| ≤ 2, |E_n| ≤ 1
	PerformanceQuestionable               // 2 < |z| < 3: a warning
	PerformanceUnsatisfactory             // |z| ≥ 3, |E_n| > 1: find the cause
)

var performances = file.Words[Performance]{
	Type: "uncertainty.Performance", Texts: []string{"no score", "satisfactory", "questionable",
		"unsatisfactory"},
}

// String returns "satisfactory", "questionable", "unsatisfactory" or "no score".
func (p Performance) String() string { return performances.String(p) }

// MarshalText returns the text of String; another value is refused ([ErrDomain]).
func (p Performance) MarshalText() ([]byte, error) { return performances.Marshal(p) }

// UnmarshalText reads the text of String.
func (p *Performance) UnmarshalText(text []byte) error { return performances.Unmarshal(text, p) }

// JudgeZ returns the performance that a z, z' or zeta score stands for; [PerformanceNone] for
// NaN.
func JudgeZ(score float64) Performance {
	switch z := math.Abs(score); {
	case math.IsNaN(z):
		return PerformanceNone
	case z <= 2:
		return PerformanceSatisfactory
	case z < 3:
		return PerformanceQuestionable
	}
	return PerformanceUnsatisfactory
}

// JudgeEn returns the performance that an E_n score stands for; [PerformanceNone] for NaN.
func JudgeEn(score float64) Performance {
	switch e := math.Abs(score); {
	case math.IsNaN(e):
		return PerformanceNone
	case e <= 1:
		return PerformanceSatisfactory
	}
	return PerformanceUnsatisfactory
}

// A ConsistentSubset is the largest subset of several results that agree with each other.
type ConsistentSubset struct {
	Mean    *Mean // of those that agree
	Inside  []int // their places, from 0, in rising order
	Outside []int // the others
}

// LargestConsistentSubset returns the most results of one quantity that agree within their
// uncertainties, that is whose χ² about their weighted mean has a probability of 5 % or more;
// among as many, those with the least χ². It does not say that the others are wrong: more
// results may be off together. At most 16 results are taken, since all subsets are tried. It
// refuses what [WeightedMean] refuses.
func LargestConsistentSubset(results ...Quantity) (*ConsistentSubset, error) {
	const op, limit = "LargestConsistentSubset", 16
	n := len(results)
	if n > limit {
		return nil, refusal(op, float64(n), ErrDomain, "%d results; expected at most %d", n, limit)
	}
	// It checks the results once, before 65,536 subsets are formed.
	if _, err := WeightedMean(results...); err != nil {
		return nil, err
	}
	all, err := EvaluateAll(results...)
	if err != nil {
		return nil, err
	}
	best, least := uint(0), math.Inf(1)
	// Each subset is a number, each of its bits a result.
	for subset := uint(1); subset < 1<<n; subset++ {
		size := bits.OnesCount(subset)
		// Fewer than the best cannot win; as many may have the smaller χ².
		if size < bits.OnesCount(best) {
			continue
		}
		chi := all.chiSquared(placesOf(subset))
		// The probability of so large a χ² with n − 1 degrees of freedom; one result always
		// agrees.
		if size > 1 && mathext.GammaIncRegComp(float64(size-1)/2, chi/2) < 0.05 {
			continue
		}
		if size > bits.OnesCount(best) || chi < least {
			best, least = subset, chi
		}
	}
	s := &ConsistentSubset{Inside: placesOf(best), Outside: placesOf(best ^ (1<<n - 1))}
	var inside []Quantity
	for _, i := range s.Inside {
		inside = append(inside, results[i])
	}
	s.Mean, err = WeightedMean(inside...)
	return s, err
}

// placesOf are those of the bits that are set, in rising order: 0b101 gives 0 and 2.
func placesOf(subset uint) (places []int) {
	for ; subset != 0; subset &= subset - 1 {
		places = append(places, bits.TrailingZeros(subset))
	}
	return places
}

// chiSquared is that of the results at some places about their weighted mean, by differences
// from the first, whose covariance matrix needs no mean: with d_i = x_i − x_1 and their covariance
// matrix V it is dᵀ·V⁻¹·d, which does not depend on the result that is subtracted. Of two
// independent results it is d²/(u_1² + u_2²). The cost goes with the cube of the number of places;
// infinite means that two results are one quantity.
func (m *Multivariate) chiSquared(places []int) float64 {
	first, places := places[0], places[1:]
	n := len(places)
	if n == 0 {
		return 0
	}
	v, d := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for a, i := range places {
		d.SetVec(a, m.Budgets[i].Estimate-m.Budgets[first].Estimate)
		for b, k := range places[:a+1] {
			// cov(d_i, d_k) = v_ik − v_i1 − v_1k + v_11 for differences from the first.
			v.SetSym(a, b, m.Covariance.At(i, k)-m.Covariance.At(i, first)-m.Covariance.At(k,
				first)+m.Covariance.At(first, first))
		}
	}
	var c mat.Cholesky
	var x mat.VecDense
	// Not positive definite: two results that are the same quantity.
	if !c.Factorize(v) {
		return math.Inf(1)
	}
	_ = c.SolveVecTo(&x, d) // all results together could be solved
	return max(0, mat.Dot(d, &x))
}

// A RandomEffectsMean is a mean of results that differ by more than their stated uncertainties
// explain.
type RandomEffectsMean struct {
	Mean *Mean // of the results with Between added to each
	// Between is the standard deviation from laboratory to laboratory beyond what is stated; 0
	// where they agree.
	Between float64
}

// MeanWithBetween returns the mean of two or more results of one quantity with the standard
// deviation from result to result that makes χ² as large as expected, n − 1 (the method of
// Mandel and Paule, Analytical Chemistry 42 (1970) 1194; moments of the random-effects model,
// from memory):
//
//	Σ (x_i − x̄)²/(u_i² + between²) = n − 1.
//
// It describes the laboratories and is not an uncertainty that one of them has stated: where it
// is above 0, some of the stated uncertainties are too small, and the formula cannot show which.
// Each result gets an input "between results", of one pool with n − 1 degrees of freedom.
// Correlated results keep what they share. It refuses what [WeightedMean] refuses, and one
// result.
func MeanWithBetween(results ...Quantity) (*RandomEffectsMean, error) {
	const op = "MeanWithBetween"
	n := len(results)
	if n < 2 {
		return nil, refusal(op, float64(n), ErrObservations, "%s; expected 2 or more",
			unit.Counted(n, "result", "results"))
	}
	plain, err := WeightedMean(results...)
	if err != nil {
		return nil, err
	}
	// Nothing is missing: the results scatter as they state or less.
	if plain.ChiSquared <= float64(plain.DOF) {
		return &RandomEffectsMean{Mean: plain}, nil
	}
	all, err := EvaluateAll(results...)
	if err != nil {
		return nil, err
	}
	stated := mat.NewSymDense(n, nil)
	stated.CopySym(all.Covariance)
	whole := make([]int, n)
	for i := range whole {
		whole[i] = i
	}
	// χ² falls as the part between grows, so that the equation has one solution. It is written into
	// the covariance matrix of all, which nothing else reads any more.
	falls := func(between float64) bool {
		for i := range n {
			all.Covariance.SetSym(i, i, stated.At(i, i)+float64(between*between))
		}
		return all.chiSquared(whole) > float64(n-1)
	}
	// With a variance as large as all scatter, χ² is about n − 1: the search starts above.
	low, high := 0.0, math.Sqrt(squaresOf(all))
	for range 200 {
		if !falls(high) {
			break
		}
		low, high = high, 2*high
	}
	// Halving ends where no float64 lies between the ends.
	for range 200 {
		middle := low + (high-low)/2
		if middle == low || middle == high {
			break
		}
		if falls(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	widened := make([]Quantity, n)
	// The results keep their sources, and with them what they share.
	for i, q := range results {
		widened[i] = q.Add(Source{
			Name: fmt.Sprintf("between results, %d", i+1), Unit: all.Budgets[i].Unit,
			Distribution: Normal(0, high), DOF: float64(n - 1), Pool: "between results",
		}.Input())
	}
	m, err := WeightedMean(widened...)
	if err != nil {
		return nil, refused("uncertainty."+op, "", unit.Errorf(err, "%v", err))
	}
	return &RandomEffectsMean{Mean: m, Between: high}, nil
}

// squaresOf is the sum of the squared deviations of the estimates from the first.
func squaresOf(m *Multivariate) float64 {
	var sum float64
	for _, b := range m.Budgets {
		d := b.Estimate - m.Budgets[0].Estimate
		sum += float64(d * d)
	}
	return sum
}
