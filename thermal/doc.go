// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package thermal relates resistance and temperature.
//
// A [Law] is the parabola by which a resistor follows its temperature,
//
//	R(t) = R(ref) [1 + α(t − ref) + β(t − ref)²]
//
// and an [UncertainLaw] the same with uncertain coefficients. [FitLaw] and
// [FitLawOf] find one from readings, [MeanCoefficient] and [BoxCoefficient] the
// single figures of data sheets. Package material has the published coefficients
// of manganin, constantan and the other metals of resistors.
//
//	law := thermal.NewLaw(25, 4.2e-6, -0.56e-6)
//	r, err := law.Correct(100.00215, 25, 31.2) // ohms at 31.2 °C
//
// A [Sensor] is a resistance that follows one quantity, computed both ways, so that a
// decade box can stand in for it: thermometers by a standard ([Platinum], [Copper],
// [Nickel]) or by the coefficients of a certificate ([CallendarVanDusen], [ITS90]),
// thermistors ([BetaThermistor], [SteinhartHart]), strain gauges ([StrainGauge]), and
// anything else as a [Table] or a [Function].
//
// An [Element] warms itself: [Element.Steady] solves power, temperature and
// resistance together, [ZeroPower] extrapolates readings to no power, a
// [Transient] says when a reading has settled, a [Derating] what is allowed.
//
// Thermal EMFs: [ConstantanEMF] is the reference function of copper against
// constantan, [EMF] that of another material, [EMFError] turns an EMF into ohms and
// [CurrentReversal] removes it.
//
// Temperatures are in degrees Celsius (ITS-90), differences in kelvins,
// resistances in ohms, coefficients in 1/K and 1/K²: 10 ppm/K is 10e-6.
//
// Functions of numbers return an error for what they cannot answer (a number
// that is not finite, a temperature below absolute zero or outside the range of
// a formula, an unknown name): an [*Error] that wraps one of [ErrNotFinite],
// [ErrDomain] and the others. They never return NaN without an error and never
// panic. Their twins for [uncertainty.Quantity], whose names end in Of, carry such an error in
// the result.
//
// Published values differ between sources. Each function says which source it follows; the other
// values stand beside it ([PlatinumIPTS68], [Nickel617], [CopperConductorByZero]), and nothing
// is averaged.
package thermal
