// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package decade

import (
	"context"
	"math"

	"example.com/ohmwright/decade/internal/numbers"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Sensor is a resistance thermometer for which a box stands in.
type Sensor struct {
	Thermometer thermal.Thermometer
	// Leads is the resistance in ohms between the posts of the box and the instrument that
	// the instrument counts as part of the thermometer: of both leads in two-wire
	// connection, none where three or four wires go up to the posts.
	Leads float64
}

// SensorPoint is one row of a table of settings.
type SensorPoint struct {
	Temperature float64 // °C, wanted
	Resistance  float64 // Ω, of the thermometer at that temperature
	Setting     Setting
	Error       float64 // K, temperature that the setting stands for less the wanted one
	U           float64 // K, expanded uncertainty of the box at a coverage probability of 95 %
}

// mostPoints bounds a table.
const mostPoints = 100_000

// SensorTable returns the settings that come nearest to a thermometer from low to high in
// steps, all in °C and K, with the error in kelvins that remains and the uncertainty of the
// box:
//
//	Error = t(R of the setting + Leads) − t
//
// The resistance of a setting is that at the terminals, residual included, unless the search
// says TargetIncrement. Each row is the start of the next, for a preference for few moves. The
// other conditions of the search are those of [Box.NearestN]; its N is not used.
//
// It is an error where the range is not one, has more than 100 000 points, lies outside the
// curve of the thermometer, or where the box has no setting near it; the errors of thermal
// and of [Box.NearestN] say so.
func (b *Box) SensorTable(ctx context.Context, x Sensor, low, high, step float64, s Search) ([]SensorPoint, error) {
	const op = "decade.Box.SensorTable"
	if b == nil {
		return nil, noBox(op)
	}
	n, err := points(op, low, high, step)
	if err != nil {
		return nil, err
	}
	if err := numbers.NotNegative(op, "leads", " Ω", x.Leads); err != nil {
		return nil, err
	}
	if s.Target == TargetUsual {
		s.Target = TargetTotal
	}
	out := make([]SensorPoint, 0, n)
	for i := range n {
		p, err := b.sensorPoint(ctx, op, x, low+float64(step*float64(i)), s)
		if err != nil {
			return nil, err
		}
		s.From = p.Setting
		out = append(out, p)
	}
	return out, nil
}

// points counts the rows of a table.
func points(op string, low, high, step float64) (int, error) {
	if err := numbers.Finite(op, "low", low); err != nil {
		return 0, err
	}
	if err := numbers.Finite(op, "high", high); err != nil {
		return 0, err
	}
	if err := numbers.Positive(op, "step", " K", step); err != nil {
		return 0, err
	}
	if high < low {
		return 0, &Error{Op: op, Name: "high", Value: high,
			Err: unit.Errorf(ErrDomain, "%v °C; expected not less than low, %v °C", high, low)}
	}
	n := math.Floor((high-low)/step+1e-9) + 1
	if n > mostPoints {
		return 0, &Error{Op: op, Name: "step", Value: step,
			Err: unit.Errorf(ErrDomain, "%v K makes %.3g points; expected at most %d", step, n, mostPoints)}
	}
	return int(n), nil
}

func (b *Box) sensorPoint(ctx context.Context, op string, x Sensor, t float64, s Search) (SensorPoint, error) {
	p := SensorPoint{Temperature: t}
	var err error
	if p.Resistance, err = x.Thermometer.Resistance(t); err != nil {
		return p, &Error{Op: op, Name: "temperature", Value: t, Err: err}
	}
	slope, err := x.Thermometer.Slope(t)
	if err != nil {
		return p, &Error{Op: op, Name: "temperature", Value: t, Err: err}
	}
	h, err := b.newFind(ctx, op, max(0, p.Resistance-x.Leads), s)
	if err != nil {
		return p, err
	}
	h.search.N = 1
	best, err := h.best()
	if err != nil {
		return p, err
	}
	p.Setting = best[0]
	p.Error = temperatureError(x.Thermometer, t, slope, h.value(p.Setting)+x.Leads-p.Resistance)
	budget, err := uncertainty.Evaluate(h.quantity(p.Setting))
	if err != nil {
		return p, &Error{Op: op, Name: "uncertainty", Err: err}
	}
	p.U = budget.Expanded.U / math.Abs(slope)
	return p, nil
}

// TemperatureError returns in kelvins what extra ohms in series with a thermometer at t in
// °C make of the temperature: leads, the residual of a box, a contact.
func TemperatureError(th thermal.Thermometer, t, extra float64) (kelvins float64, err error) {
	const op = "decade.TemperatureError"
	if err := numbers.Finite(op, "extra", extra); err != nil {
		return 0, err
	}
	slope, err := th.Slope(t)
	if err != nil {
		return 0, &Error{Op: op, Name: "temperature", Value: t, Err: err}
	}
	e := temperatureError(th, t, slope, extra)
	return e, numbers.Finite(op, "error", e)
}

// temperatureError is along the curve, beyond its ends along the tangent at t.
func temperatureError(th thermal.Thermometer, t, slope, extra float64) float64 {
	r, err := th.Resistance(t)
	if err == nil {
		if shown, err := th.Temperature(r + extra); err == nil {
			return shown - t
		}
	}
	return extra / slope
}
