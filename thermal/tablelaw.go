// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"slices"

	"example.com/ohmwright/uncertainty"
)

// TableLaw is a temperature law as a table of ratios R(t)/R(ref) with interpolation, for
// what no parabola follows: heating alloys, whose resistance rises, falls and rises again.
// For parabolas there is [Law]. The zero TableLaw answers with [ErrUnknown].
type TableLaw struct{ t *lawPoints }

// lawPoints is a table ready for use.
type lawPoints struct {
	low, high float64
	ratios    []float64 // as given, by ascending temperature
	evaluate  func(t float64) (ratio, slope float64)
	monotone  bool
	places    []float64
}

// RatioAtTemperature is one point of a [TableLaw].
type RatioAtTemperature struct {
	Ratio       float64 // R(t)/R(ref), above 0
	Temperature float64 // °C
}

// NewTableLaw returns the law through points, in any order, with a linear or a smooth
// interpolation. It returns an error with fewer than two points, for two ratios at one
// temperature, a ratio that is not above 0, and a temperature below absolute zero.
func NewTableLaw(points []RatioAtTemperature, how Interpolation) (TableLaw, error) {
	const op = "thermal.NewTableLaw"
	if how > InterpolationSmooth {
		return TableLaw{}, refuse(op, "interpolation", how.String(), ErrUnknown,
			"expected linear or smooth")
	}
	points = slices.Clone(points)
	xs, ys, err := sortedPoints(op, "temperature", len(points),
		func(i int) (float64, float64) { return points[i].Temperature, points[i].Ratio })
	if err != nil {
		return TableLaw{}, err
	}
	if err := checkTemperature(op, "temperature", xs[0]); err != nil {
		return TableLaw{}, err
	}
	for _, y := range ys {
		if err := checkPositive(op, "ratio", y, "R(t)/R(ref)"); err != nil {
			return TableLaw{}, err
		}
	}
	return TableLaw{&lawPoints{
		low: xs[0], high: xs[len(xs)-1], places: xs, ratios: ys,
		evaluate: newInterpolant(how, xs, ys).evaluate, monotone: monotone(ys),
	}}, nil
}

// Range returns the temperatures in °C between which the law holds.
func (l TableLaw) Range() (low, high float64) {
	if l.t == nil {
		return 0, 0
	}
	return l.t.low, l.t.high
}

// Monotone reports whether the resistance rises or falls all the way, so that
// [TableLaw.Temperature] has an answer.
func (l TableLaw) Monotone() bool { return l.t != nil && l.t.monotone }

// checkInside refuses temperatures outside the table.
func (l TableLaw) checkInside(op, name string, t float64) error {
	if l.t == nil {
		return refuse(op, "law", nil, ErrUnknown,
			"expected one made by NewTableLaw or HeatingAlloy")
	}
	if err := checkNumber(op, name, t); err != nil {
		return err
	}
	if t < l.t.low || t > l.t.high {
		return domainError(op, name, t,
			"expected "+text(l.t.low)+" to "+text(l.t.high)+" °C, the range of the table")
	}
	return nil
}

// Ratio returns R(t)/R(ref) at t in °C. It returns an error (ErrDomain) outside the table.
func (l TableLaw) Ratio(t float64) (float64, error) {
	return l.ratio("thermal.TableLaw.Ratio", "temperature", t)
}

// ratio is Ratio for the operation and the argument that an error names.
func (l TableLaw) ratio(op, name string, t float64) (float64, error) {
	if err := l.checkInside(op, name, t); err != nil {
		return 0, err
	}
	q, _ := l.t.evaluate(t)
	return finiteResult(op, "ratio", q)
}

// Slope returns the local coefficient d(R/R(ref))/dt in 1/K at t in °C. Where two straight
// pieces meet it is that of the upper one.
func (l TableLaw) Slope(t float64) (float64, error) {
	const op = "thermal.TableLaw.Slope"
	if err := l.checkInside(op, "temperature", t); err != nil {
		return 0, err
	}
	_, s := l.t.evaluate(t)
	return finiteResult(op, "slope", s)
}

