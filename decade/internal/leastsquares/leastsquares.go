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
//
// With W·V·Wᵀ = 1 the errors of W·y are independent and of variance 1, and x minimises
// |W·(A·x − y)|². Of W·A = Q·R, with Q₁ and Q₂ the columns of Q for the rows of R and for the
// others, follow K = R⁻¹·Q₁ᵀ·W, Z = Q₂ᵀ·W and the covariance (Rᵀ·R)⁻¹ of x. They do not depend on
// the readings: an Estimator serves any number of them, and goroutines may share it.
//
// Indices: n readings are the rows of A and columns of K, m unknowns its columns and the rows of
// K. Units are those of y and V together, Ω and Ω² in this module.
type Estimator struct {
	Matrix    *mat.Dense // K: x = K·y
	Whitening *mat.Dense // W: Wᵀ·W = V⁻¹
	Variances []float64  // of x, the diagonal of (Aᵀ·V⁻¹·A)⁻¹
	Floored   bool       // V was singular, or nearly: see [FloorShare]

	design *mat.Dense // A
	// Z, n − m rows of n: Z·y is what the readings say beyond the solution, in standard
	// deviations; Z·A = 0, and |Z·y|² is χ².
	checks [][]float64
}

const (
	// worstCondition of the correlation matrix of the readings up to which V is taken
	// as it is. W is then right to about 1e11·2⁻⁵³, 1e-5 of itself, and so are the weights.
	worstCondition = 1e11
	// FloorShare is the standard deviation, as a part of u of each reading, that is
	// taken as its own where V is singular: where readings have only common errors,
	// every difference of them would be exact. The eigenvalues of a correlation matrix of n
	// readings lie between 0 and n; with 1 + 1e-4² on its diagonal its condition is n·1e8 at most.
	FloorShare = 1e-4
)

// New prepares the solution for a design A of full column rank and a covariance V. The error
// ([unit.ErrDomain]) says that V is no covariance matrix, or that the columns depend on each
// other as far as the weights let them be seen. It costs some n³/3 for V and n²·m/2 for W·A;
// the decomposition costs less the more gaps the design has (see triangle).
func New(a *mat.Dense, v *mat.SymDense) (*Estimator, error) {
	g := &Estimator{design: a}
	if err := g.whiten(v); err != nil {
		return nil, err
	}
	n, m := a.Dims()
	var t triangle
	t.reset(n, m, n)
	for i := range n {
		// W is lower triangular: row i of W·A combines only the rows of A up to i, so that the
		// gaps at the beginning of the design stay gaps.
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
	// The sides are Qᵀ·W by now. Those of the rows below R are Z.
	for _, i := range t.rest {
		g.checks = append(g.checks, t.side(i))
	}
	// Back substitution leaves R⁻¹·Q₁ᵀ·W, which is K but for the order of its rows.
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
// correlation matrix: Wᵀ·W = D⁻¹·(L·Lᵀ)⁻¹·D⁻¹ = V⁻¹. Scaled so, the condition tells how much the
// readings have in common, and not that one is of 1 Ω and another of 1 MΩ.
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
		// Off the diagonal the correlations stay: what is added is a part of each reading alone.
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
	// Forward substitution in L·W = D⁻¹ leaves exact zeros above the diagonal of W.
	return g.Whitening.Solve(&lower, inverse)
}

// scales are the standard uncertainties; where some are 0 they are far smaller than all
// others, and where all are 0 they are equal: an exact reading outweighs one with an uncertainty
// by 1/FloorShare, 10⁴, instead of infinitely.
func scales(v *mat.SymDense) (scale []float64, exact bool) {
	scale = make([]float64, v.SymmetricDim())
	least := math.Inf(1)
	for i := range scale {
		scale[i] = math.Sqrt(max(0, v.At(i, i)))
		if scale[i] > 0 {
			least = min(least, scale[i])
		}
	}
	if math.IsInf(least, 1) { // all are 0: every scale becomes 1
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
	X          []float64 // by column of A
	Residuals  []float64 // y − A·x
	ChiSquared float64   // of n − m degrees of freedom
	// Statistic is, for each reading, how far it is from what the others say, in
	// standard deviations: the score test for an error of this reading alone. It is NaN
	// where no other reading checks it.
	Statistic []float64
}

// Solve applies the solution to readings y, as many as the design has rows. It costs some
// multiple of n².
//
// Statistic: let reading i be wrong by δ. Beyond the solution this shows as δ·z, with z column i
// of Z, among the left Z·y of variance 1 each. So the best estimate is δ = z·(Z·y)/|z|², with the
// standard uncertainty 1/|z|, and their quotient is z·(Z·y)/|z|. χ² falls by its square where
// the reading is taken out.
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
		// |z|² of |W·eᵢ|²: the share of the reading that the others check. Where they check
		// nothing, rounding leaves a little of it.
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
// its own, as a part of its weight in standard deviations. What rounding
// leaves of it is 1e-16 times the condition of W·A.
const unchecked = 1e-6
