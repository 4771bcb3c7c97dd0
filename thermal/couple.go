// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import "example.com/ohmwright/uncertainty"

// copperConstantan is the ITS-90 reference function of the thermocouple type T,
// copper against constantan, in mV of t in °C, reference junction at 0 °C: NIST
// Monograph 175 (1993), Table 9.3.1. The coefficients are from memory, and were seen
// shortened; they reproduce the tabulated values that were seen, from −270 °C to
// 350 °C, to the last digit.
var copperConstantan = curve{name: "copper–constantan (type T)", low: -270, high: 400,
	pieces: []piece{
		{-270, polynomial{
			0, 0.387481063640e-01, 0.441944343470e-04, 0.118443231050e-06, 0.200329735540e-07,
			0.901380195590e-09, 0.226511565930e-10, 0.360711542050e-12, 0.384939398830e-14,
			0.282135219250e-16, 0.142515947790e-18, 0.487686622860e-21, 0.107955392700e-23,
			0.139450270620e-26, 0.797951539270e-30,
		}},
		{0, polynomial{
			0, 0.387481063640e-01, 0.332922278800e-04, 0.206182434040e-06, -0.218822568460e-08,
			0.109968809280e-10, -0.308157587720e-13, 0.454791352900e-16, -0.275129016730e-19,
		}},
	}}

// millivolt in volts: the coefficients give mV.
const millivolt = 1e-3

// ConstantanEMF returns in volts the EMF of copper against constantan between a
// junction at t in °C and one at 0 °C, copper positive when t is the warmer:
// the ITS-90 reference function of type T, NIST Monograph 175, −270 °C to 400 °C.
// Between two junctions at other temperatures it is the difference of two values.
//
// This is what a constantan resistor with copper terminals puts into a reading
// when its ends differ in temperature. Resistance wire is not thermocouple wire;
// it may differ by a few per cent.
func ConstantanEMF(t float64) (float64, error) {
	if err := inCouple("thermal.ConstantanEMF", t); err != nil {
		return 0, err
	}
	e, _ := copperConstantan.evaluate(t)
	return e * millivolt, nil
}

// ConstantanSeebeck returns the Seebeck coefficient of the same couple in V/K
// at t in °C, the derivative of [ConstantanEMF]: 40.5e-6 at 23 °C.
func ConstantanSeebeck(t float64) (float64, error) {
	if err := inCouple("thermal.ConstantanSeebeck", t); err != nil {
		return 0, err
	}
	_, s := copperConstantan.evaluate(t)
	return s * millivolt, nil
}

// ConstantanTemperature returns the temperature in °C at which [ConstantanEMF] is
// emf volts. It solves the reference function itself, to better than 1e-6 K,
// and not one of the approximate inverses in print.
func ConstantanTemperature(emf float64) (float64, error) {
	const op = "thermal.ConstantanTemperature"
	if err := checkNumber(op, "EMF", emf); err != nil {
		return 0, err
	}
	low, _ := copperConstantan.evaluate(copperConstantan.low)
	high, _ := copperConstantan.evaluate(copperConstantan.high)
	if emf < low*millivolt || emf > high*millivolt {
		return 0, domainError(op, "EMF", emf,
			"expected "+text(low*millivolt)+" to "+text(high*millivolt)+" V, the range of the "+
				"function")
	}
	// The function rises all the way, so that one temperature has this EMF.
	t := copperConstantan.inverse(emf/millivolt, 1e-9)
	// Rounding may end a last step beyond the range.
	return min(copperConstantan.high, max(copperConstantan.low, t)), nil
}

// ConstantanEMFOf is [ConstantanEMF] of a quantity in °C. The function is taken
// as exact; the tolerance of wire is the user's to add.
func ConstantanEMFOf(t uncertainty.Quantity) uncertainty.Quantity {
	if err := firstError(inCouple("thermal.ConstantanEMFOf", t.Estimate()),
		[]uncertainty.Quantity{t}); err != nil {
		return uncertainty.Fail(err)
	}
	return uncertainty.CallWithGradient("E(t)",
		func(x []float64) float64 {
			e, _ := copperConstantan.evaluate(x[0])
			return e * millivolt
		},
		func(dst, x []float64) {
			_, s := copperConstantan.evaluate(x[0])
			dst[0] = s * millivolt
		}, t.InUnit("°C")).DefaultUnit("V")
}

// inCouple refuses temperatures outside the reference function.
func inCouple(op string, t float64) error {
	if err := checkNumber(op, "temperature", t); err != nil {
		return err
	}
	if t < copperConstantan.low || t > copperConstantan.high {
		return domainError(op, "temperature", t, "expected -270 to 400 °C")
	}
	return nil
}
