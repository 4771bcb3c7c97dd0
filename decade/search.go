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
//
// Dials of 100 Ω and 0.5 Ω: the unit is 0.1 Ω, their steps are 1000 and 5 units, 4000 and 20
// quarters. A target of 0.74 Ω is 7.4 units; its fraction is below one half and becomes one
// quarter, 29 quarters in all. So it lies above 7 units, and nearer to them than to 8.

// search is what finding settings needs to know of a box, dials with the highest steps
// first.
type search struct {
	total      float64          // largest sum in ohms
	unit       *big.Rat         // units in an ohm, 10 to the power below
	power      int              // 1 where the finest step is 0.1 Ω, −3 where it is 1 kΩ
	small      bool             // sums stay within searchBits
	exact      bool             // sums have at most 15 digits
	n          int              // dials
	dial       [maxDials]int    // their index in the box
	step       [maxDials]wide   // in quarter units
	sameSwitch [maxDials]uint16 // places in this order of other dials on the switch
	ladder     ladder           // of the nominal values
}

const (
	// searchBits bounds sums in units for a search in int64: quarters take two bits more,
	// and sums and differences stay within.
	searchBits = 58
	// Numbers of 15 digits come back from float64 as they were: an exact comparison of
	// units is one of the float64 nearest to them.
	exactSum = 1e15
)

// newSearch prepares the search among nominal values of a description that has passed its checks.
// It is not changed afterwards: the goroutines that use a box share it.
func newSearch(s *Spec) *search {
	f := &search{n: len(s.Decades)}
	order := make([]int, f.n)
	for i := range order {
		order[i] = i
	}
	// Stable: dials of equal steps keep their order in the box, and with it the setting that
	// wins.
	slices.SortStableFunc(order,
		func(i, j int) int { return cmp.Compare(s.Decades[j].Step, s.Decades[i].Step) })
	f.setUnit(s)
	f.ladder.search = f
	common := new(big.Int)
	for k := f.n - 1; k >= 0; k-- {
		i := order[k]
		f.dial[k] = i
		quarters := product(product(decimal(s.Decades[i].Step), f.unit), whole(4)).Num()
		f.step[k] = wideOfInt(quarters)
		for p := range s.Decades[i].Positions + 1 {
			f.ladder.value[k] = append(f.ladder.value[k], f.step[k].times(uint64(p)))
		}
		f.ladder.excluded[k] = s.Decades[i].excluded()
		// From the last dial on, so that each place has the divisor of all dials that follow it.
		f.ladder.common[k] = wordDivisor(common.GCD(nil, nil, common, quarters))
		for l, j := range order {
			if l != k && s.Decades[i].Switch != "" && s.Decades[i].Switch == s.Decades[j].Switch {
				f.sameSwitch[k] |= 1 << l
			}
		}
	}
	f.ladder.setBounds()
	return f
}

// excluded marks the missing positions; nil where there are none.
func (d *Decade) excluded() []bool {
	if len(d.Missing) == 0 {
		return nil
	}
	out := make([]bool, d.Positions+1)
	for _, p := range d.Missing {
		out[p] = true
	}
	return out
}

// setUnit takes the largest power of ten in which all steps are whole: with a step of d·10^e, d not
// a multiple of ten, there must be 10^−e units in an ohm or more.
func (f *search) setUnit(s *Spec) {
	total := new(big.Rat)
	f.power = math.MinInt
	for _, d := range s.Decades {
		total = plus(total, product(whole(d.Positions), decimal(d.Step)))
		// The decimals that were stated, not those of the binary number: 0.1 is one digit.
		digits, exponent := shortest(d.Step)
		for ; digits%10 == 0; digits /= 10 {
			exponent++
		}
		f.power = max(f.power, -exponent)
	}
	f.total = nearest(total)
	f.unit = powerOfTen(f.power)
	units := product(total, f.unit)
	f.small = units.Cmp(new(big.Rat).SetInt64(1<<searchBits)) < 0
	f.exact = units.Cmp(new(big.Rat).SetInt64(exactSum)) < 0
}

