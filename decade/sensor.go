// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"context"
	"errors"
	"math"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// A box in the place of a sensor is wrong by three things: the steps of its dials, its own
// tolerance and residual, and the leads, which the instrument counts as part of it. Each is
// carried over from ohms to the quantity of the sensor along its curve.

// StandIn describes a sensor that a box takes the place of, and the instrument that reads it. Any
// number of goroutines may read one at once.
type StandIn struct {
	Sensor thermal.Sensor
	Leads  SensorLeads
	// Current through the sensor in amperes, direct or RMS; 0: too small to matter.
	Current float64
	// ThermalResistance in K/W of the sensor, a thermometer, where it is used; 0: not stated.
	ThermalResistance float64
}

// SensorLeads are the wires between the instrument and the posts of the box, or what remains of
// them after the instrument's compensation. The zero value adds nothing: four wires. Any number
// of goroutines may read one at once.
type SensorLeads struct {
	// Wires is 2, 3 or 4; 0 is 4. Two wires are read with the sensor, 2·Each. An instrument
	// for three takes one lead off again, so that only their difference is left. Join the
	// two leads of one side at the post itself, not at the far end of a link.
	Wires int
	Each  float64 // Ω, of one lead; two wires
	// Difference in ohms is what a compensation leaves, as far as it is known: the lead in
	// series with the sensor less the one that is taken off; three wires.
	Difference float64
	Unequal    float64 // Ω, ± limit of what is not known of the difference; three wires
}

// Counted returns what the instrument counts as part of the sensor, in ohms, and the ± limit of
// what is not known of it. It returns an error ([ErrDomain]) where the number of wires is none
// of 2, 3 and 4, a resistance is not finite or negative, or one is stated that wires of that
// number do not have.
func (l SensorLeads) Counted() (ohms, limit float64, err error) {
	const op = "decade.SensorLeads.Counted"
	if l.Wires != 0 && (l.Wires < 2 || l.Wires > 4) {
		return 0, 0, &Error{Op: op, Name: "wires", Value: float64(l.Wires),
			Err: unit.Errorf(ErrDomain, "%d wires; expected 2, 3 or 4", l.Wires)}
	}
	if err := checkAll(op, "", []stated{{"resistance of a lead", " Ω", l.Each},
		{"limit of unequal leads", " Ω", l.Unequal}}); err != nil {
		return 0, 0, err
	}
	if err := numbers.Finite(op, "difference of the leads", l.Difference); err != nil {
		return 0, 0, err
	}
	if l.Wires != 3 && (l.Difference != 0 || l.Unequal != 0) {
		return 0, 0, &Error{Op: op, Name: "difference of the leads",
			Value: max(math.Abs(l.Difference), l.Unequal),
			Err: unit.Errorf(ErrDomain, "%v Ω; expected it with three wires only",
				max(math.Abs(l.Difference), l.Unequal))}
	}
	// Out and back: both leads are in series with the sensor.
	if l.Wires == 2 {
		return 2 * l.Each, 0, nil
	}
	return l.Difference, l.Unequal, nil
}

// SensorPoint is one row of a table of settings. Errors and limits are in the unit of the
// sensor, those of temperatures in K. Any number of goroutines may read one at once.
type SensorPoint struct {
	Value      float64 // wanted, in the unit of the sensor
	Resistance float64 // Ω, of the sensor at that value
	Setting    Setting
	Error      float64 // value that the setting stands for, with the leads, less the wanted one
	// Limit is the largest error, to either side, that the class of the box, the tolerance
	// of its residual and unequal leads allow together: the worst case.
	Limit float64
	// U is half the interval of 95 % coverage, of the box and of unequal leads, by the laws
	// of its inputs ([uncertainty.Budget.BestInterval]); it is not wider than the class.
	U float64
	// SelfHeating in K is how much too warm the current makes the sensor itself, which the
	// box in its place does not show; 0 where current or thermal resistance is not stated.
	SelfHeating float64
	// BoxHeating is what the current makes of the box by warming it, as far as it is known:
	// BoxHeatingKnown is false where the description lacks what [Setting.SelfHeating] needs.
	BoxHeating      float64
	BoxHeatingKnown bool
	// RatingKnown is false where no rating of the box is stated, so that a current was not
	// compared with it.
	RatingKnown bool
}

// mostPoints bounds a table.
const mostPoints = 100_000

