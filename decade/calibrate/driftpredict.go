// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package calibrate

// A prediction at t years after the last calibration is Value + Rate·t, and where the values
// scatter about their line one more draw of the scatter τ. For the deviation of a setting the
// lines of its elements are summed first; their variance follows from the joint covariance of
// sum and rate (GUM 5.2.2, equation 13):
//
//	u²(t) = u²(start) + 2·t·cov(start, rate) + t²·u²(rate) + Σ τ²
//
// With independent errors the covariance is positive, since a line turns about the middle of its
// points, which lies before t = 0: left out, it would make predictions look better than they are.
//
// When a setting is due follows from the probability that the deviation lies within the limit L:
//
//	P(t) = F((L − d(t))/u(t)) − F((−L − d(t))/u(t)),   d(t) = start + rate·t
//
// with the distribution function F of Student's t. It has no inverse in closed form, and is cheap:
// a century of months is 1,200 evaluations of it.

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/internal/determination"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// At returns the calibration that the box is expected to have at a time: for
// [decade.Box.With], and so for the predicted value of any setting today.
//
// The intervals are for the values of the elements at that time: the line, and where the
// calibrations scatter about it one more draw of the scatter. They are not for the next
// reading, which has the errors of its meter and, as [decade.Setting.Resistance] adds
// them, contacts of its own. Beyond the last calibration they rest on the drift going on
// as it was.
func (d *Drift) At(t time.Time) (*decade.Calibration, error) {
	if err := d.checkDate("calibrate.Drift.At", t); err != nil {
		return nil, err
	}
	// A day is its date; a moment of the day is part of the ID, for its values are others. Two
	// predictions of one ID would be taken for the same sources.
	layout := time.RFC3339
	if t.Equal(time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)) {
		layout = time.DateOnly
	}
	id := fmt.Sprintf("predicted for %s from %s", t.Format(layout), d.recordIDs())
	values := make([]uncertainty.Quantity, len(d.Lines))
	for i := range d.Lines {
		values[i] = d.predict(&d.Lines[i], t, id)
	}
	return readBack(d.Box, decade.Calibration{Date: t,
		Values: uncertainty.Record{ID: id, Quantities: values}})
}

// recordIDs names the calibrations together, in the order of their dates: part of the ID of each
// source that a drift adds, so that drifts of different calibrations never share one.
func (d *Drift) recordIDs() string {
	ids := make([]string, len(d.Calibrations))
	for i, c := range d.Calibrations {
		ids[i] = c.Values.ID
	}
	return strings.Join(ids, " + ")
}

// predict is one value at a time, in Ω. Its sources are those of the records; the fresh draw of
// the scatter, if there is one, belongs to the id of the prediction.
func (d *Drift) predict(l *DriftLine, t time.Time, id string) uncertainty.Quantity {
	q := l.Value.Add(l.Rate.Scale(d.years(t)))
	if l.Scatter > 0 {
		// A prediction is one more value about the line: its scatter is a draw of its own,
		// beside those that the line was fitted through.
		fresh := uncertainty.Source{
			Name: fmt.Sprintf("scatter of %s, %s", l.Name, t.Format(time.RFC3339)), Unit: "Ω",
			Note:         "of the calibrations about the line of drift",
			Distribution: uncertainty.StudentT(0, l.Scatter, float64(l.DOF)), ID: id + "/" + l.Name,
		}.Input()
		q = q.Add(fresh)
	}
	return q.Named(l.Name)
}

// horizonYears is how far a prediction may reach, in years, either way: longer than a box lives,
// and well within the 292 years that a time.Duration can hold.
const horizonYears = 100

// checkDate refuses a Drift that NewDrift did not make and a date out of reach.
func (d *Drift) checkDate(op string, t time.Time) error {
	if d == nil || d.Box.NumDecades() == 0 || len(d.Calibrations) == 0 ||
		slices.Contains(d.Calibrations, nil) {
		return &Error{Op: op, Err: unit.Errorf(ErrEmpty, "no drift; expected one from NewDrift")}
	}
	if y := d.years(t); !(math.Abs(y) <= horizonYears) {
		return &Error{Op: op, Name: "t", Value: y,
			Err: unit.Errorf(ErrDomain, "%s is %.3g years from the last calibration; expected at "+
				"most %d", t.Format(time.DateOnly), y, horizonYears)}
	}
	return nil
}

// Due returns until when the deviation of a setting from nominal stays inside its class
// with at least a given probability, between 0 and 1, if the drift goes on as it was: the date
// at which the probability first falls below it. ok is false where that does not happen within
// 100 years; where it is below already, Due returns the date of the last calibration.
//
// The deviation is that of the convention of the box, with or without the residual, without
// switching variation. It returns an error where the class states no limit.
func (d *Drift) Due(s decade.Setting, probability float64) (date time.Time, ok bool, err error) {
	const op = "calibrate.Drift.Due"
	if err := d.checkDate(op, d.lastDate()); err != nil {
		return date, false, err
	}
	if !(probability > 0 && probability < 1) {
		return date, false, &Error{Op: op, Name: "probability", Value: probability,
			Err: unit.Errorf(ErrDomain, "%v; expected more than 0 and less than 1", probability)}
	}
	// The setting may be of a calibrated copy of the box, which is another box to a Setting.
	on, err := s.On(d.Box)
	if err != nil {
		return date, false, &Error{Op: op, Name: "setting", Err: err}
	}
	if on.ClassLimit() == 0 {
		return date, false, &Error{Op: op, Name: s.String(),
			Err: unit.Errorf(ErrNotStated, "no limit of the class; expected a setting off zero "+
				"of a box with limits")}
	}
	f, err := d.forecast(on)
	if err != nil {
		return date, false, err
	}
	years, ok := f.firstBelow(probability)
	return d.last().Date.Add(time.Duration(years * year)), ok, nil
}