// wordDivisor returns a divisor of v > 0 that fits a word: v itself, v without some of its zeros,
// or 1, which is of no use and not wrong.
func wordDivisor(v *big.Int) uint64 {
	v = new(big.Int).Set(v)
	for !v.IsUint64() {
		// Every divisor of a divisor serves. Steps are decimal, so that tens go out first.
		if _, rest := v.DivMod(v, big.NewInt(10), new(big.Int)); rest.Sign() != 0 {
			return 1
		}
	}
	return v.Uint64()
}

// top is one unit, four quarters, more than the largest sum.
func (f *search) top() wide { return f.ladder.high[0].plus(wideOf(4)) }

// rationalTarget returns a number of units in quarter units, and whether it is a whole
// number of units. Values below 0 become one quarter less than that, those beyond the
// largest sum one unit more than that, with the same settings in the same order.
func (f *search) rationalTarget(r *big.Rat) (quarters wide, isWhole bool) {
	if r.Sign() < 0 {
		return wideOf(-1), false
	}
	q := new(big.Int).Quo(r.Num(), r.Denom())
	if q.BitLen() > wideBits || !wideOfInt(q).times(4).less(f.top()) {
		return f.top(), false
	}
	// Sign and side of the half decide every comparison; the rest of the fraction does not
	// matter.
	fraction := minus(r, new(big.Rat).SetInt(q))
	return quarter(wideOfInt(q), fraction.Sign(), fraction.Cmp(big.NewRat(1, 2)))
}

// target returns a resistance ≥ 0 in quarter units, and whether it is a whole number of
// units. It works on the digits, without allocation.
func (f *search) target(ohms float64) (quarters wide, isWhole bool) {
	digits, exponent := shortest(ohms)
	exponent += f.power
	if exponent >= 0 {
		w := wideOf(4 * digits)
		for ; exponent > 0 && digits != 0 && w.less(f.top()); exponent-- {
			w = w.times(10)
		}
		if !w.less(f.top()) {
			return f.top(), false
		}
		return w, true
	}
	unit := int64(1)
	// 10¹⁸ is the largest power of ten in an int64, and shortest digits are 17 at most.
	for ; exponent < 0 && unit < 1e18; exponent++ {
		unit *= 10
	}
	whole, rest := digits/unit, digits%unit
	switch {
	case exponent < 0: // less than a tenth of a unit
		return quarter(wide{}, cmp.Compare(digits, 0), -1)
	case !wideOf(4 * whole).less(f.top()):
		return f.top(), false
	}
	return quarter(wideOf(whole), cmp.Compare(rest, 0), cmp.Compare(2*rest, unit))
}

// quarter returns a whole number of units and a fraction in quarter units: signs of the
// fraction and of fraction − 1/2.
func quarter(units wide, fraction, half int) (quarters wide, isWhole bool) {
	part := int64(0)
	switch {
	case fraction == 0:
	case half < 0:
		part = 1
	case half == 0:
		part = 2
	default:
		part = 3
	}
	return units.times(4).plus(wideOf(part)), part == 0
}

// shortest returns the shortest digits, at most 17 (IEEE 754-2019, 5.12.2), that read back as
// v ≥ 0: v = digits·10^exponent.
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

// slack is how far, in quarter units, the sum of a setting may lie from a target that its
// float64 is equal to. It is used for sums of more than 15 digits alone, where several decimals
// share a float64: of 17 digits, 1e16 and 1e16 + 1.
func (f *search) slack(ohms float64) wide {
	// Half a spacing to either side rounds to the value; a whole one is an upper bound. The two
	// units more make up for Quo and for the quarter of the target, which both cut off.
	spacing := decimal(math.Nextafter(ohms, math.Inf(1)) - ohms)
	units := product(spacing, f.unit)
	return wideOfInt(new(big.Int).Quo(units.Num(), units.Denom())).plus(wideOf(2)).times(4)
}

