// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// sums holds, for the outputs of some trials, the sums of what lies between a shift
// near the mean and the values: Σd, Σd·d′, Σd⁴.
type sums struct {
	n      int
	first  []float64
	cross  []float64 // lower triangle, by rows
	fourth []float64
	bins   [][]int // by output; the first and the last count what lies outside
}

func newSums(outputs, bins int) *sums {
	s := &sums{
		first: make([]float64, outputs), cross: make([]float64, outputs*(outputs+1)/2),
		fourth: make([]float64, outputs), bins: make([][]int, outputs),
	}
	for i := range s.bins {
		s.bins[i] = make([]int, bins+2)
	}
	return s
}

// add takes in a block of outputs. The order of the additions is fixed.
func (s *sums) add(block [][]float64, shift []float64, grids []grid) {
	s.n += len(block[0])
	place := 0
	for i, a := range block {
		for k, b := range block[:i] {
			s.cross[place+k] += crossSum(a, b, shift[i], shift[k])
		}
		place += i + 1
		first, second, fourth := powers(a, shift[i])
		s.first[i] += first
		s.cross[place-1] += second
		s.fourth[i] += fourth
		grids[i].count(s.bins[i], a)
	}
}

// powers returns Σd, Σd² and Σd⁴ in four interleaved sums each, which a processor adds
// at the same time.
func powers(a []float64, shift float64) (first, second, fourth float64) {
	var p0, p1, p2, p3, q0, q1, q2, q3, r0, r1, r2, r3 float64
	n := len(a) &^ 3
	for i := 0; i < n; i += 4 {
		b := a[i : i+4 : i+4]
		d0, d1, d2, d3 := b[0]-shift, b[1]-shift, b[2]-shift, b[3]-shift
		s0, s1, s2, s3 := float64(d0*d0), float64(d1*d1), float64(d2*d2), float64(d3*d3)
		p0, p1, p2, p3 = p0+d0, p1+d1, p2+d2, p3+d3
		q0, q1, q2, q3 = q0+s0, q1+s1, q2+s2, q3+s3
		r0, r1, r2, r3 = r0+float64(s0*s0), r1+float64(s1*s1), r2+float64(s2*s2), r3+float64(s3*s3)
	}
	for _, v := range a[n:] {
		d := v - shift
		s := float64(d * d)
		p0, q0, r0 = p0+d, q0+s, r0+float64(s*s)
	}
	return p0 + p1 + (p2 + p3), q0 + q1 + (q2 + q3), r0 + r1 + (r2 + r3)
}

func crossSum(a, b []float64, x, y float64) float64 {
	sum := 0.0
	b = b[:len(a)]
	for i, v := range a {
		sum += float64((v - x) * (b[i] - y))
	}
	return sum
}

func (s *sums) reset() {
	s.n = 0
	clear(s.first)
	clear(s.cross)
	clear(s.fourth)
	for _, b := range s.bins {
		clear(b)
	}
}

// join adds the sums of a later part.
func (s *sums) join(t *sums) {
	s.n += t.n
	for i := range s.first {
		s.first[i] += t.first[i]
		s.fourth[i] += t.fourth[i]
		for k, c := range t.bins[i] {
			s.bins[i][k] += c
		}
	}
	for i := range s.cross {
		s.cross[i] += t.cross[i]
	}
}

// moments returns the means and the covariance matrix (JCGM 101 7.6, JCGM 102 7.6).
func (s *sums) moments(shift []float64) (means []float64, c *mat.SymDense) {
	n := float64(s.n)
	c = mat.NewSymDense(len(shift), nil)
	place := 0
	for i, x := range shift {
		means = append(means, x+s.first[i]/n)
		for k := range i + 1 {
			c.SetSym(i, k, (s.cross[place+k]-float64(s.first[i]*s.first[k])/n)/(n-1))
		}
		place += i + 1
	}
	return means, c
}

// spreadOfU is the standard uncertainty, from sampling, of the standard uncertainty:
// Var s² ≈ (m₄ − s⁴)/n.
func (s *sums) spreadOfU(i int, u float64) float64 {
	if u == 0 {
		return 0
	}
	n := float64(s.n)
	ratio := s.fourth[i] / n / (u * u) / (u * u)
	return u * math.Sqrt(max(0, ratio-1)/n) / 2
}

// grid is a row of bins of one width.
type grid struct {
	lower, width float64
	bins         int
}

// count adds the values to their bins, counted from 1; bin 0 and the one after the
// last count what lies outside.
func (g grid) count(bins []int, a []float64) {
	if !(g.width > 0) {
		bins[1] += len(a)
		return
	}
	inverse, lower := 1/g.width, g.lower
	for _, v := range a {
		place := int(float64((v-lower)*inverse) + 1)
		switch {
		case uint(place) < uint(len(bins)):
			bins[place]++
		case v < lower:
			bins[0]++
		default:
			bins[len(bins)-1]++
		}
	}
}