// lastDate is the date of the last calibration, zero where there is none.
func (d *Drift) lastDate() (t time.Time) {
	if d != nil && len(d.Calibrations) > 0 {
		t = d.last().Date
	}
	return t
}

// FirstDue is the earliest Due of all positions of all dials with the others at zero,
// and the setting that it belongs to. Settings without a limit are ignored.
func (d *Drift) FirstDue(probability float64) (first decade.Setting, date time.Time, ok bool,
	err error) {
	if err := d.checkDate("calibrate.Drift.FirstDue", d.lastDate()); err != nil {
		return first, date, false, err
	}
	for _, s := range determination.New(d.Box).Singles() {
		if s.ClassLimit() == 0 {
			continue
		}
		// The first setting stands even if it never falls due, so that there is one to return;
		// after that, only one that does and is earlier takes its place.
		at, within, err := d.Due(s, probability)
		if err != nil {
			return first, date, false, err
		}
		if !first.IsValid() || within && (!ok || at.Before(date)) {
			first, date, ok = s, at, within
		}
	}
	if !first.IsValid() {
		return first, date, false, &Error{Op: "calibrate.Drift.FirstDue",
			Err: unit.Errorf(ErrNotStated, "the box states no class; expected limits")}
	}
	return first, date, ok, nil
}

// normalDOF is the number of degrees of freedom beyond which t is taken for normal: there the
// distribution function of t that is used here begins to lose digits.
const normalDOF = 1e5

// forecast is the deviation of a setting as a function of the time in years:
// start + rate·years, with its variance.
type forecast struct {
	start, rate       float64 // Ω, Ω/year
	varStart, varRate float64 // Ω², (Ω/year)²
	covariance        float64 // Ω²/year, of start and rate
	scatter           float64 // Ω², variance of a fresh draw for each element in circuit
	dof               float64 // of u(t), +Inf where all that goes in is known
	limit             float64 // Ω, ± of the class
}

// forecast prepares the deviation of a setting: one joint evaluation gives value and rate with
// their covariance (GUM 5.2.2).
func (d *Drift) forecast(s decade.Setting) (forecast, error) {
	f := forecast{limit: s.ClassLimit()}
	var values, rates []uncertainty.Quantity
	u := determination.New(d.Box)
	for _, j := range u.Of(s) {
		// Nominal values above the zero setting do not have the residual, unknown 0, in them.
		if j == 0 && !d.Box.Spec().ResidualIncluded {
			continue
		}
		l := &d.Lines[j]
		values, rates = append(values, l.Value), append(rates, l.Rate)
		// The scatters of the elements are independent: variances add (GUM 5.1.2).
		f.scatter += float64(l.Scatter * l.Scatter)
	}
	deviation := uncertainty.Sum(values...).Sub(uncertainty.Exact(s.Nominal()))
	m, err := uncertainty.EvaluateAll(deviation, uncertainty.Sum(rates...))
	if err != nil {
		return f, &Error{Op: "calibrate.Drift.Due", Name: s.String(), Err: err}
	}
	f.start, f.rate = m.Budgets[0].Estimate, m.Budgets[1].Estimate
	f.varStart, f.varRate = m.Covariance.At(0, 0), m.Covariance.At(1, 1)
	f.covariance = m.Covariance.At(0, 1)
	// The smaller of the two is on the safe side: a combination has no fewer (Welch and
	// Satterthwaite, GUM G.4.1).
	f.dof = min(m.Budgets[0].DOF, m.Budgets[1].DOF)
	return f, nil
}

// probabilityInside is the probability that the deviation lies within the limit after so many
// years. With u = 0, an ideal record, it is a step: 1 inside and on the limit, 0 beyond.
func (f forecast) probabilityInside(years float64) float64 {
	mean := f.start + float64(f.rate*years)
	// GUM 5.2.2, equation 13, of start + years·rate.
	u := math.Sqrt(max(0,
		f.varStart+float64(2*years*f.covariance)+float64(years*years*f.varRate)+f.scatter))
	if u == 0 {
		// On the limit counts as inside (JCGM 106, 3.3.5).
		if math.Abs(mean) <= f.limit {
			return 1
		}
		return 0
	}
	below := func(x float64) float64 {
		// With so many degrees of freedom t is normal to 1e-5 (GUM G.3.2).
		if f.dof > normalDOF {
			return distuv.UnitNormal.CDF((x - mean) / u)
		}
		return distuv.StudentsT{Mu: mean, Sigma: u, Nu: f.dof}.CDF(x)
	}
	return below(f.limit) - below(-f.limit)
}

// firstBelow is when the probability first falls below p, to a minute; false beyond the
// horizon. A fall that is over again within the same month is not seen.
func (f forecast) firstBelow(p float64) (years float64, ok bool) {
	const (
		step   = 1.0 / 12 // a month, in years
		minute = 1e-6     // about half of one, in years
	)
	if f.probabilityInside(0) < p {
		return 0, true
	}
	// Month by month: the probability need not fall steadily where a drift crosses the class
	// from outside, and the first fall is asked for.
	for low := 0.0; low < horizonYears; low += step {
		if f.probabilityInside(low+step) >= p {
			continue
		}
		high := low + step
		for high-low > minute {
			if middle := (low + high) / 2; f.probabilityInside(middle) >= p {
				low = middle
			} else {
				high = middle
			}
		}
		return high, true
	}
	return horizonYears, false
}
