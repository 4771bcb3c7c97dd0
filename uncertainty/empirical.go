// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"
	"iter"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/unit"
)

// An Empirical is a distribution that is given by values: draws of an earlier simulation, a
// histogram, or a table of probabilities and values (JCGM 101 6.5 and 7.5). It is a
// [Distribution], so that the result of one simulation is an input of the next, and has what
// package conformity asks of one.
//
// Its distribution function is the polygon through values and probabilities (JCGM 101 D.1);
// what lies below the first and above the last probability is at the first and the last
// value. Mean and standard deviation are those of the polygon (JCGM 101 D.3). Draws are taken
// for the whole of what is known: n observations of a quantity are another matter, see
// [TypeA].
type Empirical struct {
	// x and p are the corners of the polygon, two or more: values that do not fall, and Pr(X ≤ x)
	// at each. Where x stays and p rises there is a mass, where p stays and x rises a gap. p[0] is
	// the mass at x[0], 1 − p[last] that at x[last].
	x, p         []float64
	form         string // what it was made of: one of the three below, empty in the zero Empirical
	mean, stdDev float64
}

// The forms, as a budget prints them.
const (
	byDraws     = "draws"
	byHistogram = "histogram"
	byTable     = "table"
)

// NewEmpirical returns the distribution of equally probable draws, two or more: sorted, they
// stand at the probabilities (r − ½)/M (the discrete representation of JCGM 101 7.5.1 and the
// continuous one of its annex D). Values that are not finite are refused ([ErrNotFinite]).
func NewEmpirical(draws []float64) (*Empirical, error) {
	const op = "NewEmpirical"
	n := len(draws)
	if n < 2 {
		return nil, refusal(op, float64(n), ErrObservations, "%s; expected 2 or more",
			unit.Counted(n, "draw", "draws"))
	}
	for i, v := range draws {
		if err := number(fmt.Sprintf("draw %d", i+1), v); err != nil {
			return nil, refused("uncertainty."+op, "", err)
		}
	}
	e := &Empirical{x: slices.Sorted(slices.Values(draws)), p: make([]float64, n), form: byDraws}
	for i := range e.p {
		// The middle of each of M equal steps (JCGM 101 D.1).
		e.p[i] = (float64(i) + 0.5) / float64(n)
	}
	return e.finish(op)
}

// NewEmpiricalHistogram returns the distribution of a histogram, uniform in each bin: edges
// that rise, and a count or weight ≥ 0 for each of the bins between them, not all 0. It refuses
// edges that do not rise, negative counts and a number of them that does not fit
// ([ErrDomain]), and what is not finite ([ErrNotFinite]).
func NewEmpiricalHistogram(edges, counts []float64) (*Empirical, error) {
	const op = "NewEmpiricalHistogram"
	if len(edges) < 2 || len(counts) != len(edges)-1 {
		return nil, refusal(op, float64(len(counts)), ErrDomain,
			"%d counts for %d edges; expected one edge more than counts, and a count", len(counts),
			len(edges))
	}
	bins := make([]bin, len(counts))
	for i, c := range counts {
		bins[i] = bin{edges[i], edges[i+1], c}
	}
	return histogramOf(op, bins)
}

// A bin is one column of a histogram: edges in the unit of the quantity, and a count or weight.
type bin struct{ lower, upper, count float64 }

// histogramOf takes bins in rising order, which may leave gaps. The polygon has two corners for
// each bin: 1 to 2 with 3 counts and 4 to 6 with 1 are x = 1, 2, 4, 6 and p = 0, ¾, ¾, 1.
func histogramOf(op string, bins []bin) (*Empirical, error) {
	var total compensated
	for i, b := range bins {
		err := firstRefusal(op, number(fmt.Sprintf("lower edge of bin %d", i+1), b.lower),
			number(fmt.Sprintf("upper edge of bin %d", i+1),
				b.upper), width(fmt.Sprintf("count of bin %d", i+1), b.count))
		switch {
		case err != nil:
			return nil, err
		case b.lower >= b.upper:
			return nil, refusal(op, b.lower, ErrDomain,
				"bin %d from %v to %v; expected edges that rise", i+1, b.lower, b.upper)
		// A gap is allowed: no value lies there.
		case i > 0 && b.lower < bins[i-1].upper:
			return nil, refusal(op, b.lower, ErrDomain,
				"bin %d begins at %v, below the end %v of the one before; expected bins in "+
					"rising order", i+1, b.lower, bins[i-1].upper)
		}
		total.add(b.count)
	}
	sum := total.sum + total.lost
	if err := firstRefusal(op, positive("sum of the counts", sum)); err != nil {
		return nil, err
	}
	e := &Empirical{form: byHistogram}
	var below compensated
	for _, b := range bins {
		low := below.sum + below.lost
		below.add(b.count)
		// Both edges, so that a gap is a level piece of the polygon.
		e.x = append(e.x, b.lower, b.upper)
		e.p = append(e.p, low/sum, (below.sum+below.lost)/sum)
	}
	// Rounding must not leave a mass above the last edge.
	e.p[len(e.p)-1] = 1
	return e.finish(op)
}

