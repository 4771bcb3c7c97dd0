// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package leastsquares

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty/unit"
)

// Estimator is the generalised least-squares solution of y = A·x with errors of
// covariance V:
//
//	x = (Aᵀ·V⁻¹·A)⁻¹·Aᵀ·V⁻¹·y
//
// found by whitening with the Cholesky factor of V and a QR decomposition, which do not
// square the condition of the problem.
type Estimator struct {
	Matrix    *mat.Dense // K: x = K·y
	Whitening *mat.Dense // W: Wᵀ·W = V⁻¹
	Variances []float64  // of x, the diagonal of (Aᵀ·V⁻¹·A)⁻¹
	Floored   bool       // V was singular: see [FloorShare]

	design *mat.Dense // A
	// Z: Z·y is what the readings say beyond the solution, in standard deviations; Z·A = 0
	checks [][]float64
}

const (
	// worstCondition of the correlation matrix of the readings up to which V is taken
	// as it is.
	worstCondition = 1e11
	// FloorShare is the standard deviation, as a part of u of each reading, that is
	// taken as its own where V is singular: where readings have only common errors,
	// every difference of them would be exact.
	FloorShare = 1e-4
)

// New prepares the solution for a design A of full column rank and a covariance V.
func New(a *mat.Dense, v *mat.SymDense) (*Estimator, error) {
	g := &Estimator{design: a}
	if err := g.whiten(v); err != nil {
		return nil, err
	}
	n, m := a.Dims()
	var t triangle
	t.reset(n, m, n)
	for i := range n {
		row, w := t.row(i), g.Whitening.RawRowView(i)
		for k, v := range w {
			if v != 0 {
				floats.AddScaled(row[:m], v, a.RawRowView(k))
			}
		}
		copy(row[m:], w)
	}
	if !t.reduce() {
		return nil, unit.Errorf(unit.ErrDomain,
			"least squares: the weights leave too little of some readings; expected readings of "+
				"less different weights")
	}
	g.take(&t)
	return g, nil
}

// take reads the solution off the triangle of W·A, with W as sides.
func (g *Estimator) take(t *triangle) {
	m := t.columns
	for _, i := range t.rest {
		g.checks = append(g.checks, t.side(i))
	}
	t.solve()
	g.Matrix = mat.NewDense(m, t.rows, nil)
	for j, k := range t.order {
		g.Matrix.SetRow(k, t.side(t.pivot[j]))
	}
	c := make([]float64, m*m)
	t.covariance(c)
	for k := range m {
		g.Variances = append(g.Variances, c[k*m+k])
	}
}

// whiten finds W = L⁻¹·D⁻¹, where D are the standard uncertainties and L·Lᵀ is the
// correlation matrix.
func (g *Estimator) whiten(v *mat.SymDense) error {
	n := v.SymmetricDim()
	scale, exact := scales(v)
	c := mat.NewSymDense(n, nil)
	for i := range n {
		for k := range i {
			c.SetSym(i, k, v.At(i, k)/scale[i]/scale[k])
		}
		c.SetSym(i, i, 1)
	}
	g.Floored = exact
	var l mat.Cholesky
	if ok := l.Factorize(c); !ok || l.Cond() > worstCondition {
		g.Floored = true
		for i := range n {
			c.SetSym(i, i, 1+FloorShare*FloorShare)
		}
		if ok := l.Factorize(c); !ok {
			return unit.Errorf(unit.ErrDomain,
				"the covariance matrix of the readings is not one; expected a positive definite "+
					"matrix")
		}
	}
	inverse := mat.NewDense(n, n, nil)
	for i := range n {
		inverse.Set(i, i, 1/scale[i])
	}
	g.Whitening = new(mat.Dense)
	var lower mat.TriDense
	l.LTo(&lower)
	return g.Whitening.Solve(&lower, inverse)
}

// scales are the standard uncertainties; where some are 0 they are far smaller than all
// others, and where all are 0 they are equal.
func scales(v *mat.SymDense) (scale []float64, exact bool) {
	scale = make([]float64, v.SymmetricDim())
	least := math.Inf(1)
	for i := range scale {
		scale[i] = math.Sqrt(max(0, v.At(i, i)))
		if scale[i] > 0 {
			least = min(least, scale[i])
		}
	}
	if math.IsInf(least, 1) {
		least = 1 / FloorShare
	}
	for i := range scale {
		if scale[i] == 0 {
			scale[i], exact = least*FloorShare, true
		}
	}
	return scale, exact
}

// Solution is what readings y give.
type Solution struct {
	X          []float64
	Residuals  []float64 // y − A·x
	ChiSquared float64
	// Statistic is, for each reading, how far it is from what the others say, in
	// standard deviations: the score test for an error of this reading alone. It is NaN
	// where no other reading checks it.
	Statistic []float64
}

// Solve applies the solution to readings y.
func (g *Estimator) Solve(y []float64) Solution {
	n, m := g.design.Dims()
	in := mat.NewVecDense(n, y)
	x := mat.NewVecDense(m, nil)
	x.MulVec(g.Matrix, in)
	r := mat.NewVecDense(n, nil)
	r.MulVec(g.design, x)
	r.SubVec(in, r)
	s := Solution{X: x.RawVector().Data, Residuals: r.RawVector().Data,
		Statistic: make([]float64, n)}
	// What is left, from the residuals and not from y: the digits that cancel are gone.
	left := make([]float64, len(g.checks))
	for k, z := range g.checks {
		left[k] = floats.Dot(z, s.Residuals)
		s.ChiSquared += float64(left[k] * left[k])
	}
	for i := range n {
		var dot, size, whole float64
		for k, z := range g.checks {
			dot += float64(z[i] * left[k])
			size += float64(z[i] * z[i])
		}
		for k := range n {
			w := g.Whitening.At(k, i)
			whole += float64(w * w)
		}
		s.Statistic[i] = math.NaN()
		if size > unchecked*unchecked*whole {
			s.Statistic[i] = dot / math.Sqrt(size)
		}
	}
	return s
}

// unchecked is the part of a reading that other readings must check for a statistic of
// its own.
const unchecked = 1e-6
