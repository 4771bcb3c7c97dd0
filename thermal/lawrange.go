// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"

	"example.com/ohmwright/uncertainty"
)

// Extremes returns the smallest and largest ratio R/R(ref) between the
// temperatures low and high in °C: at the ends, or at the extremum of the
// parabola if it lies between them.
func (l Law) Extremes(low, high float64) (uncertainty.Interval, error) {
	const op = "thermal.Law.Extremes"
	span, err := ratiosAtEnds(op, low, high, l.ratio)
	if err != nil {
		return uncertainty.Interval{}, err
	}
	if t, ok := l.Extremum(); ok && t > low && t < high {
		// At its peak the law may leave what is positive, or its limits.
		q, err := l.ratio(op, "extremum", t)
		if err != nil {
			return uncertainty.Interval{}, err
		}
		span.Lower, span.Upper = min(span.Lower, q), max(span.Upper, q)
	}
	return span, nil
}

// ratiosAtEnds is the interval between the ratios of a law at two temperatures in °C, the lower
// one first.
func ratiosAtEnds(op string, low, high float64,
	ratio func(op, name string, t float64) (float64, error)) (uncertainty.Interval, error) {
	a, err := ratio(op, "low", low)
	if err != nil {
		return uncertainty.Interval{}, err
	}
	b, err := ratio(op, "high", high)
	if err != nil {
		return uncertainty.Interval{}, err
	}
	if low > high {
		return uncertainty.Interval{},
			domainError(op, "low", low, "expected at most high, "+text(high)+" °C")
	}
	return uncertainty.Interval{Lower: min(a, b), Upper: max(a, b)}, nil
}

// LargestChange returns the largest departure |R/R(ref) − 1| of the resistance
// from its value at the reference temperature while the temperature stays
// between low and high in °C. It is a fraction: 20e-6 is 20 ppm.
func (l Law) LargestChange(low, high float64) (float64, error) {
	if _, err := l.Extremes(low, high); err != nil { // refuses what it must
		return 0, err
	}
	largest := max(math.Abs(l.change(l.reference, low)), math.Abs(l.change(l.reference, high)))
	if t, ok := l.Extremum(); ok && t > low && t < high {
		largest = max(largest, math.Abs(l.change(l.reference, t)))
	}
	return largest, nil
}

// Change returns the relative change R(to)/R(from) − 1 between two temperatures in °C,
//
//	(to − from) [α + β(to + from − 2 ref)]/Ratio(from)
//
// This form keeps its digits where the change is far below 1, near the extremum of the
// parabola say, where 1 less a ratio has none left. Errors are those of [Law.Ratio].
func (l Law) Change(from, to float64) (float64, error) {
	const op = "thermal.Law.Change"
	q, err := l.ratio(op, "from", from)
	if err != nil {
		return 0, err
	}
	if _, err := l.ratio(op, "to", to); err != nil {
		return 0, err
	}
	return finiteResult(op, "change", l.change(from, to)/q)
}

// change is the difference of two ratios, without checks. The distances from the reference
// are added rather than the temperatures, as they are exact near it.
func (l Law) change(from, to float64) float64 {
	sum := (from - l.reference) + (to - l.reference)
	return (to - from) * (l.alpha + float64(l.beta*sum))
}

// LawFromZero returns the linear law that leads to no resistance at the
// temperature zero in °C, R(t)/R(ref) = (t − zero)/(reference − zero), so that
//
//	α = 1/(reference − zero)
//
// Wire tables state conductors so: the zero of copper is inferred to be
// −234.5 °C and that of aluminium −228 °C (IEC 60228, annex B).
func LawFromZero(reference, zero float64) Law { return NewLaw(reference, 1/(reference-zero), 0) }

// InferredZero returns the temperature in °C at which a linear law leads to no
// resistance, ref − 1/α. It is false for a parabola and for no dependence.
// It is a constant of a straight line, not a temperature at which anything
// happens.
func (l Law) InferredZero() (t float64, ok bool) {
	if l.alpha == 0 || l.beta != 0 || l.checkLaw("thermal.Law.InferredZero") != nil {
		return 0, false
	}
	t = l.reference - 1/l.alpha
	if math.IsInf(t, 0) {
		return 0, false
	}
	return t, true
}
