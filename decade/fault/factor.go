// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"
)

// factor is the Cholesky factor of a covariance, or of the inverse of one, whose rows and
// columns were scaled to a diagonal of 1 first. The zero of a box is known to a milliohm and
// the top of a dial of ten megohms to a kilohm: the squares of such numbers in one matrix
// have a condition beyond what a float64 holds, although the readings are independent
// enough. Scaled by their own standard uncertainty they are not, and what fails then has no
// inverse.
//
// With S the diagonal matrix of scale, S·C·S = Uᵀ·U, so that
//
//	C⁻¹ = S·(Uᵀ·U)⁻¹·S,   ln det C = 2·Σ(ln u_ii − ln s_i).
//
// The factor costs n³/6 multiplications, a solution n², the inverse n³/3. A factor is not changed
// any more once it is made.
type factor struct {
	upper blas64.Symmetric // Uᵀ·U of the scaled matrix, in the form of LAPACK
	scale []float64        // of row i: 1/√c_ii
}

// factorize reports whether c is positive definite. A pivot of the scaled matrix is the part of
// the variance of a reading that those before it leave: where rounding alone leaves as much,
// the matrix is singular. Only pivots are asked, not the condition: that would cost as much
// as the factor.
func (f *factor) factorize(c mat.Symmetric) bool {
	n := c.SymmetricDim()
	// With a diagonal of 1 the condition is within a factor n of the best that any scaling gives
	// (A. van der Sluis, Numer. Math. 14, 1969, from memory).
	f.scale = make([]float64, n)
	for i := range f.scale {
		v := c.At(i, i)
		if !(v > 0) || math.IsInf(v, 1) {
			return false
		}
		f.scale[i] = 1 / math.Sqrt(v)
	}
	f.upper = blas64.Symmetric{N: n, Stride: max(1, n), Data: make([]float64, n*n),
		Uplo: blas.Upper}
	// Row after row: entry (j, i) at j·n + i, of which the upper half is used.
	for i := range n {
		for j := range i + 1 {
			f.upper.Data[j*n+i] = c.At(i, j) * f.scale[i] * f.scale[j]
		}
	}
	if _, ok := lapack64.Potrf(f.upper); !ok {
		return false
	}
	// A computed factor is the exact one of a matrix that differs by about n roundings of its
	// diagonal of 1 (N. J. Higham, Accuracy and Stability of Numerical Algorithms, section 10.1,
	// from memory). For 60 readings it is 1.3·10⁻¹⁴ of a variance.
	least := float64(n) * roundingOfOne
	for i := range n {
		if d := f.upper.Data[i*n+i]; !(d*d > least) {
			return false
		}
	}
	return true
}

// roundingOfOne is the distance from 1 to the next float64.
const roundingOfOne = 0x1p-52

// triangle is the factor with its form.
func (f *factor) triangle() blas64.Triangular {
	return blas64.Triangular{N: f.upper.N, Stride: f.upper.Stride, Data: f.upper.Data,
		Uplo: blas.Upper, Diag: blas.NonUnit}
}

// logDet is the natural logarithm of the determinant of c, which by itself would be beyond a
// float64: sixty variances of 10⁻⁶ Ω² are 10⁻³⁶⁰.
func (f *factor) logDet() float64 {
	sum := 0.0
	for i, s := range f.scale {
		sum += 2 * (math.Log(f.upper.Data[i*f.upper.Stride+i]) - math.Log(s))
	}
	return sum
}

// inverse returns c⁻¹. It is for what is asked for row by row; a single solution costs less by
// solveVec.
func (f *factor) inverse() *mat.SymDense {
	n := len(f.scale)
	whole := blas64.Symmetric{N: n, Stride: f.upper.Stride, Data: slices.Clone(f.upper.Data),
		Uplo: blas.Upper}
	// In the place of the factor, hence of a copy. Its second result is false where a pivot is 0:
	// factorize has refused that.
	lapack64.Potri(blas64.Triangular{N: n, Stride: whole.Stride, Data: whole.Data,
		Uplo: blas.Upper, Diag: blas.NonUnit})
	out := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			out.SetSym(i, j, whole.Data[j*n+i]*f.scale[i]*f.scale[j])
		}
	}
	return out
}

// solveVec returns c⁻¹·b for one right side; b is not changed.
func (f *factor) solveVec(b *mat.VecDense) *mat.VecDense {
	n := len(f.scale)
	x := make([]float64, n)
	for i, s := range f.scale {
		x[i] = s * b.AtVec(i)
	}
	lapack64.Potrs(f.triangle(), blas64.General{Rows: n, Cols: 1, Stride: 1, Data: x})
	for i, s := range f.scale {
		x[i] *= s
	}
	return mat.NewVecDense(n, x)
}

// solve returns c⁻¹·b for the columns of b, which is not changed.
func (f *factor) solve(b mat.Matrix) *mat.Dense {
	x := mat.DenseCopyOf(b)
	rows := func(i, _ int, v float64) float64 { return f.scale[i] * v }
	x.Apply(rows, x)
	lapack64.Potrs(f.triangle(), x.RawMatrix())
	x.Apply(rows, x)
	return x
}
