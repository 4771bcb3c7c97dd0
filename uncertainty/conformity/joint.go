// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/internal/semidefinite"
	"example.com/ohmwright/uncertainty/unit"
)

// A JointProbability is the probability that several quantities lie inside their limits all
// at once: that of a whole box, where each setting has its own.
type JointProbability struct {
	Conforming float64 // that all are inside
	Error      float64 // of Conforming, from the numerical integration or the trials, at about 99 %
	Warnings   []error // of the results, where they say that the joint law is not the assumed one
}

// Jointly returns the probability that all results of an evaluation lie inside their
// tolerance intervals, one for each result and in their order, limits included; one or both
// ends may be infinite. The results are taken as jointly normal with their covariance matrix
// or, where one has finite degrees of freedom, as a multivariate t of the smallest of these.
//
// It is not the product of the single probabilities: settings of one box share decades and
// the standard, and what they share is right or wrong for all of them. It is never above the
// smallest of them.
//
// The integral is that of Genz (Journal of Computational and Graphical Statistics 1 (1992)
// 141; from memory) on shifted lattices, to 1e-5 or what 500,000 points give.
func Jointly(tolerances []uncertainty.Interval,
	results *uncertainty.Multivariate) (JointProbability, error) {
	const op = "Jointly"
	if results == nil || results.Covariance == nil || len(results.Budgets) == 0 {
		return JointProbability{}, &Error{Op: "conformity." + op, Name: "results",
			Err: unit.Errorf(ErrDomain,
				"none; expected those of an evaluation of several quantities")}
	}
	n := len(results.Budgets)
	if err := checkTolerances(op, tolerances, n); err != nil {
		return JointProbability{}, err
	}
	tolerances = slices.Clone(tolerances)
	for i, r := range results.Budgets {
		var err error
		if r == nil {
			continue // newBox refuses it
		}
		if tolerances[i], err = stated(op, tolerances[i], r.Unit); err != nil {
			return JointProbability{}, err
		}
	}
	b, out, err := newBox(op, tolerances, results)
	if err != nil {
		return JointProbability{}, err
	}
	out.Conforming, out.Error = b.probability()
	return out, nil
}

// checkTolerances refuses intervals that are no tolerance, and a number of them other than n. One
// without limits on both sides may stand.
func checkTolerances(op string, tolerances []uncertainty.Interval, n int) error {
	if len(tolerances) != n {
		return &Error{Op: "conformity." + op, Name: "tolerances", Value: float64(len(tolerances)),
			Err: unit.Errorf(ErrDomain, "%d for %d results; expected one for each",
				len(tolerances), n)}
	}
	for i, t := range tolerances {
		// A setting without limits takes part in the covariance and never fails.
		free := math.IsInf(t.Lower, -1) && math.IsInf(t.Upper, 1)
		if err := checkInterval(op, t); err != nil && !free {
			return &Error{Op: "conformity." + op, Name: fmt.Sprintf("tolerance %d", i+1),
				Value: t.Lower, Err: unit.Cause(err)}
		}
	}
	return nil
}

// box is a region of independent standard normal deviates z: row i allows
// lower_i·s ≤ Σ_k l_ik·z_k ≤ upper_i·s, s being √(χ²/ν) or 1.
type box struct {
	stages [][]bound // by the last deviate that a row contains
	dof    float64   // of s; infinite: s is 1
	scales []float64 // quantiles of s in the middles of equal shares; none where it is 1
	empty  bool      // a result without uncertainty lies outside
}

// bound is a row of the region, divided by the standard uncertainty of its result.
type bound struct {
	row          []float64 // up to the last deviate
	lower, upper float64   // in standard uncertainties from the estimate
}

