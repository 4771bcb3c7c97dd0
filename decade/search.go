// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"cmp"
	"math"
	"math/big"
	"slices"
	"strconv"
)

// The search for settings runs on integers: steps and target in one unit, a power of ten
// in which all steps are whole, and a quarter of it. The quarter makes room for targets
// between two units: their place, below, on or above the middle, decides every comparison
// of distances to whole numbers as the exact target would.

// search is what finding settings needs to know of a box, dials with the highest steps
// first.
type search struct {
	total   float64  // largest sum in ohms
	unit    *big.Rat // units in an ohm
	power   int      // unit is 10 to this power, if decimal
	decimal bool
	exact   bool                // steps are whole in units and sums have at most 15 digits
	n       int                 // dials
	dial    [maxDials]int       // their index in the box
	step    [maxDials]int64     // in quarter units
	most    [maxDials]int64     // positions
	rest    [maxDials + 1]int64 // largest sum of the dials from here on
	common  [maxDials + 1]int64 // greatest common divisor of their steps
	mates   [maxDials]uint16    // places in this order of other dials on the switch
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
		f.power, f.decimal = k, true
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
	if f.decimal {
		return f.decimalTarget(ohms)
	}
	return f.rationalTarget(product(decimal(ohms), f.unit))
}

// rationalTarget returns a number of units in quarter units. Values below 0 become one
// quarter less than that, with the same settings in the same order.
func (f *search) rationalTarget(r *big.Rat) (quarters int64, isWhole bool) {
	if r.Sign() < 0 {
		return -1, false
	}
	if r.Cmp(new(big.Rat).SetInt64(f.rest[0]/4+1)) >= 0 {
		return f.rest[0] + 4, false
	}
	q := new(big.Int).Quo(r.Num(), r.Denom())
	fraction := minus(r, new(big.Rat).SetInt(q))
	return quarter(q.Int64(), fraction.Sign(), fraction.Cmp(big.NewRat(1, 2)))
}

// decimalTarget does the same on the digits, without allocation.
func (f *search) decimalTarget(ohms float64) (quarters int64, isWhole bool) {
	digits, exponent := shortest(ohms)
	top := f.rest[0]/4 + 1
	for exponent += f.power; exponent > 0 && digits != 0; exponent-- {
		if digits >= top {
			break
		}
		digits *= 10 // below 10·2⁶⁰⁻²
	}
	if exponent >= 0 {
		if digits >= top {
			return 4 * top, false
		}
		return 4 * digits, true
	}
	unit := int64(1)
	for ; exponent < 0 && unit < 1e18; exponent++ {
		unit *= 10
	}
	whole, rest := digits/unit, digits%unit
	switch {
	case exponent < 0: // less than a tenth of a unit
		return quarter(0, cmp.Compare(digits, 0), -1)
	case whole >= top:
		return 4 * top, false
	}
	return quarter(whole, cmp.Compare(rest, 0), cmp.Compare(2*rest, unit))
}

// quarter returns a whole number of units and a fraction in quarter units: signs of the
// fraction and of fraction − 1/2.
func quarter(units int64, fraction, half int) (quarters int64, isWhole bool) {
	switch {
	case fraction == 0:
		return 4 * units, true
	case half < 0:
		return 4*units + 1, false
	case half == 0:
		return 4*units + 2, false
	}
	return 4*units + 3, false
}

// shortest returns the shortest digits, at most 17, that read back as v ≥ 0:
// v = digits·10^exponent.
func shortest(v float64) (digits int64, exponent int) {
	var buffer [32]byte
	text := strconv.AppendFloat(buffer[:0], v, 'e', -1, 64)
	fraction := 0
	for i, c := range text {
		switch {
		case c == '.':
			fraction = 1
		case c == 'e':
			exponent, _ = strconv.Atoi(string(text[i+1:])) // digits of AppendFloat
			return digits, exponent - max(0, fraction-1)
		default:
			digits = 10*digits + int64(c-'0')
			if fraction > 0 {
				fraction++
			}
		}
	}
	return digits, exponent
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

// free reports whether a dial may leave zero: no other dial on its switch has.
func (f *search) free(k int, off uint16) bool { return f.mates[k]&off == 0 }

// compare is negative where a has the higher dials: the dial with the highest step decides,
// then the next.
func (f *search) compare(a, b positions) int {
	for _, dial := range f.dial[:f.n] {
		if c := cmp.Compare(b.at(dial), a.at(dial)); c != 0 {
			return c
		}
	}
	return 0
}