// free reports whether a dial may leave zero: no other dial on its switch has.
func (f *search) free(k int, off uint16) bool { return f.sameSwitch[k]&off == 0 }

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

// setSearch prepares the search among the values of the box. NearestN runs on
//
//	nominal, sums below 2⁵⁸ units    the finder
//	nominal, more digits             the ladder of b.search, of 192 bits
//	measured                         the finder
//	measured, very unlike steps      a ladder of its own, of 192 bits
//
// and Nearest on the same, but of nominal values on the ladder first (see nearestNominal).
func (b *Box) setSearch() {
	b.finder = newFinder(b, nil)
	b.ladder = nil
	switch {
	case b.measured == nil && !b.search.small:
		b.ladder = &b.search.ladder
	// Below 2¹⁶ of the grid a step, rounding to the grid could change which setting is nearest.
	case b.measured != nil && math.Ldexp(b.smallestStep(), b.finder.scale.power) < 0x1p16:
		b.ladder = newLadder(b)
	}
}

// smallestStep is the smallest step of all dials, in ohms.
func (b *Box) smallestStep() float64 {
	step := math.Inf(1)
	for i := range b.spec.Decades {
		step = min(step, b.spec.Decades[i].Step)
	}
	return step
}

// newLadder is that of measured values. It has no common divisors: measured values have none.
func newLadder(b *Box) *ladder {
	// As many bits below the grid of the finder as a wide integer has more, less spareBits: 186 −
	// 58 − 8 = 120 bits. Values down to 2⁻¹²⁶ of the largest keep all digits of their float64.
	const spareBits = 8 // for targets beyond the values
	l := &ladder{search: b.search, measured: true,
		power: b.finder.scale.power + wideBits - measuredBits - spareBits}
	for k := range b.search.n {
		for _, v := range b.values.dials[b.search.dial[k]] {
			l.value[k] = append(l.value[k], l.of(v))
		}
		l.excluded[k] = b.spec.Decades[b.search.dial[k]].excluded()
	}
	l.setBounds()
	return l
}

// of returns a resistance in ohms as an integer of the ladder; what lies far beyond the
// values as one that does.
func (l *ladder) of(ohms float64) wide {
	if !l.measured {
		q, _ := l.search.rationalTarget(product(decimal(ohms), l.search.unit))
		return q
	}
	ohms = max(-math.Ldexp(1, wideBits-l.power), min(ohms, math.Ldexp(1, wideBits-l.power)))
	// Cut off towards 0, by less than one in 2¹²⁰ of the finder's grid.
	scaled := new(big.Rat).Mul(binary(ohms), powerOfTwo(l.power))
	return wideOfInt(new(big.Int).Quo(scaled.Num(), scaled.Denom()))
}

// powerOfTwo is 2^k, exactly.
func powerOfTwo(k int) *big.Rat {
	p := new(big.Int).Lsh(big.NewInt(1), uint(max(k, -k)))
	if k < 0 {
		return new(big.Rat).SetFrac(big.NewInt(1), p)
	}
	return new(big.Rat).SetInt(p)
}

// admitting is the ladder without the positions that a condition excludes.
func (l *ladder) admitting(allowed func(dial, position int) bool) *ladder {
	out := *l
	for k := range l.search.n {
		out.excluded[k] = make([]bool, len(l.value[k]))
		for p := range l.value[k] {
			missing := l.excluded[k] != nil && l.excluded[k][p]
			out.excluded[k][p] = missing || !allowed(l.search.dial[k], p)
		}
	}
	// The ends and the order of the dials depend on what is excluded.
	out.low, out.high = [maxDials + 1]wide{}, [maxDials + 1]wide{}
	out.setBounds()
	return &out
}
