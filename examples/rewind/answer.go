// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
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

func (w *work) answer() (answer, error) {
	r := w.requirement
	a := answer{Ohms: r.Ohms, Power: r.Power, MaxRise: r.MaxRise, Reading: w.trimFrom,
		Caution: caution, Wire: []wireCut{{"table", w.rough.estimate, w.rough.expanded}}}
	if w.measured > 0 {
		a.Wire = append(a.Wire, wireCut{"spool", w.spool.estimate, w.spool.expanded})
	}
	for _, p := range w.ranked {
		tau, err := p.TimeConstantLimits()
		if err != nil {
			return a, err
		}
		a.Plans = append(a.Plans, plan{
			Material: p.Conductor.Material.Name, Gauge: p.Conductor.Gauge.String(),
			Construction: p.Winding.Construction.String(), Covering: p.Covering.String(),
			Turns: p.Winding.Turns,
			Cut:   p.Cut, Rise: p.Rise, Inductance: p.L, Capacitance: p.C,
			TimeConstant: [2]float64{tau.Lower, tau.Upper}, GivenUp: p.GivenUp,
		})
	}
	for _, s := range w.steps {
		x := step{Operation: s.Operation.String(), Text: s.Text, Wire: s.Wire}
		if s.Operation == winding.TrimFine {
			x.Pad = s.Pad.Added
		}
		a.Steps = append(a.Steps, x)
	}
	return a, nil
}