// SensorTable returns the settings that come nearest to a sensor from low to high in steps,
// all in its unit, with the error that remains, the limit by the class of the box, and the
// uncertainty:
//
//	Error = x(R of the setting + leads) − x
//
// Beyond the end of the curve, and where it turns, the error is taken along its tangent.
//
// The resistance of a setting is that at the terminals, residual included, unless the search
// says TargetIncrement. Each row is the start of the next, for a preference for few moves. The
// other conditions of the search are those of [Box.NearestN]; its N is not used.
//
// It returns an error where the range is not one, has more than 100 000 points, lies outside the
// curve of the sensor, where the curve is flat at a point, where the box has no setting near it,
// and where the current is above the rating of a setting; the errors of thermal and of
// [Box.NearestN] say so. It ends early with the error of the context.
//
// Caution: disconnect the instrument's input from anything else before the box is put in
// its place; it is for test currents, not for loops that carry power or mains.
func (b *Box) SensorTable(ctx context.Context, x StandIn, low, high, step float64,
	s Search) ([]SensorPoint, error) {
	const op = "decade.Box.SensorTable"
	if b.none() {
		return nil, noBox(op)
	}
	n, err := points(op, low, high, step)
	if err != nil {
		return nil, err
	}
	if err := x.checkStandIn(op); err != nil {
		return nil, err
	}
	// A sensor has two terminals and no zero to subtract: what counts is what the posts show.
	if s.Target == TargetUsual {
		s.Target = TargetTotal
	}
	out := make([]SensorPoint, 0, n)
	for i := range n {
		// A search of one row may be too short to ask; a hundred thousand rows are not.
		if ctx != nil && ctx.Err() != nil {
			return nil, unfinished(ctx, op, b)
		}
		// Steps of 850/51 °C end at 850.0000000000001 °C in float64, beyond the end of a curve.
		p, err := b.sensorPoint(ctx, op, x, min(high, low+float64(step*float64(i))), s)
		if err != nil {
			return nil, err
		}
		s.From = p.Setting
		out = append(out, p)
	}
	return out, nil
}

// checkStandIn refuses a stand-in whose figures make no sense together.
func (x StandIn) checkStandIn(op string) error {
	if err := checkAll(op, "", []stated{{"current", " A", x.Current},
		{"thermal resistance", " K/W", x.ThermalResistance}}); err != nil {
		return err
	}
	if u := x.Sensor.Unit(); x.ThermalResistance != 0 && u != "°C" {
		return &Error{Op: op, Name: "thermal resistance", Value: x.ThermalResistance,
			Err: unit.Errorf(ErrDomain, "%v K/W; expected none for a sensor of %q: only a "+
				"thermometer shows its own temperature", x.ThermalResistance, u)}
	}
	_, _, err := x.Leads.Counted()
	return err
}

// points counts the rows of a table.
func points(op string, low, high, step float64) (int, error) {
	if err := numbers.Finite(op, "low", low); err != nil {
		return 0, err
	}
	if err := numbers.Finite(op, "high", high); err != nil {
		return 0, err
	}
	if err := numbers.Positive(op, "step", "", step); err != nil {
		return 0, err
	}
	if high < low {
		return 0, &Error{Op: op, Name: "high", Value: high,
			Err: unit.Errorf(ErrDomain, "%v; expected not less than low, %v", high, low)}
	}
	// From 0 to 0.3 in steps of 0.1 are four points, though 0.3/0.1 is 2.999… in float64.
	n := math.Floor((high-low)/step+1e-9) + 1
	if n > mostPoints {
		return 0, &Error{Op: op, Name: "step", Value: step,
			Err: unit.Errorf(ErrDomain, "%v makes %.3g points; expected at most %d", step, n,
				mostPoints)}
	}
	return int(n), nil
}

