// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// Sensor is a resistance that follows one quantity: temperature, strain, position, level.
// It serves both ways, so that a decade box can stand in for it:
//
//	r, err := thermal.Platinum(100).Resistance(37.5) // ohms at 37.5 °C
//	t, err := thermal.Platinum(100).Value(114.575)   // °C at that resistance
//
// Sensors by a standard are made by [Platinum], [Copper], [Nickel] and the functions
// beside them, or by name ([ParseSensor]). Those of the user's own come from coefficients
// ([CallendarVanDusen], [ITS90], [BetaThermistor], [SteinhartHart], [StrainGauge]), from
// points ([Table]) or from any function ([Function]). The zero Sensor answers with
// [ErrUnknown].
//
// The curve is taken as exact. For the tolerance of a platinum sensor add the one of its
// [ToleranceClass]; for a resistance at 0 °C that is itself uncertain, divide:
// s.ValueOf(r.Div(r0).Scale(100)) for a platinum thermometer of 100 Ω.
type Sensor struct{ c *characteristic }

// characteristic is what a Sensor is made of.
type characteristic struct {
	name, unit string
	low, high  float64 // of the quantity
	// at returns resistance and slope from low to high.
	evaluate func(x float64) (resistance, slope float64)
	// solve returns the quantity of a resistance inside the range; nil: by Newton's method on at.
	solve func(resistance float64) float64
	wavy  bool  // neither rising nor falling all the way: no inverse
	bad   error // why the sensor cannot be used
	ends  [2]float64
}

// newSensor completes a characteristic without errors.
func newSensor(c characteristic) Sensor {
	c.ends[0], _ = c.evaluate(c.low)
	c.ends[1], _ = c.evaluate(c.high)
	return Sensor{&c}
}

// badSensor reports err by each use.
func badSensor(name string, err error) Sensor {
	return Sensor{&characteristic{name: name, bad: err}}
}

// curveSensor is R0 times a curve of temperature.
func curveSensor(r0 float64, c *curve) Sensor {
	err := c.bad
	if err == nil {
		err = checkPositive("thermal.Sensor", "resistance at 0 °C", r0, "ohms")
	}
	name := c.name + ", R0 = " + text(r0) + " Ω"
	if err != nil {
		return badSensor(name, err)
	}
	return newSensor(characteristic{
		name: name, unit: "°C", low: c.low, high: c.high,
		evaluate: func(t float64) (float64, float64) {
			w, s := c.evaluate(t)
			return r0 * w, r0 * s
		},
		solve: func(r float64) float64 { return c.inverse(r/r0, inverseTolerance*(c.high-c.low)) },
	})
}

// inverseTolerance of the last step of Newton's method, as a fraction of the range.
const inverseTolerance = 1e-12

// endRounding is the room for the rounding of the resistances at the ends of a curve, as a
// fraction of the larger.
const endRounding = 1e-14

// Resistance returns the resistance in ohms at x, in °C or the unit of the sensor.
func (s Sensor) Resistance(x float64) (float64, error) {
	const op = "thermal.Sensor.Resistance"
	if err := s.checkValue(op, x); err != nil {
		return 0, err
	}
	r, _ := s.c.evaluate(x)
	return finiteResult(op, "resistance", r)
}

// Slope returns dR/dx at x: Ω/K, or Ω by the unit of the sensor. Where two formulas meet,
// or two straight pieces of a table, it is that of the upper one.
func (s Sensor) Slope(x float64) (float64, error) {
	const op = "thermal.Sensor.Slope"
	if err := s.checkValue(op, x); err != nil {
		return 0, err
	}
	_, slope := s.c.evaluate(x)
	return finiteResult(op, "slope", slope)
}

// Value returns what the sensor measures when it has that resistance in ohms: the
// temperature in °C, or the quantity in the unit of the sensor. It is the inverse of
// Resistance, to better than 1e-12 of the range: 1e-9 K for a platinum thermometer.
//
// It returns an error for a resistance outside the curve, and where the curve neither rises nor
// falls all the way ([ErrNotMonotone]).
func (s Sensor) Value(resistance float64) (float64, error) {
	const op = "thermal.Sensor.Value"
	if err := s.checkResistance(op, resistance); err != nil {
		return 0, err
	}
	x, err := finiteResult(op, "value", s.c.inverse(resistance))
	if err != nil {
		return 0, err
	}
	// Resistances within the rounding of the ends are answered with the ends.
	return min(max(x, s.c.low), s.c.high), nil
}

// Range returns the values between which the curve is defined, in the unit of the sensor.
func (s Sensor) Range() (low, high float64) {
	if s.c == nil {
		return 0, 0
	}
	return s.c.low, s.c.high
}

