// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package fault

import (
	"math"
	"testing"

	"example.com/ohmwright/decade"
)

// The probability that a standard normal variable lies between −b and a, against the sum
// of its density in 20 000 strips (Simpson's rule), and far out against the tail of the
// standard library.
func TestLogInsideAgainstSums(t *testing.T) {
	density := func(x float64) float64 { return math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) }
	for _, c := range [][2]float64{{0, 0.5}, {1, 1}, {0.5, 2}, {2, 7}, {-1, 3}, {-0.5, 0.75}, {-4, 5}, {-6, 9}} {
		a, b := c[0], c[1]
		const strips = 20_000
		h := (a + b) / strips
		sum := density(-b) + density(a)
		for i := 1; i < strips; i++ {
			sum += float64(2+2*(i%2)) * density(-b+float64(i)*h)
		}
		if got, want := logInside(a, b), math.Log(sum*h/3); math.Abs(got-want) > 1e-9 {
			t.Errorf("between %v and %v: %v; want %v", -b, a, got, want)
		}
	}
	for _, a := range []float64{-8.5, -10, -20, -30} {
		// The series leaves out 3/a⁴.
		if got, want := logInside(a, -a+30), math.Log(math.Erfc(-a/math.Sqrt2)/2); math.Abs(got-want) > 4/(a*a*a*a) {
			t.Errorf("beyond %v: %v; want %v", a, got, want)
		}
	}
	if got := logInside(-100, 200); math.IsInf(got, 0) || math.Abs(got+5000) > 10 {
		t.Errorf("beyond -100: %v; want about -5000", got)
	}
}

func TestDialsOffZero(t *testing.T) {
	b, err := decade.New(decade.Spec{Name: "box", Decades: []decade.Decade{{Step: 100}, {Step: 10}, {Step: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	for want, positions := range [][]int{{0, 0, 0}, {0, 3, 0}, {1, 0, 10}, {1, 2, 3}} {
		s, err := b.At(positions...)
		if err != nil {
			t.Fatal(err)
		}
		if got := offZero(s); got != want {
			t.Errorf("%v: %d dials off zero; want %d", positions, got, want)
		}
	}
}
