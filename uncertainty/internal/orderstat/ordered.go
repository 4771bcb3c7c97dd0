// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package orderstat

import "math"

// Ranks returns the number q of trials that a coverage interval holds and the rank r
// of the lower end of the probabilistically symmetric one, counted from 1
// (JCGM 101 7.7.1, 7.7.2). It is false where the trials do not reach that far.
func Ranks(trials int, p float64) (q, r int, ok bool) {
	m := float64(trials)
	// q = p·M to the nearest whole number, r = (M − q)/2 rounded up (JCGM 101 7.7.1, 7.7.2).
	q = int(math.Floor(float64(p*m) + 0.5))
	r = (trials - q + 1) / 2
	return q, r, q >= 1 && r >= 1
}

// An Interval lies between two values.
type Interval struct{ Lower, Upper float64 }

// Trials are those of one output in rising order, or only the two ends of them. Where all
// are kept, Low and High are the same slice.
type Trials struct {
	N         int // trials
	Low, High []float64
}

// at returns the value of a rank counted from 1; the rank must be one of those kept.
func (t Trials) at(rank int) float64 {
	if rank <= len(t.Low) {
		return t.Low[rank-1]
	}
	return t.High[len(t.High)-1-(t.N-rank)]
}

// Value returns the value of a rank counted from 1. It is false where that was not kept; a
// rank before the first or after the last is that of the first or the last.
func (t Trials) Value(rank int) (float64, bool) {
	rank = max(1, min(t.N, rank))
	if t.N == 0 || rank > len(t.Low) && t.N-rank >= len(t.High) {
		return 0, false
	}
	return t.at(rank), true
}

// Reaches reports whether n values are kept at each end.
func (t Trials) Reaches(n int) bool { return len(t.Low) >= n && len(t.High) >= n }

// Symmetric is the probabilistically symmetric interval for the coverage probability p
// (JCGM 101 7.7.2).
func (t Trials) Symmetric(p float64) Interval {
	q, r, _ := Ranks(t.N, p)
	// From rank r to r + q (JCGM 101 7.7.2).
	return Interval{t.at(r), t.at(r + q)}
}

// Shortest is the shortest interval that holds q trials (JCGM 101 7.7.4); of equal
// ones it is the lowest.
func (t Trials) Shortest(p float64) Interval {
	q, _, _ := Ranks(t.N, p)
	// The interval of q trials can begin at any of the lowest M − q.
	tails := t.N - q
	low := t.Low[:tails]
	high := t.High[len(t.High)-tails:]
	best, width := 0, math.Inf(1)
	for i, x := range low {
		// Strictly shorter, so that the lowest of equal ones stays.
		if w := high[i] - x; w < width {
			best, width = i, w
		}
	}
	return Interval{low[best], high[best]}
}

// Spread is the standard uncertainty, from sampling, of the order statistic of a
// rank: half the distance between the ranks one binomial standard deviation below
// and above (the distribution-free interval for a quantile).
func (t Trials) Spread(rank int) float64 {
	p := float64(rank) / float64(t.N)
	// One binomial standard deviation of the rank, at least one rank.
	k := max(1, int(math.Sqrt(float64(t.N)*p*(1-p))+0.5))
	return (t.at(min(rank+k, t.N)) - t.at(max(rank-k, 1))) / 2
}

// Quantile is the order statistic nearest to p.
func (t Trials) Quantile(p float64) float64 {
	return t.at(max(1, min(t.N, int(math.Floor(float64(p*float64(t.N))+0.5)))))
}