// Monotone reports whether the resistance rises or falls all the way, so that
// [Sensor.Value] has an answer.
func (s Sensor) Monotone() bool { return s.c != nil && s.c.bad == nil && !s.c.wavy }

// Unit returns the unit of the quantity, "°C" for a thermometer. It is empty for a number
// without unit.
func (s Sensor) Unit() string {
	if s.c == nil {
		return ""
	}
	return s.c.unit
}

// DifferenceUnit returns the unit of a difference of two values: "K" for °C, else that of
// Unit.
func (s Sensor) DifferenceUnit() string {
	if u := s.Unit(); u != "°C" {
		return u
	}
	return "K"
}

// String names the curve and its main figure, for example "platinum IEC 60751, R0 = 100 Ω".
func (s Sensor) String() string {
	if s.c == nil {
		return "no sensor"
	}
	return s.c.name
}

// ResistanceOf is [Sensor.Resistance] of a quantity. Trials of a Monte Carlo run beyond
// the range follow the tangent at its end.
func (s Sensor) ResistanceOf(x uncertainty.Quantity) uncertainty.Quantity {
	if err := firstError(s.checkValue("thermal.Sensor.ResistanceOf", x.Estimate()),
		[]uncertainty.Quantity{x}); err != nil {
		return uncertainty.Fail(err)
	}
	return uncertainty.CallWithGradient("R(x)",
		func(x []float64) float64 {
			r, _ := s.c.evaluateBeyond(x[0])
			return r
		},
		func(dst, x []float64) { _, dst[0] = s.c.evaluateBeyond(x[0]) },
		s.inUnit(x)).DefaultUnit("Ω")
}

// ValueOf is [Sensor.Value] of a quantity in ohms.
func (s Sensor) ValueOf(resistance uncertainty.Quantity) uncertainty.Quantity {
	if err := firstError(s.checkResistance("thermal.Sensor.ValueOf", resistance.Estimate()),
		[]uncertainty.Quantity{resistance}); err != nil {
		return uncertainty.Fail(err)
	}
	return uncertainty.CallWithGradient("x(R)",
		func(x []float64) float64 { return s.c.inverse(x[0]) },
		func(dst, x []float64) {
			_, slope := s.c.evaluateBeyond(s.c.inverse(x[0]))
			dst[0] = 1 / slope
		}, resistance.InUnit("Ω")).DefaultUnit(s.c.unit)
}

// inUnit refuses a quantity that states another unit than that of the sensor, 296 K for °C.
func (s Sensor) inUnit(x uncertainty.Quantity) uncertainty.Quantity {
	if s.c.unit == "" {
		return x
	}
	return x.InUnit(s.c.unit)
}

// evaluateBeyond is at, with the tangents at the ends outside the range.
func (c *characteristic) evaluateBeyond(x float64) (resistance, slope float64) {
	end := min(max(x, c.low), c.high)
	r, slope := c.evaluate(end)
	return r + float64(slope*(x-end)), slope
}

// inverse keeps to the range, whose ends are exact, and follows the tangents outside it.
func (c *characteristic) inverse(resistance float64) float64 {
	sign := 1.0
	low, high := c.low, c.high
	// A thermistor falls: with the sign turned, one search serves both.
	if c.ends[1] < c.ends[0] {
		sign = -1
	}
	if (resistance-c.ends[0])*sign <= 0 {
		return tangent(c.evaluate, low, resistance)
	}
	if (resistance-c.ends[1])*sign >= 0 {
		return tangent(c.evaluate, high, resistance)
	}
	if c.solve != nil {
		return c.solve(resistance)
	}
	return risingZero(func(x float64) (float64, float64) {
		r, slope := c.evaluate(x)
		return sign * (r - resistance), sign * slope
	}, low, high, inverseTolerance*(high-low))
}

// tangent continues a curve beyond an end in a straight line.
func tangent(at func(float64) (float64, float64), end, resistance float64) float64 {
	r, slope := at(end)
	if r == resistance {
		return end
	}
	return end + (resistance-r)/slope
}

// checkSensor refuses what is no sensor.
func (s Sensor) checkSensor(op string) error {
	if s.c == nil {
		return refuse(op, "sensor", nil, ErrUnknown,
			"expected one made by Platinum, Copper, Table …")
	}
	return s.c.bad
}

// checkValue refuses values outside the curve.
func (s Sensor) checkValue(op string, x float64) error {
	if err := s.checkSensor(op); err != nil {
		return err
	}
	name := "value"
	if s.c.unit == "°C" {
		name = "temperature"
	}
	if err := checkNumber(op, name, x); err != nil {
		return err
	}
	if c := s.c; x < c.low || x > c.high {
		return domainError(op, name, x,
			"expected "+text(c.low)+" to "+c.quantity(c.high)+", the range of the curve "+c.name)
	}
	return nil
}

