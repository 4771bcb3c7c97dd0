// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// nothingFits is the probability of χ² of the best hypothesis below which something else is
// considered.
const nothingFits = 1e-3

// addUnexplained adds to a list, best first, that something else is wrong: the readings
// scatter about the best hypothesis by κ times what they are uncertain by, for what no
// fault of the list explains. With n readings its −2·ln of the likelihood is that of the best
// with χ² replaced by the least of χ²/κ² + n·ln κ², which is n + n·ln(χ²/n).
func (s *search) addUnexplained(list []*hypothesis) []*hypothesis {
	// κ is the ratio of R. T. Birge, Phys. Rev. 40, 1932 (from memory).
	n := float64(s.numReadings)
	if len(list) == 0 || !(list[0].chiSquared > (distuv.ChiSquared{K: n}).Quantile(1-nothingFits)) {
		return list
	}
	// The score keeps what the best one pays for its own freedom: something else is not simpler.
	best := list[0]
	h := &hypothesis{
		faults: []Fault{{Kind: KindUnexplained, A: Place{Part: PartBox}}}, effect: best.effect,
		prior: s.weight(KindUnexplained), chiSquared: best.chiSquared,
		fit: best.fit - best.chiSquared + n + float64(n*math.Log(best.chiSquared/n)),
	}
	// GUM G.3.3 takes one degree of freedom for each fitted value; the best hypothesis pays for
	// its values by a penalty instead, which is taken over as it is.
	h.score = h.fit + (best.score - best.fit) + h.prior
	if math.IsInf(h.prior, 1) {
		return list
	}
	// The list stays sorted: groups takes its first as the best.
	i, _ := slices.BinarySearchFunc(list, h, byScore)
	return slices.Insert(list, i, h)
}
