// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"cmp"
	"math"
	"math/big"
	"math/bits"
)

// wide is an integer of 192 bits. Steps of 17 digits from 1e-12 to 1e18 Ω have sums below
// 2¹⁷⁰ in quarters of their unit, so that sums and their doubles are exact for every box. Sixteen
// dials of 255 times 1e18 Ω are 4.1e21 Ω; the finest unit, of 17 digits down to 1e-12 Ω, is
// 1e-28 Ω, and a quarter of it makes 1.6e50, 2¹⁶⁷.
//
// It is a value without a pointer: sums cost no allocation, and it can be the key of a map.
// Overflow is not looked for; wideBits is kept by those who make wide integers of other numbers.
type wide struct { // two's complement
	high     int64
	mid, low uint64
}

// wideBits is how many bits a sum may have: signs, doubles and differences take the rest.
const wideBits = 186

// wideOf extends the sign of v into the two words above it.
func wideOf(v int64) wide { return wide{v >> 63, uint64(v >> 63), uint64(v)} }

// wideOfInt returns an integer below 2¹⁹¹ in size; FillBytes panics beyond 2¹⁹².
func wideOfInt(v *big.Int) wide {
	var words [24]byte
	new(big.Int).Abs(v).FillBytes(words[:]) // the most significant byte first
	var w [3]uint64
	for i, c := range words {
		w[i/8] = w[i/8]<<8 | uint64(c)
	}
	out := wide{int64(w[0]), w[1], w[2]}
	if v.Sign() < 0 {
		return wide{}.minus(out)
	}
	return out
}

func (a wide) plus(b wide) wide {
	low, carry := bits.Add64(a.low, b.low, 0)
	mid, carry := bits.Add64(a.mid, b.mid, carry)
	return wide{a.high + b.high + int64(carry), mid, low}
}

func (a wide) minus(b wide) wide {
	low, borrow := bits.Sub64(a.low, b.low, 0)
	mid, borrow := bits.Sub64(a.mid, b.mid, borrow)
	return wide{a.high - b.high - int64(borrow), mid, low}
}

// times returns the product with a small factor, which must fit in 192 bits.
func (a wide) times(n uint64) wide {
	c1, low := bits.Mul64(a.low, n)
	c2, mid := bits.Mul64(a.mid, n)
	mid, carry := bits.Add64(mid, c1, 0)
	// The product of two's complements is right in its low bits whatever the sign.
	return wide{int64(uint64(a.high)*n + c2 + carry), mid, low}
}

func (a wide) negative() bool { return a.high < 0 }

func (a wide) abs() wide {
	if a.negative() {
		return wide{}.minus(a)
	}
	return a
}

// less compares the signed word first: below it, words of two's complement are in order as they
// are.
func (a wide) less(b wide) bool {
	if a.high != b.high {
		return a.high < b.high
	}
	if a.mid != b.mid {
		return a.mid < b.mid
	}
	return a.low < b.low
}

// compare is −1, 0 or 1, for sorting.
func (a wide) compare(b wide) int {
	switch {
	case a.high != b.high:
		return cmp.Compare(a.high, b.high)
	case a.mid != b.mid:
		return cmp.Compare(a.mid, b.mid)
	}
	return cmp.Compare(a.low, b.low)
}

// mod returns the remainder of a ≥ 0 by n > 0, word by word as on paper: the remainder of the
// words above stands before the next one (short division, D. E. Knuth, The Art of Computer
// Programming, 4.3.1, from memory).
func (a wide) mod(n uint64) uint64 {
	if a.high == 0 && a.mid == 0 {
		return a.low % n
	}
	return bits.Rem64(bits.Rem64(uint64(a.high)%n, a.mid, n), a.low, n)
}

// narrow returns the same as an int64, as near as there is one: a target far beyond the sums is as
// good at the end of the range.
func (a wide) narrow() int64 {
	switch {
	case a.less(wideOf(math.MinInt64)):
		return math.MinInt64
	case wideOf(math.MaxInt64).less(a):
		return math.MaxInt64
	}
	return int64(a.low)
}