// NewEmpiricalTable returns the distribution of a table: probabilities between 0 and 1, and
// the values that the quantity does not exceed with them. Neither may fall from one row to
// the next; two rows or more are needed ([ErrDomain], [ErrNotFinite]). What lies below the
// first probability is at the first value, what lies above the last at the last.
func NewEmpiricalTable(probabilities, values []float64) (*Empirical, error) {
	const op = "NewEmpiricalTable"
	n := len(values)
	if n < 2 || len(probabilities) != n {
		return nil, refusal(op, float64(n), ErrDomain,
			"%d probabilities for %d values; expected as many, 2 or more", len(probabilities), n)
	}
	for i, v := range values {
		p := probabilities[i]
		if err := firstRefusal(op, number(fmt.Sprintf("value %d", i+1), v)); err != nil {
			return nil, err
		}
		switch {
		case !(p >= 0 && p <= 1):
			return nil, refusal(op, p, ErrDomain, "probability %d is %v; expected 0 to 1", i+1, p)
		case i > 0 && (p < probabilities[i-1] || v < values[i-1]):
			return nil, refusal(op, p, ErrDomain,
				"row %d falls, from %v at %v to %v at %v; expected rows that rise", i+1,
				values[i-1], probabilities[i-1], v, p)
		}
	}
	e := &Empirical{x: slices.Clone(values), p: slices.Clone(probabilities), form: byTable}
	return e.finish(op)
}

// finish computes the moments: of the masses at both ends and of uniform pieces between. With
// d_i the corners less the mean, and w_i = p_(i+1) − p_i, the variance is (JCGM 101 D.3)
//
//	p_0·d_0² + (1 − p_last)·d_last² + Σ w_i·(d_i² + d_i·d_(i+1) + d_(i+1)²)/3.
//
// The mean is subtracted before squares are formed: E(x²) − E(x)² of 10 000.0012 ± 0.0003 would
// lose all digits but one. All sums are compensated, since there may be ten million terms.
func (e *Empirical) finish(op string) (*Empirical, error) {
	last := len(e.x) - 1
	// Moments are taken about the middle of the range: values like 10 000.0012 keep their digits.
	middle := e.x[0] + (e.x[last]-e.x[0])/2
	var mean, square compensated
	// The masses below the first and above the last probability stand at the end values.
	mean.add(e.p[0] * (e.x[0] - middle))
	mean.add((1 - e.p[last]) * (e.x[last] - middle))
	for i := range last {
		// The mean of a uniform piece is its middle.
		mean.add((e.p[i+1] - e.p[i]) * ((e.x[i]-middle)/2 + (e.x[i+1]-middle)/2))
	}
	m := mean.sum + mean.lost
	e.mean = middle + m
	deviation := func(i int) float64 { return (e.x[i] - middle) - m }
	for _, end := range [...]struct{ p, d float64 }{{e.p[0], deviation(0)},
		{1 - e.p[last], deviation(last)}} {
		square.add(end.p * float64(end.d*end.d))
	}
	for i := range last {
		a, b := deviation(i), deviation(i+1)
		// E(d²) of a uniform piece between a and b is (a² + ab + b²)/3.
		square.add((e.p[i+1] - e.p[i]) * (float64(a*a) + float64(a*b) + float64(b*b)) / 3)
	}
	e.stdDev = math.Sqrt(max(0, square.sum+square.lost))
	if err := firstRefusal(op, number("mean", e.mean),
		number("standard deviation", e.stdDev)); err != nil {
		return nil, err
	}
	return e, nil
}

// Mean returns the expectation, the estimate of the quantity (JCGM 101 D.3); NaN where there
// is no distribution.
func (e *Empirical) Mean() float64 {
	if e == nil {
		return math.NaN() // as the zero Empirical: Input refuses it
	}
	return e.mean
}

// StdDev returns the standard deviation (JCGM 101 D.3); NaN where there is no distribution.
func (e *Empirical) StdDev() float64 {
	if e == nil {
		return math.NaN()
	}
	return e.stdDev
}

// Quantile returns the value of the polygon at a probability 0 < p < 1; NaN outside, and
// where there is no distribution.
func (e *Empirical) Quantile(p float64) float64 {
	if e == nil || len(e.x) == 0 || !(p > 0 && p < 1) {
		return math.NaN()
	}
	// The corner i is the first whose probability is not below p, so that p lies in the piece from
	// i − 1 to i, where x goes as (p − p_(i−1))/(p_i − p_(i−1)). At a mass, where p jumps, it is
	// the value of the mass; within a gap, where p stays, the lower end.
	i, _ := slices.BinarySearch(e.p, p)
	switch {
	case i == 0:
		// Below the first probability: the mass there is at the first value.
		return e.x[0]
	case i == len(e.p):
		return e.x[i-1]
	}
	part := (p - e.p[i-1]) / (e.p[i] - e.p[i-1])
	return e.x[i-1] + float64(part*(e.x[i]-e.x[i-1]))
}

