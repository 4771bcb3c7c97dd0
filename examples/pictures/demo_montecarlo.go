// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"context"
	"fmt"

	"example.com/ohmwright/examples/pictures/internal/chart"
	"example.com/ohmwright/uncertainty"
)

// monteCarlo shows a case in which the law of propagation does not hold: a current
// from a voltage and a resistance that is poorly known.
func monteCarlo() (*chart.Figure, error) {
	b, o, err := simulated()
	if err != nil {
		return nil, err
	}
	note := fmt.Sprintf("Invented data. Intervals of %g %% coverage: y ± U by JCGM 100, the "+
		"others by JCGM 101, a million trials.", 100*o.Coverage)
	return chart.Distribution(b, o, "current",
		"Current of 10 V through a resistor between 70 Ω and 130 Ω", note)
}

func simulated() (*uncertainty.Budget, *uncertainty.Output, error) {
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(10, 0.2)}.Input()
	r := uncertainty.Source{Name: "R", Unit: "Ω", Distribution: uncertainty.Between(70,
		130)}.Input()
	i := v.Div(r).Named("I")
	b, err := uncertainty.Evaluate(i)
	if err != nil {
		return nil, nil, err
	}
	s, err := uncertainty.MonteCarlo{Seed: 1, Bins: 120}.Run(context.Background(), i)
	if err != nil {
		return nil, nil, err
	}
	return b, &s.Outputs[0], nil
}