// newBox checks the results and factorizes their covariance matrix.
func newBox(op string, tolerances []uncertainty.Interval,
	results *uncertainty.Multivariate) (*box, JointProbability, error) {
	var out JointProbability
	n := len(results.Budgets)
	if results.Covariance.SymmetricDim() != n {
		return nil, out, &Error{Op: "conformity." + op, Name: "covariance",
			Value: float64(results.Covariance.SymmetricDim()),
			Err: unit.Errorf(ErrDomain, "%d rows for %d results; expected as many",
				results.Covariance.SymmetricDim(), n)}
	}
	b := &box{dof: math.Inf(1)}
	c := make([][]float64, n)
	for i, r := range results.Budgets {
		// Below 1e-100 no scale of t can be formed.
		if r == nil || math.IsNaN(r.Estimate) || math.IsInf(r.Estimate, 0) || !(r.DOF > 1e-100) {
			return nil, out, &Error{Op: "conformity." + op, Name: fmt.Sprintf("result %d", i+1),
				Err: unit.Errorf(ErrNotFinite,
					"no finite estimate with degrees of freedom; expected the result of an "+
						"evaluation")}
		}
		// The smallest degrees of freedom: one t for all needs one ν, and this is the cautious
		// one.
		b.dof = min(b.dof, r.DOF)
		// Only warnings about the law of a result concern the joint law.
		out.Warnings = append(out.Warnings, slices.DeleteFunc(slices.Clone(r.Warnings),
			func(err error) bool { return !isNotNormal(err) })...)
		for k := range n {
			v := results.Covariance.At(i, k)
			if math.IsNaN(v) || math.IsInf(v, 0) || i == k && v < 0 {
				return nil, out, &Error{Op: "conformity." + op,
					Name: fmt.Sprintf("covariance, row %d, column %d", i+1, k+1), Value: v,
					Err: unit.Errorf(ErrNotFinite,
						"%v; expected finite covariances, and variances of 0 or more", v)}
			}
			c[i] = append(c[i], v)
		}
	}
	for i, r := range results.Budgets {
		// Below 1e-162 the square is 0, and the result would be taken as exact.
		if r.StandardUncertainty > 0 && c[i][i] == 0 {
			return nil, out, &Error{Op: "conformity." + op,
				Name: fmt.Sprintf("covariance, row %d, column %[1]d", i+1), Value: 0.0,
				Err: unit.Errorf(ErrDomain, "0 for a standard uncertainty of %v; expected its "+
					"square", r.StandardUncertainty)}
		}
	}
	// C = L·Lᵀ: results are sums of independent deviates.
	l := semidefinite.Factor(c)
	for i, r := range results.Budgets {
		b.addRow(l[i], tolerances[i], r.Estimate, math.Sqrt(c[i][i]))
	}
	return b, out, nil
}

// addRow files a row under its last deviate.
func (b *box) addRow(row []float64, t uncertainty.Interval, y, u float64) {
	// A result without uncertainty is inside or outside for certain.
	if u == 0 {
		b.empty = b.empty || !t.Contains(y)
		return
	}
	last := -1
	scaled := make([]float64, len(row))
	// In units of its own u, so that one limit on rounding serves all results.
	for k, v := range row {
		// What is left below this is the rounding of a singular matrix.
		if scaled[k] = v / u; math.Abs(scaled[k]) > 1e-7 {
			last = k
		}
	}
	// Stages are filled in order; a deviate that ends no row has an empty one.
	for len(b.stages) <= last {
		b.stages = append(b.stages, nil)
	}
	b.stages[last] = append(b.stages[last], bound{scaled[:last+1], (t.Lower - y) / u,
		(t.Upper - y) / u})
}

// scale is the quantile of √(χ²/ν), from a table but for the ends of the distribution: its
// inversion would cost more than all else.
func (b *box) scale(p float64) float64 {
	// Linear between 4,096 quantiles: the error is far below that of the integral.
	const cells = 4096
	if b.scales == nil {
		for i := range cells {
			b.scales = append(b.scales, b.exactScale((float64(i)+0.5)/cells))
		}
	}
	whole, part := math.Modf(p*cells - 0.5)
	// In the outermost half cells the quantile bends too much for a straight line.
	if i := int(whole); p*cells >= 0.5 && i+1 < cells {
		return b.scales[i] + float64(part*(b.scales[i+1]-b.scales[i]))
	}
	return b.exactScale(p)
}

// exactScale inverts the incomplete gamma function.
func (b *box) exactScale(p float64) float64 {
	return math.Sqrt(2 * mathext.GammaIncRegInv(b.dof/2, p) / b.dof)
}

// integrand returns the product of the conditional probabilities at a point of the unit cube, of
// which the first coordinate is that of s where the degrees of freedom are finite.
// Genz: given the deviates before it, each is limited to an interval, and is drawn within it.
func (b *box) integrand(point, z []float64) float64 {
	scale := 1.0
	if !math.IsInf(b.dof, 1) {
		scale = b.scale(point[0])
		point = point[1:]
	}
	product := 1.0
	for k, bounds := range b.stages {
		low, high := math.Inf(-1), math.Inf(1)
		for _, r := range bounds {
			// What the deviates before have used up of this row.
			var sum float64
			for i, v := range r.row[:k] {
				sum += float64(v * z[i])
			}
			// A negative coefficient turns the limits round.
			from, to := (float64(r.lower*scale)-sum)/r.row[k], (float64(r.upper*scale)-sum)/r.row[k]
			low, high = max(low, min(from, to)), min(high, max(from, to))
		}
		if low >= high {
			return 0
		}
		// Mirrored, so that the smaller tail keeps its digits.
		mirrored := low > 0
		if mirrored {
			low, high = -high, -low
		}
		from, to := math.Erfc(-low/math.Sqrt2)/2, math.Erfc(-high/math.Sqrt2)/2
		// The conditional probability of this deviate.
		product *= to - from
		// The last one needs no value of its own.
		if product == 0 || k == len(b.stages)-1 {
			break
		}
		// A point of the interval by its probability; infinite quantiles would spoil the next
		// rows.
		p := from + float64(point[k]*(to-from))
		z[k] = distuv.UnitNormal.Quantile(min(max(p, 1e-300), 1-0x1p-53))
		if mirrored {
			z[k] = -z[k]
		}
	}
	return product
}

