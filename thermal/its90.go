// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"

	"example.com/ohmwright/uncertainty/elementary"
)

// ITS90 is a standard platinum thermometer by the International Temperature Scale of 1990:
// the reference function W_r(t) of the scale and the deviation of the one thermometer,
//
//	R(t) = R(0.01 °C) · W    W − W_r(t) = ΔW(W)
//
// with the [Deviation] of its certificate for W < 1 and for W ≥ 1. Without deviations it is
// the reference function itself.
//
// The deviation is a function of W, as the scale defines it. A printed example that takes
// it at W_r differs by up to 20 µK.
type ITS90 struct {
	R001  float64   // Ω at the triple point of water, 0.01 °C
	Below Deviation // W < 1
	Above Deviation // W ≥ 1
	// Low and High are the range in °C; both 0: −189.3442 °C to 660.323 °C, from the argon
	// to the aluminium point. Down to −259.3467 °C and up to 961.78 °C the scale has more
	// terms of deviation than these, and answers only where Below or Above is zero.
	Low, High float64
}

// Deviation is ΔW of one thermometer as a function of its W:
//
//	A(W − 1) + B(W − 1)² + C(W − 1)³ + L(W − 1) ln W
//
// The scale numbers the coefficients by the range of calibration: a7, b7 and c7 from 0 °C
// to the aluminium point, a8 and b8 to zinc, a9 and b9 to tin, a10 to indium, a11 to
// gallium, and a5 and b5 from mercury to gallium, are A, B and C. Of the range from argon
// to 0.01 °C a4 is A and b4 is L.
type Deviation struct{ A, B, C, L float64 }

// deltaW returns ΔW and its derivative.
func (d Deviation) deltaW(w float64) (value, slope float64) {
	x, log := w-1, elementary.Log(w)
	value, slope = polynomial{0, d.A, d.B, d.C}.evaluate(x)
	return value + float64(d.L*x*log), slope + float64(d.L*(log+x/w))
}

// largestDeviation bounds a coefficient of deviation: W of real thermometers keeps to some 1e-3
// of the reference function.
const largestDeviation = 0.05

// checkDeviation refuses coefficients that no thermometer has.
func (d Deviation) checkDeviation(op, name string) error {
	for _, v := range []float64{d.A, d.B, d.C, d.L} {
		if err := checkNumber(op, name, v); err != nil {
			return err
		}
		if math.Abs(v) > largestDeviation {
			return domainError(op, name, v,
				"expected coefficients of deviation between -0.05 and 0.05")
		}
	}
	return nil
}

// Coefficients of the reference functions of ITS-90 (Preston-Thomas, Metrologia 27 (1990)
// 3, Table 4), from memory; they give W_r of the fixed points of Table 1 to the last digit.
var (
	its90A = polynomial{-2.13534729, 3.18324720, -1.80143597, 0.71727204, 0.50344027, -0.61899395,
		-0.05332322, 0.28021362, 0.10715224, -0.29302865, 0.04459872, 0.11868632, -0.05248134}
	its90C = polynomial{2.78157254, 1.64650916, -0.13714390, -0.00649767, -0.00234444, 0.00511868,
		0.00187982, -0.00204472, -0.00046122, 0.00045724}
)

const (
	waterPoint    = 0.01      // °C
	hydrogenPoint = -259.3467 // °C, e-H2
	argonPoint    = -189.3442 // °C
	aluminium     = 660.323   // °C
	silverPoint   = 961.78    // °C
)

// its90Reference returns W_r and its slope in 1/K at t in °C: equations 9a and 10a.
func its90Reference(t float64) (w, slope float64) {
	if t < waterPoint {
		// ITS-90, equation 9a, from 13.8033 K to 273.16 K, in ln(T/273.16 K).
		kelvin := t - absoluteZero
		v, s := its90A.evaluate((elementary.Log(kelvin/273.16) + 1.5) / 1.5)
		w = elementary.Exp(v)
		return w, w * s / (1.5 * kelvin)
	}
	// ITS-90, equation 10a, from 0 °C to 961.78 °C.
	v, s := its90C.evaluate((t - 481) / 481) // (T − 754.15)/481, 754.15 K being 481 °C
	return v, s / 481
}

