// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/wire/winding"
)

// answer is the result for other programs, in SI units.
type answer struct {
	Ohms    float64   `json:"ohms"`
	Power   float64   `json:"power"`
	MaxRise float64   `json:"maxRise"`
	Plans   []plan    `json:"plans"`
	Wire    []wireCut `json:"wireOfFirstPlan"`
	Reading float64   `json:"trimmedFrom"`
	Steps   []step    `json:"steps"`
	Caution string    `json:"caution"`
}

type plan struct {
	Material     string     `json:"material"`
	Gauge        string     `json:"gauge"`
	Construction string     `json:"construction"`
	Covering     string     `json:"covering"`
	Turns        float64    `json:"turns"`
	Cut          float64    `json:"cut"` // m in all, with what is spare
	Rise         float64    `json:"rise"`
	Inductance   float64    `json:"inductance"`
	Capacitance  float64    `json:"capacitance"`
	TimeConstant [2]float64 `json:"timeConstant"` // lower and upper limit
	GivenUp      []string   `json:"givenUp,omitempty"`
}

// wireCut is how long the wire is, by the table or by the spool that was measured.
type wireCut struct {
	By     string  `json:"by"`
	Length float64 `json:"length"`
	U      float64 `json:"u95"`
}

type step struct {
	Operation string  `json:"operation"`
	Text      string  `json:"text"`
	Wire      float64 `json:"wire,omitempty"` // m to add; negative: to take off
	Pad       float64 `json:"pad,omitempty"`  // Ω across it
}

// figures keeps six: a plan is not worth more, and the last ones depend on the processor.
func figures(v float64) float64 { return files.Rounded(v, 6) }

func (w *work) answer() (answer, error) {
	r := w.requirement
	a := answer{Ohms: r.Ohms, Power: r.Power, MaxRise: r.MaxRise, Reading: w.trimFrom,
		Caution: caution,
		Wire:    []wireCut{{"table", figures(w.rough.estimate), figures(w.rough.expanded)}}}
	if w.measured > 0 {
		a.Wire = append(a.Wire, wireCut{"spool", figures(w.spool.estimate),
			figures(w.spool.expanded)})
	}
	for _, p := range w.ranked {
		tau, err := p.TimeConstantLimits()
		if err != nil {
			return a, err
		}
		a.Plans = append(a.Plans, plan{
			Material: p.Conductor.Material.Name, Gauge: p.Conductor.Gauge.String(),
			Construction: p.Winding.Construction.String(), Covering: p.Covering.String(),
			Turns: figures(p.Winding.Turns), Cut: figures(p.Cut), Rise: figures(p.Rise),
			Inductance: figures(p.L), Capacitance: figures(p.C),
			TimeConstant: [2]float64{figures(tau.Lower), figures(tau.Upper)}, GivenUp: p.GivenUp,
		})
	}
	for _, s := range w.steps {
		x := step{Operation: s.Operation.String(), Text: s.Text, Wire: figures(s.Wire)}
		if s.Operation == winding.TrimFine {
			x.Pad = figures(s.Pad.Added)
		}
		a.Steps = append(a.Steps, x)
	}
	return a, nil
}
