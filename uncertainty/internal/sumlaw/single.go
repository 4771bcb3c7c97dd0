// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package sumlaw

import (
	"math"

	"example.com/ohmwright/uncertainty/internal/studentt"
)

// Single returns the law of one term alone whose quantile function rises.
func Single(quantile func(p float64) float64) *Law {
	return &Law{single: &Term{kind: known, value: quantile}}
}

// quantile is that of a sum of this term alone: a t-term, or two rectangles.
func (t *Term) quantile(p float64) float64 {
	switch {
	case t.kind == known:
		return t.value(p)
	case t.kind == student:
		return float64(t.a * studentt.Quantile(p, t.b))
	case p > 0.5:
		return -t.quantile(1 - p)
	}
	if slope := t.b / (2 * t.a); p < slope {
		return math.Sqrt(8*t.a*t.b*p) - (t.a + t.b)
	}
	return float64((p - 0.5) * 2 * t.a)
}

// cdf is the inverse of quantile.
func (t *Term) cdf(z float64) float64 {
	switch {
	case t.kind == student && z > 0: // small probabilities keep their digits below
		return 1 - t.search(-z)
	case t.kind == student || t.kind == known:
		return t.search(z)
	case z > 0:
		return 1 - t.cdf(-z)
	}
	base, top := t.a+t.b, t.a-t.b
	switch {
	case z <= -base:
		return 0
	case z < -top:
		return float64((z+base)*(z+base)) / (8 * t.a * t.b)
	}
	return 0.5 + z/(2*t.a)
}

// search bisects the quantile function.
func (t *Term) search(z float64) float64 {
	low, high := 0.0, 1.0
	for range 60 {
		p := low + (high-low)/2
		if p == 1 {
			break
		}
		if t.quantile(p) < z {
			low = p
		} else {
			high = p
		}
	}
	return low
}