// sensorPoint is one row of the table.
func (b *Box) sensorPoint(ctx context.Context, op string, x StandIn, value float64,
	s Search) (SensorPoint, error) {
	p := SensorPoint{Value: value}
	c, r, err := curveAt(op, x.Sensor, value)
	if err != nil {
		return p, err
	}
	p.Resistance = r
	leads, unequal, err := x.Leads.Counted()
	if err != nil {
		return p, err
	}
	// The leads are in series with the box as with the sensor: the box makes up the rest.
	h := nearestSearch{box: b, ctx: ctx, op: op, ohms: max(0, r-leads), search: s}
	if err := h.prepare(); err != nil {
		return p, err
	}
	h.search.N = 1
	best, err := h.best()
	if err != nil {
		return p, err
	}
	p.Setting = best[0]
	p.Error = c.valueShift(h.value(p.Setting) + leads - r)
	limits := p.Setting.Limits()
	if s.Target == TargetIncrement { // over the zero setting the residual drops out
		n, class := p.Setting.Nominal(), p.Setting.ClassLimit()
		limits = uncertainty.Interval{Lower: n - class, Upper: n + class}
	}
	// Worst cases add with one sign each way; the curve turns them into two different errors.
	p.Limit = max(math.Abs(c.valueShift(limits.Lower+leads-unequal-r)),
		math.Abs(c.valueShift(limits.Upper+leads+unequal-r)))
	q := h.quantity(p.Setting)
	if unequal > 0 {
		q = q.Add(uncertainty.Source{Name: "unequal leads", Unit: "Ω",
			Distribution: uncertainty.Rectangular(0, unequal)}.Input())
	}
	budget, err := uncertainty.Evaluate(q)
	if err != nil {
		return p, &Error{Op: op, Name: "uncertainty", Err: err}
	}
	// Not k·u: with one dial in use that is wider than the worst case.
	interval, err := budget.BestInterval(0.95)
	if err != nil {
		return p, &Error{Op: op, Name: "uncertainty", Err: err}
	}
	// Along the tangent (GUM 5.1.3): within U the curve of a sensor is straight.
	p.U = 0.5 * (interval.Upper - interval.Lower) / math.Abs(c.slope)
	if err := numbers.Finite(op, "error", p.Error); err != nil {
		return p, err
	}
	if err := numbers.Finite(op, "uncertainty", p.U); err != nil {
		return p, err
	}
	return p, p.setHeating(op, x, c)
}

// setHeating fills in what the current does, and refuses one above the rating.
func (p *SensorPoint) setHeating(op string, x StandIn, c curvePoint) error {
	// P = I²·R (Joule's law) times the thermal resistance to the medium (IEC 60751,
	// self-heating).
	p.SelfHeating = x.Current * x.Current * p.Resistance * x.ThermalResistance
	if err := numbers.Finite(op, "self-heating", p.SelfHeating); err != nil {
		return err
	}
	most, limiting, err := p.Setting.MaxCurrent()
	p.RatingKnown = err == nil
	if p.RatingKnown && x.Current > most {
		return &Error{Op: op, Name: "current", Value: x.Current,
			Err: unit.Errorf(ErrDomain, "%v A at %v; expected at most %.3g A, the rating of %s",
				x.Current, p.Setting, most, limiting)}
	}
	// Without a current nothing is warm, and 0 is known.
	if x.Current == 0 {
		p.BoxHeatingKnown = true
		return nil
	}
	ohms, err := p.Setting.SelfHeating(x.Current)
	switch {
	case err == nil:
		p.BoxHeating, p.BoxHeatingKnown = c.valueShift(ohms), true
	case !errors.Is(err, ErrNotStated):
		return &Error{Op: op, Name: "current", Value: x.Current, Err: err}
	}
	return nil
}

// SensorError returns the error that extra ohms in series with a sensor (leads, the residual of a
// box, a contact) cause in its value x, in the unit of the sensor, K for temperatures. It returns
// an error where the curve is flat at x.
func SensorError(s thermal.Sensor, x, extra float64) (float64, error) {
	const op = "decade.SensorError"
	if err := numbers.Finite(op, "extra", extra); err != nil {
		return 0, err
	}
	c, _, err := curveAt(op, s, x)
	if err != nil {
		return 0, err
	}
	e := c.valueShift(extra)
	return e, numbers.Finite(op, "error", e)
}

// curvePoint is a place on the curve of a sensor.
type curvePoint struct {
	sensor      thermal.Sensor
	x, r, slope float64
}

// curveAt is the place on the curve at x, with the resistance there in ohms.
func curveAt(op string, s thermal.Sensor, x float64) (c curvePoint, resistance float64, err error) {
	r, err := s.Resistance(x)
	if err != nil {
		return c, 0, &Error{Op: op, Name: "value", Value: x, Err: err}
	}
	slope, err := s.Slope(x)
	if err != nil {
		return c, 0, &Error{Op: op, Name: "value", Value: x, Err: err}
	}
	if slope == 0 {
		return c, 0, &Error{Op: op, Name: "value", Value: x,
			Err: unit.Errorf(ErrDomain, "%v; expected a value at which the resistance of the "+
				"sensor changes, so that ohms can be turned into %s", x, s.DifferenceUnit())}
	}
	return curvePoint{s, x, r, slope}, r, nil
}

// valueShift is what extra ohms make of the value: along the curve, and along the tangent where
// the curve ends or turns.
func (c curvePoint) valueShift(extra float64) float64 {
	// The curve itself, since extra ohms may be many where leads are long.
	if shown, err := c.sensor.Value(c.r + extra); err == nil {
		return shown - c.x
	}
	return extra / c.slope
}
