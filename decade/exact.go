// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"math"
	"math/big"
	"strconv"
)

// Values of a setting are sums of stated decimals: 7·1000 Ω, 0.02 % of it, 5 mΩ. They are
// formed in integers of one power of ten and rounded to float64 once, by the division at
// the end, so that a value on a limit is on it: 0.1 Ω three times is 0.3 Ω, and 0.0002 of
// 7000 Ω is 1.4 Ω.
//
// An example: steps of 100 Ω and 0.1 Ω of 0.02 %, floor 5 mΩ. The terms of the class, 0.02 Ω,
// 0.00002 Ω and 0.005 Ω, are integers of 10⁻⁵ Ω: 2000, 2 and 500. At 7-3 the limit is
// (7·2000 + 3·2 + 2·500)/10⁵ = 0.15006 Ω, rounded once.
//
// Values of very many digits, a step of π Ω to 17 of them with a tolerance of 3, pass 2⁵³ of
// such a unit. They are added in float64 with the errors of rounding carried along (compensated):
// right to about one rounding, but not proved to be the nearest float64.

// sum is the description of such a value:
//
//	Σ over dials (p·perStep + offZero where p > 0) + (off where any p > 0, else zero)
type sum struct {
	perStep, offZero []*big.Rat // by dial in the order of the box, in Ω
	off, zero        *big.Rat   // Ω
}

// table is a sum ready for use. It is not changed after compile.
type table struct {
	exact    bool     // ints hold it; else floats do
	multiply bool     // by power instead of dividing
	power    float64  // of ten, exact
	ints     struct { // in units of 10^−k Ω
		perStep, offZero [maxDials]int64
		off, zero        int64
	}
	floats struct { // used where no power of ten serves
		perStep, offZero [maxDials]twofold
		off, zero        twofold
	}
}

// twofold is a number as a float64 and what is missing in it.
type twofold struct{ value, rest float64 }

// split is a number as the float64 nearest to it and the float64 nearest to what that leaves.
func split(r *big.Rat) twofold {
	v := nearest(r)
	return twofold{v, nearest(minus(r, binary(v)))}
}

// binary is the binary value of v, exactly: that of 0.1 is 0.1000000000000000055…. It is for what
// nobody stated in decimals, measured values and rests.
func binary(v float64) *big.Rat {
	r := new(big.Rat)
	r.SetFloat64(v) // stays 0 for values that are not finite
	return r
}

// decimal is the number that was stated: the shortest decimal that reads back as v. A file says
// 0.1 Ω and Go makes the float64 next to it; this is the way back.
func decimal(v float64) *big.Rat {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(v, 'e', -1, 64))
	if !ok {
		return new(big.Rat) // v is finite in every description that passed the checks
	}
	return r
}

// nearest rounds once, to nearest and even on a tie (IEEE 754-2019, 4.3.1).
func nearest(r *big.Rat) float64 {
	v, _ := r.Float64()
	return v
}

func product(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
func plus(a, b *big.Rat) *big.Rat    { return new(big.Rat).Add(a, b) }
func minus(a, b *big.Rat) *big.Rat   { return new(big.Rat).Sub(a, b) }
func whole(n int) *big.Rat           { return new(big.Rat).SetInt64(int64(n)) }

const (
	maxPower = 22      // 10^22 is the largest power of ten that float64 holds exactly
	maxSum   = 1 << 53 // integers below it are exact in float64
)

// powerOfTen is 10^k, exactly.
func powerOfTen(k int) *big.Rat {
	p := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(k, -k))), nil)
	if k < 0 {
		return new(big.Rat).SetFrac(big.NewInt(1), p)
	}
	return new(big.Rat).SetInt(p)
}

// scaleOf returns the smallest k for which every term times 10^k is an integer; false
// where k would lie beyond ±maxPower. Terms of 0 are whole at any scale. The smallest k makes the
// smallest integers: kilohms alone are counted in kilohms.
func scaleOf(terms []*big.Rat) (k int, ok bool) {
	for k = -maxPower; k <= maxPower; k++ {
		if allWhole(terms, k) {
			return k, true
		}
	}
	return 0, false
}

