// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"errors"
	"fmt"
	"io"
	"math"

	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
	"example.com/ohmwright/wire"
	"example.com/ohmwright/wire/winding"
)

// job prints and keeps the first error, so that the lesson reads straight down.
type job struct {
	out io.Writer
	err error
}

func (j *job) printf(format string, a ...any) {
	if j.err == nil {
		fmt.Fprintf(j.out, format, a...)
	}
}

func (j *job) number(v float64, err error) float64 {
	if j.err == nil {
		j.err = err
	}
	return v
}

// evaluated returns a length with its expanded uncertainty (95 %).
func evaluated(q uncertainty.Quantity) (length, error) {
	b, err := uncertainty.Evaluate(q)
	if err != nil {
		return length{}, err
	}
	return length{b.Estimate, b.Expanded.U}, nil
}

// plan prints the figures of one plan.
func (j *job) plan(r winding.Requirement, p winding.Plan) {
	layers := "one layer"
	if p.Layers > 1 {
		layers = fmt.Sprintf("%d layers, %.1f mm high", p.Layers, p.Build*1e3)
	}
	j.printf("   cut %.2f m in all, %.0f %% of it spare; %s, %.1f mm wide\n", p.Cut, r.Spare*100,
		layers, p.Width*1e3)
	tau, err := p.TimeConstantLimits()
	j.number(0, err)
	f, err := p.FrequencyForMagnitude(0.001)
	good := fmt.Sprintf("|Z| within 0.1 %% of R up to %s", unit.Format(rounded(f), unit.Hertz))
	if errors.Is(err, winding.ErrUnreachable) {
		good, err = "|Z| within 0.1 % of R as far as the model goes", nil
	}
	j.number(0, err)
	j.printf("   %s, %s: time constant %s to %s; %s\n", unit.Format(rounded(p.L), unit.Henry),
		unit.Format(rounded(p.C), unit.Farad),
		unit.Format(rounded(tau.Lower), unit.Second), unit.Format(rounded(tau.Upper), unit.Second),
		good)
	if r.Power > 0 {
		j.printf("   %.0f K at %s, that is %.3g mA, %.3g V\n", p.Rise,
			unit.Format(r.Power, unit.Watt), 1e3*math.Sqrt(r.Power/r.Ohms),
			math.Sqrt(r.Power*r.Ohms))
	} else {
		surface := j.number(r.Former.Surface(p.Lay))
		j.printf("   %.2g W warms it by %.0f K\n",
			j.number(winding.PowerForRise(r.MaxRise, surface, winding.StillAir)), r.MaxRise)
	}
	for _, s := range p.GivenUp {
		j.printf("   - %s\n", s)
	}
}

// measured is a spool of which a metre was measured, to 0.05 %.
func measured(c wire.Conductor, perMetre float64) *wire.Spool {
	q := uncertainty.Input("ohms per metre", uncertainty.Normal(perMetre, 0.0005*perMetre))
	return wire.MeasuredSpool("spool", q, c.Gauge.Diameter(),
		thermal.ExactLaw(c.Material.Law.Exact()))
}
