// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// A SumOfSquares is a line of an analysis of variance: what one source of variation
// contributes, in the square of the unit of the observations.
type SumOfSquares struct {
	Sum float64
	DOF int // degrees of freedom
}

// MeanSquare returns Sum/DOF, NaN without degrees of freedom.
func (s SumOfSquares) MeanSquare() float64 {
	if s.DOF <= 0 {
		return math.NaN()
	}
	return s.Sum / float64(s.DOF)
}

// F returns the ratio of the mean square to that of another line, and the probability of
// one at least as large by chance where the first source contributes nothing beyond the
// second. Both are NaN where a line has no degrees of freedom, where neither varies, and for a
// sum below 0, which cannot be.
func (s SumOfSquares) F(against SumOfSquares) (f, probability float64) {
	f = s.MeanSquare() / against.MeanSquare()
	switch {
	// Where neither varies the ratio is 0/0.
	case math.IsNaN(f) || s.Sum < 0 || against.Sum < 0:
		return math.NaN(), math.NaN()
	case math.IsInf(f, 1):
		return f, 0
	}
	return f, distuv.F{D1: float64(s.DOF), D2: float64(against.DOF)}.Survival(f)
}

// excess is the root of the difference of two mean squares over n: the standard deviation
// of a component of variance, 0 where the first is the smaller, NaN where one is missing.
func (s SumOfSquares) excess(over SumOfSquares, n float64) float64 {
	// E(MS_first) − E(MS_over) = n·σ².
	v := (s.MeanSquare() - over.MeanSquare()) / n
	if math.IsNaN(v) {
		return math.NaN()
	}
	return math.Sqrt(max(0, v))
}
