// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A scaling takes the values of an output from near their mean, in a power of two
// near their spread: so no power of a distance overflows or vanishes. With d = (v − shift)·scale
//
//	mean = shift + d̄/scale,  variance = (Σd² − (Σd)²/n)/(n − 1)/scale²
//
// The textbook formula for the variance cancels where the mean is large beside the spread: 1 nΩ of
// scatter on 10 kΩ would lose 26 digits of 16. About a shift that is the mean of the pilot, (Σd)²/n
// is a part of the order 1/16 384 of Σd², and nothing cancels. One pass is enough, and sums of
// parts add up.
type scaling struct {
	shift float64 // in the unit of the output
	scale float64 // 2^−e, in its inverse
}

// at returns the distance of v, which is exact but for the subtraction.
func (r scaling) at(v float64) float64 { return float64((v - r.shift) * r.scale) }

// newScaling takes values in rising order. Those that are all equal have the scale 1.
func newScaling(sorted []float64) scaling {
	n := len(sorted)
	// From the first value, and divided one by one: a sum of large values could overflow.
	first, mean := sorted[0], 0.0
	for _, x := range sorted {
		mean += (x - first) / float64(n)
	}
	// Without the outermost two in a thousand: one far trial of a heavy tail would make all others
	// small.
	spread := sorted[n-1-n/1000] - sorted[n/1000]
	if spread == 0 {
		spread = sorted[n-1] - first
	}
	r := scaling{first + mean, 1}
	if spread > 0 && !math.IsInf(spread, 0) {
		// A power of two scales without rounding; beyond 2^±1000 it would not be a number.
		_, e := math.Frexp(spread)
		r.scale = math.Ldexp(1, -max(-1000, min(1000, e)))
	}
	return r
}

// sums holds, for the outputs of some trials, the sums of the distances d that their
// scalings measure: Σd, Σd·d′, Σd⁴. The cost of a trial with m outputs is m(m + 1)/2 products, and
// some for the fourth power and the bin of each.
type sums struct {
	n      int       // trials
	first  []float64 // by output
	cross  []float64 // lower triangle, by rows: outputs i ≥ k at i(i + 1)/2 + k
	fourth []float64 // by output
	counts []int     // of the bins of all outputs, one after the other: see bins

	twins []twinSums // by output; nil or empty where there is no control
}

func newSums(p pilot, bins int) *sums {
	s := makeSums(p, bins)
	return &s
}

// makeSums makes empty sums for the outputs of a pilot. The three kinds of sums are one allocation:
// each chunk that is early takes sums of its own.
func makeSums(p pilot, bins int) sums {
	outputs := len(p)
	pairs := outputs * (outputs + 1) / 2
	room := make([]float64, 2*outputs+pairs)
	s := sums{
		first: room[:outputs], fourth: room[outputs : 2*outputs], cross: room[2*outputs:],
		counts: make([]int, outputs*(bins+2)),
	}
	for i := range p {
		if c := p[i].control; c != nil {
			if s.twins == nil {
				s.twins = make([]twinSums, outputs)
			}
			s.twins[i] = c.newSums()
		}
	}
	return s
}

// bins are those of an output; the first and the last count what lies outside.
func (s *sums) bins(output int) []int {
	n := len(s.counts) / len(s.first)
	return s.counts[output*n : (output+1)*n : (output+1)*n]
}

// add takes in a block of outputs, and of twins after them. The order of the additions is
// fixed.
func (s *sums) add(block [][]float64, p pilot) {
	s.n += len(block[0])
	place := 0
	for i, a := range block[:len(p)] {
		if c := p[i].control; c != nil {
			s.twins[i].add(a, block[c.column], p[i].scaling, c)
		}
		// The lower triangle of the covariance (JCGM 102 7.6).
		for k, b := range block[:i] {
			s.cross[place+k] += crossSum(a, b, p[i].scaling, p[k].scaling)
		}
		place += i + 1
		first, second, fourth := powers(a, p[i].scaling)
		s.first[i] += first
		s.cross[place-1] += second
		s.fourth[i] += fourth
		p[i].grid.count(s.bins(i), a)
	}
}

// powers returns Σd, Σd² and Σd⁴ in two interleaved sums each, which a processor adds
// at the same time. d⁴ is the square of d², so that three products do for a trial.
func powers(a []float64, by scaling) (first, second, fourth float64) {
	var p0, p1, q0, q1, r0, r1 float64
	// Each sum waits for its own last addition only: two of them keep the adder busy.
	for ; len(a) >= 2; a = a[2:] {
		d0, d1 := by.at(a[0]), by.at(a[1])
		s0, s1 := float64(d0*d0), float64(d1*d1)
		p0, p1 = p0+d0, p1+d1
		q0, q1 = q0+s0, q1+s1
		r0, r1 = r0+float64(s0*s0), r1+float64(s1*s1)
	}
	for _, v := range a {
		d := by.at(v)
		s := float64(d * d)
		p0, q0, r0 = p0+d, q0+s, r0+float64(s*s)
	}
	return p0 + p1, q0 + q1, r0 + r1
}

