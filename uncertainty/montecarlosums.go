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
			s.cross[place+k] += product(a, b, shift[i], shift[k])
		}
		place += i + 1
		first, second, fourth := powers(a, shift[i])
		s.first[i] += first
		s.cross[place-1] += second
		s.fourth[i] += fourth
		grids[i].count(s.bins[i], a)
	}
}

// powers returns Σd, Σd² and Σd⁴ in two interleaved sums each, which a processor adds
// at the same time.
func powers(a []float64, shift float64) (first, second, fourth float64) {
	var p1, p2, p4, q1, q2, q4 float64
	n := len(a) &^ 1
	for i := 0; i < n; i += 2 {
		d, e := a[i]-shift, a[i+1]-shift
		d2, e2 := float64(d*d), float64(e*e)
		p1 += d
		q1 += e
		p2 += d2
		q2 += e2
		p4 += float64(d2 * d2)
		q4 += float64(e2 * e2)
	}
	if n < len(a) {
		d := a[n] - shift
		d2 := float64(d * d)
		p1 += d
		p2 += d2
		p4 += float64(d2 * d2)
	}
	return p1 + q1, p2 + q2, p4 + q4
}

func product(a, b []float64, x, y float64) float64 {
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
	inverse, end := 1/g.width, float64(g.bins+1)
	for _, v := range a {
		place := float64((v-g.lower)*inverse) + 1
		switch {
		case place >= end:
			bins[g.bins+1]++
		case place >= 1:
			bins[int(place)]++
		default:
			bins[0]++
		}
	}
}