// quantity is a value with its unit.
func (c *characteristic) quantity(x float64) string {
	if c.unit == "" {
		return text(x)
	}
	return text(x) + " " + c.unit
}

// checkResistance refuses resistances outside the curve, with room for the rounding of
// those at its ends.
func (s Sensor) checkResistance(op string, r float64) error {
	if err := s.checkSensor(op); err != nil {
		return err
	}
	if err := checkNumber(op, "resistance", r); err != nil {
		return err
	}
	if s.c.wavy {
		return refuse(op, "resistance", r, ErrNotMonotone,
			"expected a sensor whose resistance rises or falls all the way; "+s.c.name+
				" has several values for some resistances")
	}
	low, high := min(s.c.ends[0], s.c.ends[1]), max(s.c.ends[0], s.c.ends[1])
	if r < low-float64(endRounding*high) || r > high+float64(endRounding*high) {
		return domainError(op, "resistance", r,
			"expected "+shortText(low)+" to "+shortText(high)+" Ω, the range of the curve "+
				s.c.name)
	}
	return nil
}

// Function is a sensor by any function of the user's own.
type Function struct {
	Name      string // for example "level sender, tank 3"
	Unit      string // of the quantity: "°C", "mm", "%"; empty for a number
	Low, High float64
	// Resistance in ohms at x from Low to High, finite and not negative.
	Resistance func(x float64) float64
	// Slope in ohms by the unit; nil for differences of Resistance, which are good to some
	// eight digits on a smooth function.
	Slope func(x float64) float64
}

// samples are how often a function is looked at before it is trusted.
const samples = 1000

// Sensor returns the sensor. The function is called at 1001 places of the range first: it
// is an error where Resistance is missing or not finite or negative there, where the range is
// empty, and where the unit is unknown. A function that does not rise or fall all the way
// between those places makes a sensor that is not monotone.
func (f Function) Sensor() (Sensor, error) {
	const op = "thermal.Function.Sensor"
	if err := checkSpan(op, f.Unit, f.Low, f.High); err != nil {
		return Sensor{}, err
	}
	if f.Resistance == nil {
		return Sensor{}, refuse(op, "Resistance", nil, ErrUnknown, "expected a function")
	}
	at := func(x float64) (float64, float64) {
		if f.Slope != nil {
			return f.Resistance(x), f.Slope(x)
		}
		return f.Resistance(x), differences(f.Resistance, x, f.Low, f.High)
	}
	c := characteristic{name: nameOr(f.Name, "sensor by a function"), unit: f.Unit, low: f.Low,
		high: f.High, evaluate: at}
	var signs [2]bool
	before := 0.0
	for i := range samples + 1 {
		x := f.Low + float64((f.High-f.Low)*(float64(i)/samples))
		r, slope := at(min(x, f.High))
		if err := checkOhms(op, "resistance at "+c.quantity(x), r); err != nil {
			return Sensor{}, err
		}
		if err := checkNumber(op, "slope at "+c.quantity(x), slope); err != nil {
			return Sensor{}, err
		}
		// A step that does not rise and one that does not fall: neither way all through.
		if i > 0 {
			signs[0], signs[1] = signs[0] || r <= before, signs[1] || r >= before
		}
		before = r
	}
	c.wavy = signs[0] && signs[1]
	return newSensor(c), nil
}

// differences is the slope of f at x from two values inside the range; the step balances
// rounding against curvature.
func differences(f func(float64) float64, x, low, high float64) float64 {
	const step = 1e-5 // of the range, near the cube root of the rounding of float64
	h := float64(step * (high - low))
	a, b := max(x-h, low), min(x+h, high)
	return (f(b) - f(a)) / (b - a)
}

// checkSpan refuses what is no range of a sensor, and units that nobody knows.
func checkSpan(op, symbol string, low, high float64) error {
	if _, err := unit.ParseUnit(symbol); symbol != "" && err != nil {
		return refuse(op, "unit", symbol, ErrUnknown, "expected a unit such as °C, mm, %, µm/m")
	}
	check := checkNumber
	if symbol == "°C" {
		check = checkTemperature
	}
	if err := check(op, "low", low); err != nil {
		return err
	}
	if err := check(op, "high", high); err != nil {
		return err
	}
	if low >= high || math.IsInf(high-low, 0) {
		return domainError(op, "low", low, "expected less than high, "+text(high))
	}
	return nil
}

// checkOhms refuses what is no resistance of a sensor: 0 is the end of a potentiometer.
func checkOhms(op, name string, r float64) error {
	if err := checkNumber(op, name, r); err != nil {
		return err
	}
	if r < 0 {
		return domainError(op, name, r, "expected ohms from 0 up")
	}
	return nil
}

// nameOr is a name, or what stands for one that is left out.
func nameOr(name, otherwise string) string {
	if name == "" {
		return otherwise
	}
	return name
}
