// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package decade describes resistance decade boxes: resistors behind switches, whose
// dials add up to the wanted resistance.
//
// A [Box] is made from a [Spec], plain data that can be kept as JSON ([ReadBox]). It
// consists of a [Decade] for each dial: equal steps on a tapped ladder, or a few weighted
// resistors in the combinations of a [Code]; two decades may share one switch with a
// common zero. A [Setting] is one position for every dial, a small comparable value
// whose methods answer what is known about it:
//
//   - [Setting.Nominal], the sum of the dials, correctly rounded;
//   - [Setting.Limits], the worst case at the terminals: each dial's fraction of the
//     dialled value, whole-box terms, residual resistance and its tolerance;
//   - [Setting.Resistance], the same statistically, as a quantity for a budget
//     ([uncertainty.Evaluate]): by default one rectangle for each dial, dials
//     independent; see [Level] for the other choices;
//   - [Setting.TemperatureChange], [Setting.SelfHeating], [Setting.Leakage], what
//     temperature, current and insulation do to it; [Setting.ResistanceAt] as a quantity;
//   - [Setting.MaxCurrent], [Setting.MaxVoltage], [Setting.MaxPower], what it can carry;
//     [Setting.Under], what a supply does to it; [Setting.Turn], everything that is passed on
//     the way to another setting;
//   - [Setting.Impedance], [Setting.TimeConstant], [Setting.UpperFrequency], how it behaves with
//     alternating current.
//
// Settings are found from positions ([Box.At]), from text ([Box.ParseSetting]), from
// their nominal value ([Box.SettingFor], [Box.SettingsFor]), as the nearest to a
// resistance ([Box.Nearest], with conditions [Box.NearestN] and [Box.Choose]), for a
// sensor ([Box.SensorTable]), or all in turn ([Box.Settings]).
// [Box.Extremes] and [Box.Survey] say what all settings of a calibrated box are like.
//
// Package decade/network has bridges, transfers, dividers and decades in parallel.
//
// A [Calibration] holds what the elements of one box measured; [Box.With] gives the box
// that answers with those values. Package decade/calibrate makes it from readings.
//
// The resistance with all dials at zero is the residual: wiring, terminals and one closed
// contact for each switch. Boxes are stated in one of two ways, and the description says
// which (Spec.ResidualIncluded). Values, limits and resistances here are always those at
// the terminals.
//
// All resistances are in ohms, tolerances are fractions (0.0005 for 0.05 %), temperatures
// in degrees Celsius. No function panics on data; errors are of type [*Error] and say what
// was given and what was expected.
//
// A box has no rating for mains and is not a current limiter. Low settings passed while a
// dial is turned carry the highest current: disconnect the source first, keep within the
// power of a single step, and defer to local codes and licensed practice.
package decade
