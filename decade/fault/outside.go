// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

// The class says of each element |δ| ≤ c, a rectangle. Rectangles have no closed form in a joint
// likelihood of readings, normal distributions do; so the algebra takes the normal distribution
// with the standard uncertainty c/√3 of the rectangle (GUM 4.3.7), which leaves room beyond the
// limit. That room is paid for here: given the readings, δ_k is normal with a mean m_k and a
// standard deviation s_k, and the hypothesis pays −2·ln P(|δ_k| ≤ c_k). An element well inside
// pays nothing, one whose mean is at the limit 2·ln 2 = 1.4, one whose mean is three s_k outside
// 13.
//
// Exact would be the probability that all elements are inside at once, an integral in as many
// dimensions as there are elements. The product of the probabilities of each is right for
// independent ones and counts one coincidence n times for n that move as one; the share of a
// dial (see independence) takes it back between the two.

import "math"

// outsideClass is −2·ln of the probability that every element is inside its class, given the
// whitened remainder of the readings; free elements do not count. The probabilities of
// elements are multiplied as if there were as many independent ones in a dial as share
// says: where they are known only together, by the gain of the meter say, ten elements
// near the limit are one coincidence and not ten.
//
// Of elements that are inside by their estimates the farthest of a dial pays alone. A dial of which
// a few positions were read, all high by most of its limit, has elements that are alike as often as
// some that are outside among others; if each of them paid, "aged throughout", which frees them all
// from it, would gain by what nobody knows.
//
// sd has an entry for each part and ap a row for each, the residual as the last: row k is the
// prior covariance of part k with the readings, so that its product with rest is the mean of the
// part given the readings. share has an entry for each dial, and 1 at the end for the residual.
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
				most = max(most, x)
				if mean > c {
					sum += x
				}
			}
		}
		// However dependent they are, the farthest one alone is a coincidence of its own.
		total += max(most, sum*share[d])
	}
	return total
}

// logInside is the logarithm of the probability that a standard normal variable lies between −b
// and a, for a ≤ b. b may be +Inf.
func logInside(a, b float64) float64 {
	// Erfc and not Erf: towards the tail both terms are small and their difference keeps its
	// digits. At −8 the two forms differ by 3/8⁴, 7 parts in 10⁴ of a probability whose
	// logarithm is −35.
	if a > -8 {
		return math.Log(0.5 * (math.Erfc(-a/math.Sqrt2) - math.Erfc(b/math.Sqrt2)))
	}
	// Far in the tail: φ(a)/|a|·(1 − 1/a²), M. Abramowitz and I. A. Stegun, Handbook of
	// Mathematical Functions, 26.2.12 (from memory). The other end takes nothing away here: the
	// readings only narrow the s ≤ 0.82·c of the class, so that b is beyond −a by 2.4 or more,
	// and its tail is e⁻²⁰ of that at a.
	return -a*a/2 - math.Log(-a*math.Sqrt(2*math.Pi)) + math.Log1p(-1/(a*a))
}
