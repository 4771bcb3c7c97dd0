// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/mathext"

	"example.com/ohmwright/uncertainty/unit"
)

// The causes of warnings of a weighted mean.
var (
	ErrInconsistent   = errors.New("results do not agree within their uncertainties")
	ErrNegativeWeight = errors.New("negative weight")
)

// Mean is a weighted mean of several results with its consistency.
type Mean struct {
	Value       Quantity  // the mean; correlated with the results, as it should be
	Weights     []float64 // of the results, with sum 1
	ChiSquared  float64   // Σ of the squared deviations, weighted by the inverse covariance matrix
	DOF         int       // number of results less 1
	BirgeRatio  float64   // √(ChiSquared/DOF), near 1 if uncertainties are right; 0 for one result
	Probability float64   // of a larger ChiSquared, if the results agree; 1 for one result
	Warnings    []error
}

// WeightedMean returns the mean of results of one quantity with the least uncertainty:
//
//	x̄ = Σ w·x, w ∝ V⁻¹·1,
//
// V being the covariance matrix of the results. For independent results the weights are
// 1/u². What the results share is not averaged away, and counts in the mean.
//
// The uncertainty is that of the stated ones, whether the results agree or not: when they do not
// ([ErrInconsistent]), some of the stated uncertainties are too small, and the formula cannot
// show which. Multiplying by the Birge ratio is common practice; it is not done here. Correlated
// results can have weights below 0 ([ErrNegativeWeight]); check the covariances then.
//
// It refuses no results, exact ones, ones of different units ([ErrUnitMismatch]), and ones whose
// covariance matrix cannot be inverted since they differ by nothing uncertain ([ErrCovariance]).
func WeightedMean(results ...Quantity) (*Mean, error) {
	const op = "WeightedMean"
	n := len(results)
	if n == 0 {
		return nil, &Error{Op: "uncertainty." + op, Err: unit.Errorf(ErrObservations,
			"no results; expected at least one")}
	}
	all, err := EvaluateAll(results...)
	if err != nil {
		return nil, err
	}
	// V = D·R·D with the standard uncertainties D: R is well scaled whatever the units are, so that
	// its condition says how much the results share, and not how different their u are.
	u := make([]float64, n)
	x := make([]float64, n)
	for i, b := range all.Budgets {
		x[i], u[i] = b.Estimate, b.StandardUncertainty
		// An exact result would take all the weight, and leave nothing to a mean.
		if u[i] == 0 {
			return nil, &Error{Op: "uncertainty." + op, Name: b.Name, Value: x[i],
				Err: unit.Errorf(ErrCovariance,
					"result %d is exact; expected an uncertainty for each", i+1)}
		}
	}
	r := mat.NewSymDense(n, nil)
	for i := range n {
		for k := range i + 1 {
			coefficient, err := all.Correlation(i, k)
			if err != nil {
				return nil, err
			}
			r.SetSym(i, k, coefficient)
		}
	}
	var c mat.Cholesky
	// Beyond 1e12 the weights have four digits or less.
	if !c.Factorize(r) || !(c.Cond() < 1e12) {
		return nil, &Error{Op: "uncertainty." + op, Err: unit.Errorf(ErrCovariance,
			"some results share all their uncertainty; expected each to have some of its own")}
	}
	m := &Mean{DOF: n - 1, Probability: 1}
	m.Weights = weights(&c, u)
	// The mean is a linear function of the results: what they share stays in it.
	m.Value = Linear(0, m.Weights, results)
	// Weights carry no unit: results that do not add are no results of one quantity.
	if q, ok := m.Value.n.aux.(*many); ok {
		q.about = aboutSum
	}
	if _, err := Evaluate(m.Value); err != nil {
		return nil, &Error{Op: "uncertainty." + op, Err: unit.WithoutOp(err)}
	}
	m.judge(&c, x, u)
	return m, nil
}

// weights returns V⁻¹·1, normalised. Scaling by the smallest u keeps the range.
func weights(c *mat.Cholesky, u []float64) []float64 {
	n := len(u)
	smallest := u[0]
	for _, v := range u {
		smallest = min(smallest, v)
	}
	one := mat.NewVecDense(n, nil)
	for i, v := range u {
		// In units of the smallest u, so that 1/u² neither overflows nor underflows.
		one.SetVec(i, smallest/v)
	}
	var w mat.VecDense
	_ = c.SolveVecTo(&w, one) // its condition has been looked at
	out := make([]float64, n)
	var sum float64
	// D⁻¹ from the other side.
	for i := range out {
		out[i] = w.AtVec(i) * smallest / u[i]
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}

// judge computes the consistency and warns. For results that agree, χ² has n − 1 degrees of
// freedom, one being the mean; for independent ones it is Σ((x − x̄)/u)².
func (m *Mean) judge(c *mat.Cholesky, x, u []float64) {
	// χ² = dᵀ·V⁻¹·d = (D⁻¹d)ᵀ·R⁻¹·(D⁻¹d)
	n := len(x)
	d := mat.NewVecDense(n, nil)
	center := m.Value.Estimate()
	for i := range n {
		d.SetVec(i, (x[i]-center)/u[i])
	}
	for i, w := range m.Weights {
		if w < 0 {
			m.Warnings = append(m.Warnings, &Error{Op: "uncertainty.WeightedMean", Value: w,
				Err: unit.Errorf(ErrNegativeWeight,
					"result %d has the weight %.3g, since it is strongly correlated with a better "+
						"one; check how the correlation was stated", i+1, w)})
		}
	}
	// One result agrees with itself.
	if m.DOF == 0 {
		return
	}
	var s mat.VecDense
	_ = c.SolveVecTo(&s, d)
	m.ChiSquared = max(0, mat.Dot(d, &s))
	m.BirgeRatio = math.Sqrt(m.ChiSquared / float64(m.DOF))
	m.Probability = mathext.GammaIncRegComp(float64(m.DOF)/2, m.ChiSquared/2)
	// At 5 %, as everywhere in this package.
	if m.Probability < 0.05 {
		m.Warnings = append(m.Warnings, &Error{Op: "uncertainty.WeightedMean", Value: m.ChiSquared,
			Err: unit.Errorf(ErrInconsistent,
				"the results do not agree: chi-squared %.3g with %s, probability %.2g, Birge "+
					"ratio %.3g", m.ChiSquared, freedoms(float64(m.DOF)), m.Probability,
				m.BirgeRatio)})
	}
}
