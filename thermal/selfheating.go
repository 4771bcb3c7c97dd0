// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/elementary"
)

// Drive is what feeds a resistor: [Current], [Voltage] or [Power]. The zero
// Drive is no power.
type Drive struct {
	kind  driveKind
	value float64
}

type driveKind uint8

const (
	noDrive driveKind = iota
	currentDrive
	voltageDrive
	powerDrive
)

// Current is a constant current in amperes, direct or RMS.
func Current(amperes float64) Drive { return Drive{currentDrive, amperes} }

// Voltage is a constant voltage in volts across the resistor, direct or
// RMS.
func Voltage(volts float64) Drive { return Drive{voltageDrive, volts} }

// Power is a constant power in watts in the resistor.
func Power(watts float64) Drive { return Drive{powerDrive, watts} }

// exponent is that of the resistance in the power: P = strength × R^exponent.
func (d Drive) exponent() float64 {
	switch d.kind {
	case currentDrive:
		return 1
	case voltageDrive:
		return -1
	}
	return 0
}

// strength is I², V² or P.
func (d Drive) strength() float64 {
	if d.kind == powerDrive {
		return d.value
	}
	return d.value * d.value
}

// checkDrive refuses a drive that is not finite and a negative power.
func (d Drive) checkDrive(op string) error {
	name := [...]string{"drive", "current", "voltage", "power"}[d.kind]
	if err := checkNumber(op, name, d.value); err != nil {
		return err
	}
	if d.kind == powerDrive && d.value < 0 {
		return domainError(op, name, d.value, "expected a power of 0 or more")
	}
	return nil
}

// Element is a resistor that its own power warms:
//
//	P → T = ambient + P Rth → R(T) → P
//
// Caution: the model is one temperature for the whole resistor and one thermal resistance to
// surroundings that do not warm. A hot spot, a closed case, a neighbour under load or air at
// rest make the real thing hotter. It estimates the error of a reading and is no safe working
// current; keep inside the rating that the maker states, and treat anything above about 60 °C as
// able to burn skin, insulation and the calibration.
type Element struct {
	Resistance        float64 // Ω at the reference of Law, without power
	Law               Law
	ThermalResistance float64 // K/W to the surroundings: kelvins of rise per watt
}

// OperatingPoint is the steady state of an element under load.
type OperatingPoint struct {
	Power       float64 // W
	Rise        float64 // K above ambient
	Temperature float64 // °C
	Resistance  float64 // Ω
}

// Steady returns the state in which power, temperature and resistance agree at
// the ambient temperature in °C. With a law straight about ambient,
// coefficient a and power P0 at ambient resistance,
//
//	constant current:  rise = P0 Rth/(1 − a P0 Rth)
//	constant voltage:  rise (1 + a·rise) = P0 Rth
//	constant power:    rise = P Rth
//
// and with a parabola the same with 1 + a·rise + b·rise². The solution is in closed form for a
// current and a power and is enclosed for a voltage, so the search always ends. It is the first
// state that is reached when the drive is switched on cold. Where there is no such state the
// error is [ErrRunaway]: the power grows faster with the temperature than the heat is carried
// away, and the resistor would heat up to its destruction. A state beyond the law's limits is
// [ErrDomain].
func (e Element) Steady(ambient float64, d Drive) (OperatingPoint, error) {
	const op = "thermal.Element.Steady"
	s, err := e.thermalFeedback(op, ambient, d)
	if err != nil {
		return OperatingPoint{}, err
	}
	rise := s.rise()
	// No point at which the heat carried away balances the power.
	if math.IsNaN(rise) {
		return OperatingPoint{}, refuse(op, "drive", d.value, ErrRunaway,
			"expected a drive at which the heat that is carried away can balance the power")
	}
	// The steady state may lie outside what the law was fitted to.
	q, err := e.Law.ratio(op, "temperature under load", ambient+rise)
	if err != nil {
		return OperatingPoint{}, err
	}
	p := OperatingPoint{Rise: rise, Temperature: ambient + rise, Resistance: e.Resistance * q}
	p.Power = d.strength() * elementary.Pow(p.Resistance, d.exponent())
	if err := checkNumber(op, "resistance under load", p.Resistance); err != nil {
		return OperatingPoint{}, err
	}
	if err := checkNumber(op, "power", p.Power); err != nil {
		return OperatingPoint{}, err
	}
	return p, nil
}

// thermalFeedback checks the element and reduces it to its thermal feedback.
func (e Element) thermalFeedback(op string, ambient float64, d Drive) (feedback, error) {
	if err := checkPositive(op, "resistance", e.Resistance, "ohms"); err != nil {
		return feedback{}, err
	}
	if err := checkNumber(op, "thermal resistance", e.ThermalResistance); err != nil {
		return feedback{}, err
	}
	if e.ThermalResistance < 0 {
		return feedback{}, domainError(op, "thermal resistance", e.ThermalResistance,
			"expected kelvins per watt from 0 up")
	}
	if err := d.checkDrive(op); err != nil {
		return feedback{}, err
	}
	if _, err := e.Law.ratio(op, "ambient", ambient); err != nil {
		return feedback{}, err
	}
	s := newFeedback(e.Resistance, e.ThermalResistance, e.Law, ambient, d)
	if err := checkNumber(op, "rise at ambient resistance", s.k); err != nil {
		return feedback{}, err
	}
	return s, nil
}

