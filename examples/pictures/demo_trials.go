// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"context"

	"example.com/ohmwright/examples/pictures/internal/chart"
	"example.com/ohmwright/uncertainty"
)

// trials shows by how much the upper end of an interval moves from seed to seed, with and
// without the twin that corrects it: a power from a voltage known to 1 % and a resistance
// known to ±1 %.
func trials() (*chart.Figure, error) {
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(10, 0.1)}.Input()
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Rectangular(100,
		1)}.Input()
	p := v.Mul(v).Div(r).Named("P")
	runs := func(m uncertainty.MonteCarlo) ([]uncertainty.Output, error) {
		const seeds = 24
		var out []uncertainty.Output
		for m.Seed = 1; m.Seed <= seeds; m.Seed++ {
			s, err := m.Run(context.Background(), p)
			if err != nil {
				return nil, err
			}
			out = append(out, s.Outputs[0])
		}
		return out, nil
	}
	var points []chart.Repeated
	for n := 4_000; n <= 256_000; n *= 2 {
		plain, err := runs(uncertainty.MonteCarlo{Trials: n, Twin: uncertainty.TwinOff})
		if err != nil {
			return nil, err
		}
		twin, err := runs(uncertainty.MonteCarlo{Trials: n})
		if err != nil {
			return nil, err
		}
		points = append(points, chart.Repeated{Trials: n, Plain: plain, Twin: twin})
	}
	return chart.Trials(points, "Scatter of the upper end of a 95 % interval over seeds, against "+
		"the number of trials",
		"Invented data: V²/R with u(V)/V = 1 % and R within 1 %. Marks: standard deviation over "+
			"24 seeds. Lines: what single runs say.")
}
