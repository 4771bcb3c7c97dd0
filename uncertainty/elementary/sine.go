// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package elementary

import (
	"math"
	"math/big"
	"sync"
)

// Sin returns the sine of x radians: NaN for ±Inf.
func Sin(x float64) float64 {
	s, _ := sinCos(x)
	return s.value()
}

// Cos returns the cosine of x radians: NaN for ±Inf.
func Cos(x float64) float64 {
	_, c := sinCos(x)
	return c.value()
}

// Sincos returns the sine and the cosine of x radians: NaN for ±Inf.
func Sincos(x float64) (sin, cos float64) {
	s, c := sinCos(x)
	return s.value(), c.value()
}

// Tan returns the tangent of x radians: NaN for ±Inf.
func Tan(x float64) float64 {
	s, c := sinCos(x)
	// Only at 0 itself: no float64 is a multiple of π.
	if s.high == 0 {
		return s.high // also the zero with a sign
	}
	return quotient(s, c).value()
}

// sinCos returns both, as doubles, so that their quotient has all digits.
func sinCos(x float64) (sin, cos double) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return double{high: math.NaN()}, double{high: math.NaN()}
	}
	quadrant, r := reduceAngle(x)
	// Sine and cosine change places, and signs, with the quadrant.
	s, c := sinSeries(r), cosSeries(r)
	switch quadrant {
	case 0:
		return s, c
	case 1:
		return c, s.negative()
	case 2:
		return s.negative(), c.negative()
	default:
		return c.negative(), s
	}
}

// negative changes both signs, so that the sum changes its own.
func (d double) negative() double { return double{-d.high, -d.low} }

// sinSeries is the sine for |r| ≤ π/4.
func sinSeries(r double) double {
	// r − r³/6 + …, to which the low part of r adds its own slope, cos r.
	z := float64(r.high * r.high)
	rest := float64(float64(r.high*z) * polynomial(z, sines[:]))
	if r.high == 0 {
		return r
	}
	return fastSum(r.high, rest+float64(r.low*(1-z/2)))
}

// cosSeries is the cosine for |r| ≤ π/4.
func cosSeries(r double) double {
	z := float64(r.high * r.high)
	lost := math.FMA(r.high, r.high, -z) // what the square lost
	rest := float64(float64(z*z) * polynomial(z, cosines[:]))
	// 1 − z/2 as a double: near 1 its rounding would be that of the result.
	w := fastSum(1, -z/2)
	return fastSum(w.high, w.low+(rest-lost/2-float64(r.high*r.low)))
}

// sines are −1/3!, 1/5! and so on, cosines 1/4!, −1/6! and so on. Up to π/4 the next terms, r¹⁹/19!
// and r²⁰/20!, are below 2e-19 of the result.
var (
	sines = [...]float64{
		-1. / 6, 1. / 120, -1. / 5040, 1. / 362880, -1. / 39916800, 1. / 6227020800,
		-1. / 1307674368000, 1. / 355687428096000,
	}
	cosines = [...]float64{
		1. / 24, -1. / 720, 1. / 40320, -1. / 3628800, 1. / 479001600, -1. / 87178291200,
		1. / 20922789888000, -1. / 6402373705728000,
	}
)

// halfPi are parts of π/2 of 33 bits, so that a whole number below 2²⁰ times each is exact,
// and the rest.
var halfPi = [...]float64{0x1.921fb54400000p+0, 0x1.0b4611a600000p-34, 0x1.3198a2e000000p-69,
	0x1.b839a25200000p-104}

// reduceAngle writes x = (4n + quadrant)·π/2 + r with |r| ≤ π/4.
func reduceAngle(x float64) (quadrant int, r double) {
	if math.Abs(x) < math.Pi/4 {
		return 0, double{high: x}
	}
	n := math.Floor(float64(x*(2/math.Pi)) + 0.5)
	// Beyond 2²⁰ quarter turns n times a part of π/2 is no longer exact.
	if math.Abs(n) > 1<<20 {
		return reduceLarge(x)
	}
	// x − n·π/2 part by part, the largest first, each product exact.
	a := exactSum(x-float64(n*halfPi[0]), -float64(n*halfPi[1]))
	b := exactSum(a.high, -float64(n*halfPi[2]))
	r = fastSum(b.high, b.low+(a.low-float64(n*halfPi[3])))
	return int(n) & 3, r
}

// twoOverPi is 2/π · 2^largeBits as a whole number.
var twoOverPi = sync.OnceValue(func() *big.Int {
	// Machin (1706): π/4 = 4 arctan(1/5) − arctan(1/239)
	arctan := func(inverse int64) *big.Int {
		sum, square := new(big.Int), big.NewInt(inverse*inverse)
		power := new(big.Int).Lsh(big.NewInt(1), 2*largeBits)
		power.Quo(power, big.NewInt(inverse))
		for k := int64(1); power.Sign() != 0; k += 2 {
			term := new(big.Int).Quo(power, big.NewInt(k))
			if k%4 == 3 {
				term.Neg(term)
			}
			sum.Add(sum, term)
			power.Quo(power, square)
		}
		return sum
	}
	quarter := arctan(5)
	quarter.Lsh(quarter, 2).Sub(quarter, arctan(239)) // π/4 · 2^(2·largeBits)
	one := new(big.Int).Lsh(big.NewInt(1), 3*largeBits-1)
	// 2/π = ½/(π/4), at 3·largeBits − 1 bits over 2·largeBits.
	return one.Quo(one, quarter)
})

// largeBits are enough for the largest float64, its 53 digits, 64 of the remainder and
// those that cancel.
const largeBits = 1024 + 53 + 64 + 64

// reduceLarge is reduceAngle for any x, in whole numbers: x·2/π = n + f, |f| ≤ 1/2, has the
// remainder f·π/2.
func reduceLarge(x float64) (quadrant int, r double) {
	m, e := math.Frexp(x)
	// The 53 bits of x as a whole number.
	turns := big.NewInt(int64(math.Ldexp(m, 53)))
	turns.Mul(turns, twoOverPi())
	if e < 53 {
		turns.Rsh(turns, uint(53-e))
	} else {
		turns.Lsh(turns, uint(e-53))
	}
	// Rounded to the nearest quarter turn.
	half := new(big.Int).Lsh(big.NewInt(1), largeBits-1)
	n := new(big.Int).Add(turns, half)
	n.Rsh(n, largeBits)
	turns.Sub(turns, new(big.Int).Lsh(n, largeBits))
	f := new(big.Float).SetPrec(128).SetInt(turns)
	f.SetMantExp(f, -largeBits)
	// The remainder as a double.
	high, _ := f.Float64()
	low, _ := f.Sub(f, big.NewFloat(high)).Float64()
	r = product(double{high, low}, double{0x1.921fb54442d18p+0, 0x1.1a62633145c07p-54})
	return int(n.And(n, big.NewInt(3)).Int64()), r
}