// LoadCoefficient returns the relative change of the resistance per watt, in
// 1/W, at the ambient temperature in °C and small power: the local temperature
// coefficient times the thermal resistance. 0.1 ppm/W is 0.1e-6.
func (e Element) LoadCoefficient(ambient float64) (float64, error) {
	const op = "thermal.Element.LoadCoefficient"
	s, err := e.thermalFeedback(op, ambient, Drive{})
	if err != nil {
		return 0, err
	}
	return finiteResult(op, "coefficient", s.a*e.ThermalResistance)
}

// CurrentForRise returns the current in amperes that warms the element by rise
// kelvins above the ambient temperature in °C,
//
//	I = √(rise/(Rth R(ambient + rise)))
//
// under the assumptions of [Element], so no statement of what is safe. A rise that the
// element would run away from is refused.
func (e Element) CurrentForRise(ambient, rise float64) (float64, error) {
	const op = "thermal.Element.CurrentForRise"
	if _, err := e.thermalFeedback(op, ambient, Drive{}); err != nil {
		return 0, err
	}
	if err := checkPositive(op, "thermal resistance", e.ThermalResistance,
		"kelvins per watt"); err != nil {
		return 0, err
	}
	if err := checkNumber(op, "rise", rise); err != nil {
		return 0, err
	}
	if rise < 0 {
		return 0, domainError(op, "rise", rise, "expected kelvins from 0 up")
	}
	q, err := e.Law.ratio(op, "temperature under load", ambient+rise)
	if err != nil {
		return 0, err
	}
	// Stable where the power grows with the rise by less than in proportion.
	if e.Law.slope(ambient+rise)*rise >= q {
		return 0, refuse(op, "rise", rise, ErrRunaway, "expected a smaller rise")
	}
	return finiteResult(op, "current", math.Sqrt(rise/(e.ThermalResistance*e.Resistance*q)))
}

// UncertainElement is an [Element] of quantities.
type UncertainElement struct {
	Resistance        uncertainty.Quantity // Ω at the reference of Law, without power
	Law               UncertainLaw
	ThermalResistance uncertainty.Quantity // K/W
}

// RiseOf returns the rise in K at the ambient temperature in °C under a
// constant current in amperes, as [Element.Steady] does. The resistance under
// load is
//
//	e.Resistance.Mul(e.Law.RatioOf(ambient.Add(rise)))
func (e UncertainElement) RiseOf(ambient, current uncertainty.Quantity) uncertainty.Quantity {
	alpha, beta := e.Law.coefficients()
	args := []uncertainty.Quantity{
		e.Resistance.InUnit("Ω"), e.ThermalResistance.InUnit("K/W"), alpha, beta,
		ambient.InUnit("°C"), current.InUnit("A"),
	}
	// Only at the estimates can an error say what is wrong: a trial that runs away gives NaN.
	plain, err := e.ofEstimates()
	if err == nil {
		_, err = plain.Steady(ambient.Estimate(), Current(current.Estimate()))
	}
	if err != nil {
		return uncertainty.Fail(firstError(err, args))
	}
	rise := uncertainty.CallWithGradient("self-heating", e.Law.rise, e.Law.riseGradient, args...)
	return rise.DefaultUnit("K")
}

// ofEstimates is the element of the estimates.
func (e UncertainElement) ofEstimates() (Element, error) {
	law, err := e.Law.Law()
	return Element{e.Resistance.Estimate(), law, e.ThermalResistance.Estimate()}, err
}

// rise is the rise in K of the arguments R, Rth, α, β, ambient, I; NaN where the
// trial runs away.
func (u UncertainLaw) rise(x []float64) float64 {
	return newFeedback(x[0], x[1], NewLaw(u.Reference, x[2], x[3]), x[4], Current(x[5])).rise()
}

// riseGradient differentiates the balance x = G(x) with G = Rth I² R q(ambient + x):
// dx = dG/(1 − ∂G/∂x).
func (u UncertainLaw) riseGradient(dst, x []float64) {
	r, rth, i := x[0], x[1], x[5]
	law := NewLaw(u.Reference, x[2], x[3])
	t := x[4] + u.rise(x)
	d, q, slope := t-u.Reference, law.ratioAt(t), law.slope(t)
	k := rth * i * i * r
	// One less the gain of the loop; it is above 0 in a stable state.
	open := 1 - float64(k*slope)
	dst[0] = rth * i * i * q / open
	dst[1] = i * i * r * q / open
	dst[2] = k * d / open
	dst[3] = k * d * d / open
	dst[4] = k * slope / open
	dst[5] = 2 * rth * i * r * q / open
}
