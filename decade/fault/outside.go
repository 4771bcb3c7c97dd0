// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import "math"

// outsideClass is −2·ln of the probability that every element is inside its class, given the
// whitened remainder of the readings; free elements do not count. The probabilities of
// elements are multiplied as if there were as many independent ones in a dial as share
// says: where they are known only together, by the gain of the meter say, ten elements
// near the limit are one coincidence and not ten.
func (m *model) outsideClass(sd, ap, rest, share []float64, free func(int) bool) float64 {
	total := 0.0
	n := len(rest)
	for d, from := range m.layout.firstElement {
		to := len(m.classLimit) // the last: the residual
		if d+1 < len(m.layout.firstElement) {
			to = m.layout.firstElement[d+1]
		}
		sum, most := 0.0, 0.0
		for k := from; k < to; k++ {
			mean := math.Abs(dot(ap[k*n:(k+1)*n], rest))
			// Six standard deviations inside the limit the logarithm is nothing: −2·ln(1 − 1e-9).
			if c := m.classLimit[k]; c-mean < 6*sd[k] && (free == nil || !free(k)) {
				x := -2 * logInside((c-mean)/sd[k], (c+mean)/sd[k])
				sum += x
				most = max(most, x)
			}
		}
		// However dependent they are, the farthest one alone is a coincidence of its own.
		total += max(most, sum*share[d])
	}
	return total
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
