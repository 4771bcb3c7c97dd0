// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/uncertainty/unit"
)

// options are what the flags say.
type options struct {
	box            *decade.Box
	standIn        decade.StandIn
	from, to, step float64
}

// leads says how the sensor is connected.
func (o options) leads() string {
	l := o.standIn.Leads
	switch {
	case l.Wires == 2:
		return fmt.Sprintf("two wires, %s each", unit.Format(l.Each, unit.Ohm))
	case l.Wires == 3 && l.Unequal > 0:
		return fmt.Sprintf("three wires, alike within %s", unit.Format(l.Unequal, unit.Ohm))
	case l.Wires == 3:
		return "three wires, taken as alike"
	}
	return "four wires"
}

// run reads the flags and writes the table.
func run(out io.Writer, arguments []string) error {
	var o options
	x := &o.standIn
	p := files.New("sensor", nil,
		"go run ./examples/sensor -sensor Pt1000 -from -20 -to 60 -step 10",
		"go run ./examples/sensor -box mybox/box.json -record mybox/record.json -curve "+
			"mybox/probe.json -wires 2 -lead \"0.15 Ω\"")
	name := p.Flags.String("sensor", "Pt100", "`name` of the sensor, see below")
	curve, box, record := p.File("curve"), p.File("box"), p.File("record")
	for _, f := range []struct {
		name, usage string
		value       *float64
	}{
		{"from", "first `value` (none: the lowest of the sensor, 0 °C for thermometers)", &o.from},
		{"to", "last `value` (none: the highest of the sensor, 100 °C for thermometers)", &o.to},
		{"step", "`step` between two values (none: a tenth of the span)", &o.step},
	} {
		p.Flags.Float64Var(f.value, f.name, 0, f.usage)
	}
	p.Flags.IntVar(&x.Leads.Wires, "wires", 4, "`number` of wires between instrument and box: 2, "+
		"3, 4")
	p.Quantity(&x.Leads.Each, "lead", "`resistance` of each lead; two wires", unit.Ohm, "Ω")
	p.Quantity(&x.Leads.Unequal, "unequal", "`resistance` by which leads may differ; three wires",
		unit.Ohm, "Ω")
	p.Quantity(&x.Current, "current", "`current` of the instrument", unit.Ampere, "A")
	p.Quantity(&x.ThermalResistance, "rth",
		"thermal `resistance` from the sensor to what it measures", unit.KelvinPerWatt, "K/W")
	p.Formats("text", "csv", "json")
	p.Explain(writeForms)
	run, err := p.Parse(arguments, out)
	if !run {
		return err
	}
	switch {
	case p.Given("sensor") && p.Given("curve"):
		return errors.New("-sensor and -curve; expected one of them")
	case *record != "" && *box == "":
		return errors.New("-record without -box; expected the file that describes the box " +
			"beside it")
	case *curve != "":
		x.Sensor, err = files.Open(p, *curve, "", thermal.ReadSensor)
	default:
		x.Sensor, err = thermal.ParseSensor(*name)
		err = unit.Cause(err)
	}
	if err != nil {
		return err
	}
	o.fill(p)
	if o.box, err = lessonBox(); *box != "" {
		o.box, err = files.OpenBox(p, *box, *record)
	}
	if err != nil {
		return err
	}
	if o.from > o.to {
		return fmt.Errorf("-from %g and -to %g; expected the lower first", o.from, o.to)
	}
	low, high := x.Sensor.Range()
	for _, end := range []struct {
		flag  string
		value float64
	}{{"-from", o.from}, {"-to", o.to}} {
		if end.value < low || end.value > high {
			return fmt.Errorf("%s %g; expected %g to %g %s, the range of the sensor (%v)", end.flag,
				end.value, low, high, x.Sensor.Unit(), x.Sensor)
		}
	}
	rows, err := o.box.SensorTable(context.Background(), *x, o.from, o.to, o.step, decade.Search{})
	if err != nil {
		return unit.Cause(err)
	}
	return p.Write(out, "sensor",
		files.Form{Format: "text", Write: func(w io.Writer) error { return writeText(w, o, rows) }},
		files.Form{Format: "csv", Write: func(w io.Writer) error { return writeCSV(w, o, rows) }},
		files.JSON(tableOf(o, rows)))
}

func writeForms(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintln(&b, "\nSensors:")
	for what, example := range thermal.SensorForms() {
		fmt.Fprintf(&b, "  %s\n      %s\n", example, what)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// fill puts the range in that was not given.
func (o *options) fill(p *files.Program) {
	low, high := o.standIn.Sensor.Range()
	if o.standIn.Sensor.Unit() == "°C" {
		low, high = max(low, 0), min(high, 100)
	}
	if !p.Given("from") {
		o.from = low
	}
	if !p.Given("to") {
		o.to = high
	}
	if !p.Given("step") {
		o.step = (o.to - o.from) / 10
	}
}

// lessonBox is invented.
func lessonBox() (*decade.Box, error) {
	return decade.New(decade.Spec{
		Name: "lesson box", Residual: 0.03, ResidualTolerance: 0.01,
		Decades: []decade.Decade{
			{Step: 10000, Tolerance: 0.0002}, {Step: 1000, Tolerance: 0.0002}, {Step: 100,
				Tolerance: 0.0002},
			{Step: 10, Tolerance: 0.0005}, {Step: 1, Tolerance: 0.002},
			{Step: 0.1, Tolerance: 0.02},
		},
	})
}
