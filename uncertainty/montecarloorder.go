// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import "math"

// ranks returns the number q of trials that a coverage interval holds and the rank r
// of the lower end of the probabilistically symmetric one, counted from 1
// (JCGM 101 7.7.1, 7.7.2). It is false where the trials do not reach that far.
func ranks(trials int, p float64) (q, r int, ok bool) {
	m := float64(trials)
	q = int(math.Floor(p*m + 0.5))
	r = (trials - q + 1) / 2
	return q, r, q >= 1 && r >= 1
}

// ordered is the trials of one output in rising order, or only the two ends of them.
type ordered struct {
	n         int // trials
	low, high []float64
}

// at returns the value of a rank counted from 1; the rank must be one of those kept.
func (o ordered) at(rank int) float64 {
	if rank <= len(o.low) {
		return o.low[rank-1]
	}
	return o.high[len(o.high)-1-(o.n-rank)]
}

// reaches tells whether n values are kept at each end.
func (o ordered) reaches(n int) bool { return len(o.low) >= n && len(o.high) >= n }

func (o ordered) symmetric(p float64) Interval {
	q, r, _ := ranks(o.n, p)
	return Interval{o.at(r), o.at(r + q)}
}

// shortest is the shortest interval that holds q trials (JCGM 101 7.7.4); of equal
// ones it is the lowest.
func (o ordered) shortest(p float64) Interval {
	q, _, _ := ranks(o.n, p)
	tails := o.n - q
	low := o.low[:tails]
	high := o.high[len(o.high)-tails:]
	best, width := 0, math.Inf(1)
	for i, x := range low {
		if w := high[i] - x; w < width {
			best, width = i, w
		}
	}
	return Interval{low[best], high[best]}
}

// spread is the standard uncertainty, from sampling, of the order statistic of a
// rank: half the distance between the ranks one binomial standard deviation below
// and above (the distribution-free interval for a quantile).
func (o ordered) spread(rank int) float64 {
	p := float64(rank) / float64(o.n)
	k := max(1, int(math.Sqrt(float64(o.n)*p*(1-p))+0.5))
	return (o.at(min(rank+k, o.n)) - o.at(max(rank-k, 1))) / 2
}

// quantile is the order statistic nearest to p.
func (o ordered) quantile(p float64) float64 {
	return o.at(max(1, min(o.n, int(math.Floor(p*float64(o.n)+0.5)))))
}
