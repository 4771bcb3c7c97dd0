// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package verify turns readings of a decade box into verdicts.
//
// A [Meter] says what the instrument promises, a [Reading] is what it showed at one
// setting, and [Evaluate] compares the readings of a [decade.Box] with its class:
//
//	readings, err := verify.ReadReadings(file, box)
//	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
//	report.WriteText(os.Stdout)
//
// Each row of the [Report] holds the deviation from nominal at reference temperature
// as an [uncertainty.Quantity] with its budget, the limits of the class, the verdict
// (conforms, does not conform, cannot be decided) and the test uncertainty ratio.
// [Report.Findings] says in words what the readings show: an element that left its
// class, a contact that reads differently each time it is made, a dial that is open,
// a meter too coarse to decide.
//
// # The model of a reading
//
// At the terminals, at reference temperature,
//
//	R = V − V·gain − zero − rest − resolution − repeatability − contact − leads − ΔR(t)
//
// The limits of error of a range, ±(a of reading + b of range), are one limit: for a
// reading V they give u = (a·V + b·range)/√3, or U/k where the maker states U and k.
// For the correlation between readings this u is split: the gain error a is common to
// all readings of one range and session; of the range part a stated share
// ([Meter.ZeroShare], one half unless stated) is a zero error common to them, and the
// rest is new in each reading. The combined u of one reading is always that of the one
// limit. The budget therefore shows "meter gain 1 kΩ" as one row, however many
// readings contain it, and in the difference of two readings it cancels.
//
// A contact is made anew whenever a dial is turned: the switching variation is one
// input for each dialling, and repeated readings without re-dialling do not reduce it.
//
// # Residual
//
// A box stated with its residual included is judged by the value at the terminals; one
// stated without it by the value above the zero setting: the mean of the readings at
// zero in the same session is subtracted, with what it shares with them, or else the
// stated residual with its tolerance. The zero setting itself is judged against the
// stated residual.
//
// # Plans, substitution, calibration
//
// [NewPlan] says which settings to read, [Determine] what readings at given settings say
// about the elements. Where the meter is no better than the box, [Report.Substitute]
// brings in a standard and [Report.Comparisons] compares settings of one value inside the
// box. Package decade/calibrate finds the value of every element from a report, compares
// the box as found and as left, and predicts.
//
// # Safety
//
// Disconnect the box from everything and discharge it before measuring. Keep the test
// current within the rating of the smallest dial in use. High-ohm ranges and
// insulation testers put dangerous voltage on terminals and leads; local codes and
// licensed practice come first.
package verify