// probability integrates over the unit cube by lattices of Richtmyer (multiples of the roots
// of primes) with twelve random shifts, whose scatter is the error.
func (b *box) probability() (p, err float64) {
	// The last deviate is integrated exactly, so that there is one dimension less.
	dims := max(0, len(b.stages)-1)
	if !math.IsInf(b.dof, 1) && len(b.stages) > 0 {
		dims++
	}
	switch {
	case b.empty:
		return 0, 0
	// One row, or rows that share one deviate: the answer is exact.
	case dims == 0:
		return b.integrand(nil, nil), 0
	}
	const shifts, most, wanted = 12, 500_000, 1e-5
	steps := rootsOfPrimes(dims)
	// A fixed seed: the same question has the same answer.
	random := rand.New(rand.NewPCG(1992, 141))
	offsets := make([][]float64, shifts)
	for i := range offsets {
		for range dims {
			offsets[i] = append(offsets[i], random.Float64())
		}
	}
	sums := make([]float64, shifts)
	point, z := make([]float64, dims), make([]float64, len(b.stages))
	// The number of points doubles until the scatter of the shifts is small enough.
	for done, next := 0, 1000; ; next *= 2 {
		for i, offset := range offsets {
			for n := done; n < next; n++ {
				for k, step := range steps {
					_, x := math.Modf(offset[k] + float64(float64(n+1)*step))
					// The tent map makes the integrand periodic, on which lattices converge
					// faster.
					point[k] = min(max(math.Abs(2*x-1), 1e-15), 1-0x1p-53) // periodic
				}
				sums[i] += b.integrand(point, z)
			}
		}
		done = next
		p, err = summary(sums, float64(done))
		if err <= wanted || 2*next*shifts > most {
			return p, err
		}
	}
}

// summary returns mean and 3 standard errors of the sums over n points each.
func summary(sums []float64, n float64) (mean, err float64) {
	for _, s := range sums {
		mean += s / n / float64(len(sums))
	}
	for _, s := range sums {
		d := s/n - mean
		err += float64(d * d)
	}
	// Three standard errors of the mean of the shifts.
	k := float64(len(sums))
	return min(1, max(0, mean)), 3 * math.Sqrt(err/(k*(k-1)))
}

// rootsOfPrimes returns the fractions of the roots of the first n primes.
func rootsOfPrimes(n int) []float64 {
	var primes []int
	// The primes up to n are found by division: there are few.
	out := make([]float64, 0, n)
	for candidate := 2; len(out) < n; candidate++ {
		if slices.ContainsFunc(primes, func(p int) bool { return candidate%p == 0 }) {
			continue
		}
		primes = append(primes, candidate)
		_, part := math.Modf(math.Sqrt(float64(candidate)))
		out = append(out, part)
	}
	return out
}

// JointlySimulated returns the probability that all quantities lie inside their tolerance
// intervals by simulation, where their laws are not normal or their models bend: the
// probability of an event in Monte Carlo ([uncertainty.Event]). Error is 2.6 standard
// deviations of the number of trials, and not below 3 over that number. Small probabilities need
// many trials.
func JointlySimulated(ctx context.Context, run uncertainty.MonteCarlo,
	tolerances []uncertainty.Interval, ys ...uncertainty.Quantity) (JointProbability, error) {
	const op = "JointlySimulated"
	if len(ys) == 0 {
		return JointProbability{}, &Error{Op: "conformity." + op, Name: "quantities",
			Err: unit.Errorf(ErrDomain, "none; expected one or more")}
	}
	if err := checkTolerances(op, tolerances, len(ys)); err != nil {
		return JointProbability{}, err
	}
	// A copy: the function runs while the caller may change his slice.
	own := slices.Clone(tolerances)
	for i, y := range ys {
		if own[i].Unit == "" {
			continue
		}
		b, err := uncertainty.Evaluate(y)
		if err != nil {
			return JointProbability{}, err
		}
		if own[i], err = stated(op, own[i], b.Unit); err != nil {
			return JointProbability{}, err
		}
	}
	all := uncertainty.Event("all inside", func(x []float64) bool {
		for i, v := range x {
			if !own[i].Contains(v) {
				return false
			}
		}
		return true
	}, ys...)
	run.Digits, run.Regions, run.Quantiles = 0, false, nil // an indicator has none
	s, err := run.Run(ctx, all)
	if err != nil {
		return JointProbability{}, err
	}
	valid := float64(s.Trials - s.Invalid)
	o := s.Outputs[0]
	return JointProbability{Conforming: min(1, max(0, o.Estimate)),
		// No trial outside in n trials leaves up to 3/n at 95 %.
		Error: max(2.6*o.Sampling.Estimate, 3/valid), Warnings: s.Warnings}, nil
}
