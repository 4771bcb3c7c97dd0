// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"encoding/json"
	"errors"
	"strconv"

	"example.com/ohmwright/uncertainty/unit"
)

// mostSampling is the part of a simulated standard uncertainty that its own sampling error
// may be.
const mostSampling = 0.1

// HasStandardUncertainty reports whether the standard deviation of the trials is one of the
// output: it is not where an input is drawn from a distribution without a standard
// deviation, nor where another seed would move it by a tenth or more, as with a quotient
// whose divisor comes near 0. Then only the intervals hold, and the text and the JSON of
// the output leave it out.
func (o Output) HasStandardUncertainty() bool {
	return !o.momentless && o.Sampling.StandardUncertainty <= mostSampling*o.StandardUncertainty
}

// checkMoments marks the outputs that have no standard uncertainty, and warns of them.
func (s *Simulation) checkMoments(warnings []error) {
	momentless := false
	for _, w := range warnings {
		momentless = momentless || errors.Is(w, ErrNoMoments)
	}
	for i := range s.Outputs {
		o := &s.Outputs[i]
		o.momentless = momentless
		if !momentless && !o.HasStandardUncertainty() {
			s.Warnings = append(s.Warnings, &Error{Op: "uncertainty.MonteCarlo", Name: o.Name, Value: o.StandardUncertainty, Err: unit.Errorf(ErrNoMoments,
				"the standard deviation of the trials, %s, has a sampling error of %s: a few far trials make it, and the mean; the coverage intervals hold",
				significant(o.StandardUncertainty, 2), significant(o.Sampling.StandardUncertainty, 2))})
		}
	}
}

// MarshalJSON writes every figure in full precision; where the output has no standard
// uncertainty, the key is left out. examples/formats/README.md lists the keys.
func (o Output) MarshalJSON() ([]byte, error) {
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
	at := func(v float64) string { return roundedTo(v, i.Width()/2) }
	return at(i.Lower) + " to " + withUnit(at(i.Upper), symbol)
}

// percentage prints a probability as per cent, to four digits.
func percentage(p float64) string { return strconv.FormatFloat(100*p, 'g', 4, 64) }
