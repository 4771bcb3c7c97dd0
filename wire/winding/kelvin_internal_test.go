// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package winding

import (
	"math"
	"math/cmplx"
	"testing"
)

// kelvinOracle sums the power series of I0 and I1, slow and plain, good to 1e-11 up to x = 12.
func kelvinOracle(x float64) complex128 {
	q := complex(0, x*x/4) // z²/4
	i0, i1, term := complex128(0), complex128(0), complex128(1)
	for k := 0.0; k < 200; k++ {
		i0 += term
		i1 += term / complex(k+1, 0) // I1/(z/2)
		term *= q / complex((k+1)*(k+1), 0)
	}
	return i0 / i1 // (z/2) I0/I1
}

func TestSurfaceImpedanceAgainstSeries(t *testing.T) {
	for x := 0.05; x < 12; x += 0.05 {
		increase, inductance := surfaceImpedance(x)
		w := kelvinOracle(x)
		if got := complex(1+increase, inductance*x*x/8); cmplx.Abs(got-w) > 1e-11*cmplx.Abs(w) {
			t.Errorf("x = %v: %v, series %v", x, got, w)
		}
	}
}

// The fraction has converged: twice the depth changes nothing.
func TestFractionDepth(t *testing.T) {
	for x := 0.0; x <= asymptoticFrom; x += 0.03125 {
		a, b := continuedFraction(x, fractionDepth(x))
		c, d := continuedFraction(x, 2*fractionDepth(x))
		if math.Abs(a-c) > 4e-16*c || math.Abs(b-d) > 4e-16*d {
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

// The two forms of the current sheet agree where one takes over, and with integrals by the
// arithmetic-geometric mean everywhere.
func TestContinuityOfNagaoka(t *testing.T) {
	for _, u := range []float64{1e-6, 1e-3, 0.1, 1, 2, 2.5, 2.9, math.Nextafter(shortCoil, 0), shortCoil, 3.1, 4, 6, 10, 30, 100} {
		if got, want := nagaoka(u), nagaokaByMean(u); math.Abs(got-want) > 2e-12*want {
			t.Errorf("D/l = %v: %v, want %v", u, got, want)
		}
	}
	below, above := nagaoka(math.Nextafter(shortCoil, 0)), nagaoka(shortCoil)
	if math.Abs(below-above) > 1e-14 {
		t.Errorf("at the switch: %v and %v", below, above)
	}
}

func nagaokaByMean(u float64) float64 {
	k2, m1 := u*u/(1+u*u), 1/(1+u*u)
	a, b, sum, power := 1.0, math.Sqrt(m1), k2/2, 0.5
	for range 40 {
		c := (a - b) / 2
		a, b = (a+b)/2, math.Sqrt(a*b)
		power *= 2
		sum += power * c * c
	}
	k := math.Pi / (2 * a)
	// K − E = K Σ 2^(n−1) c²
	difference := k * sum
	return 4 / (3 * math.Pi * math.Sqrt(m1)) * (m1/k2*difference + (k - difference) - math.Sqrt(k2))
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

func BenchmarkResistanceRatio(b *testing.B) {
	for _, x := range []float64{0.5, 5, 30, 50} {
		b.Run(map[bool]string{true: "series", false: "fraction"}[x >= asymptoticFrom], func(b *testing.B) {
			for b.Loop() {
				surfaceImpedance(x)
			}
		})
	}
}

func BenchmarkNagaoka(b *testing.B) {
	for _, u := range []float64{0.5, 10} {
		b.Run(map[bool]string{true: "short", false: "long"}[u >= shortCoil], func(b *testing.B) {
			for b.Loop() {
				nagaoka(u)
			}
		})
	}
}
