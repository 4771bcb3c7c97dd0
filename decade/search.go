// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"cmp"
	"math"
	"math/big"
	"slices"
)

// The search for settings runs on integers: steps and target in one unit, a power of ten
// in which all steps are whole, and a quarter of it. The quarter makes room for targets
// between two units: their place, below, on or above the middle, decides every comparison
// of distances to whole numbers as the exact target would.

// search is what finding settings needs to know of a box, dials with the highest steps
// first.
type search struct {
	total  float64             // largest sum in ohms
	unit   *big.Rat            // 4 / unit in ohms
	exact  bool                // steps are whole in units and sums have at most 15 digits
	n      int                 // dials
	dial   [maxDials]int       // their index in the box
	step   [maxDials]int64     // in quarter units
	most   [maxDials]int64     // positions
	rest   [maxDials + 1]int64 // largest sum of the dials from here on
	common [maxDials + 1]int64 // greatest common divisor of their steps
	mates  [maxDials]uint16    // places in this order of other dials on the switch
}

const (
	// searchBits bounds the largest sum in units; quarters take two bits more, and sums
	// and differences stay within int64.
	searchBits = 58
	// Numbers of 15 digits come back from float64 as they were: an exact comparison of
	// units is one of the float64 nearest to them.
	exactSum = 1e15
)

func newSearch(s *Spec) search {
	var f search
	f.n = len(s.Decades)
	order := make([]int, f.n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(s.Decades[j].Step, s.Decades[i].Step) })
	f.setUnit(s)
	for k, i := range order {
		f.dial[k] = i
		f.step[k] = 4 * max(1, rounded(product(decimal(s.Decades[i].Step), f.unit)))
		f.most[k] = int64(s.Decades[i].Positions)
		for l, j := range order {
			if l != k && s.Decades[i].Switch != "" && s.Decades[i].Switch == s.Decades[j].Switch {
				f.mates[k] |= 1 << l
			}
		}
	}
	for k := f.n - 1; k >= 0; k-- {
		f.rest[k] = f.rest[k+1] + f.most[k]*f.step[k]
		f.common[k] = divisor(f.step[k], f.common[k+1])
	}
	return f
}

// setUnit takes the largest power of ten in which all steps are whole, or where the sums
// would become too large the smallest that they allow: about 1e-17 of the largest value.
func (f *search) setUnit(s *Spec) {
	bound := new(big.Rat).SetInt(new(big.Int).Lsh(big.NewInt(1), searchBits))
	total := new(big.Rat)
	steps := make([]*big.Rat, len(s.Decades))
	for i, d := range s.Decades {
		steps[i] = decimal(d.Step)
		total = plus(total, product(whole(d.Positions), steps[i]))
	}
	f.total = nearest(total)
	k, ok := scaleOf(steps)
	if f.unit = powerOfTen(k); ok && product(total, f.unit).Cmp(bound) < 0 {
		f.exact = product(total, f.unit).Cmp(new(big.Rat).SetInt64(exactSum)) < 0
		return
	}
	f.unit = new(big.Rat).Quo(bound, product(total, whole(2)))
}

// rounded returns the nearest integer of r ≥ 0, halves up, at least 0.
func rounded(r *big.Rat) int64 {
	q := plus(r, big.NewRat(1, 2))
	return new(big.Int).Quo(q.Num(), q.Denom()).Int64()
}

func divisor(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// target returns a resistance ≥ 0 in quarter units, and whether it is a whole number of
// units. Values beyond the largest sum become one unit more than that.
func (f *search) target(ohms float64) (quarters int64, isWhole bool) {
	r := product(decimal(ohms), f.unit)
	top := f.rest[0] + 4
	if r.Cmp(new(big.Rat).SetInt64(top/4)) >= 0 {
		return top, false
	}
	q := new(big.Int).Quo(r.Num(), r.Denom())
	fraction := minus(r, new(big.Rat).SetInt(q))
	quarters = 4 * q.Int64()
	switch fraction.Cmp(big.NewRat(1, 2)) {
	case 0:
		return quarters + 2, false
	case 1:
		return quarters + 3, false
	}
	if fraction.Sign() > 0 {
		return quarters + 1, false
	}
	return quarters, true
}

// slack is how far, in quarter units, the integers of a sum may lie from a target that
// its float64 is equal to; 0 where the comparison is exact.
func (f *search) slack(ohms float64) int64 {
	if f.exact {
		return 0
	}
	spacing := decimal(math.Nextafter(ohms, math.Inf(1)) - ohms)
	w := 4 * (1 + rounded(product(spacing, f.unit)))
	for k := range f.n {
		w += 4 * f.most[k]
	}
	return w
}

// setting returns the setting with these positions in the order of the search.
func (f *search) setting(b *Box, p *[maxDials]uint8) Setting {
	s := Setting{box: b}
	for k := range f.n {
		s.positions.set(f.dial[k], int(p[k]))
	}
	return s
}

// free tells whether a dial may leave zero: no other dial on its switch has.
func (f *search) free(k int, off uint16) bool { return f.mates[k]&off == 0 }
