// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"slices"

	"gonum.org/v1/gonum/interp"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/file"
)

// Interpolation is how a table goes from one of its points to the next.
type Interpolation uint8

// The interpolations.
const (
	// InterpolationLinear is a straight line between two points: for potentiometers, and
	// as most instruments and printed tables mean it.
	InterpolationLinear Interpolation = iota
	// InterpolationSmooth is a cubic without kinks that stays between the points (Fritsch
	// and Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300).
	InterpolationSmooth
	// InterpolationThermistor is the smooth one of ln R against 1/T, in which thermistors
	// are nearly straight. It is for temperatures in °C alone.
	InterpolationThermistor
)

// interpolations are the texts in files and in errors.
var interpolations = file.Words[Interpolation]{Type: "thermal.Interpolation",
	Texts: []string{"linear", "smooth", "thermistor"}}

// String returns "linear", "smooth" or "thermistor".
func (i Interpolation) String() string { return interpolations.String(i) }

// MarshalText returns the text of String; no interpolation is an error.
func (i Interpolation) MarshalText() ([]byte, error) { return interpolations.Marshal(i) }

// UnmarshalText reads what MarshalText writes.
func (i *Interpolation) UnmarshalText(text []byte) error {
	return interpolations.Unmarshal(text, i)
}

// mostPoints bounds a table.
const mostPoints = 100_000

// interpolant is a function through points.
type interpolant struct {
	how    Interpolation
	xs, ys []float64 // xs rise; of the thermistor −1/T and ln R
	cubic  interp.FritschButland
}

// newInterpolant takes points in ascending order that were checked.
func newInterpolant(how Interpolation, xs, ys []float64) *interpolant {
	p := &interpolant{how: how, xs: xs, ys: ys}
	if how == InterpolationThermistor {
		for i := range xs {
			// ln R of a thermistor is nearly straight in 1/T (the B-value formula, IEC 60539-1);
			// the minus sign lets the abscissa rise with the temperature.
			xs[i], ys[i] = overKelvins(xs[i]), elementary.Log(ys[i])
		}
	}
	if how != InterpolationLinear {
		_ = p.cubic.Fit(xs, ys) // has no error for points that rise in x
	}
	return p
}

// overKelvins is −1/T, which rises with the temperature t in °C.
func overKelvins(t float64) float64 { return -1 / (t - absoluteZero) }

// evaluate returns value and slope inside the points.
func (p *interpolant) evaluate(x float64) (value, slope float64) {
	switch p.how {
	case InterpolationSmooth:
		return p.cubic.Predict(x), p.cubic.PredictDerivative(x)
	case InterpolationThermistor:
		kelvin := x - absoluteZero
		// Rounding of 1/T may leave the ends, where the cubic has no answer.
		u := min(max(overKelvins(x), p.xs[0]), p.xs[len(p.xs)-1])
		r := elementary.Exp(p.cubic.Predict(u))
		return r, r * p.cubic.PredictDerivative(u) / (kelvin * kelvin)
	}
	i, found := slices.BinarySearch(p.xs, x)
	if !found {
		i--
	}
	i = min(max(i, 0), len(p.xs)-2)
	slope = (p.ys[i+1] - p.ys[i]) / (p.xs[i+1] - p.xs[i])
	if x == p.xs[i+1] {
		return p.ys[i+1], slope // the point itself, free of rounding
	}
	return p.ys[i] + float64(slope*(x-p.xs[i])), slope
}

// monotone reports whether the values rise or fall all the way; then so does every
// interpolation between them.
func monotone(ys []float64) bool {
	rises, falls := true, true
	for i, y := range ys[1:] {
		rises, falls = rises && y > ys[i], falls && y < ys[i]
	}
	return rises || falls
}
