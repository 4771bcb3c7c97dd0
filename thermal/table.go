// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"
	"slices"
	"strconv"
)

// Table is a sensor by points: a calibration, a maker's table, the two ends of a
// potentiometer.
type Table struct {
	Name   string // for example "level sender, tank 3"
	Unit   string // of the quantity: "°C", "mm", "%"; empty for a number
	Points []TablePoint
	// Interpolation between the points; linear unless said otherwise.
	Interpolation Interpolation
}

// TablePoint is one point of a [Table].
type TablePoint struct {
	Value      float64 // of the quantity, in its unit
	Resistance float64 // Ω, 0 or more
}

// Sensor returns the sensor, whose range is that of the points; their order does not matter. It
// returns an error with fewer than two points or more than 100 000, for two resistances at one
// value, for a value that is not a resistance, and for a thermistor table that is not of
// temperatures or has a resistance of 0.
//
// A table that neither rises nor falls all the way makes a sensor that gives resistances
// and no values ([Sensor.Monotone]).
func (t Table) Sensor() (Sensor, error) {
	const op = "thermal.Table.Sensor"
	if !interpolations.Has(t.Interpolation) {
		return Sensor{}, refuse(op, "interpolation", float64(t.Interpolation), ErrUnknown,
			"expected linear, smooth or thermistor")
	}
	thermistor := t.Interpolation == InterpolationThermistor
	if thermistor && t.Unit != "°C" {
		return Sensor{}, refuse(op, "unit", t.Unit, ErrDomain, "expected °C for a thermistor table")
	}
	// The caller's points may change; those of a sensor may not.
	points := slices.Clone(t.Points)
	xs, ys, err := sortedPoints(op, "value", len(points),
		func(i int) (float64, float64) { return points[i].Value, points[i].Resistance })
	if err != nil {
		return Sensor{}, err
	}
	for i, r := range ys {
		if err := checkOhms(op, "resistance", r); err != nil {
			return Sensor{}, err
		}
		if thermistor && (r == 0 || xs[i] <= absoluteZero) {
			return Sensor{},
				domainError(op, "resistance", r,
					"expected more than 0 Ω above absolute zero in a thermistor table")
		}
	}
	for i := range xs {
		// What is equal after the division would be two resistances at one place.
		if thermistor && i > 0 && overKelvins(xs[i]) <= overKelvins(xs[i-1]) {
			return Sensor{}, domainError(op, "value", xs[i],
				"expected temperatures that differ in 1/T, from the other at "+text(xs[i-1])+" °C")
		}
	}
	low, high := xs[0], xs[len(xs)-1]
	if err := checkSpan(op, t.Unit, low, high); err != nil {
		return Sensor{}, err
	}
	c := characteristic{
		name: nameOr(t.Name, "table of "+strconv.Itoa(len(xs))+" points"), unit: t.Unit,
		low: low, high: high, wavy: !monotone(ys),
	}
	c.evaluate = newInterpolant(t.Interpolation, xs, ys).evaluate
	return newSensor(c), nil
}

// sortedPoints returns points in ascending order, finite and at different places.
func sortedPoints(op, name string, n int,
	point func(i int) (x, y float64)) (xs, ys []float64, err error) {
	if n < 2 || n > mostPoints {
		return nil, nil, refuse(op, "points", float64(n), ErrObservations,
			"expected 2 to "+strconv.Itoa(mostPoints))
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
		x, y := point(i)
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return nil, nil, checkNumber(op, name, x)
		}
		if math.IsNaN(y) || math.IsInf(y, 0) {
			return nil, nil, checkNumber(op, "resistance", y)
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		x, _ := point(a)
		y, _ := point(b)
		if x < y {
			return -1
		}
		if x > y {
			return 1
		}
		return 0
	})
	xs, ys = make([]float64, n), make([]float64, n)
	for i, k := range order {
		xs[i], ys[i] = point(k)
		// A jump has no slope, and its value would depend on the order of the points.
		if i > 0 && xs[i] == xs[i-1] {
			return nil, nil,
				domainError(op, name, xs[i],
					"expected one resistance for each; this one is given twice")
		}
	}
	return xs, ys, nil
}
