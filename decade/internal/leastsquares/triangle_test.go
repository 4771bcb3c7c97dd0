// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package leastsquares

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// system is one weighted least-squares problem: the rows of the design and the reading
// beside each, divided by the uncertainty of the reading.
type system struct {
	a *mat.Dense
	y *mat.VecDense
}

// ladder is a box of dials of ten, read at every position and at pairs of neighbouring
// dials: the plan of this package for a box without residual.
func ladder(rnd *rand.Rand, dials, pairs int) system {
	m := 10 * dials
	s := system{mat.NewDense(m+pairs, m, nil), mat.NewVecDense(m+pairs, nil)}
	turn := func(row, dial, position int, weight float64) {
		for e := range position {
			s.a.Set(row, 10*dial+e, weight)
		}
	}
	for i := range m + pairs {
		weight := 1 + rnd.Float64()
		s.y.SetVec(i, rnd.NormFloat64())
		if i < m {
			turn(i, i/10, i%10+1, weight)
			continue
		}
		k := i - m
		turn(i, k%(dials-1), 10-k/(dials-1), weight)
		turn(i, k%(dials-1)+1, 10-k/(dials-1), weight)
	}
	return s
}

// scattered has entries everywhere, or with gaps at random.
func scattered(rnd *rand.Rand, rows, columns int, filled float64) system {
	s := system{mat.NewDense(rows, columns, nil), mat.NewVecDense(rows, nil)}
	for i := range rows {
		s.y.SetVec(i, rnd.NormFloat64())
		for k := range columns {
			if rnd.Float64() < filled {
				s.a.Set(i, k, rnd.NormFloat64())
			}
		}
		if i < columns {
			s.a.Set(i, i, s.a.At(i, i)+math.Copysign(3, s.a.At(i, i)))
		}
	}
	return s
}

// own solves with the triangle: solution by column, covariance row by row.
func (s system) own(t *triangle, x, c []float64) bool {
	n, m := s.a.Dims()
	t.reset(n, m, 1)
	for i := range n {
		row := t.row(i)
		copy(row, s.a.RawRowView(i))
		row[m] = s.y.AtVec(i)
	}
	if !t.reduce() {
		return false
	}
	t.solve()
	for j, k := range t.order {
		x[k] = t.side(t.pivot[j])[0]
	}
	t.covariance(c)
	return true
}

// gonum solves as one does with a general-purpose library: QR, and the covariance from
// R, which is the Cholesky factor of its inverse.
func (s system) gonum(x *mat.VecDense, c *mat.SymDense) error {
	_, m := s.a.Dims()
	var qr mat.QR
	qr.Factorize(s.a)
	if err := qr.SolveVecTo(x, false, s.y); err != nil {
		return err
	}
	var r mat.Dense
	qr.RTo(&r)
	upper := mat.NewTriDense(m, mat.Upper, nil)
	for i := range m {
		for k := i; k < m; k++ {
			upper.SetTri(i, k, r.At(i, k))
		}
	}
	var triangle mat.Cholesky // Rᵀ·R = Aᵀ·A
	triangle.SetFromU(upper)
	return triangle.InverseTo(c)
}

func TestTriangleAgainstGonum(t *testing.T) {
	rnd := rand.New(rand.NewPCG(8, 9))
	var systems []system
	for range 100 {
		columns := 1 + rnd.IntN(20)
		systems = append(systems, scattered(rnd, columns+rnd.IntN(10), columns, rnd.Float64()))
		systems = append(systems, scattered(rnd, columns+rnd.IntN(10), columns, 1))
	}
	systems = append(systems, ladder(rnd, 9, 10), ladder(rnd, 3, 0), scattered(rnd, 100, 90, 1))
	var tri triangle // with memory used again
	for n, s := range systems {
		rows, m := s.a.Dims()
		x, c := make([]float64, m), make([]float64, m*m)
		var wantX mat.VecDense
		var wantC mat.SymDense
		if err := s.gonum(&wantX, &wantC); err != nil {
			continue // too badly conditioned to compare
		}
		if cond := mat.Cond(s.a, 2); cond > 200 {
			continue
		}
		if !s.own(&tri, x, c) {
			t.Fatalf("system %d, %d × %d: refused", n, rows, m)
		}
		gotX, gotC := mat.NewVecDense(m, x), mat.NewDense(m, m, c)
		var dx mat.VecDense
		var dc mat.Dense
		dx.SubVec(gotX, &wantX)
		dc.Sub(gotC, &wantC)
		if e := mat.Norm(&dx, 2) / mat.Norm(&wantX, 2); e > 1e-12 {
			t.Errorf("system %d, %d × %d: solution off by %.1e", n, rows, m, e)
		}
		if e := mat.Norm(&dc, 2) / mat.Norm(&wantC, 2); e > 1e-12 {
			t.Errorf("system %d, %d × %d: covariance off by %.1e", n, rows, m, e)
		}
		tri.checkRest(t, s, x)
	}
}

