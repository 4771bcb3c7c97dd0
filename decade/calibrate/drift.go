// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

// The line of one value (the residual or an element) through n calibrations at times t_i, in
// years from the last one and so t_n = 0 and the others negative:
//
//	y_i = Value + Rate·t_i + e_i    or    y = A·(Value, Rate)ᵀ + e,   A_i = (1, t_i)
//
// with the covariance V of the records, solved by K = (Aᵀ·V⁻¹·A)⁻¹·Aᵀ·V⁻¹. Two properties carry
// the rest:
//
//   - K·A = 1. A common error c of all calibrations is c times the first column of A, so it moves
//     Value by c and Rate by nothing: a standard used every year cancels in the rate and stays
//     whole in a prediction.
//   - With n = 2 the matrix A is square and K = A⁻¹ whatever V is: Value = y_2,
//     Rate = (y_2 − y_1)/(t_2 − t_1). Nothing is left to judge by.
//
// With n > 2 chi-squared has n − 2 degrees of freedom. Where it exceeds them, a variance τ² is
// added to each value until it equals them (missingScatter), the line is fitted again with
// V + τ²·1, and τ becomes one more source of each value. Where it is below, τ stays 0: agreement
// by luck must not make an uncertainty smaller than the records state.
//
// The elements are fitted one by one. All of them have the same design A, and then a joint fit
// gives the same lines wherever the covariance is the Kronecker product of one matrix of the
// elements and one of the calibrations (Zellner's case of equal regressors, from memory).

