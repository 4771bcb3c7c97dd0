// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"example.com/ohmwright/uncertainty"
)

// lesson goes through two cases.
func lesson(out io.Writer) error {
	say := func(format string, args ...any) { fmt.Fprintf(out, format+"\n", args...) }

	say("FIRST CASE: substitution\n")
	say("1. The model says how the result depends on everything that is not known exactly:\n")
	const model = "(Rs + drift + tempS)*ratio*parasitics - tempX"
	say("   Rx = %s\n", model)
	rx, err := substitution(model)
	if err != nil {
		return err
	}
	say("2. Each input has an estimate and a standard uncertainty. Type A comes from the " +
		"scatter of")
	say("   readings, type B from anything else: a certificate, limits, experience.")
	say("3. The law of propagation: each contribution is sensitivity times standard uncertainty, " +
		"and")
	say("   their squares add. The share of variance shows where work would pay.\n")
	if err := judge(out, rx); err != nil {
		return err
	}

	say("\nSECOND CASE: a quotient with a wide divisor\n")
	say("   I = V/R, V = 10 V with u = 0.01 V, R anywhere between 70 Ω and 130 Ω\n")
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(10,
		0.01)}.Input()
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Between(70,
		130)}.Input()
	return judge(out, v.Div(r).Named("I"))
}

// substitution builds the model of the first case. A formula is text; its names are
// those of the inputs.
func substitution(model string) (uncertainty.Quantity, error) {
	ohm := func(name, note string, d uncertainty.Distribution) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Unit: "Ω", Note: note, Distribution: d}.Input()
	}
	ratio := func(name, note string, d uncertainty.Distribution) uncertainty.Quantity {
		return uncertainty.Source{Name: name, Unit: "1", Note: note, Distribution: d}.Input()
	}
	rx, err := uncertainty.Formula(model,
		ohm("Rs", "certificate: U = 8 mΩ, k = 2", uncertainty.Certificate(10000.041, 0.008, 2)),
		ohm("drift", "of the standard since then, from its history", uncertainty.Rectangular(0.015,
			0.012)),
		ohm("tempS", "bath within ±0.05 K, standard 5 ppm/K", uncertainty.Rectangular(0, 0.0025)),
		ratio("ratio", "five readings of the ratio", uncertainty.TypeA(1.0000112, 1.0000115,
			1.0000114, 1.0000110, 1.0000114)),
		ratio("parasitics", "leakage and wiring, two equal limits",
			uncertainty.Triangular(1, 1e-6)),
		ohm("tempX", "bath within ±0.05 K, unknown 10 ppm/K", uncertainty.Rectangular(0, 0.005)))
	return rx.Named("Rx"), err
}

// judge evaluates a measurand in three ways and compares them.
func judge(out io.Writer, y uncertainty.Quantity) error {
	say := func(format string, args ...any) { fmt.Fprintf(out, format+"\n", args...) }
	first, err := uncertainty.Evaluate(y)
	if err != nil {
		return err
	}
	if err := first.WriteText(out); err != nil {
		return err
	}

	second, err := uncertainty.SecondOrder(y)
	if err != nil {
		return err
	}
	say("\nSecond order: is the model linear over the width of its inputs?")
	say("   u = %.4g at first order, %.4g with the curvature of the model",
		first.StandardUncertainty, second.StandardUncertainty)

	simulation, err := uncertainty.MonteCarlo{Seed: 1}.Run(context.Background(), y)
	if err != nil {
		return err
	}
	sim := simulation.Outputs[0]
	// More digits than u has would be those of the random numbers.
	to := func(v float64) string {
		digits, _, _ := strings.Cut(uncertainty.FormatPlusMinus(v, first.StandardUncertainty, 1),
			" ± ")
		return digits
	}
	say("\nMonte Carlo: %d draws from the distributions themselves, no linear model, no k",
		simulation.Trials)
	say("   estimate %s", uncertainty.FormatConcise(sim.Estimate, sim.StandardUncertainty, 2))
	say("   %g %% of them lie between %s and %s", 100*sim.Coverage, to(sim.Symmetric.Lower),
		to(sim.Symmetric.Upper))

	const digits = 1
	comparison, err := uncertainty.Compare(first, &sim, digits)
	if err != nil {
		return err
	}
	say("\nDoes the law of propagation stand, to one significant digit of u? (JCGM 101 clause 8)")
	say("   its interval is %s to %s, that of the simulation %s to %s", to(comparison.Linear.Lower),
		to(comparison.Linear.Upper), to(sim.Symmetric.Lower), to(sim.Symmetric.Upper))
	say("   the ends may differ by %.1g; they differ by %.1f times that", comparison.Tolerance,
		max(comparison.DLow, comparison.DHigh)/comparison.Tolerance)
	if comparison.Stands {
		say("   It does: report y ± U.")
	} else {
		say("   It does not: report the interval of the simulation.")
	}
	return nil
}
