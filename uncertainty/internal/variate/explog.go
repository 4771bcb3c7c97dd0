// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package variate

import "math"

// The functions of package math may differ in their last bit from one processor to
// another (assembly, fused multiply-add). The samplers use the two below, which
// consist of single roundings only, so that a seed gives the same draws everywhere.

// portableExp is e to the power x for |x| ≤ 700, to about 2 units of the last digit.
func portableExp(x float64) float64 {
	const (
		ln2Hi = 0x1.62e42fee00000p-1 // the low bits are 0: k·ln2Hi is exact
		ln2Lo = 0x1.a39ef35793c76p-33
	)
	switch {
	case x > 700:
		return math.Inf(1)
	case x < -700:
		return 0
	}
	k := math.Floor(float64(x*(1/math.Ln2)) + 0.5)
	r := float64(x-float64(k*ln2Hi)) - float64(k*ln2Lo)
	z := float64(r * r)
	even, odd := 0.0, 0.0 // two sums at the same time
	for _, c := range factorials {
		even = float64(even*z) + c.even
		odd = float64(odd*z) + c.odd
	}
	scale := math.Float64frombits(uint64(1023+int(k)) << 52) // 2 to the power k; |k| ≤ 1010
	return float64((even + float64(odd*r)) * scale)
}

// factorials are 1/12!, 1/13! to 1/0!, 1/1!: |r| ≤ 0.35, and the next term is below
// 1e-17.
var factorials = [...]struct{ even, odd float64 }{
	{1. / 479001600, 1. / 6227020800}, {1. / 3628800, 1. / 39916800}, {1. / 40320, 1. / 362880}, {1. / 720, 1. / 5040},
	{1. / 24, 1. / 120}, {1. / 2, 1. / 6}, {1, 1},
}

// portableLog is the natural logarithm of x > 0, to about 2 units of the last digit:
//
//	log m = 2·(s + s³/3 + s⁵/5 + …), s = (m − 1)/(m + 1), √½ ≤ m < √2
func portableLog(x float64) float64 {
	m, e := math.Frexp(x)
	if m < math.Sqrt2/2 {
		m, e = 2*m, e-1
	}
	s := (m - 1) / (m + 1)
	z := float64(s * s)
	sum := 0.0
	for _, c := range odds { // s² ≤ 0.03
		sum = float64((sum + c) * z)
	}
	return float64(float64(e)*math.Ln2) + 2*(s+float64(s*sum))
}

// odds are 1/21 to 1/3.
var odds = [...]float64{1. / 21, 1. / 19, 1. / 17, 1. / 15, 1. / 13, 1. / 11, 1. / 9, 1. / 7, 1. / 5, 1. / 3}