// allWhole reports whether every term times 10^k is an integer.
func allWhole(terms []*big.Rat, k int) bool {
	p := powerOfTen(k)
	for _, t := range terms {
		if !product(t, p).IsInt() {
			return false
		}
	}
	return true
}

// terms lists the numbers of a sum, for the choice of a common scale.
func (s sum) terms() []*big.Rat {
	out := append([]*big.Rat{s.off, s.zero}, s.perStep...)
	return append(out, s.offZero...)
}

// largest bounds the absolute value of the sum at every setting, and of its partial sums.
func (s sum) largest(positions []int) *big.Rat {
	total := plus(new(big.Rat).Abs(s.off), new(big.Rat).Abs(s.zero))
	for i, p := range positions {
		total = plus(total, product(whole(p), new(big.Rat).Abs(s.perStep[i])))
		total = plus(total, new(big.Rat).Abs(s.offZero[i]))
	}
	return total
}

// compile prepares the sum for dials with these highest positions.
func (s sum) compile(positions []int) table {
	var t table
	k, ok := scaleOf(s.terms())
	// Integers below 2⁵³ and powers of ten up to 10²² are exact in float64, so that their
	// quotient is rounded once (IEEE 754-2019, 5.4.1).
	ok = ok && product(s.largest(positions), powerOfTen(k)).Cmp(new(big.Rat).SetInt64(maxSum)) < 0
	if !ok {
		t.floats.off, t.floats.zero = split(s.off), split(s.zero)
		for i := range positions {
			t.floats.perStep[i], t.floats.offZero[i] = split(s.perStep[i]), split(s.offZero[i])
		}
		return t
	}
	// 10^−k is no float64: the integer is divided by 10^k, and multiplied only where k is negative.
	t.exact, t.multiply, t.power = true, k < 0, nearest(powerOfTen(max(k, -k)))
	integer := func(r *big.Rat) int64 { return product(r, powerOfTen(k)).Num().Int64() }
	t.ints.off, t.ints.zero = integer(s.off), integer(s.zero)
	for i := range positions {
		t.ints.perStep[i], t.ints.offZero[i] = integer(s.perStep[i]), integer(s.offZero[i])
	}
	return t
}

// valueAt returns the value at the positions of the first n dials. It costs one product a dial and
// one division, and allocates nothing.
func (t *table) valueAt(dialled positions, n int) float64 {
	if !t.exact {
		return t.compensated(dialled, n)
	}
	var total int64
	any := false
	for i := range min(n, maxDials) {
		if p := int64(dialled.at(i)); p != 0 {
			total += p*t.ints.perStep[i] + t.ints.offZero[i]
			any = true
		}
	}
	// The zero setting is no special case of the others: it has a residual of its own and no
	// class.
	if any {
		total += t.ints.off
	} else {
		total += t.ints.zero
	}
	if t.multiply {
		return float64(total) * t.power
	}
	return float64(total) / t.power
}

// compensated is the sum in float64 with the rounding errors carried along (the twofold
// sum and product of T. J. Dekker, Numer. Math. 18, 1971).
func (t *table) compensated(dialled positions, n int) float64 {
	var total, lost float64
	add := func(p float64, x twofold) {
		v := float64(p * x.value)
		// The rounding error of a product, exactly; FMA is one rounding on every processor.
		lost += math.FMA(p, x.value, -v) + float64(p*x.rest)
		s := total + v
		// The error of a sum follows from the larger addend (Kahan and Babuška, in Neumaier's
		// form).
		if math.Abs(total) >= math.Abs(v) {
			lost += (total - s) + v
		} else {
			lost += (v - s) + total
		}
		total = s
	}
	last := t.floats.zero
	for i := range min(n, maxDials) {
		if dialled.at(i) == 0 {
			continue
		}
		add(float64(dialled.at(i)), t.floats.perStep[i])
		add(1, t.floats.offZero[i])
		last = t.floats.off
	}
	add(1, last)
	return total + lost
}
