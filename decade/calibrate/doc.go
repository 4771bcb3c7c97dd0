// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package calibrate finds the values of the elements of a decade box, and how they change
// over the years, from reports of package decade/verify.
//
// [NewCalibration] solves the readings of a report for the residual and every element by
// generalised least squares and returns them with their sources of error, for
// [decade.Box.With]:
//
//	calibration, err := calibrate.NewCalibration(report, "box 17 2026-03-01")
//	measured, err := box.With(calibration)
//
// [NewFit] shows how well the readings agree, and names readings that the others
// contradict. [Deviations] prints the table of a certificate, [NewAdjustment] compares the
// box as found and as left, [NewDrift] compares calibrations of several years and predicts.
//
// [Identify] comes before all that, for a box whose nameplate cannot be trusted.
//
// # The model
//
// Each reading is the sum of the residual and the elements in circuit. Readings are weighted
// by their uncertainties and correlations (generalised least squares). What they share, such
// as the gain error of a meter range, stays one source of error of all elements and cancels
// in their ratios.
package calibrate
