// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"math"
	"math/big"
	"math/bits"
	"strconv"
)

// Boundaries are decided in the decimals that were written down. A reading of 7002.60 Ω at a
// setting of 7000 Ω is on a limit of 2.6 Ω and conforms; in float64 the difference is
// 2.600000000000364, outside it, since neither 7002.60 nor 2.6 has a finite binary fraction. So
// that part of a result which is stated in decimals (readings, nominal values, leads, residual,
// corrections) is kept as a whole number of units of a decimal place, and rounded once, by
// nearest, when the verdict is made.
//
// Sums, differences and means are all that is needed, so that a power of ten and one further
// divisor, the number of values that were averaged, are the only denominators. Displays show up
// to nine digits and the dials of a box span as many places: 128 bits (38 digits) hold a sum of
// both with room to spare, in a few word operations and without an allocation. Anything else is
// right all the same, as a big.Rat, but slower.

// exact is a sum or mean of decimals without rounding, such as readings less nominal values:
// ±units·10^−places/over, with units of 128 bits, which hold whatever displays show. What does
// not fit is a fraction in place of it. The zero exact is 0.
//
//	7002.6                     units 70026, places 1
//	mean of 1.1, 1.2 and 1.2   units 35, places 1, over 3
//
// One value has many spellings (70026·10⁻¹, 700260·10⁻²; a 0 of either sign), so that == on it
// means nothing: compare what nearest or rat returns. It is passed by value and never changed
// behind a copy; wide, where it is not nil, is shared by copies and stands alone: the other
// fields are 0 then.
type exact struct {
	neg    bool
	places uint8  // up to mostPlaces from decimal; align gives the larger of two
	over   uint32 // divisor beside the power of ten; 0: 1
	hi, lo uint64 // units, as hi·2⁶⁴ + lo
	wide   *big.Rat
}

// mostPlaces is the number of decimal places up to which units are used: 10⁻³⁰ Ω is far below all
// that is read, and 10³⁸ fits into 128 bits, which leaves eight digits in front of so many.
const mostPlaces = 30

// decimal takes a float64 for the decimal it was written as: the shortest that gives it, which is
// what a file or a person wrote up to 15 digits (a float64 has DBL_DIG = 15). It is not meant for
// results of arithmetic, whose shortest decimal shows their rounding: 0.1 + 0.2 is taken for
// 0.30000000000000004.
func decimal(v float64) exact {
	// Nominal values and most settings are whole numbers below 2⁵³, of which each is exact.
	if v == math.Trunc(v) && math.Abs(v) < 1<<53 {
		return exact{neg: v < 0, lo: uint64(math.Abs(v))}
	}
	var buffer [32]byte
	text := strconv.AppendFloat(buffer[:0], math.Abs(v), 'e', -1, 64)
	out := exact{neg: v < 0}
	// The text is d.ddde±xx. For 7002.6 it is 7.0026e+03: the units are its digits, 70026, and of
	// the four places behind the point the exponent takes three back.
	places, k := 0, 0
	for ; k < len(text) && text[k] != 'e'; k++ {
		if text[k] == '.' {
			places = len(text) - k - 1 // less the exponent, below
			continue
		}
		out.lo = 10*out.lo + uint64(text[k]-'0') // at most 17 digits
	}
	if k == len(text) {
		return exact{} // not finite: readings are checked before
	}
	if places > 0 {
		places -= len(text) - k
	}
	power, err := strconv.Atoi(string(text[k+1:]))
	if places -= power; err != nil || places > mostPlaces {
		return wideExact(v)
	}
	// A negative number of places is zeros at the end: 1.5e+20 is 15·10¹⁹.
	if places >= 0 {
		out.places = uint8(places)
		return out
	}
	if out.scale(-places) {
		return out
	}
	return wideExact(v)
}

// wideExact is decimal for a number of any size.
func wideExact(v float64) exact {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(v, 'e', -1, 64))
	if !ok {
		return exact{}
	}
	return exact{wide: r}
}

// multiply multiplies the units; ok is false, and nothing changed, where they overflow.
func (x *exact) multiply(by uint64) (ok bool) {
	// (hi·2⁶⁴ + lo)·by = hi·by·2⁶⁴ + lo·by: the upper word of lo·by is added to the lower one of
	// hi·by, and whatever is above that does not fit.
	carry, lo := bits.Mul64(x.lo, by)
	over, hi := bits.Mul64(x.hi, by)
	hi, more := bits.Add64(hi, carry, 0)
	if over != 0 || more != 0 {
		return false
	}
	x.hi, x.lo = hi, lo
	return true
}

// scale multiplies the units by a power of ten. Where ok is false they may have been multiplied by
// a part of it: the caller works on a copy that is then dropped.
func (x *exact) scale(power int) (ok bool) {
	// 10¹⁹ is the largest power of ten in a word: 2⁶⁴ is 1.8·10¹⁹.
	for ; power >= 19; power -= 19 {
		if !x.multiply(1e19) {
			return false
		}
	}
	ten := uint64(1)
	for range power {
		ten *= 10
	}
	return x.multiply(ten)
}

// divisor is what the units are divided by beside a power of ten.
func (x exact) divisor() uint64 { return max(1, uint64(x.over)) }

