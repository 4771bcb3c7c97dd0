// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"math"
	"math/big"
	"math/bits"
	"strconv"
)

// exact is a sum or mean of decimals without rounding, such as readings less nominal values:
// ±units·10^−places/over, with units of 128 bits, which hold whatever displays show. What does
// not fit is a fraction in place of it. The zero exact is 0.
type exact struct {
	neg    bool
	places uint8
	over   uint32 // 0: 1
	hi, lo uint64 // units
	wide   *big.Rat
}

// mostPlaces is the number of decimal places up to which units are used.
const mostPlaces = 30

// decimal takes a float64 for the decimal it was written as: the shortest that gives it.
func decimal(v float64) exact {
	if v == math.Trunc(v) && math.Abs(v) < 1<<53 {
		return exact{neg: v < 0, lo: uint64(math.Abs(v))}
	}
	var buffer [32]byte
	text := strconv.AppendFloat(buffer[:0], math.Abs(v), 'e', -1, 64)
	out := exact{neg: v < 0}
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
	carry, lo := bits.Mul64(x.lo, by)
	over, hi := bits.Mul64(x.hi, by)
	// Schoolbook multiplication, word by word.
	hi, more := bits.Add64(hi, carry, 0)
	if over != 0 || more != 0 {
		return false
	}
	x.hi, x.lo = hi, lo
	return true
}

// scale multiplies the units by a power of ten.
func (x *exact) scale(power int) (ok bool) {
	// 10¹⁹ is the largest power of ten in a word.
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

// units are the units with their sign.
func (x exact) units() *big.Int {
	n := new(big.Int).SetUint64(x.hi)
	n.Lsh(n, 64).Or(n, new(big.Int).SetUint64(x.lo))
	if x.neg {
		n.Neg(n)
	}
	return n
}

// denominator is what the units are divided by in all.
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

// plus is x + y.
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

// align gives both the same places and divisor.
func (x *exact) align(y *exact) bool {
	if x.over != y.over {
		// One of the two is a mean, the other one value, as a rule.
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

// sum is x + y of the same places and divisor.
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

// times is n·x.
func (x exact) times(n int) exact {
	if out := x; x.wide == nil && out.multiply(uint64(max(n, -n))) {
		out.neg = x.neg != (n < 0)
		return out
	}
	return exact{wide: new(big.Rat).Mul(x.rat(), big.NewRat(int64(n), 1))}
}

// per is x/n, for n of 1 or more.
func (x exact) per(n int) exact {
	// Neither factor exceeds 32 bits, so that the product does not overflow.
	by := uint64(n)
	if d := x.divisor() * by; x.wide == nil && by <= math.MaxUint32 && d <= math.MaxUint32 {
		x.over = uint32(d)
		return x
	}
	return exact{wide: new(big.Rat).Quo(x.rat(), big.NewRat(int64(n), 1))}
}

// nearest is the float64 nearest to x.
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
		v = float64(x.lo) / ten // of two exact numbers: rounded once
	default:
		// big.Float rounds a quotient once, to the nearest.
		n := new(big.Float).SetInt(x.units())
		q, _ := new(big.Float).SetPrec(53).Quo(n, new(big.Float).SetInt(x.denominator())).Float64()
		return q
	}
	if x.neg {
		return -v
	}
	return v
}

// power is the denominator, where a float64 holds it.
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
