// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// leastSquares solves min |b − X·β| by QR with iterative refinement of the augmented
// system
//
//	r + X·β = b, Xᵀ·r = 0,
//
// its residuals accumulated in twice the working precision (the method is in BIT 7
// (1967) 257 and in textbooks of numerical linear algebra; from memory). The columns
// are scaled to unit length, so that their units do not matter. The result is accurate
// to the last digits of float64 as long as the condition of X is well below 1e8.
type leastSquares struct {
	x     *mat.Dense    // n × p
	q     *mat.Dense    // n × p, of the scaled columns
	r     *mat.TriDense // p × p
	scale []float64     // length of each column
}

// newLeastSquares factors the design x, which it keeps; n·p² operations. It returns false when the
// columns cannot be told apart.
func newLeastSquares(x *mat.Dense) (*leastSquares, bool) {
	n, p := x.Dims()
	s := &leastSquares{x: x, scale: make([]float64, p)}
	scaled := mat.DenseCopyOf(x)
	for k := range p {
		// Columns of length 1, whatever unit their parameter has.
		s.scale[k] = mat.Norm(x.ColView(k), 2)
		if s.scale[k] == 0 || math.IsInf(s.scale[k], 0) {
			return nil, false
		}
		for i := range n {
			scaled.Set(i, k, x.At(i, k)/s.scale[k])
		}
	}
	var qr mat.QR
	qr.Factorize(scaled)
	// Beyond 1e12 refinement no longer converges to the last digit.
	if !(qr.Cond() < 1e12) {
		return nil, false
	}
	var r, q mat.Dense
	qr.RTo(&r)
	qr.QTo(&q)
	// The thin factor: the other columns of Q are not needed.
	s.q = mat.DenseCopyOf(q.Slice(0, n, 0, p))
	s.r = mat.NewTriDense(p, mat.Upper, nil)
	for i := range p {
		for k := i; k < p; k++ {
			s.r.SetTri(i, k, r.At(i, k))
		}
	}
	return s, true
}

// solution is β as a sum high + low, and the residuals.
type solution struct{ high, low, residual []float64 }

// solve returns β for a right-hand side of n elements. The first step is the plain solution by QR,
// since it corrects zeros; the others refine it.
func (s *leastSquares) solve(b []float64) solution {
	n, p := s.x.Dims()
	z := solution{make([]float64, p), make([]float64, p), make([]float64, n)}
	// Each step gains the digits that the condition leaves; where it gains less than two bits,
	// rounding is reached.
	last := math.Inf(1)
	for range 10 {
		dr, db := s.correction(b, z)
		for i, d := range dr {
			z.residual[i] += d
		}
		size := 0.0
		for k, d := range db {
			// The sum of two numbers keeps what one float64 would round away.
			z.high[k], z.low[k] = twoSum(z.high[k], z.low[k]+d)
			size = max(size, math.Abs(d)*s.scale[k])
		}
		if size == 0 || size > last/4 { // no better any more
			break
		}
		last = size
	}
	return z
}

// correction solves the augmented system for what is left of it.
func (s *leastSquares) correction(b []float64, z solution) (dr, db []float64) {
	n, p := s.x.Dims()
	f := mat.NewVecDense(n, nil)
	for i := range n {
		// b − r − X·β, in twice the precision: it is nearly 0.
		sum := doubled{high: b[i]}
		sum.add(-z.residual[i])
		for k := range p {
			sum.addProduct(-s.x.At(i, k), z.high[k])
			sum.addProduct(-s.x.At(i, k), z.low[k])
		}
		f.SetVec(i, sum.value())
	}
	h := mat.NewVecDense(p, nil)
	for k := range p {
		// −Xᵀ·r, which should be 0 too.
		var sum doubled
		for i := range n {
			sum.addProduct(-s.x.At(i, k), z.residual[i])
		}
		h.SetVec(k, sum.value()/s.scale[k])
	}
	// The triangle is regular: newLeastSquares has looked at its condition.
	_ = h.SolveVec(s.r.T(), h)
	var d, delta, back mat.VecDense
	// With X = Q·R the augmented system falls into triangles.
	d.MulVec(s.q.T(), f)
	d.SubVec(&d, h)
	back.MulVec(s.q, &d)
	f.SubVec(f, &back)
	_ = delta.SolveVec(s.r, &d)
	db = make([]float64, p)
	for k := range p {
		db[k] = delta.AtVec(k) / s.scale[k]
	}
	return f.RawVector().Data, db
}

// inverse returns the p × n matrix C with β = C·b, by n solutions of the cost n·p each: (XᵀX)⁻¹·Xᵀ,
// without the square of the condition that XᵀX has.
func (s *leastSquares) inverse() *mat.Dense {
	n, p := s.x.Dims()
	c := mat.NewDense(p, n, nil)
	unit := make([]float64, n)
	// Column i of C is the solution for a reading of 1 at i and 0 elsewhere.
	for i := range n {
		unit[i] = 1
		c.SetCol(i, s.solve(unit).high)
		unit[i] = 0
	}
	return c
}

// doubled is a sum in twice the precision.
type doubled struct{ high, low float64 }

// add and addProduct keep the rounding errors in the low part.
func (d *doubled) add(v float64) {
	s, e := twoSum(d.high, v)
	d.high, d.low = s, d.low+e
}

// addProduct adds a product without rounding it: its error is in the low part.
func (d *doubled) addProduct(x, y float64) {
	p := float64(x * y) // not to be fused with the sum
	d.add(p)
	// FMA gives the rounding error of the product exactly.
	d.low += math.FMA(x, y, -p)
}

// value rounds the sum once.
func (d *doubled) value() float64 { return d.high + d.low }

// twoSum returns a + b as sum and rounding error.
func twoSum(a, b float64) (sum, rest float64) {
	sum = a + b
	t := sum - a
	return sum, (a - (sum - t)) + (b - t)
}
