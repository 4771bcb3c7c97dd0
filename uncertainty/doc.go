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
// Because an input is a shared value, correlations need not be stated: two results that use the
// same standard are correlated by it, and what is common to both sides of a difference cancels.
// Inputs observed together carry their covariance ([Joint], [JointTypeA]); a [Source] with an ID
// is the same quantity wherever it is built or read.
//
// An input is described by a [Distribution]: statistics of readings ([TypeA]), a certificate
// ([Certificate]), limits ([Rectangular], [Triangular], [Between]), a cycle ([Arcsine]), a
// display step ([Resolution]), a count ([Counts]), the others of JCGM 101, or any continuous
// distribution of gonum.
//
// [Evaluate] returns a [Budget]: the estimate, the combined standard uncertainty, the effective
// degrees of freedom, the expanded uncertainty at 95 % with its computed coverage factor, every
// component with its sensitivity, and warnings where the figures need a second look.
// [Budget.Convolution] gives the interval where a rectangle dominates and k·u is too wide.
// [EvaluateAll] treats several measurands at once, with their covariance, and
// [Multivariate.Ellipse] gives the region that holds all of them.
//
// Where the model bends on the scale of the uncertainties, or the result is not
// normally distributed, the linear budget is wrong. [SecondOrder] adds
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
// A [Record] keeps results in a file together with the sources that correlate them;
// [ReadModel] reads inputs and formula from one, and [Quantity.Expression] prints the
// formula of a model. Units are checked where sources state them ([ErrUnitMismatch]).
// [WeightedMean] combines several results of one quantity, [Agree] compares two of them with
// what they share, and [EnScore], [ZetaScore] and [ZScore] judge a laboratory. Lines and
// curves are in package [example.com/ohmwright/uncertainty/fit].
//
// Values are float64 in the unit of the quantity; angles are in radians. Building a
// model never fails: errors are carried along and come out of the evaluation, all at
// once.
//
// Package [example.com/ohmwright/uncertainty/conformity] decides whether a result
// lies inside its limits.
//
// # The guides, clause by clause
//
// JCGM 100 (GUM): 4.1 [Formula], [Call]; 4.2 [TypeA], [TypeAPooled], [Pool],
// [TypeAAutocorrelated]; 4.3 [Certificate], [CertificateDOF], [Rectangular],
// [Triangular], [Between]; 5.1 [Evaluate],
// [Budget.Relative] (5.1.6); note to 5.1.2 [SecondOrder]; 5.2 [Joint],
// [JointTypeA] and shared quantities; clause 6 and annex G [Budget.ExpandedAt],
// [CoverageFactor], [OneSidedFactor], [Budget.UpperLimit], [Reliability]; clause 7 [Budget],
// [FormatConcise], [FormatPlusMinus]; E.4.3 [C4], [StdDevUncertainty]; H.3 package fit; H.5
// [OneWay], [Nested], [TwoWay], [FQuantile].
//
// JCGM GUM-6, 11.9: robust means ([MedianMAD], [AlgorithmA], [QHampel]), other likelihoods
// ([TypeAUniform], [TypeALaplace]), earlier experience of the scatter ([TypeAWithPrior]).
//
// JCGM 101: 5.6 to 5.8 [Evaluate] and [SecondOrder]; 5.9 and clause 7 [MonteCarlo],
// with the coverage intervals of 7.7, the adaptive number of trials of 7.9
// ([MonteCarlo] Digits) and the probability of an [Event]; 6.4.2 [Rectangular], 6.4.3
// [CurvilinearTrapezoidal], 6.4.4 [Trapezoidal], 6.4.5 [Triangular], 6.4.6 [Arcsine], 6.4.7
// [Normal], 6.4.8 [Joint],
// 6.4.9 [TypeA], [StudentT], [CertificateDOF], 6.4.10 [Exponential], 6.4.11 [Counts];
// 6.5 [Empirical], and any [Distribution]; 7.5 and annex D [Output.Empirical]; clause 8
// [Compare]; annex B [Component]; annex E [Budget.Convolution].
//
// JCGM 102: 6.2 [EvaluateAll]; 6.3 [Implicit], [ImplicitAll]; 6.4 [Complex]; 6.5
// [EllipseFactor], [RectangleFactor], [Multivariate.Ellipse], [Multivariate.Rectangle];
// clause 7 [MonteCarlo] with several measurands, 7.7 [Region].
//
// JCGM 106 is package conformity.
//
// Left out: Bayes' theorem and maximum entropy as procedures (JCGM 101, 6.2 and 6.3; their
// results are the distributions of 6.4 and of [TypeAWithPrior]), and any propagation of
// more than second order: no worked example of the guides uses them.
//
// # How twins work
//
// A simulation is uncertain by itself: another seed moves the ends of a 95 % interval of M
// normal trials by about 2.7·u/√M each. JCGM 101 asks for at least 10⁴/(1−p) trials, says
// that 10⁶ often give a 95 % interval to one or two digits (7.2), and lets a procedure find
// the number that the wanted digits need (7.9). One digit more costs a hundred times as many.
//
// Most of these trials find out again what is known already. The law of propagation gives the
// output as a sum of parts, one for each input, and the distribution of such a sum can be
// convolved exactly. That sum is the twin of the output. In every trial the twin is computed
// from the same draws. At the lower end, say, a share p = 0.025 of all possible twins lies
// below the value z_p, which is known. If 0.0251 of the trials do, then this run has drawn a
// little too much from below, and nearly the same excess is found among the trials of the
// output. So the end of the interval is not the order statistic of the output at p, but at
//
//	p + b·(share of twins up to z_p − p)
//
// with b the regression of one count on the other, about 1 where output and twin go together.
// Estimate and standard uncertainty are corrected in the same way, by the mean and the mean
// square of the twin, which are known too. Such a quantity is called a control variate; J. C.
// Hsu and B. L. Nelson (1990) and T. C. Hesterberg and B. L. Nelson (1998), Management
// Science 36 and 44, give it for quantiles. The gain in a [Control] says by what factor the
// variance falls: a gain of 100 is as good as a hundred times as many trials.
//
// A twin needs no good approximation, only one that rises and falls with the output. Three
// kinds are tried on the first trials of a run: the linear budget; the main effects, what the
// output does when one input moves alone; and the main effects of its logarithm, which add up
// to the whole of a product or a quotient. The one that goes best with the output is kept.
// Where the model is linear nothing is left to simulate: the figures are those of the
// convolution, without a sampling error, and trials only draw the histogram.
//
// There is no twin, and [Twin] says why, where no input moves the output by itself (a product
// of two quantities about 0), where the first trials show no gain, where the distribution of
// the sum cannot be convolved to 1e-9 in probability, where trials have no finite result, and
// where fewer than 100 trials lie beyond an end. A twin that does not fit costs nothing but
// time: the correction is right on average for any b, and [Sampling] states the error that is
// left as the trials show it. [TwinOff] makes the plain simulation of the guide.
//
// With Digits, batches of trials are made until 2.5 standard deviations of the average of ten
// or more corrected batches are within the numerical tolerance, for estimate, standard
// uncertainty and both ends. The guide is content with twice and with fewer batches, which
// keeps its word in 80 to 91 of 100 runs only.
package uncertainty
