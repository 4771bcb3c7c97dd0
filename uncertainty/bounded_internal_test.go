// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"testing"
)

// Every kind of law that has bounds knows its distribution function and its kurtosis, which
// the convolution rests on: both are held against the quantile function.
func TestBoundedLawsForConvolution(t *testing.T) {
	bounded := 0
	for k, name := range kindNames {
		l, ok := law{kind: kind(k), x: 10, a: 2, b: 0.5, u: 1, dof: 5}.remade().(law)
		if !ok || l.cause != nil {
			t.Fatalf("%s is not remade from its figures: %v", name, l.cause)
		}
		if reach := l.reach(); math.IsInf(reach, 1) == l.bounded() {
			t.Errorf("%s reaches %v; bounded: %v", name, reach, l.bounded())
		}
		if !l.bounded() {
			continue
		}
		bounded++
		s := &source{x: l.x, u: l.u, dist: l, reach: l.reach()}
		var second, fourth float64
		const n = 100_000
		for i := range n {
			d := l.Quantile((float64(i)+0.5)/n) - l.x
			second += d * d / n
			fourth += d * d * d * d / n
		}
		excess := fourth/(second*second) - 3
		if got := (shape{c: 1, s: s}).excess(); math.Abs(got-excess) > 1e-3 {
			t.Errorf("%s: excess %v, by the quantiles %v", name, got, excess)
		}
		b, err := Evaluate(Source{Name: name, Distribution: l}.Input().Scale(-3))
		if err != nil {
			t.Fatal(err)
		}
		whole, known := b.Distribution()
		if !known {
			t.Errorf("%s: the distribution of the result is not known", name)
		}
		for _, p := range []float64{0.01, 0.1, 0.3, 0.5, 0.7, 0.95} {
			q := l.Quantile(p)
			if got := whole.CDF(-3 * q); math.Abs(got-(1-p)) > 1e-12 {
				t.Errorf("%s, times -3: %v up to the quantile of %v", name, got, 1-p)
			}
		}
	}
	if bounded != 5 {
		t.Errorf("%d kinds with bounds; expected 5", bounded)
	}
}

// The half-width that a warning quotes is that of Convolution to 1 %, whatever stands beside
// the law that makes the result less than normal.
func TestAboutHalfWidth(t *testing.T) {
	wide := Source{Name: "wide", Distribution: Rectangular(0, 1)}.Input()
	repeated := Source{Name: "repeated", Distribution: StudentT(0, 0.12, 3)}.Input()
	pooled := Source{Name: "pooled", Distribution: StudentT(0, 0.3, 10)}.Input()
	small := Source{Name: "small", Distribution: Arcsine(0, 0.03)}.Input()
	normal := Source{Name: "normal", Distribution: Normal(0, 0.15)}.Input()
	for name, q := range map[string]Quantity{
		"alone": wide, "with t": wide.Add(repeated), "with pooled t": wide.Add(pooled), "with normal": wide.Add(normal),
		"with little": wide.Add(small).Add(normal), "arcsine": small.Scale(30).Add(normal),
	} {
		b, err := Evaluate(q)
		if err != nil {
			t.Fatal(err)
		}
		i, err := b.Convolution(b.Expanded.P)
		if err != nil {
			t.Fatal(err)
		}
		if h, ok := b.aboutHalfWidth(); !ok || math.Abs(h/(i.Width()/2)-1) > 0.01 {
			t.Errorf("%s: %v (%v); by convolution %v", name, h, ok, i.Width()/2)
		}
	}
}
