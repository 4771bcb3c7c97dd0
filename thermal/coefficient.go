// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"slices"

	"example.com/ohmwright/uncertainty"
)

// ResistanceAtTemperature is a resistance in Ω and the temperature in °C at which it was
// read.
type ResistanceAtTemperature struct{ Resistance, Temperature float64 }

// ResistanceAtTemperatureOf is [ResistanceAtTemperature] of quantities.
type ResistanceAtTemperatureOf struct{ Resistance, Temperature uncertainty.Quantity }

// MeanCoefficient returns the mean temperature coefficient in 1/K between two
// temperatures, referred to the first resistance:
//
//	(r2 − r1)/(r1 (t2 − t1))
//
// This is the resistance-temperature characteristic of MIL-STD-202G, method 304
// (first at 25 °C there), and the temperature coefficient of resistance of IEC 60115-1.
func MeanCoefficient(first, second ResistanceAtTemperature) (float64, error) {
	const op = "thermal.MeanCoefficient"
	t1, r1, t2, r2 := first.Temperature, first.Resistance, second.Temperature, second.Resistance
	if err := checkTemperature(op, "first.Temperature", t1); err != nil {
		return 0, err
	}
	if err := checkPositive(op, "first.Resistance", r1, "ohms"); err != nil {
		return 0, err
	}
	if err := checkTemperature(op, "second.Temperature", t2); err != nil {
		return 0, err
	}
	if err := checkNumber(op, "second.Resistance", r2); err != nil {
		return 0, err
	}
	if t1 == t2 {
		return 0, domainError(op, "second.Temperature", t2,
			"expected a temperature other than the first")
	}
	return finiteResult(op, "coefficient", (r2-r1)/(r1*(t2-t1)))
}

// MeanCoefficientOf is [MeanCoefficient] of quantities. The gain error of the one
// meter and the offset of the one thermometer drop out of it when the readings
// are built from those sources.
func MeanCoefficientOf(first, second ResistanceAtTemperatureOf) uncertainty.Quantity {
	t1, r1, t2, r2 := first.Temperature, first.Resistance, second.Temperature, second.Resistance
	_, err := MeanCoefficient(
		ResistanceAtTemperature{r1.Estimate(), t1.Estimate()},
		ResistanceAtTemperature{r2.Estimate(), t2.Estimate()},
	)
	// Differences first: what both readings share then drops out at every trial too.
	return orError(r2.Sub(r1).Div(r1.Mul(t2.Sub(t1))).DefaultUnit("1/K"), err)
}

// orError returns q, or the error that the numbers of its estimates make.
func orError(q uncertainty.Quantity, err error) uncertainty.Quantity {
	if err != nil && q.Err() == nil {
		return uncertainty.Fail(err)
	}
	return q
}

// BoxCoefficient returns the temperature coefficient in 1/K by the box method:
// the smallest box that holds all the readings, its height over its width,
//
//	(Rmax − Rmin)/(R(ref) (tmax − tmin))
//
// referred to the reading at the temperature reference in °C, which must be one
// of the temperatures. It is a magnitude, and for a resistor with a peak inside
// the range it does not vanish as a coefficient between the ends would.
// Three temperatures, the middle one the reference, are common practice;
// two at least.
func BoxCoefficient(reference float64, temperatures, resistances []float64) (float64, error) {
	const op = "thermal.BoxCoefficient"
	b, err := boxAround(op, reference, temperatures, resistances)
	if err != nil {
		return 0, err
	}
	r, t := resistances, temperatures
	return finiteResult(op, "coefficient", (r[b.rMax]-r[b.rMin])/(r[b.ref]*(t[b.tMax]-t[b.tMin])))
}

// BoxCoefficientOf is [BoxCoefficient] of quantities. The corners of the box
// are chosen by the estimates, so readings that differ by less than their
// uncertainty give a magnitude that is too large on the average: Monte Carlo does
// not correct that.
func BoxCoefficientOf(reference float64, temperatures,
	resistances []uncertainty.Quantity) uncertainty.Quantity {
	b, err := boxAround("thermal.BoxCoefficientOf", reference, estimates(temperatures),
		estimates(resistances))
	if err != nil {
		return uncertainty.Fail(firstError(err, temperatures, resistances))
	}
	r, t := resistances, temperatures
	coefficient := r[b.rMax].Sub(r[b.rMin]).Div(r[b.ref].Mul(t[b.tMax].Sub(t[b.tMin])))
	return coefficient.DefaultUnit("1/K")
}

// boundingBox holds the indices of the readings that bound a set.
type boundingBox struct{ ref, rMin, rMax, tMin, tMax int }

// boxAround finds the readings that bound a set, and the one at the reference.
func boxAround(op string, reference float64, t, r []float64) (boundingBox, error) {
	if err := checkReadings(op, 2, t, r); err != nil {
		return boundingBox{}, err
	}
	b := boundingBox{
		ref:  slices.Index(t, reference),
		rMin: slices.Index(r, slices.Min(r)), rMax: slices.Index(r, slices.Max(r)),
		tMin: slices.Index(t, slices.Min(t)), tMax: slices.Index(t, slices.Max(t)),
	}
	if b.ref < 0 {
		return boundingBox{}, domainError(op, "reference", reference,
			"expected one of the temperatures of the readings")
	}
	if b.tMin == b.tMax {
		return boundingBox{}, domainError(op, "temperatures", t[0],
			"expected at least two different ones")
	}
	return b, nil
}

// checkReadings checks pairs of temperature and resistance, least of them or more.
func checkReadings(op string, least int, t, r []float64) error {
	if len(t) != len(r) {
		return refuse(op, "resistances", float64(len(r)), ErrLengths,
			"expected one for each of the "+text(float64(len(t)))+" temperatures")
	}
	if len(t) < least {
		return refuse(op, "readings", float64(len(t)), ErrObservations,
			"expected at least "+text(float64(least)))
	}
	for i := range t {
		if err := checkTemperature(op, "temperature", t[i]); err != nil {
			return err
		}
		if err := checkPositive(op, "resistance", r[i], "ohms"); err != nil {
			return err
		}
	}
	return nil
}

// estimates are the numbers of quantities.
func estimates(qs []uncertainty.Quantity) []float64 {
	v := make([]float64, len(qs))
	for i, q := range qs {
		v[i] = q.Estimate()
	}
	return v
}

// firstError prefers what is wrong inside a quantity to the NaN that its estimate
// is then.
func firstError(err error, sets ...[]uncertainty.Quantity) error {
	for _, qs := range sets {
		for _, q := range qs {
			if e := q.Err(); e != nil {
				return e
			}
		}
	}
	return err
}

// WireWoundLimit returns in 1/K the largest temperature coefficient, as a
// magnitude referred to 25 °C, that MIL-PRF-39005G allows to accurate wire-wound
// resistors of that resistance in ohms (its Table VI): 90 ppm/K below 1 Ω, 30 below
// 10 Ω, 15 below 100 Ω, 10 from there up. Take it where the wire of a resistor is
// unknown; it is a limit and not a property of the wire.
func WireWoundLimit(ohms float64) (float64, error) {
	if err := checkPositive("thermal.WireWoundLimit", "resistance", ohms, "ohms"); err != nil {
		return 0, err
	}
	// MIL-PRF-39005G, Table VI.
	switch {
	case ohms < 1:
		return 90e-6, nil
	case ohms < 10:
		return 30e-6, nil
	case ohms < 100:
		return 15e-6, nil
	}
	return 10e-6, nil
}
