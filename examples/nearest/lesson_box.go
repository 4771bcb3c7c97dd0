// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"math"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// power is the rating of an element in watts.
const power = 0.5

// describedBox is the box by its plate.
func describedBox() (*decade.Box, error) {
	dial := func(step float64) decade.Decade {
		return decade.Decade{Step: step, Tolerance: 0.005, ElementPower: power}
	}
	return decade.New(decade.Spec{Name: "lesson box", Residual: 0.02, ResidualTolerance: 0.01,
		Decades: []decade.Decade{dial(1000), dial(100), dial(10), dial(1)}})
}

// calibrated invents what the elements measured: a slow wave over the box, and one meter.
func calibrated(box *decade.Box) (*decade.Box, error) {
	gain := uncertainty.Source{Name: "meter gain", ID: "lesson meter/gain",
		Distribution: uncertainty.Normal(0, 25e-6)}.Input()
	c := decade.Calibration{Box: box.Name(), Date: time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC),
		Values: uncertainty.Record{ID: "lesson box 2026-03-01"}}
	add := func(name string, ohms float64) {
		q := uncertainty.Input("offset of "+name,
			uncertainty.Rectangular(0, 0.001)).Add(uncertainty.Exact(1).Add(gain).Scale(ohms))
		c.Values.Quantities = append(c.Values.Quantities, q.Named(name))
	}
	add(decade.ResidualName, 0.023)
	for i, d := range box.Decades() {
		for e := 1; e <= d.NumElements(); e++ {
			add(box.ElementName(i, e), d.Step*(1+0.003*math.Sin(float64(3*i+e))))
		}
	}
	return box.With(&c)
}
