// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity

import (
	"fmt"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/internal/studentt"
	"example.com/ohmwright/uncertainty/unit"
)

// FromBudget returns the distribution of the true value by a budget: the convolution of the
// distributions of its inputs where these are known ([uncertainty.Budget.Distribution]),
// otherwise the scaled and shifted t-distribution with its estimate, standard uncertainty and
// effective degrees of freedom, normal where these are infinite (JCGM 106 7.3, JCGM 100 G.3).
func FromBudget(b *uncertainty.Budget) (CDF, error) {
	switch {
	case b == nil:
		return nil, &Error{Op: "conformity.FromBudget", Name: "budget",
			Err: unit.Errorf(ErrDomain, "nil; expected the result of an evaluation")}
	case math.IsNaN(b.Estimate) || math.IsInf(b.Estimate, 0):
		return nil, &Error{Op: "conformity.FromBudget", Name: "estimate", Value: b.Estimate,
			Err: unit.Errorf(ErrNotFinite, "%v; expected a finite number", b.Estimate)}
	case !(b.DOF > 0):
		return nil, &Error{Op: "conformity.FromBudget", Name: "degrees of freedom", Value: b.DOF,
			Err: unit.Errorf(ErrDomain, "%v; expected more than 0", b.DOF)}
	}
	if err := notNegative("FromBudget", "standard uncertainty", b.StandardUncertainty); err != nil {
		return nil, err
	}
	// The laws of the inputs, where they are known, before Student's distribution.
	if d, known := b.Distribution(); known {
		return d, nil
	}
	return student{b.Estimate, b.StandardUncertainty, b.DOF, b.Unit}, nil
}

// student is y + u·t(dof).
// Below counts what is strictly below, above what is strictly above, so that a limit belongs
// to the tolerance (JCGM 106 7.2).
type student struct {
	y, u, dof float64
	unit      string // of y and u
}

// CDF and Survival are for a continuous law; below and above keep a step apart.
func (s student) CDF(x float64) float64      { return 1 - s.above(x) }
func (s student) Survival(x float64) float64 { return s.above(x) }

// below is Pr(Y < x), by the upper tail of the mirrored law.
func (s student) below(x float64) float64 {
	if s.u == 0 {
		return step(s.y < x)
	}
	return upperTail((s.y-x)/s.u, s.dof)
}

// above is Pr(Y > x).
func (s student) above(x float64) float64 {
	if s.u == 0 {
		return step(s.y > x)
	}
	return upperTail((x-s.y)/s.u, s.dof)
}

// step is the distribution of a value that is known exactly.
func step(is bool) float64 {
	if is {
		return 1
	}
	return 0
}

// upperTail returns Pr(T > t) of Student's distribution (Handbook of Mathematical
// Functions, National Bureau of Standards, 1964, 26.7.1 with 26.5.27).
func upperTail(t, dof float64) float64 {
	// By symmetry, so that the upper tail is never a difference from 1.
	switch {
	case t < 0:
		return 1 - upperTail(-t, dof)
	case math.IsInf(dof, 1):
		return elementary.NormalCDF(-t)
	// Where the incomplete beta function loses digits and t is small enough for the series.
	case dof > 5000 && t*t*t*t < dof/10:
		return expandedTail(t, dof)
	}
	return studentt.UpperTail(t, dof)
}

// expandedTail is the expansion in 1/dof about the normal distribution (Metron 5 (1926)
// 109; from memory, checked against the quantiles).
func expandedTail(t, dof float64) float64 {
	density := elementary.NormalDensity(t)
	x := float64(t * t)
	g1 := (x + 1) / 4
	g2 := (float64((float64((float64(3*x)-7)*x)-5)*x) - 3) / 96
	g3 := (float64((float64((float64((float64((x-11)*x)+14)*x)+6)*x)-3)*x) - 15) / 384
	r := 1 / dof
	// The density times t/dof and polynomials in t², which g1 to g3 are.
	return elementary.NormalCDF(-t) + float64(density*t*r*(g1+float64(r*(g2+float64(r*g3)))))
}

// FromOutput returns the distribution of a Monte Carlo output: its trials themselves beyond the
// ends of the coverage intervals, and between them what [uncertainty.Output.CDF] knows. A
// probability that corresponds to only a few trials is not to be trusted.
func FromOutput(o *uncertainty.Output) (CDF, error) {
	if o == nil {
		return nil, &Error{Op: "conformity.FromOutput", Name: "output",
			Err: unit.Errorf(ErrDomain, "nil; expected an output of a simulation")}
	}
	h := o.Histogram
	// An output that does not vary has bins without width.
	if !(h.Width > 0) || math.IsInf(h.Width, 0) || math.IsNaN(h.Lower) || len(h.Counts) == 0 {
		return nil, &Error{Op: "conformity.FromOutput", Name: "width of the bins", Value: h.Width,
			Err: unit.Errorf(ErrDomain, "no histogram; expected an output of a simulation that "+
				"varies")}
	}
	if total := o.CDF(math.Inf(1)); total != 1 {
		return nil, &Error{Op: "conformity.FromOutput", Name: "number of trials", Value: 0.0,
			Err: unit.Errorf(ErrDomain, "no trials; expected more than 0")}
	}
	return *o, nil
}

// Samples is a distribution given by equally probable values, such as the trials of a
// Monte Carlo run. Make it with [NewSamples].
type Samples struct{ sorted []float64 }

// NewSamples returns the distribution of the values, at least one and all finite.
func NewSamples(values []float64) (Samples, error) {
	if len(values) == 0 {
		return Samples{}, &Error{Op: "conformity.NewSamples", Name: "number of values", Value: 0.0,
			Err: unit.Errorf(ErrDomain, "no values; expected at least 1")}
	}
	for i, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return Samples{}, &Error{Op: "conformity.NewSamples",
				Name: fmt.Sprintf("value %d", i+1), Value: v, Err: unit.Errorf(ErrNotFinite,
					"%v; expected a finite number", v)}
		}
	}
	return Samples{slices.Sorted(slices.Values(values))}, nil
}

// CDF returns the share of the values up to x. That of the zero Samples is 0. It is a step
// function, so that a value on a limit counts as inside.
func (s Samples) CDF(x float64) float64 {
	if len(s.sorted) == 0 {
		return 0
	}
	return 1 - s.above(x)
}

// below is the share of the values under x.
func (s Samples) below(x float64) float64 {
	i, _ := slices.BinarySearch(s.sorted, x)
	return float64(i) / float64(len(s.sorted))
}

// above is the share of the values over x, those equal to it left out.
func (s Samples) above(x float64) float64 {
	// Nextafter leaves out what equals x.
	i, _ := slices.BinarySearch(s.sorted, math.Nextafter(x, math.Inf(1)))
	return float64(len(s.sorted)-i) / float64(len(s.sorted))
}
