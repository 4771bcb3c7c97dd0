// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package tape

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/interp"

	"example.com/ohmwright/uncertainty/internal/variate"
)

// A curve is the spline of another library, and smooth.
func TestCurve(t *testing.T) {
	const low, high, n = -1.0, 3.0, 40
	f := func(x float64) float64 { return math.Exp(-x) * math.Sin(2*x) }
	x, v := make([]float64, n+1), make([]float64, n+1)
	for i := range x {
		x[i] = low + (high-low)*float64(i)/n
		v[i] = f(x[i])
	}
	c := NewCurve(low, high, v)
	var oracle interp.NotAKnotCubic
	if err := oracle.Fit(x, v); err != nil {
		t.Fatal(err)
	}
	for s := low; s <= high; s += 0.0137 {
		if got, want := c.at(s), oracle.Predict(s); math.Abs(got-want) > 2e-4 || math.Abs(got-f(s)) > 2e-4 {
			t.Errorf("at %v: %v; spline %v, function %v", s, got, want, f(s))
		}
		if s > -0.5 && s < 2.5 && math.Abs(c.at(s)-oracle.Predict(s)) > 2e-7 {
			t.Errorf("at %v: %v; spline %v", s, c.at(s), oracle.Predict(s))
		}
	}
	// Straight beyond the ends, with the slope that the curve has there.
	for _, end := range []float64{low, high} {
		sign := math.Copysign(1, end-1)
		inside := (c.at(end) - c.at(end-sign*1e-6)) / (sign * 1e-6)
		for _, d := range []float64{0.1, 5, 1e6} {
			if got, want := c.at(end+sign*d), c.at(end)+sign*d*inside; math.Abs(got-want) > 1e-4*d {
				t.Errorf("%v beyond %v: %v; want %v", d, end, got, want)
			}
		}
	}
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		_ = c.at(x) // without a panic
	}
}

// A machine adds effects to one sum, whose first clears it.
func TestAccumulate(t *testing.T) {
	var b Builder
	b.Begin(5, 3)
	x := b.Draw(0, variate.Rectangle(1, 0.5), 1)
	curve := NewCurve(0, 2, []float64{0, 1, 8, 27, 64})
	sum := b.Accumulate(None, x, &Effect{Centre: 1, Slope: 3})
	y := b.Draw(1, variate.Normal(1, 0.1), 1)
	e := &Effect{Curve: curve}
	if again := b.Accumulate(sum, y, e); again != sum {
		t.Fatalf("two sums: %v and %v", sum, again)
	}
	for _, r := range []Ref{x, y, sum} {
		b.Output(r)
	}
	m := NewMachine(b.Finish(), 3, nil)
	out := make([][]float64, 3)
	m.Outputs(out)
	for block := range 2 {
		m.Run(block, BlockSize)
		for i, got := range out[2] {
			if want := float64(3*(out[0][i]-1)) + e.At(out[1][i]); got != want {
				t.Fatalf("block %d, trial %d: %v; want %v", block, i, got, want)
			}
		}
	}
}