// CDF returns the probability of a value up to x, by the polygon; NaN for NaN, and where
// there is no distribution.
func (e *Empirical) CDF(x float64) float64 {
	if e == nil || len(e.x) == 0 || math.IsNaN(x) {
		return math.NaN()
	}
	// Nextafter makes equal values count as up to x: the function is continuous from the right, and
	// at a mass it is the probability above the jump.
	i, _ := slices.BinarySearch(e.x, math.Nextafter(x, math.Inf(1))) // the first above x
	switch {
	case i == 0:
		return 0
	case i == len(e.x):
		return 1
	}
	part := (x - e.x[i-1]) / (e.x[i] - e.x[i-1])
	return e.p[i-1] + float64(part*(e.p[i]-e.p[i-1]))
}

// Survival returns the probability of a value above x; NaN as [Empirical.CDF].
func (e *Empirical) Survival(x float64) float64 { return 1 - e.CDF(x) }

// Points returns the values with their probabilities, in rising order.
func (e *Empirical) Points() iter.Seq2[float64, float64] {
	return func(yield func(value, probability float64) bool) {
		if e == nil {
			return
		}
		for i, v := range e.x {
			if !yield(v, e.p[i]) {
				return
			}
		}
	}
}

// String returns "draws", "histogram" or "table", the column of a budget.
func (e *Empirical) String() string {
	if e == nil || e.form == "" {
		return "no distribution"
	}
	return e.form
}

// Empirical returns the distribution of the output by n ≥ 2 values of equal probability,
// (r − ½)/n for r = 1 … n, for a file or as an input of another model (JCGM 101 7.5). With
// fewer values than trials it loses what lies beyond the outermost: 1,000 keep 95 % intervals
// to a thousandth of u or so. An output without trials is refused ([ErrTrials]).
func (o Output) Empirical(n int) (*Empirical, error) {
	const op = "Output.Empirical"
	if n < 2 {
		return nil, refusal(op, float64(n), ErrDomain, "%s; expected 2 or more",
			unit.Counted(n, "value", "values"))
	}
	// A mistyped number would otherwise take all memory.
	if n > mostPoints {
		return nil, refusal(op, float64(n), ErrDomain, "%d values; expected at most %d", n,
			mostPoints)
	}
	if total := o.CDF(math.Inf(1)); total != 1 {
		return nil, refusal(op, 0, ErrTrials, "no trials; expected an output of a simulation")
	}
	draws := make([]float64, n)
	for i := range draws {
		draws[i] = o.quantile((float64(i) + 0.5) / float64(n))
	}
	return NewEmpirical(draws)
}

// mostPoints of a representation are as many as anybody's trials: draws, their sorted copy and the
// probabilities are three lists of 80 MB then.
const mostPoints = 10_000_000

// quantile inverts CDF; where the trials were kept, and stand for themselves, it is one of
// them.
func (o Output) quantile(p float64) float64 {
	if v, ok := o.trialAt(p); ok {
		return v
	}
	low, high := o.bracket(p)
	// Each halving evaluates the CDF once. Sixty leave less of the bracket than rounding does.
	for range 60 {
		middle := low + (high-low)/2
		if middle <= low || middle >= high {
			break
		}
		if o.CDF(middle) < p {
			low = middle
		} else {
			high = middle
		}
	}
	// The upper end: there the CDF is p or more, as the quantile of a step function wants it.
	return high
}

// trialAt returns the trial at a quantile, and false where none stands for it. A twin or a fitted
// tail changes the distribution: then the trials alone are not it. Of a long run only the lowest
// and the highest trials were kept, each list in rising order.
func (o Output) trialAt(p float64) (float64, bool) {
	t := o.trials
	switch {
	case t.N == 0 || o.law != nil || o.miss != nil:
		return 0, false
	case len(t.Low) == t.N: // all of them
		return t.Quantile(p), true
	}
	rank := int(p * float64(t.N)) // of the ordered trials, from 0
	if rank < len(t.Low) {
		return t.Low[rank], true
	}
	if above := t.N - 1 - rank; above < len(t.High) {
		return t.High[len(t.High)-1-above], true
	}
	return 0, false
}

// bracket returns two values between which the CDF passes p. The coverage interval of the output
// is where it starts; a side that does not reach is moved out by a width that doubles, until it
// does or the end of float64 is near.
func (o Output) bracket(p float64) (low, high float64) {
	low, high = o.Symmetric.Lower, o.Symmetric.Upper
	for width := high - low; o.CDF(low) >= p && width < math.MaxFloat64/4 && width > 0; width *= 2 {
		low -= width
	}
	for width := high - low; o.CDF(high) < p && width < math.MaxFloat64/4 && width > 0; width *= 2 {
		high += width
	}
	return low, high
}
