// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"

	"example.com/ohmwright/uncertainty"
)

// Thermometer is a resistance thermometer: a standard curve W(t) = R(t)/R(0 °C)
// and the resistance at 0 °C. It serves both ways, so that a decade box can
// stand in for a sensor:
//
//	r, err := thermal.Platinum(100).Resistance(37.5)
//
// Thermometers are made by [Platinum], [Copper], [Nickel] and the functions
// beside them. The zero Thermometer answers with [ErrUnknown].
//
// The resistance at 0 °C is taken as exact. For one that is itself uncertain,
// divide: th.TemperatureOf(r.Div(r0).Scale(100)) for a thermometer of 100 Ω.
type Thermometer struct {
	r0    float64
	curve *curve
}

// temperatureTolerance in K: the last step of Newton's method.
const temperatureTolerance = 1e-9

// Resistance returns the resistance in ohms at t in °C.
func (th Thermometer) Resistance(t float64) (float64, error) {
	if err := th.admits("thermal.Thermometer.Resistance", t); err != nil {
		return 0, err
	}
	w, _ := th.curve.at(t)
	return result("thermal.Thermometer.Resistance", "resistance", th.r0*w)
}

// Slope returns dR/dt in Ω/K at t in °C. At a temperature where two formulas
// meet it is that of the upper one.
func (th Thermometer) Slope(t float64) (float64, error) {
	if err := th.admits("thermal.Thermometer.Slope", t); err != nil {
		return 0, err
	}
	_, s := th.curve.at(t)
	return result("thermal.Thermometer.Slope", "slope", th.r0*s)
}

// Temperature returns the temperature in °C at which the thermometer has that
// resistance in ohms: the inverse of Resistance, to better than 1e-9 K over the
// whole range.
func (th Thermometer) Temperature(resistance float64) (float64, error) {
	const op = "thermal.Thermometer.Temperature"
	if err := th.spans(op, resistance); err != nil {
		return 0, err
	}
	return th.inverse(resistance), nil
}

// inverse keeps to the range; its ends are exact.
func (th Thermometer) inverse(resistance float64) float64 {
	return th.curve.inverse(resistance/th.r0, temperatureTolerance)
}

// Range returns the temperatures in °C between which the curve is defined.
func (th Thermometer) Range() (low, high float64) {
	if th.curve == nil {
		return 0, 0
	}
	return th.curve.low, th.curve.high
}

// R0 returns the resistance in ohms at 0 °C.
func (th Thermometer) R0() float64 { return th.r0 }

// String names curve and resistance at 0 °C, for example "platinum IEC 60751, R0 = 100 Ω".
func (th Thermometer) String() string {
	if th.curve == nil {
		return "no thermometer"
	}
	return th.curve.name + ", R0 = " + text(th.r0) + " Ω"
}

// ResistanceOf is [Thermometer.Resistance] of a quantity in °C.
func (th Thermometer) ResistanceOf(t uncertainty.Quantity) uncertainty.Quantity {
	if err := firstError(th.admits("thermal.Thermometer.ResistanceOf", t.Estimate()), []uncertainty.Quantity{t}); err != nil {
		return uncertainty.Fail(err)
	}
	return uncertainty.CallWithGradient("R(t)",
		func(x []float64) float64 {
			w, _ := th.curve.at(x[0])
			return th.r0 * w
		},
		func(dst, x []float64) {
			_, s := th.curve.at(x[0])
			dst[0] = th.r0 * s
		}, t).DefaultUnit("Ω")
}

// TemperatureOf is [Thermometer.Temperature] of a quantity in ohms. The curve
// itself is taken as exact; for the tolerance of a sensor add the one of its
// [ToleranceClass].
func (th Thermometer) TemperatureOf(resistance uncertainty.Quantity) uncertainty.Quantity {
	if err := firstError(th.spans("thermal.Thermometer.TemperatureOf", resistance.Estimate()), []uncertainty.Quantity{resistance}); err != nil {
		return uncertainty.Fail(err)
	}
	return uncertainty.CallWithGradient("t(R)",
		func(x []float64) float64 { return th.inverse(x[0]) },
		func(dst, x []float64) {
			_, s := th.curve.at(th.inverse(x[0]))
			dst[0] = 1 / (th.r0 * s)
		}, resistance).DefaultUnit("°C")
}

// check refuses what is no thermometer.
func (th Thermometer) check(op string) error {
	if th.curve == nil {
		return refuse(op, "thermometer", nil, ErrUnknown, "expected one made by Platinum, Copper, Nickel …")
	}
	if th.curve.bad != nil {
		return th.curve.bad
	}
	return positive(op, "resistance at 0 °C", th.r0, "ohms")
}

// admits refuses temperatures outside the curve.
func (th Thermometer) admits(op string, t float64) error {
	if err := th.check(op); err != nil {
		return err
	}
	if err := number(op, "temperature", t); err != nil {
		return err
	}
	if c := th.curve; t < c.low || t > c.high {
		return domain(op, "temperature", t, "expected "+text(c.low)+" to "+text(c.high)+" °C, the range of the curve "+c.name)
	}
	return nil
}

// spans refuses resistances outside the curve, with room for the rounding of
// those at its ends.
func (th Thermometer) spans(op string, r float64) error {
	if err := th.check(op); err != nil {
		return err
	}
	if err := number(op, "resistance", r); err != nil {
		return err
	}
	low, _ := th.curve.at(th.curve.low)
	high, _ := th.curve.at(th.curve.high)
	low, high = low*th.r0, high*th.r0
	if r < math.Nextafter(low, 0) || r > math.Nextafter(high, math.Inf(1)) {
		return domain(op, "resistance", r, "expected "+text(low)+" to "+text(high)+" Ω, the range of the curve "+th.String())
	}
	return nil
}
