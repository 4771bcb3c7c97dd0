// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"
	"math/big"
	"math/cmplx"
	"math/rand/v2"
	"testing"
)

// kelvinOracle sums the power series of I0 and I1 in 400 bits, slow and plain, for x up
// to 60: with t(k) = (x²/4)^k/k!², I0 = Σ j^k t(k) and I1/(z/2) = Σ j^k t(k)/(k+1)
// (NIST Digital Library of Mathematical Functions, 10.25.2).
func kelvinOracle(x float64) (increase, inductance float64) {
	num := func(v float64) *big.Float { return new(big.Float).SetPrec(400).SetFloat64(v) }
	mul := func(a, b *big.Float) *big.Float { return num(0).Mul(a, b) }
	y := num(0).Quo(mul(num(x), num(x)), num(4))
	p, q := [2]*big.Float{num(0), num(0)}, [2]*big.Float{num(0), num(0)} // I0 and I1/(z/2)
	term := num(1)
	for k := range 200 {
		part := k % 2
		p[part].Add(p[part], term)
		q[part].Add(q[part], num(0).Quo(term, num(float64(k+1))))
		term = mul(term, num(0).Quo(y, num(float64((k+1)*(k+1)))))
		if part == 1 { // j² = −1
			term.Neg(term)
		}
	}
	// (p0 + j p1)/(q0 + j q1)
	s := num(0).Add(mul(q[0], q[0]), mul(q[1], q[1]))
	re := num(0).Add(mul(p[0], q[0]), mul(p[1], q[1]))
	im := num(0).Sub(mul(p[1], q[0]), mul(p[0], q[1]))
	increase, _ = re.Quo(re.Sub(re, s), s).Float64()
	inductance, _ = im.Quo(im.Quo(im, s), num(0).Quo(y, num(2))).Float64()
	return increase, inductance
}

// The increase keeps its relative accuracy down to where it is x⁴/192 of nothing.
func TestSurfaceImpedanceAgainstSeries(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	xs := []float64{1e-20, 1e-6, math.Nextafter(asymptoticFrom, 0), asymptoticFrom}
	for range 300 {
		xs = append(xs, math.Pow(10, 4*rnd.Float64()-2.5), 60*rnd.Float64())
	}
	var worst, at [2]float64
	for _, x := range xs {
		increase, inductance := surfaceImpedance(x)
		i, l := kelvinOracle(x)
		for k, e := range []float64{math.Abs(increase-i) / i, math.Abs(inductance-l) / l} {
			if !(e <= worst[k]) {
				worst[k], at[k] = e, x
			}
		}
	}
	if !(max(worst[0], worst[1]) <= 1.5e-15) {
		t.Errorf("relative errors %.1e of the increase and of the inductance, at %v", worst, at)
	}
	t.Logf("largest relative errors %.1e of the increase and of the inductance, at %v", worst, at)
}

// The fraction has converged: twice the depth changes only rounding.
func TestFractionDepth(t *testing.T) {
	for x := 0.0; x <= asymptoticFrom; x += 0.03125 {
		a, b := continuedFraction(x, fractionDepth(x))
		c, d := continuedFraction(x, 2*fractionDepth(x))
		if math.Abs(a-c) > 2e-15*c || math.Abs(b-d) > 2e-15*d {
			t.Errorf("x = %v: %v %v against %v %v", x, a, b, c, d)
		}
	}
}

// Both forms are good on a stretch on either side of where one takes over.
func TestContinuityOfSkinEffect(t *testing.T) {
	for x := 28.0; x < 60; x += 0.25 {
		a, b := continuedFraction(x, fractionDepth(x))
		re, im := asymptoticRatio(x)
		if math.Abs(1+a-re) > 1e-14*re || math.Abs(b-8*im/x/x) > 1e-14*b {
			t.Errorf("x = %v: fraction %v %v, series %v %v", x, 1+a, b, re, 8*im/x/x)
		}
	}
}

// The series of δn is the logarithmic form where that still has digits.
func TestStripCorrection(t *testing.T) {
	for n := 12; n < 60; n++ {
		x := float64(n)
		log := 1.5 - x*x/2*((1+1/x)*(1+1/x)*math.Log1p(1/x)+(1-1/x)*(1-1/x)*math.Log1p(-1/x))
		if got := stripCorrection(n); math.Abs(got-log) > 1e-12 {
			t.Errorf("n = %d: %v, logarithms %v", n, got, log)
		}
	}
	if b := turnsCorrection(mostTurns); math.Abs(b-(math.Log(2*math.Pi)-1.5)) > 1e-5 {
		t.Errorf("many turns: %v", b)
	}
}

func TestTanhRatio(t *testing.T) {
	for _, size := range []float64{1e-12, 1e-6, 0.01, 0.3, 0.99, 1, 1.01, 3, 30, 1000, 1e8} {
		for angle := -3.1; angle < 3.1; angle += 0.1 {
			square := cmplx.Rect(size, angle)
			root := cmplx.Sqrt(square)
			want := cmplx.Tanh(root)/root - 1
			if got := tanhRatio(square); cmplx.Abs(got-want) > 1e-13*(1+cmplx.Abs(want)) {
				t.Errorf("θ² = %v: %v, want %v", square, got, want)
			}
		}
	}
}

func TestSmallestRoot(t *testing.T) {
	for _, c := range []struct {
		a, b, c, want float64
		ok            bool
	}{
		{1, -3, 2, 1, true}, {1, 3, 2, 0, false}, {0, 2, -4, 2, true}, {0, 0, 1, 0, false}, {1, 0, 1, 0, false}, {1, 0, -4, 2, true}, {-1, 1, 2, 2, true},
	} {
		if u, ok := smallestRoot(c.a, c.b, c.c); ok != c.ok || ok && math.Abs(u-c.want) > 1e-15 {
			t.Errorf("%v: %v, %v", c, u, ok)
		}
	}
}

func TestSurfaceImpedanceAllocations(t *testing.T) {
	for _, x := range []float64{0.5, 30, 50} {
		if n := testing.AllocsPerRun(20, func() { ResistanceRatio(x) }); n != 0 {
			t.Errorf("x = %v: %v allocations, want none", x, n)
		}
	}
}