// deviation is the one that holds for W.
func (s ITS90) deviation(w float64) Deviation {
	if w < 1 {
		return s.Below
	}
	return s.Above
}

// deltaW returns resistance and slope: W is the root of W − ΔW(W) = W_r, found by Newton's
// method, which a deviation of some 1e-3 needs three steps of.
func (s ITS90) resistanceAt(t float64) (resistance, slope float64) {
	r, rs := its90Reference(t)
	d := s.deviation(r)
	if t >= waterPoint {
		d = s.Above
	}
	w, ds := r, 0.0
	for range 6 {
		var v float64
		v, ds = d.deltaW(w)
		w -= (w - v - r) / (1 - ds)
	}
	return s.R001 * w, s.R001 * rs / (1 - ds)
}

// solve returns t in °C: no root is needed for W_r, only for the reference function.
func (s ITS90) solve(resistance float64) float64 {
	w := resistance / s.R001
	v, _ := s.deviation(w).deltaW(w)
	r := w - v
	low, high := hydrogenPoint, waterPoint
	// At W = 1, the triple point of water, the two reference functions meet.
	if r >= 1 {
		low, high = waterPoint, silverPoint
	}
	return risingZero(func(t float64) (float64, float64) {
		v, slope := its90Reference(t)
		return v - r, slope
	}, low, high, 1e-10)
}

// Sensor returns the thermometer. It returns an error ([ErrDomain]) where R001 is not above 0, a
// coefficient of deviation is beyond what thermometers have, or the range is empty or goes
// beyond what the deviation is defined for.
func (s ITS90) Sensor() (Sensor, error) {
	const op = "thermal.ITS90.Sensor"
	if err := checkPositive(op, "R001", s.R001, "ohms"); err != nil {
		return Sensor{}, err
	}
	if err := s.Below.checkDeviation(op, "Below"); err != nil {
		return Sensor{}, err
	}
	if err := s.Above.checkDeviation(op, "Above"); err != nil {
		return Sensor{}, err
	}
	if s.Above.L != 0 {
		return Sensor{}, domainError(op, "Above", s.Above.L,
			"expected no logarithmic term above 0.01 °C")
	}
	if s.Low == 0 && s.High == 0 {
		s.Low, s.High = argonPoint, aluminium
	}
	// Terms of deviation hold in the range they were found for; the reference function alone
	// holds from the hydrogen to the silver point.
	least, most := hydrogenPoint, silverPoint
	if s.Below != (Deviation{}) {
		least = argonPoint
	}
	if s.Above != (Deviation{}) {
		most = aluminium
	}
	if err := checkWithin(op, s.Low, s.High, least, most); err != nil {
		return Sensor{}, err
	}
	c := characteristic{
		name: "platinum ITS-90, R(0.01 °C) = " + text(s.R001) + " Ω", unit: "°C",
		low: s.Low, high: s.High, evaluate: s.resistanceAt, solve: s.solve,
	}
	return newSensor(c), nil
}

// Qualifies reports whether the thermometer is pure and free enough of strain for the
// scale: W(29.7646 °C) ≥ 1.11807 or W(−38.8344 °C) ≤ 0.844235 (ITS-90, section 3.3.2,
// from memory). An industrial sensor of 0.00385 /K does not qualify. A thermometer that
// [ITS90.Sensor] refuses gives the same error here.
func (s ITS90) Qualifies() (bool, error) {
	s.Low, s.High = argonPoint, aluminium
	th, err := s.Sensor()
	if err != nil {
		return false, err
	}
	gallium, err := th.Resistance(29.7646)
	if err != nil {
		return false, err
	}
	mercury, err := th.Resistance(-38.8344)
	// ITS-90, section 3.3.2: one of the two suffices.
	return gallium/s.R001 >= 1.11807 || mercury/s.R001 <= 0.844235, err
}
