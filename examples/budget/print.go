// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

func (r *result) writeText(w io.Writer) error {
	var b strings.Builder
	say := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	if r.Model != "" {
		say("Model: %s\n", r.Model)
	}
	say("LAW OF PROPAGATION (JCGM 100)\n")
	if err := r.Budget.WriteText(&b); err != nil {
		return err
	}
	say("\nSECOND ORDER: is the model linear over the width of its inputs?\n")
	switch {
	case r.noSecond != nil:
		say("no result: %v", unit.Cause(r.noSecond))
	default:
		say("u = %.4g at first order, %.4g with the curvature of the model",
			r.Budget.StandardUncertainty, r.SecondOrder.StandardUncertainty)
		for _, warning := range r.SecondOrder.Warnings {
			say("warning: %v", unit.Cause(warning))
		}
	}
	say("\nMONTE CARLO (JCGM 101): the distributions themselves\n")
	o := &r.Simulation.Outputs[0]
	say("%v\n%d trials", o, r.Simulation.Trials)
	for _, warning := range r.Simulation.Warnings {
		say("warning: %v", unit.Cause(warning))
	}
	writeHistogram(&b, o, r.Budget)
	say("\nVALIDATION (JCGM 101 clause 8)\n")
	say("%v", r.Comparison)
	if r.Comparison.Stands {
		say("The law of propagation stands: report y ± U.")
	} else {
		say("The law of propagation does not stand: report the interval of the simulation.")
	}
	if r.Vary != nil {
		say("\nEFFECT OF %s\n", r.Vary.Input)
		if err := r.Vary.WriteText(&b); err != nil {
			return err
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// rows and widest give the size of a histogram in text.
const (
	rows   = 20
	widest = 48
)

// writeHistogram draws how the trials lie, over four fifths of the width that the bins
// span: the rest are tails that no bar shows. Rows inside the symmetric interval are full.
func writeHistogram(b *strings.Builder, o *uncertainty.Output, budget *uncertainty.Budget) {
	width := o.Symmetric.Width()
	low, high := o.Symmetric.Lower-0.2*width, o.Symmetric.Upper+0.2*width
	step := (high - low) / rows
	shares := make([]float64, rows)
	most := 0.0
	for i := range shares {
		from := low + float64(i)*step
		shares[i] = o.CDF(from+step) - o.CDF(from)
		most = max(most, shares[i])
	}
	if !(most > 0) || math.IsInf(step, 0) {
		return
	}
	fmt.Fprintf(b, "\n%s, shares of the trials; solid: inside the symmetric interval\n", heading(o))
	for i, share := range shares {
		middle := low + (float64(i)+0.5)*step
		bar := strings.Repeat(cell(o.Symmetric.Contains(middle)),
			int(math.Round(widest*share/most)))
		text, _, _ := strings.Cut(uncertainty.FormatPlusMinus(middle,
			max(step, 0.1*budget.StandardUncertainty), 1), " ± ")
		fmt.Fprintf(b, "%14s  %5.1f %%  %s\n", text, 100*share, bar)
	}
}

func heading(o *uncertainty.Output) string {
	name := o.Name
	if name == "" {
		name = "result"
	}
	if o.Unit != "" && o.Unit != "1" {
		name += "/" + o.Unit
	}
	return name
}

func cell(inside bool) string {
	if inside {
		return "█"
	}
	return "░"
}
