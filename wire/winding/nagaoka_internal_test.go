// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mathext"
)

// nagaokaOracle is the formula as it stands in the doc comment, by the
// arithmetic-geometric mean in 500 bits: slow, and without regard to cancellation.
func nagaokaOracle(u float64) float64 {
	num := func(x float64) *big.Float { return new(big.Float).SetPrec(500).SetFloat64(x) }
	add := func(x, y *big.Float) *big.Float { return num(0).Add(x, y) }
	sub := func(x, y *big.Float) *big.Float { return num(0).Sub(x, y) }
	mul := func(x, y *big.Float) *big.Float { return num(0).Mul(x, y) }
	quo := func(x, y *big.Float) *big.Float { return num(0).Quo(x, y) }
	square := mul(num(u), num(u))
	m := quo(square, add(num(1), square))
	m1 := sub(num(1), m)
	// Handbook of Mathematical Functions (NBS, 1964), 17.6: K = π/2a, (K−E)/K = Σ 2^(n−1) c².
	a, b := num(1), num(0).Sqrt(m1)
	sum, power := quo(m, num(2)), 0.5
	for range 12 {
		c := quo(sub(a, b), num(2))
		a, b = quo(add(a, b), num(2)), num(0).Sqrt(mul(a, b))
		power *= 2
		sum = add(sum, mul(num(power), mul(c, c)))
	}
	pi, _ := num(0).SetString(
		"3.14159265358979323846264338327950288419716939937510582097494459230781640628620899862803482534211706798214808651")
	k := quo(pi, mul(num(2), a))
	e := mul(k, sub(num(1), sum))
	inner := add(mul(quo(m1, m), sub(k, e)), sub(e, num(0).Sqrt(m)))
	out, _ := quo(mul(num(4), inner), mul(mul(num(3), pi), num(0).Sqrt(m1))).Float64()
	return out
}

// Random coils, and both sides of the switch between the two forms.
func TestNagaokaAgainstOracle(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	us := []float64{1e-10, math.Nextafter(shortCoil, 0), shortCoil, shortest}
	for range 2000 {
		us = append(us, math.Pow(10, 18*rnd.Float64()-10), 1+6*rnd.Float64())
	}
	worst, at := 0.0, 0.0
	for _, u := range us {
		want := nagaokaOracle(u)
		if e := math.Abs(nagaoka(u)-want) / want; !(e <= worst) {
			worst, at = e, u
		}
	}
	if !(worst <= 5e-15) {
		t.Errorf("relative error %.1e at D/l = %v", worst, at)
	}
	t.Logf("largest relative error %.1e, at D/l = %v", worst, at)
}

// The short form is good well below the switch too: to 1e-12 at D/l = 2.5.
func TestContinuityOfNagaoka(t *testing.T) {
	for u := 2.5; u < shortCoil; u += 0.125 {
		if long, short := nagaoka(u), nagaokaShort(u); math.Abs(long-short) > 1e-12*long {
			t.Errorf("D/l = %v: %v, short form %v", u, long, short)
		}
	}
}

// nagaokaByLibrary is the formula in plain floating-point arithmetic with the integrals
// of the general library: the baseline of the benchmark.
func nagaokaByLibrary(u float64) float64 {
	m := u * u / (1 + float64(u*u))
	m1 := 1 / (1 + float64(u*u))
	k, e := mathext.CompleteK(m), mathext.CompleteE(m)
	return 4 / (3 * math.Pi * math.Sqrt(m1)) * (float64(m1/m*(k-e)) + e - math.Sqrt(m))
}

func TestBaselineOfNagaoka(t *testing.T) {
	for u := 0.1; u < 20; u *= 1.1 {
		if got, want := nagaokaByLibrary(u), nagaokaOracle(u); math.Abs(got-want) > 1e-11*want {
			t.Errorf("D/l = %v: %v, oracle %v", u, got, want)
		}
	}
}

// Very short coils go over into ln(4D/l) − 1/2.
func TestNagaokaLimit(t *testing.T) {
	for u := 1e4; u <= shortest; u *= 10 {
		want := 2 / (math.Pi * u) * (math.Log(4*u) - 0.5)
		if got := nagaoka(u); math.Abs(got-want) > 1e-7*want {
			t.Errorf("D/l = %v: %v, limit %v", u, got, want)
		}
	}
}

func TestNagaokaAllocations(t *testing.T) {
	for _, u := range []float64{0.5, 10} {
		if n := testing.AllocsPerRun(20, func() { NagaokaCoefficient(u) }); n != 0 {
			t.Errorf("D/l = %v: %v allocations, want none", u, n)
		}
	}
}

// The slopes join where their forms change, and the one of the coefficient is that of the
// formula in 500 bits, by central differences (error h² of the third derivative).
func TestSlopesJoin(t *testing.T) {
	below, above := nagaokaChange(math.Nextafter(shortCoil, 0)), nagaokaChange(shortCoil)
	if math.Abs(above/below-1) > 1e-13 {
		t.Errorf("short coil: %v below, %v above", below, above)
	}
	for _, u := range []float64{1e-3, 0.1, 1, 3.9, 4.1, 30, 1e3, 1e6} {
		h := 1e-4
		slope := (nagaokaOracle(u*(1+h)) - nagaokaOracle(u*(1-h))) / (2 * h)
		if got := nagaokaChange(u); math.Abs(got/slope-1) > 2*h*h+1e-9 {
			t.Errorf("D/l %v: %v; want %v", u, got, slope)
		}
	}
	inside := resistanceSlope(slopeAtSurface)
	if beyond := resistanceSlope(math.Nextafter(slopeAtSurface, 2000)); math.Abs(beyond/inside-1) > 2e-12 {
		t.Errorf("resistance ratio: %v inside, %v beyond", inside, beyond)
	}
	if got, want := resistanceSlope(1e-3), 4*1e-9/192; math.Abs(got/want-1) > 1e-12 {
		t.Errorf("slope of x⁴/192 at 1e-3: %v; want %v", got, want)
	}
	for turns, want := range map[float64]float64{
		1: turnsCorrection(2), 2: turnsCorrection(3) / 2, 2.5: turnsCorrection(3) - turnsCorrection(2),
	} {
		if got := turnsSlope(turns); math.Abs(got-want) > 1e-15 {
			t.Errorf("slope of the correction at %v turns: %v; want %v", turns, got, want)
		}
	}
}
