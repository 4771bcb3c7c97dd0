// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"encoding/json"
	"math"
	"slices"

	"example.com/ohmwright/uncertainty/unit"
)

// mostSampling is the part of a simulated standard uncertainty that its own sampling error
// may be.
const mostSampling = 0.1

// HasStandardUncertainty reports whether the standard deviation of the trials can be taken as
// that of the output: it is not where an input is drawn from a distribution without a standard
// deviation, where a divisor is 0 or beyond with a probability of 1e-7 or more, where far values of
// an input make it infinite, as those of a t-distribution with three degrees of freedom do in a
// square, nor where another seed would move it by a tenth or more. Then only the intervals hold,
// and the text and the JSON of the output leave it out.
func (o Output) HasStandardUncertainty() bool {
	return !o.momentless && o.Sampling.StandardUncertainty <= mostSampling*o.StandardUncertainty
}

// checkMoments marks the outputs that have no standard uncertainty, and warns of them: those
// with a pole, and those whose trials show it.
func (s *Simulation) checkMoments(warnings, poles []error) {
	// The warnings of the draws know which laws have no moments, but not which output uses them:
	// all are marked.
	momentless := slices.ContainsFunc(warnings, isNoMoments)
	for i := range s.Outputs {
		o := &s.Outputs[i]
		o.momentless = momentless || poles[i] != nil
		if poles[i] != nil {
			// Whatever the trials of this seed happen to show.
			s.Warnings = append(s.Warnings, poles[i])
			continue
		}
		// Some far trials made the moments: the fourth moment shows it, see Sampling.
		if !momentless && !o.HasStandardUncertainty() {
			s.Warnings = append(s.Warnings, &Error{Op: "uncertainty.MonteCarlo", Name: o.Name,
				Value: o.StandardUncertainty, Err: unit.Errorf(ErrNoMoments,
					"the standard deviation of the trials, %s, has a sampling error of %s: a few "+
						"far trials decide it, and the mean; only the coverage intervals hold",
					significant(o.StandardUncertainty, 2),
					significant(o.Sampling.StandardUncertainty, 2))})
		}
	}
}

// MarshalJSON writes every figure in full precision; where the output has no standard
// uncertainty, the key is left out. examples/formats/README.md lists the keys.
func (o Output) MarshalJSON() ([]byte, error) {
	// A type without the methods of Output, or this would call itself; U hides its field.
	type plain Output
	out := struct {
		plain
		U *float64 `json:"standardUncertainty,omitempty"`
	}{plain: plain(o)}
	if o.HasStandardUncertainty() {
		out.U = &o.StandardUncertainty
	}
	return json.Marshal(out)
}

// text gives the ends to the second significant digit of half the width.
func (i Interval) text(symbol string) string {
	// The ends have as many digits as the uncertainty of the result would have.
	at := func(v float64) string { return roundedTo(v, i.Width()/2) }
	return at(i.Lower) + " to " + withUnit(at(i.Upper), symbol)
}

// CDF returns the share of the trials up to x, in the unit of the output. It is exact where
// the trials were kept: beyond the ends of the coverage intervals, and everywhere with
// Regions, Quantiles or Digits. Between the ends it is exact at the edges of the bins of
// the histogram, and inside a bin as good as the first trials, some 16 000, know its shape.
// A twin corrects the shares, and the distribution of a linear model is that of the
// convolution. Of an output without trials it is NaN.
func (o Output) CDF(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return x
	case o.law != nil:
		return o.law.CDF(x - o.origin)
	case o.miss != nil:
		// the share of the trials, moved by what the twin knows better
		return o.miss.correct(o.below(x, true))
	}
	return o.below(x, true)
}

// Survival returns the share of the trials above x, as [Output.CDF] does.
func (o Output) Survival(x float64) float64 {
	// Counted from above, so that small shares keep their digits.
	if n := len(o.trials.High); o.law == nil && o.miss == nil && n > 0 && x >= o.trials.High[0] {
		return float64(n-countUpTo(o.trials.High, x, true)) / float64(o.trials.N)
	}
	return 1 - o.CDF(x)
}

// below is the share of the trials up to x, or below it, without corrections.
func (o Output) below(x float64, included bool) float64 {
	t := o.trials
	switch {
	case math.IsNaN(x):
		return x
	// A simulation that was put together by hand has a histogram alone.
	case t.N == 0:
		return o.Histogram.upTo(x, nil)
	// In the lower tail, or where all trials were kept, it is a count.
	case len(t.Low) > 0 && x <= t.Low[len(t.Low)-1], len(t.Low) == t.N:
		return float64(countUpTo(t.Low, x, included)) / float64(t.N)
	case len(t.High) > 0 && x >= t.High[0]:
		return 1 - float64(len(t.High)-countUpTo(t.High, x, included))/float64(t.N)
	}
	// Between the tails the histogram decides, inside what the tails say.
	low, high := float64(len(t.Low))/float64(t.N), 1-float64(len(t.High))/float64(t.N)
	return max(low, min(high, o.Histogram.upTo(x, o.pilot)))
}

// countUpTo counts the values up to x in a rising list.
func countUpTo(sorted []float64, x float64, included bool) int {
	if included {
		// Below the next float64 is up to x.
		x = math.Nextafter(x, math.Inf(1))
	}
	i, _ := slices.BinarySearch(sorted, x)
	return i
}

// fewTrials are too few to say how the trials lie inside a bin.
const fewTrials = 20

// upTo is the share of the trials up to x, those outside all bins taken as at their edge;
// inside a bin they lie as those of the pilot do.
func (h Histogram) upTo(x float64, pilot []float64) float64 {
	total, before := h.Below+h.Above, h.Below
	for _, c := range h.Counts {
		total += c
	}
	// In widths of a bin from the lower edge.
	place := (x - h.Lower) / h.Width
	switch {
	case total == 0 || len(h.Counts) == 0 || math.IsNaN(place):
		return math.NaN()
	case place < 0:
		return 0
	case place > float64(len(h.Counts)):
		return 1
	}
	bin := min(int(place), len(h.Counts)-1)
	for _, c := range h.Counts[:bin] {
		before += c
	}
	// As if the trials were evenly spread inside the bin, unless the pilot knows better.
	part := place - float64(bin)
	edge := h.Lower + float64(float64(bin)*h.Width)
	first, last := countUpTo(pilot, edge, false), countUpTo(pilot, edge+h.Width, false)
	if last-first >= fewTrials {
		part = float64(countUpTo(pilot, x, true)-first) / float64(last-first)
	}
	return (float64(before) + float64(part*float64(h.Counts[bin]))) / float64(total)
}
