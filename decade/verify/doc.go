// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package verify turns readings of a decade box into verdicts.
//
// A [Meter] describes the instrument and its limits of error, a [Reading] what it showed at one
// setting, and [Evaluate] compares the readings of a [decade.Box] with its class:
//
//	readings, err := verify.ReadReadings(file, box)
//	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
//	report.WriteText(os.Stdout)
//
// Each row of the [Report] holds the deviation from nominal at reference temperature
// as an [uncertainty.Quantity] with its budget, the limits of the class, the verdict
// (conforms, does not conform, cannot be decided) and the test uncertainty ratio.
// [Report.Findings] says in words what the readings show: a step outside its class, a
// setting that does not read the same twice, a circuit that is open, a meter too coarse to
// decide. These are facts; package decade/fault finds their causes.
//
// # Plausible before judged
//
// Before any verdict, the readings are checked for what no box can show: values below zero, a
// factor of 1000, values of one dialling that contradict each other, two rows exchanged, a
// temperature that no room has, a zero that contradicts its null. Each is one entry of
// [Report.Implausible] that names the rows and the likely slip; verdicts that rest on them are
// withheld. [Report.Headline] says how much of the box was judged at all.
//
// # The model of a reading
//
// At the terminals, at reference temperature,
//
//	R = V − meter(V) − resolution − repeatability − contact − leads − ΔR(t)
//
// The limits of error of a range, ±(a of reading + b of range), give the standard uncertainty of
// one reading: u = (a·R + b·V)/√3, or U/k where the maker states U and k. How the parts combine
// decides what two readings have in common ([Combination]). One limit, unless stated otherwise,
// is
//
//	z_g·a·R + z_0·√(b²V² − e²) + z_c·√(2ab·V·|R|) + e(R)
//
// with gain z_g, zero z_0 and cross term z_c common to the readings of a range, uncorrelated and
// bounded together (a point on the unit sphere, evenly), and a linearity e that is the same
// whenever a value is read and new at another value. Equal readings cancel, a reading at zero
// says nothing about the gain, and a difference keeps what it should; each is a rectangle, where
// no coverage factor makes the limit a normal law. (The intervals of rows and of results of
// settings know that; steps, comparisons, quantities that a caller combines, and the elements of
// package decade/calibrate have the parts as independent sources, with the right u and intervals
// that are up to a fifth too wide.) Half of each variance belongs to the session,
// half to all sessions under one certificate of the meter. The notes of the report say which of
// these are assumptions.
//
// A contact is made again whenever a dial is turned: the switching variation is one input for
// each dialling, and readings repeated without re-dialling do not reduce it.
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
