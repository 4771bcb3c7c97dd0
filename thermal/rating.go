// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import "math"

// RatedCurrent returns in amperes the current at which a resistor of r ohms
// takes the power of p watts, √(p/r).
//
// Caution: it is the arithmetic of a rating and no more. Whether the power is
// allowed depends on the ambient temperature ([Derating]), on neighbours under
// load, on the case and on what the maker states; contacts, switches and leads
// have limits of their own. Local codes and licensed practice come first
// wherever mains or dangerous voltages are near.
func RatedCurrent(p, r float64) (float64, error) {
	if err := checkPowerAndResistance("thermal.RatedCurrent", p, r); err != nil {
		return 0, err
	}
	return finiteResult("thermal.RatedCurrent", "current", math.Sqrt(p/r))
}

// RatedVoltage returns in volts the voltage at which a resistor of r ohms takes
// the power of p watts, √(p r): the rated voltage of MIL-PRF-39005G and
// MIL-R-93F. High resistances reach the limit of their insulation before. The
// caution of [RatedCurrent] holds; voltages beyond what the local code counts as
// safe to touch, some tens of volts, are a danger to life.
func RatedVoltage(p, r float64) (float64, error) {
	if err := checkPowerAndResistance("thermal.RatedVoltage", p, r); err != nil {
		return 0, err
	}
	// Two roots, since the product of a large power and resistance could overflow.
	return finiteResult("thermal.RatedVoltage", "voltage", math.Sqrt(p)*math.Sqrt(r))
}

// checkPowerAndResistance refuses a negative power and a resistance that is not positive.
func checkPowerAndResistance(op string, p, r float64) error {
	if err := checkNumber(op, "power", p); err != nil {
		return err
	}
	if p < 0 {
		return domainError(op, "power", p, "expected watts from 0 up")
	}
	return checkPositive(op, "resistance", r, "ohms")
}

// Derating is a power rating that falls with the ambient temperature: the whole
// Rated power up to Full, then in a straight line to nothing at Zero.
type Derating struct {
	Rated      float64 // W
	Full, Zero float64 // °C
}

// Power returns the allowed power in W at the ambient temperature in °C, which
// must not be below absolute zero. The caution of [RatedCurrent] holds: the
// figures of the rating are the maker's, for the mounting that the maker states.
func (d Derating) Power(ambient float64) (float64, error) {
	const op = "thermal.Derating.Power"
	if err := checkNumber(op, "rated power", d.Rated); err != nil {
		return 0, err
	}
	if d.Rated < 0 {
		return 0, domainError(op, "rated power", d.Rated, "expected watts from 0 up")
	}
	if err := checkTemperature(op, "full", d.Full); err != nil {
		return 0, err
	}
	if err := checkTemperature(op, "zero", d.Zero); err != nil {
		return 0, err
	}
	if d.Zero <= d.Full {
		return 0, domainError(op, "zero", d.Zero,
			"expected a temperature above that of full power, "+text(d.Full)+" °C")
	}
	if err := checkTemperature(op, "ambient", ambient); err != nil {
		return 0, err
	}
	// The part of the rated power that the straight line leaves.
	left := (d.Zero - ambient) / (d.Zero - d.Full)
	return d.Rated * min(1, max(0, left)), nil
}

// ThermalResistance returns the thermal resistance in K/W that the rating
// implies if Zero is the temperature that the element may reach at most: at the
// corner of the curve the full power makes it that hot. A rough figure for
// [Element] where none is stated.
func (d Derating) ThermalResistance() (float64, error) {
	const op = "thermal.Derating.ThermalResistance"
	if _, err := d.Power(d.Full); err != nil {
		return 0, err
	}
	if err := checkPositive(op, "rated power", d.Rated, "watts"); err != nil {
		return 0, err
	}
	return finiteResult(op, "thermal resistance", (d.Zero-d.Full)/d.Rated)
}
