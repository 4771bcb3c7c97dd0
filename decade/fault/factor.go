// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// factor is the Cholesky factor of a covariance, or of the inverse of one, whose rows and
// columns were scaled to a diagonal of 1 first. The zero of a box is known to a milliohm and
// the top of a dial of ten megohms to a kilohm: the squares of such numbers in one matrix
// have a condition beyond what a float64 holds, although the readings are independent
// enough. Scaled by their own standard uncertainty they are not, and what fails then has no
// inverse.
type factor struct {
	chol  mat.Cholesky
	scale []float64 // of row i: 1/√c_ii
}

// factorize reports whether c is positive definite.
func (f *factor) factorize(c mat.Symmetric) bool {
	n := c.SymmetricDim()
	f.scale = make([]float64, n)
	for i := range f.scale {
		v := c.At(i, i)
		if !(v > 0) || math.IsInf(v, 1) {
			return false
		}
		f.scale[i] = 1 / math.Sqrt(v)
	}
	scaled := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			scaled.SetSym(i, j, c.At(i, j)*f.scale[i]*f.scale[j])
		}
	}
	return f.chol.Factorize(scaled) && f.chol.Cond() < mat.ConditionTolerance
}

// logDet is the logarithm of the determinant.
func (f *factor) logDet() float64 {
	sum := f.chol.LogDet()
	for _, s := range f.scale {
		sum -= 2 * math.Log(s)
	}
	return sum
}

// inverse returns c⁻¹.
func (f *factor) inverse() *mat.SymDense {
	n := len(f.scale)
	out := mat.NewSymDense(n, nil)
	_ = f.chol.InverseTo(out) // factorize has seen the condition
	for i := range n {
		for j := range i + 1 {
			out.SetSym(i, j, out.At(i, j)*f.scale[i]*f.scale[j])
		}
	}
	return out
}

// solveVec returns c⁻¹·b.
func (f *factor) solveVec(b *mat.VecDense) *mat.VecDense {
	x := mat.NewVecDense(len(f.scale), nil)
	for i, s := range f.scale {
		x.SetVec(i, s*b.AtVec(i))
	}
	_ = f.chol.SolveVecTo(x, x)
	for i, s := range f.scale {
		x.SetVec(i, s*x.AtVec(i))
	}
	return x
}

// solve returns c⁻¹·b.
func (f *factor) solve(b mat.Matrix) *mat.Dense {
	x := mat.DenseCopyOf(b)
	rows := func(i, _ int, v float64) float64 { return f.scale[i] * v }
	x.Apply(rows, x)
	_ = f.chol.SolveTo(x, x)
	x.Apply(rows, x)
	return x
}