// rat is x as a fraction, which is not to be changed.
func (x exact) rat() *big.Rat {
	if x.wide != nil {
		return x.wide
	}
	return new(big.Rat).SetFrac(x.units(), x.denominator())
}

// units are the units with their sign, as a number that the caller may change.
func (x exact) units() *big.Int {
	n := new(big.Int).SetUint64(x.hi)
	n.Lsh(n, 64).Or(n, new(big.Int).SetUint64(x.lo))
	if x.neg {
		n.Neg(n)
	}
	return n
}

// denominator is what the units are divided by in all, 10^places·over.
func (x exact) denominator() *big.Int {
	d := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(x.places)), nil)
	return d.Mul(d, new(big.Int).SetUint64(x.divisor()))
}

// negated is −x.
func (x exact) negated() exact {
	if x.wide != nil {
		return exact{wide: new(big.Rat).Neg(x.wide)}
	}
	x.neg = !x.neg
	return x
}

// minus is x − y.
func (x exact) minus(y exact) exact { return x.plus(y.negated()) }

// plus is x + y. Where the units of both do not fit once they have one denominator, the sum is a
// fraction, and so is all that is made from it.
func (x exact) plus(y exact) exact {
	if x.wide == nil && y.wide == nil {
		a, b := x, y
		if a.align(&b) {
			if sum, ok := a.sum(b); ok {
				return sum
			}
		}
	}
	return exact{wide: new(big.Rat).Add(x.rat(), y.rat())}
}

// align gives both the same places and divisor; false where that does not fit, with both in
// whatever state they are in then.
func (x *exact) align(y *exact) bool {
	if x.over != y.over {
		// One of the two is a mean, the other one value, as a rule: their product is the least
		// common multiple then, and a search for a smaller one would seldom pay.
		dx, dy := x.divisor(), y.divisor()
		if dx*dy > math.MaxUint32 || !x.multiply(dy) || !y.multiply(dx) {
			return false
		}
		x.over = uint32(dx * dy)
		y.over = x.over
	}
	// The one with fewer places is scaled up, which keeps both whole.
	few, many := x, y
	if few.places > many.places {
		few, many = y, x
	}
	if !few.scale(int(many.places) - int(few.places)) {
		return false
	}
	few.places = many.places
	return true
}

// sum is x + y of the same places and divisor; false where it does not fit. Of two signs the
// difference always fits.
func (x exact) sum(y exact) (exact, bool) {
	if x.neg == y.neg {
		var carry uint64
		x.lo, carry = bits.Add64(x.lo, y.lo, 0)
		x.hi, carry = bits.Add64(x.hi, y.hi, carry)
		return x, carry == 0
	}
	if x.hi < y.hi || x.hi == y.hi && x.lo < y.lo {
		x, y = y, x // the larger one gives the sign
	}
	var borrow uint64
	x.lo, borrow = bits.Sub64(x.lo, y.lo, 0)
	x.hi, _ = bits.Sub64(x.hi, y.hi, borrow)
	return x, true
}

// times is n·x, for an n whose negative is an int too.
func (x exact) times(n int) exact {
	if out := x; x.wide == nil && out.multiply(uint64(max(n, -n))) {
		out.neg = x.neg != (n < 0)
		return out
	}
	return exact{wide: new(big.Rat).Mul(x.rat(), big.NewRat(int64(n), 1))}
}

// per is x/n, for n of 1 or more.
func (x exact) per(n int) exact {
	// Divisors multiply: a mean of means of 3 and 4 values is over 12. Neither factor exceeds 32
	// bits, so that the product does not overflow.
	by := uint64(n)
	if d := x.divisor() * by; x.wide == nil && by <= math.MaxUint32 && d <= math.MaxUint32 {
		x.over = uint32(d)
		return x
	}
	return exact{wide: new(big.Rat).Quo(x.rat(), big.NewRat(int64(n), 1))}
}

// nearest is the float64 nearest to x, ties to even: the one rounding of a result. It cannot fall
// below the normal numbers, where a second rounding would follow: with the places and divisors of
// this type no number but 0 is smaller than 10⁻⁴⁰.
func (x exact) nearest() float64 {
	if x.wide != nil {
		v, _ := x.wide.Float64()
		return v
	}
	var v float64
	switch ten, ok := x.power(); {
	case x.hi == 0 && x.lo == 0:
		return 0
	case ok && x.hi == 0 && x.lo <= 1<<53:
		// IEEE 754 rounds a quotient once, to the nearest, and both numbers are exact.
		v = float64(x.lo) / ten
	default:
		// SetInt takes as many bits as the integer has, and Quo rounds once to the 53 of a float64.
		n := new(big.Float).SetInt(x.units())
		q, _ := new(big.Float).SetPrec(53).Quo(n, new(big.Float).SetInt(x.denominator())).Float64()
		return q
	}
	if x.neg {
		return -v
	}
	return v
}

// power is the denominator where a float64 holds it exactly, that is up to 2⁵³; else false.
func (x exact) power() (float64, bool) {
	const mostExact = 15 // 10^15 < 2^53
	d := x.divisor()
	if x.places > mostExact {
		return 0, false
	}
	for range x.places {
		if d *= 10; d > 1<<53 {
			return 0, false
		}
	}
	return float64(d), true
}
