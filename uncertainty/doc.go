// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package uncertainty evaluates and expresses uncertainty of measurement by the
// guides of the JCGM (JCGM 100, the GUM, and its supplements).
//
// A measurement model is built from quantities once and then evaluated. An input
// quantity has a name and a distribution; arithmetic, functions, a formula in Go
// syntax or any Go function make new quantities of it:
//
//	rs := uncertainty.Input("Rs", uncertainty.Certificate(10000.053, 0.005, 2))
//	ratio := uncertainty.Input("r", uncertainty.TypeA(1.0000104, 1.0000107, 1.0000106))
//	budget, err := uncertainty.Evaluate(rs.Mul(ratio))
//	fmt.Println(budget)
//
// Because an input is a shared value, correlation looks after itself: two results
// that use the same standard are correlated by it, and what is common to both sides
// of a difference cancels. Inputs observed together carry their covariance
// ([Joint], [JointTypeA]); a [Source] with an ID is the same quantity wherever it is
// built or read.
//
// What is said of an input is a [Distribution]: statistics of readings ([TypeA]), a
// certificate ([Certificate]), limits ([Rectangular], [Triangular], [Between]), a
// cycle ([Arcsine]), a display step ([Resolution]), a count ([Counts]), the others of
// JCGM 101, or any continuous distribution of gonum.
//
// [Evaluate] returns a [Budget]: the estimate, the combined standard uncertainty, the
// effective degrees of freedom, the expanded uncertainty at 95 % with its computed
// coverage factor, every component with its sensitivity, and warnings where the
// figures must not be used blindly. [Budget.Convolution] gives the interval where a
// rectangle dominates and k·u is too wide. [EvaluateAll] treats several measurands at
// once, with their covariance, and [Multivariate.Ellipse] gives the region that holds
// all of them.
//
// Where the model bends on the scale of the uncertainties, or the result is not
// normally distributed, the linear budget does not tell the truth. [SecondOrder] adds
// the next terms and says whether they matter. [MonteCarlo] propagates the
// distributions themselves and returns a [Simulation]: estimate, standard
// uncertainty, coverage intervals, histogram and covariance of every measurand:
//
//	simulation, err := uncertainty.MonteCarlo{Seed: 1}.Run(ctx, y)
//	comparison, err := uncertainty.Compare(budget, &simulation.Outputs[0], 2)
//
// The same seed gives the same bits, whatever the number of workers. [Compare] decides
// by clause 8 of JCGM 101 whether the linear result stands, and to how many digits.
// With two or three readings of a quantity, Monte Carlo draws a t-distribution that
// has no standard deviation; then look at its intervals only, or pool readings
// ([TypeAPooled]).
//
// Values are float64 in the unit of the quantity; angles are in radians. Building a
// model never fails: errors are carried along and come out of the evaluation, all at
// once.
//
// Package [example.com/ohmwright/uncertainty/conformity] decides whether a result
// lies inside its limits.
package uncertainty
