// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package thermal relates resistance and temperature.
//
// A [Law] is the parabola by which a resistor follows its temperature,
//
//	R(t) = R(ref) [1 + α(t − ref) + β(t − ref)²]
//
// Temperatures are in degrees Celsius, differences in kelvins, resistances in
// ohms, coefficients in 1/K and 1/K²: 10 ppm/K is 10e-6.
//
// Functions of numbers return an error for what they cannot answer (a number
// that is not finite, a temperature below absolute zero or outside the range
// of a formula): an [*Error] that wraps one of [ErrNotFinite] and [ErrDomain].
// They never return NaN without an error and never panic.
package thermal