import (
	"fmt"
	"slices"
	"time"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/determination"
	"example.com/ohmwright/decade/internal/leastsquares"
	"example.com/ohmwright/decade/internal/wording"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// A Drift is how the residual and the elements of one box change with time, a straight
// line for each through the values of two or more calibrations.
//
// The lines are linear in the values of the records, so that what the calibrations share
// (a standard, a meter) cancels in the rates and stays in the predictions. With two
// records nothing is left to judge the lines by: their uncertainty is that of the records
// alone. With three or more, values that scatter about a line by more than their
// uncertainties say get the missing scatter as a further source of error; values that lie
// closer than expected do not make an uncertainty smaller.
//
// A shock, an overload or a repair is a step, not a drift: begin again after it. Any number of
// goroutines may read one at once.
type Drift struct {
	Box          *decade.Box
	Calibrations []*decade.Calibration // by date
	Lines        []DriftLine           // the residual, then the elements dial by dial
	Warnings     []error
}

// A DriftLine is the drift of the residual or of one element. Any number of goroutines may
// read one at once.
type DriftLine struct {
	Name    string
	Nominal float64 // Ω; of the residual as stated

	Change uncertainty.Quantity // Ω, from the first calibration to the last
	Value  uncertainty.Quantity // Ω, of the line at the date of the last calibration
	Rate   uncertainty.Quantity // Ω per year of 365.25 days

	ChiSquared float64 // of the values about the line
	DOF        int     // number of calibrations − 2
	// Scatter is the standard deviation about the line that the uncertainties of the
	// values do not account for, in Ω; 0 with two calibrations.
	Scatter float64
}

// year is the unit of the rates, in the nanoseconds of time.Duration: 365.25 days, the Julian
// year, so that a rate does not depend on which years are leap years.
const year = 365.25 * 24 * float64(time.Hour)

// NewDrift fits the drift of a box to two or more of its calibrations, in any order. It returns
// an error where one is of another box or without a date, two have the same date, or two state a
// common source of error differently.
func NewDrift(b *decade.Box, calibrations ...*decade.Calibration) (*Drift, error) {
	const op = "calibrate.NewDrift"
	if b == nil {
		return nil, &Error{Op: op, Err: unit.Errorf(ErrEmpty, "nil box; expected a box")}
	}
	if len(calibrations) < 2 {
		return nil, &Error{Op: op, Name: "calibrations", Value: float64(len(calibrations)),
			Err: unit.Errorf(ErrEmpty, "%d; expected 2 or more of one box", len(calibrations))}
	}
	for _, c := range calibrations {
		// With checks name, serial number and elements; its box is not needed here.
		if _, err := b.With(c); err != nil {
			return nil, &Error{Op: op, Name: "calibration", Err: err}
		}
		if c.Date.IsZero() {
			return nil, &Error{Op: op, Name: "calibration " + c.Values.ID,
				Err: unit.Errorf(ErrNotStated, "no date; expected the date of its readings")}
		}
	}
	d := &Drift{Box: b, Calibrations: slices.SortedFunc(slices.Values(calibrations),
		func(a, c *decade.Calibration) int { return a.Date.Compare(c.Date) })}
	for i, c := range d.Calibrations[1:] {
		if c.Date.Equal(d.Calibrations[i].Date) {
			return nil, &Error{Op: op, Name: "calibrations",
				Err: unit.Errorf(ErrContradiction,
					"%q and %q are both of %s; expected different dates",
					d.Calibrations[i].Values.ID, c.Values.ID, c.Date.Format(time.DateOnly))}
		}
	}
	u := determination.New(b)
	for j := range u.N {
		line, err := d.line(u.Name(j), u.Nominal(j))
		if err != nil {
			return nil, err
		}
		d.Lines = append(d.Lines, line)
	}
	d.warn()
	return d, nil
}

// years is the time from the last calibration, negative before it.
func (d *Drift) years(t time.Time) float64 { return float64(t.Sub(d.last().Date)) / year }

// last is the latest calibration.
func (d *Drift) last() *decade.Calibration { return d.Calibrations[len(d.Calibrations)-1] }

// line fits one line: value = Value + Rate·years. Nominal, in Ω, is only what deviations are
// taken from, and any other number near the values gives the same line.
func (d *Drift) line(name string, nominal float64) (DriftLine, error) {
	n := len(d.Calibrations)
	values := make([]uncertainty.Quantity, n)
	a, y := mat.NewDense(n, 2, nil), make([]float64, n)
	for i, c := range d.Calibrations {
		values[i] = c.Values.Quantity(name)
		// Deviations, so that the solution does not lose digits to the size of the values.
		y[i] = values[i].Estimate() - nominal
		// Years from the last calibration, so that Value is the value on its day.
		a.SetRow(i, []float64{1, d.years(c.Date)})
	}
	// Calibrations with one meter share its errors, which cancel in a change (GUM 5.2.2,
	// F.1.2.3).
	all, err := uncertainty.EvaluateAll(values...)
	if err != nil {
		return DriftLine{}, &Error{Op: "calibrate.NewDrift", Name: name,
			Err: unit.Errorf(ErrContradiction,
				"%v; expected records that state what they share in the same way", err)}
	}
	out := DriftLine{Name: name, Nominal: nominal, DOF: n - 2, Change: values[n-1].Sub(values[0])}
	g, err := leastsquares.New(a, all.Covariance)
	if err != nil {
		return DriftLine{}, &Error{Op: "calibrate.NewDrift", Name: name, Err: err}
	}
	s := g.Solve(y)
	if out.DOF > 0 {
		out.ChiSquared = s.ChiSquared
		// A resistor that does not drift steadily scatters by more than its records say (VIM
		// 4.21, instrumental drift).
		if out.Scatter, err = missingScatter(a, all.Covariance, y); err != nil {
			return DriftLine{}, &Error{Op: "calibrate.NewDrift", Name: name, Err: err}
		}
	}
	if out.Scatter > 0 {
		if g, err = leastsquares.New(a, widened(all.Covariance, out.Scatter)); err != nil {
			return DriftLine{}, &Error{Op: "calibrate.NewDrift", Name: name, Err: err}
		}
		s = g.Solve(y)
		// The scatter enters each value as one more error, so that rate and prediction both
		// carry it.
		values = d.scattered(values, &out)
	}
	// Row 0 of K gives Value, row 1 Rate. The constant takes up what the estimates of the values
	// already contribute, nominal included, so that the estimate is exactly that of the solution.
	combine := func(row int, symbol string, constant float64) uncertainty.Quantity {
		c := mat.Row(nil, row, g.Matrix)
		for i, q := range values {
			constant -= float64(c[i] * q.Estimate())
		}
		return uncertainty.LinearInUnit(symbol, constant, c, values)
	}
	out.Value = combine(0, "Ω", nominal+s.X[0]).Named(name)
	out.Rate = combine(1, "Ω/year", s.X[1]).Named("rate of " + name)
	return out, nil
}

// scattered adds to each value its part of the scatter: as many draws as calibrations,
// whose common standard deviation has as many degrees of freedom as the line leaves. They are
// one joint source and not n sources, since one estimate of the standard deviation serves all:
// n of them would count its n − 2 degrees of freedom n times (GUM G.4.1).
func (d *Drift) scattered(values []uncertainty.Quantity, l *DriftLine) []uncertainty.Quantity {
	n := len(values)
	names := make([]string, n)
	cov := mat.NewSymDense(n, nil)
	for i, c := range d.Calibrations {
		names[i] = fmt.Sprintf("scatter of %s, %s", l.Name, c.Date.Format(time.RFC3339))
		cov.SetSym(i, i, l.Scatter*l.Scatter)
	}
	// Independent of each other: nothing off the diagonal. The ID lets a drift that is computed
	// again from the same records share its scatter with this one.
	draws := uncertainty.JointSource{
		Names: names, Estimates: make([]float64, n), Covariance: cov, DOF: float64(l.DOF),
		ID: "drift of " + d.recordIDs() + "/" + l.Name,
	}.Inputs()
	out := make([]uncertainty.Quantity, n)
	for i, q := range values {
		out[i] = q.Add(draws[i])
	}
	return out
}

// missingScatter is the standard deviation in Ω that, added to that of each value, brings
// chi-squared down to its degrees of freedom; 0 where it is not above them. A is the design, v
// the covariance of the values and y their deviations, in Ω² and Ω. It costs 61 small fits.
func missingScatter(a *mat.Dense, v *mat.SymDense, y []float64) (float64, error) {
	n, m := a.Dims()
	excess := func(tau float64) (float64, error) {
		g, err := leastsquares.New(a, widened(v, tau))
		if err != nil {
			return 0, err
		}
		return g.Solve(y).ChiSquared - float64(n-m), nil
	}
	// At or below the degrees of freedom nothing is missing: values that agree well may do so by
	// luck.
	at, err := excess(0)
	if err != nil || at <= 0 {
		return 0, err
	}
	low, high := 0.0, 0.0
	for _, r := range y {
		// The whole span s of the values bounds the root. V + τ²·1 weighs no residual more than
		// 1/τ² does, and residuals about a line are no larger in sum of squares than those about
		// the middle of the span: chi-squared ≤ n·(s/2)²/τ², at τ = s a quarter of n, which is
		// below n − 2 for all n ≥ 3.
		high = max(high, r-slices.Min(y))
	}
	// Chi-squared falls as the scatter grows, so that halving finds where it meets its degrees
	// of freedom (Paule and Mandel, J. Res. NBS 87, 1982).
	const halvings = 60 // leave nothing of the first interval
	for range halvings {
		middle := (low + high) / 2
		at, err := excess(middle)
		if err != nil {
			return 0, err
		}
		if at > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return high, nil
}

// widened is V + τ²·1: each value gets a variance of its own, in Ω², that no other shares.
func widened(v *mat.SymDense, tau float64) *mat.SymDense {
	out := mat.NewSymDense(v.SymmetricDim(), nil)
	out.CopySym(v)
	for i := range v.SymmetricDim() {
		out.SetSym(i, i, v.At(i, i)+float64(tau*tau))
	}
	return out
}

// warn adds what a reader of the lines must know. Each is one warning for all lines, with names:
// what is wrong with one calibration shows in dozens of elements.
func (d *Drift) warn() {
	warn := func(format string, args ...any) {
		d.Warnings = append(d.Warnings, &Error{Op: "calibrate.NewDrift",
			Err: unit.Errorf(ErrNoFreedom, format, args...)})
	}
	// Two points lie on any line: no degree of freedom is left (GUM G.3.3).
	if len(d.Calibrations) == 2 {
		warn("two calibrations: nothing checks that the change was steady. Uncertainties come " +
			"from the records alone, and a step cannot be told from a drift.")
	}
	for _, c := range d.Calibrations {
		// The conventional value R_K-90 took effect on 1 January 1990.
		if c.Ohm == "" && c.Date.Year() < 1990 {
			d.Warnings = append(d.Warnings, &Error{Op: "calibrate.NewDrift",
				Err: unit.Errorf(ErrNotStated,
					"record %q is from before 1990 and does not state its ohm, which is taken for "+
						"that of today. National ohms differed then (that of the United States "+
						"was smaller by 1.69 ppm): state it in the file as \"ohm\": %q, or by "+
						"how much it was smaller.",
					c.Values.ID, decade.OhmUSBefore1990)})
		}
	}
	var scattered []string
	for i := range d.Lines {
		if d.Lines[i].Scatter > 0 {
			scattered = append(scattered, d.Lines[i].Name)
		}
	}
	d.warnOfCloseAgreement()
	if len(scattered) > 0 {
		d.Warnings = append(d.Warnings, &Error{Op: "calibrate.NewDrift",
			Err: unit.Errorf(ErrInconsistent,
				"values scatter about their line by more than their uncertainties, which were "+
					"widened for it: %s.", wording.Short(scattered))})
	}
}

// warnOfCloseAgreement warns of lines that agree too well where they are more than a tenth of
// all: one in a hundred does by chance. A single line would be no news, since a box has dozens.
func (d *Drift) warnOfCloseAgreement() {
	var below []*DriftLine
	tested := 0
	for i := range d.Lines {
		l := &d.Lines[i]
		if wording.AgreeTooWell(l.ChiSquared, l.DOF) {
			below = append(below, l)
		}
		if l.DOF > 0 {
			tested++
		}
	}
	// Ten times as many as chance would have it.
	if 10*len(below) <= tested {
		return
	}
	names := make([]string, len(below))
	for i, l := range below {
		names[i] = l.Name
	}
	d.Warnings = append(d.Warnings, &Error{Op: "calibrate.NewDrift",
		Err: unit.Errorf(ErrInconsistent, "%s",
			wording.TooWell("the values of "+wording.Short(names)+" about their line",
				below[0].ChiSquared, below[0].DOF))})
}
