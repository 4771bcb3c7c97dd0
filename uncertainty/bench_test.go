// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"fmt"
	"testing"

	"example.com/ohmwright/uncertainty"
)

func BenchmarkEvaluate(b *testing.B) {
	for _, n := range []int{7, 60, 6000} {
		b.Run(fmt.Sprint("inputs=", n), func(b *testing.B) {
			y := uncertainty.Exact(1)
			for i := range n {
				y = y.Mul(uncertainty.Input(fmt.Sprint("x", i), uncertainty.Rectangular(1, 1e-6)))
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := uncertainty.Evaluate(y); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// A dominant rectangle makes the evaluation look at the shape of the result.
func BenchmarkEvaluateDominantRectangle(b *testing.B) {
	y := rectangles(1, 0.1, 0.1)
	for b.Loop() {
		if _, err := uncertainty.Evaluate(y); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkConvolution(b *testing.B) {
	budget := evaluate(b, rectangles(1, 0.5, 0.3))
	for b.Loop() {
		if _, err := budget.Convolution(0.95); err != nil {
			b.Fatal(err)
		}
	}
}

// A sum of n terms is built and evaluated in time proportional to n.
func BenchmarkSum(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		b.Run(fmt.Sprint("terms=", n), func(b *testing.B) {
			terms := make([]uncertainty.Quantity, n)
			for i := range terms {
				terms[i] = uncertainty.Input(fmt.Sprint("x", i), uncertainty.Normal(1, 1e-3))
			}
			for b.Loop() {
				if _, err := uncertainty.Evaluate(uncertainty.Sum(terms...)); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/term")
		})
	}
}
