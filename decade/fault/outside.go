// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import "math"

// outside is −2·ln of the probability that every element is inside its class, given the
// whitened remainder of the readings; free elements do not count. The probabilities of
// elements are multiplied as if there were as many independent ones in a dial as share
// says: where they are known only together, by the gain of the meter say, ten elements
// near the limit are one coincidence and not ten.
func (m *model) outside(sd, ap, rest, share []float64, free func(int) bool) float64 {
	total := 0.0
	n := len(rest)
	for d, from := range m.l.first {
		to := len(m.half) // the last: the residual
		if d+1 < len(m.l.first) {
			to = m.l.first[d+1]
		}
		sum, most := 0.0, 0.0
		for k := from; k < to; k++ {
			mean := math.Abs(dot(ap[k*n:(k+1)*n], rest))
			if c := m.half[k]; c-mean < 6*sd[k] && (free == nil || !free(k)) {
				x := -2 * logInside((c-mean)/sd[k], (c+mean)/sd[k])
				sum += x
				most = max(most, x)
			}
		}
		total += max(most, sum*share[d])
	}
	return total
}

// shares finds, for each dial, the number of independent elements as a part of their
// number: the mean variance of an element over that of their mean, over the number. The
// residual stands at the end.
func (p *posterior) shares() {
	p.share = make([]float64, len(p.m.l.first))
	p.share[len(p.share)-1] = 1
	p.mean = make([]float64, len(p.m.l.decades))
	sum := make([]float64, p.s)
	for d := range p.m.l.decades {
		clear(sum)
		from, to := p.m.l.first[d], p.m.l.first[d+1]
		single, together, prior := 0.0, 0.0, 0.0
		for k := from; k < to; k++ {
			c := p.m.half[k] / math.Sqrt(3)
			single += p.sd[k] * p.sd[k]
			together += c * c
			prior += c
			for i := range sum {
				sum[i] += p.ap[k*p.s+i]
			}
		}
		together += prior * prior
		for i, v := range sum {
			together -= v * dot(p.gs[i*p.s:(i+1)*p.s], sum)
		}
		m := float64(to - from)
		p.share[d] = 1
		if together > 0 {
			p.mean[d] = math.Sqrt(together) / p.m.l.full(d)
			p.share[d] = min(1, max(1/m, single/together))
		}
	}
}

// logInside is the logarithm of the probability that a standard normal variable lies
// between −b and a, for a ≤ b.
func logInside(a, b float64) float64 {
	if a > -8 {
		return math.Log(0.5 * (math.Erfc(-a/math.Sqrt2) - math.Erfc(b/math.Sqrt2)))
	}
	// Far in the tail: φ(a)/|a|·(1 − 1/a²), M. Abramowitz and I. A. Stegun, Handbook of
	// Mathematical Functions, 26.2.12 (from memory).
	return -a*a/2 - math.Log(-a*math.Sqrt(2*math.Pi)) + math.Log1p(-1/(a*a))
}