// checkRest: what is left of y is the norm of the residuals.
func (t *triangle) checkRest(tb testing.TB, s system, x []float64) {
	tb.Helper()
	var r mat.VecDense
	r.MulVec(s.a, mat.NewVecDense(len(x), x))
	r.SubVec(s.y, &r)
	left := 0.0
	for _, i := range t.rest {
		left = math.Hypot(left, t.side(i)[0])
	}
	if want := mat.Norm(&r, 2); math.Abs(left-want) > 1e-12*(1+want) {
		tb.Errorf("norm of the residuals %v, want %v", left, want)
	}
	if n, m := s.a.Dims(); len(t.rest) != n-m {
		tb.Errorf("%d rows left of %d × %d", len(t.rest), n, m)
	}
}

// Columns that cannot be told apart are refused, whatever rounding makes of them.
func TestTriangleRefuses(t *testing.T) {
	rnd := rand.New(rand.NewPCG(10, 11))
	var tri triangle
	for range 50 {
		columns := 2 + rnd.IntN(6)
		filled := 0.7
		if rnd.IntN(2) == 0 {
			filled = 1
		}
		s := scattered(rnd, columns+rnd.IntN(4), columns, filled)
		rows, _ := s.a.Dims()
		a, b := rnd.IntN(columns), rnd.IntN(columns-1)
		if b >= a {
			b++
		}
		for i := range rows {
			s.a.Set(i, b, 2*s.a.At(i, a))
		}
		if s.own(&tri, make([]float64, columns), make([]float64, columns*columns)) {
			t.Errorf("columns %d and %d alike, of\n%.3g", a, b, mat.Formatted(s.a))
		}
		if few := scattered(rnd, 5+columns, 6+columns, filled); few.own(&tri,
			make([]float64, 6+columns), make([]float64, (6+columns)*(6+columns))) {
			t.Errorf("fewer rows than columns:\n%.3g", mat.Formatted(few.a))
		}
	}
}

func TestTriangleAllocations(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for design, s := range map[string]system{"decade": ladder(rnd, 9, 10), "dense": scattered(rnd, 100, 90, 1)} {
		var tri triangle
		x, c := make([]float64, 90), make([]float64, 90*90)
		s.own(&tri, x, c)
		if allocs := testing.AllocsPerRun(20, func() { s.own(&tri, x, c) }); allocs != 0 {
			t.Errorf("%s: %v allocations with memory used again, want none", design, allocs)
		}
	}
}

// One hundred readings, ninety unknowns: solution and covariance.
func BenchmarkLeastSquares(b *testing.B) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for _, c := range []struct {
		design string
		s      system
	}{{"decade", ladder(rnd, 9, 10)}, {"dense", scattered(rnd, 100, 90, 1)}} {
		b.Run(fmt.Sprintf("design=%s/impl=own", c.design), func(b *testing.B) {
			var tri triangle
			x, cov := make([]float64, 90), make([]float64, 90*90)
			b.ReportAllocs()
			for b.Loop() {
				if !c.s.own(&tri, x, cov) {
					b.Fatal("refused")
				}
			}
		})
		b.Run(fmt.Sprintf("design=%s/impl=gonum", c.design), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				var x mat.VecDense
				var cov mat.SymDense
				if err := c.s.gonum(&x, &cov); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
