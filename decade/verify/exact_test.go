// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strconv"
	"testing"
)

// Sums, differences and means of decimals agree with fractions, in value and in the one rounding
// at the end: of numbers as displays show them, of numbers with all digits of a float64, and of
// numbers far outside what units hold.
func TestExactAgainstFractions(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	draw := func() float64 {
		switch r.IntN(5) {
		case 0:
			return float64(r.IntN(2e6)-1e6) / 1000 // a display
		case 1:
			return math.Trunc(1e17 * r.NormFloat64())
		case 2:
			return r.NormFloat64() * math.Pow(10, float64(r.IntN(60)-30))
		case 3:
			return 0
		}
		return 1e4 * r.NormFloat64()
	}
	wide := 0
	for k := range 20_000 {
		var sum exact
		want := new(big.Rat)
		for range 1 + r.IntN(6) {
			v := draw()
			d, ok := new(big.Rat).SetString(strconv.FormatFloat(v, 'e', -1, 64))
			if !ok {
				t.Fatal(v)
			}
			switch n := 1 + r.IntN(3000); r.IntN(6) {
			case 0:
				sum, want = sum.minus(decimal(v)), want.Sub(want, d)
			case 1:
				sum, want = sum.plus(decimal(v).per(n)), want.Add(want, d.Quo(d, big.NewRat(int64(n), 1)))
			case 2:
				sum, want = sum.plus(decimal(v).times(-n)), want.Add(want, d.Mul(d, big.NewRat(int64(-n), 1)))
			case 3:
				sum, want = sum.per(n), want.Quo(want, big.NewRat(int64(n), 1))
			default:
				sum, want = sum.plus(decimal(v)), want.Add(want, d)
			}
		}
		if sum.rat().Cmp(want) != 0 {
			t.Fatalf("case %d: %v, want %v", k, sum.rat(), want)
		}
		if f, _ := want.Float64(); sum.nearest() != f {
			t.Fatalf("case %d: nearest to %v is %v, want %v", k, want, sum.nearest(), f)
		}
		if sum.wide != nil {
			wide++
		}
	}
	if wide < 1000 || wide > 15_000 {
		t.Errorf("%d of 20,000 are fractions; expected both ways to be taken", wide)
	}
	for _, v := range []float64{0, 0.1, -7002.6, 5e-324, math.MaxFloat64, 1.5e22, 1e-30, 1 << 60} {
		if got := decimal(v).nearest(); got != v {
			t.Errorf("decimal of %v reads back as %v", v, got)
		}
	}
}

// A value with as many digits as a display has costs no memory.
func TestExactAllocatesNothing(t *testing.T) {
	sum := 0.0
	if n := testing.AllocsPerRun(100, func() {
		sum += decimal(7002.6).minus(decimal(7000)).minus(decimal(0.0213).per(8)).nearest()
	}); n != 0 {
		t.Errorf("%v allocations, want none; sum %v", n, sum)
	}
}
