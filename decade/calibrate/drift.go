// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

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

// year is the unit of the rates.
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

// line fits one line: value = Value + Rate·years.
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
				"%v; expected records that state what they share alike", err)}
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
	combine := func(row int, constant float64) uncertainty.Quantity {
		c := mat.Row(nil, row, g.Matrix)
		for i, q := range values {
			constant -= float64(c[i] * q.Estimate())
		}
		return uncertainty.Linear(constant, c, values)
	}
	out.Value = combine(0, nominal+s.X[0]).Named(name)
	out.Rate = combine(1, s.X[1]).Named("rate of " + name)
	return out, nil
}

// scattered adds to each value its part of the scatter: as many draws as calibrations,
// whose common standard deviation has as many degrees of freedom as the line leaves.
func (d *Drift) scattered(values []uncertainty.Quantity, l *DriftLine) []uncertainty.Quantity {
	n := len(values)
	names := make([]string, n)
	cov := mat.NewSymDense(n, nil)
	for i, c := range d.Calibrations {
		names[i] = fmt.Sprintf("scatter of %s, %s", l.Name, c.Date.Format(time.RFC3339))
		cov.SetSym(i, i, l.Scatter*l.Scatter)
	}
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

// missingScatter is the standard deviation that, added to that of each value, brings
// chi-squared down to its degrees of freedom; 0 where it is not above them.
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
		// A scatter as large as the whole span of values explains any of them, so it bounds
		// the root.
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

// widened adds an own variance to each value.
func widened(v *mat.SymDense, tau float64) *mat.SymDense {
	out := mat.NewSymDense(v.SymmetricDim(), nil)
	out.CopySym(v)
	for i := range v.SymmetricDim() {
		out.SetSym(i, i, v.At(i, i)+float64(tau*tau))
	}
	return out
}

// warn adds what a reader of the lines must know.
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
// all: one in a hundred does by chance.
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