// crossSum is Σd·d′ of two outputs over the same trials, in the order of the trials.
func crossSum(a, b []float64, x, y scaling) float64 {
	sum := 0.0
	b = b[:len(a)]
	for i, v := range a {
		sum += float64(x.at(v) * y.at(b[i]))
	}
	return sum
}

// reset empties the sums and keeps their memory.
func (s *sums) reset() {
	s.n = 0
	clear(s.first)
	clear(s.cross)
	clear(s.fourth)
	clear(s.counts)
	for i := range s.twins {
		s.twins[i].reset()
	}
}

// join adds the sums of a later part.
func (s *sums) join(t *sums) {
	s.n += t.n
	for i := range s.first {
		s.first[i] += t.first[i]
		s.fourth[i] += t.fourth[i]
	}
	for i := range s.cross {
		s.cross[i] += t.cross[i]
	}
	for i, c := range t.counts { // whole numbers: exact in any order, unlike the others
		s.counts[i] += c
	}
	for i := range t.twins {
		s.twins[i].join(&t.twins[i])
	}
}

// powersOf returns Σd, Σd² and Σd⁴ of an output.
func (s *sums) powersOf(i int) [3]float64 {
	return [3]float64{s.first[i], s.cross[i*(i+1)/2+i], s.fourth[i]}
}

// moments returns means, standard deviations and the covariance matrix (JCGM 101 7.6,
// JCGM 102 7.6), in the units of the outputs and their products:
//
//	V_ik = (Σd·d′ − Σd·Σd′/n)/(n − 1)/(scale_i·scale_k)
func (s *sums) moments(p pilot) (means, u []float64, c *mat.SymDense) {
	n := float64(s.n)
	c = mat.NewSymDense(len(p), nil)
	room := make([]float64, 0, 2*len(p))
	means, u = room[:0:len(p)], room[len(p):len(p)]
	place := 0
	for i, r := range p {
		means = append(means, r.shift+s.first[i]/n/r.scale)
		for k, q := range p[:i+1] {
			v := (s.cross[place+k] - float64(s.first[i]*s.first[k])/n) / (n - 1)
			if i == k {
				v = max(0, v) // rounding, of an output that hardly varies
				u = append(u, math.Sqrt(v)/r.scale)
			}
			c.SetSym(i, k, v/r.scale/q.scale)
		}
		place += i + 1
	}
	return means, u, c
}

// spreadOfU is the standard uncertainty, from sampling, of the standard uncertainty u of output i:
// with the fourth central moment m₄, Var s² ≈ (m₄ − s⁴)/n for large n (its exact form has
// (n − 3)/(n − 1) in place of 1; textbooks of statistics, from memory), and s = √s² has half the
// relative standard deviation,
//
//	u(s)/s = √((m₄/s⁴ − 1)/n)/2
//
// which is 1/√(2n) for a normal output, m₄ = 3·s⁴, and 0.63 of that for a rectangle, m₄ = 1.8·s⁴.
func (s *sums) spreadOfU(i int, u float64, r scaling) float64 {
	if u == 0 {
		return 0
	}
	n := float64(s.n)
	// In units of the scaling, in which s⁴ neither overflows nor vanishes.
	square := float64(u*r.scale) * float64(u*r.scale)
	ratio := s.fourth[i] / n / square / square
	return u * math.Sqrt(max(0, ratio-1)/n) / 2
}

// grid is a row of bins of one width: bin k, counted from 1, holds lower + (k − 1)·width and more,
// but less than lower + k·width. The width is 0 for an output that does not vary.
type grid struct {
	lower, width float64 // in the unit of the output
	bins         int
}

// count adds the values to their bins, counted from 1; bin 0 and the one after the
// last count what lies outside.
func (g grid) count(bins []int, a []float64) {
	// An output that does not vary lies in the first bin.
	if !(g.width > 0) {
		bins[1] += len(a)
		return
	}
	inverse, lower := 1/g.width, g.lower
	for _, v := range a {
		place := int(float64((v-lower)*inverse) + 1)
		// As unsigned, a negative place is a large one: one comparison for both ends.
		if uint(place) < uint(len(bins)) {
			bins[place]++
			continue
		}
		if v < lower {
			bins[0]++
		} else {
			bins[len(bins)-1]++
		}
	}
}
