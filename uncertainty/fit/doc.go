// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package fit fits lines and curves to uncertain points by least squares (JCGM 100:2008, H.3, and
// weighted and generalised least squares).
//
// The readings are quantities, and so are the parameters that come out: errors that
// readings share (one standard, one range of a meter) stay shared, and the parameters
// go on into other models:
//
//	calibration, err := fit.Line(temperatures, corrections)
//	b := calibration.At(t)                      // correction at a temperature t
//	budget, err := uncertainty.Evaluate(r.Add(b))
//
// The uncertainty comes from one of two sources, and [Fit.FromScatter] reports which:
//
//   - Readings with an uncertainty of their own are weighted by it ([Weighted]). The
//     uncertainty of the parameters follows from what was stated. The scatter of
//     the readings makes it neither smaller nor larger: [Fit.ChiSquared] shows whether scatter
//     and stated uncertainties agree, and a warning says so if they do not.
//   - Readings without one (exact, or uncertain only by what they share) have equal
//     weights, and the scatter about the curve is a Type A evaluation with n − p
//     degrees of freedom ([Unweighted]), as in GUM H.3. What the readings share is
//     propagated beside it.
//
// The abscissae may be uncertain too: [Line] and [Polynomial] then minimise the
// distances in both directions, each weighted by its uncertainty.
//
// A curve that is not linear in its parameters is a [Model]; [Nonlinear] fits it from start
// values.
//
// Two points with stated uncertainties determine a line without any degree of freedom
// left: the drift of a standard between two certificates is as uncertain as the
// certificates say, and nothing checks that it was straight. [Fit.At] predicts the
// true value on the curve, [Fit.NextReading] one reading to come, which scatters about
// it. Neither knows whether the curve goes on outside the points.
package fit
