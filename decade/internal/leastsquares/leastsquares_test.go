// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package leastsquares

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The solution by whitening and QR against the normal equations with an inverted
// matrix, as it stands in textbooks.
func TestAgainstNormalEquations(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	for range 50 {
		n, m := 6, 3
		a, b := mat.NewDense(n, m, nil), mat.NewDense(n, n, nil)
		for i := range n {
			for j := range m {
				a.Set(i, j, float64(rnd.IntN(2)))
			}
			for j := range n {
				b.Set(i, j, rnd.NormFloat64())
			}
		}
		for j := range m {
			a.Set(j, j, 2) // full rank
		}
		v := mat.NewSymDense(n, nil)
		v.SymOuterK(1, b)
		y := make([]float64, n)
		for i := range y {
			y[i] = rnd.NormFloat64()
		}
		g, err := New(a, v)
		if err != nil {
			t.Fatal(err)
		}
		s := g.Solve(y)
		var vi, left, inv, right mat.Dense
		if err := vi.Inverse(v); err != nil {
			t.Fatal(err)
		}
		left.Product(a.T(), &vi, a)
		if err := inv.Inverse(&left); err != nil {
			t.Fatal(err)
		}
		right.Product(&inv, a.T(), &vi)
		var x, r mat.VecDense
		x.MulVec(&right, mat.NewVecDense(n, y))
		r.MulVec(a, &x)
		r.SubVec(mat.NewVecDense(n, y), &r)
		var vr mat.VecDense
		vr.MulVec(&vi, &r)
		for j := range m {
			if math.Abs(x.AtVec(j)-s.X[j]) > 1e-9*(1+math.Abs(s.X[j])) {
				t.Errorf("x[%d] = %v, want %v", j, s.X[j], x.AtVec(j))
			}
		}
		if want := mat.Dot(&r, &vr); math.Abs(s.ChiSquared-want) > 1e-9*(1+want) {
			t.Errorf("chi-squared %v, want %v", s.ChiSquared, want)
		}
		// The square of the statistic of a reading is the fall of chi-squared when the
		// reading gets an unknown of its own.
		for i := range n {
			if math.IsNaN(s.Statistic[i]) {
				continue // no other reading checks it
			}
			wider := mat.NewDense(n, m+1, nil)
			wider.Slice(0, n, 0, m).(*mat.Dense).Copy(a)
			wider.Set(i, m, 1)
			h, err := New(wider, v)
			if err != nil {
				t.Fatal(err)
			}
			if fall := s.ChiSquared - h.Solve(y).ChiSquared; math.Abs(
				fall-s.Statistic[i]*s.Statistic[i]) > 1e-8*(1+s.ChiSquared) {
				t.Errorf("reading %d: statistic² %v, chi-squared falls by %v", i, s.Statistic[i]*s.Statistic[i], fall)
			}
		}
	}
}