// Correct returns the resistance in ohms at the temperature to, both in °C, of a resistor
// that has resistance ohms at from.
func (l TableLaw) Correct(resistance, from, to float64) (float64, error) {
	const op = "thermal.TableLaw.Correct"
	if err := checkNumber(op, "resistance", resistance); err != nil {
		return 0, err
	}
	a, err := l.ratio(op, "from", from)
	if err != nil {
		return 0, err
	}
	b, err := l.ratio(op, "to", to)
	if err != nil {
		return 0, err
	}
	return finiteResult(op, "corrected resistance", resistance*(b/a))
}

// Temperature returns the temperature in °C at which the ratio R(t)/R(ref) is reached. It
// returns an error for a ratio outside the table, and where the table neither rises nor falls
// all the way, as that of most heating alloys ([ErrNotMonotone]): no temperature follows from
// their resistance.
func (l TableLaw) Temperature(ratio float64) (float64, error) {
	const op = "thermal.TableLaw.Temperature"
	if l.t == nil {
		return 0, l.checkInside(op, "temperature", 0)
	}
	if err := checkPositive(op, "ratio", ratio, "R(t)/R(ref)"); err != nil {
		return 0, err
	}
	if !l.t.monotone {
		return 0, refuse(op, "ratio", ratio, ErrNotMonotone,
			"expected a table that rises or falls all the way; this one has several temperatures "+
				"for some ratios")
	}
	c := newSensor(characteristic{low: l.t.low, high: l.t.high, evaluate: l.t.evaluate}).c
	if least, most := min(c.ends[0], c.ends[1]), max(c.ends[0], c.ends[1]); ratio < least ||
		ratio > most {
		return 0, domainError(op, "ratio", ratio,
			"expected "+text(least)+" to "+text(most)+", the range of the table")
	}
	return c.inverse(ratio), nil
}

// Extremes returns the smallest and largest ratio between the temperatures low and high in
// °C: at the ends or at a point of the table between them, since no interpolation leaves
// the stretch between its points.
func (l TableLaw) Extremes(low, high float64) (uncertainty.Interval, error) {
	const op = "thermal.TableLaw.Extremes"
	out, err := ratiosAtEnds(op, low, high, l.ratio)
	if err != nil {
		return uncertainty.Interval{}, err
	}
	for i, t := range l.t.places {
		if t > low && t < high {
			out.Lower, out.Upper = min(out.Lower, l.t.ratios[i]), max(out.Upper, l.t.ratios[i])
		}
	}
	return out, nil
}

// RatioOf is [TableLaw.Ratio] of a quantity in °C. Trials of a Monte Carlo run beyond the
// table follow the tangent at its end.
func (l TableLaw) RatioOf(t uncertainty.Quantity) uncertainty.Quantity {
	if err := firstError(l.checkInside("thermal.TableLaw.RatioOf", "temperature", t.Estimate()),
		[]uncertainty.Quantity{t}); err != nil {
		return uncertainty.Fail(err)
	}
	c := &characteristic{low: l.t.low, high: l.t.high, evaluate: l.t.evaluate}
	return uncertainty.CallWithGradient("R(t)/R(ref)",
		func(x []float64) float64 {
			q, _ := c.evaluateBeyond(x[0])
			return q
		},
		func(dst, x []float64) { _, dst[0] = c.evaluateBeyond(x[0]) },
		t.InUnit("°C")).DefaultUnit("1")
}

// CorrectOf is [TableLaw.Correct] of quantities.
func (l TableLaw) CorrectOf(resistance, from, to uncertainty.Quantity) uncertainty.Quantity {
	return resistance.Mul(l.RatioOf(to)).Div(l.RatioOf(from)).DefaultUnit("Ω")
}
