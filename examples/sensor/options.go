// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"

	"example.com/ohmwright/decade"
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

// quantity is a flag with a unit; a number without one is in the unit bare.
type quantity struct {
	value     *float64
	dimension unit.Dimension
	bare      string
}

func (q quantity) String() string { return "" }

func (q quantity) Set(text string) error {
	v, err := unit.Parse(text+q.bare, q.dimension) // "0.15", "20m"
	if err != nil {
		v, err = unit.Parse(text, q.dimension)
	}
	*q.value = v
	return err
}

// run reads the flags and prints the table.
func run(out io.Writer, arguments []string) error {
	var o options
	x := &o.standIn
	set := flag.NewFlagSet("sensor", flag.ContinueOnError)
	set.SetOutput(io.Discard) // the error says it
	name := set.String("sensor", "Pt100", "`name` of the sensor, see below")
	table := set.String("table", "", "`file` with the points of a sensor, in place of a name")
	box := set.String("box", "", "`file` that describes the box (none: an invented one)")
	for _, f := range []struct {
		name, usage string
		value       *float64
	}{
		{"from", "first `value` (none: the least of the sensor, of thermometers 0 °C)", &o.from},
		{"to", "last `value` (none: the greatest of the sensor, of thermometers 100 °C)", &o.to},
		{"step", "`step` between two values (none: a tenth of them)", &o.step},
	} {
		set.Float64Var(f.value, f.name, 0, f.usage)
	}
	set.IntVar(&x.Leads.Wires, "wires", 4, "`number` of wires between instrument and box: 2, 3, 4")
	for _, f := range []struct {
		name, usage string
		quantity
	}{
		{"lead", "`resistance` of each lead; two wires", quantity{&x.Leads.Each, unit.Ohm, "Ω"}},
		{"unequal", "`resistance` by which leads may differ; three wires", quantity{&x.Leads.Unequal, unit.Ohm, "Ω"}},
		{"current", "`current` of the instrument", quantity{&x.Current, unit.Ampere, "A"}},
		{"rth", "thermal `resistance` of the sensor to what it measures", quantity{&x.ThermalResistance, unit.KelvinPerWatt, "K/W"}},
	} {
		set.Var(f.quantity, f.name, f.usage)
	}
	err := set.Parse(arguments)
	switch {
	case errors.Is(err, flag.ErrHelp):
		return help(out, set)
	case err != nil:
		return err
	case set.NArg() > 0:
		return fmt.Errorf("%q: expected flags only", set.Arg(0))
	}
	given := map[string]bool{}
	set.Visit(func(f *flag.Flag) { given[f.Name] = true })
	switch {
	case given["sensor"] && given["table"]:
		return errors.New("sensor and table: expected one of them")
	case given["table"]:
		x.Sensor, err = ofTable(*table)
	default:
		x.Sensor, err = thermal.ParseSensor(*name)
		err = unit.Cause(err)
	}
	if err != nil {
		return err
	}
	o.fill(given)
	if o.box, err = open(*box); err != nil {
		return err
	}
	return sensor(out, o)
}

func help(out io.Writer, set *flag.FlagSet) error {
	set.SetOutput(out)
	set.PrintDefaults()
	fmt.Fprintln(out, "\nSensors:")
	for what, example := range thermal.SensorForms() {
		if _, err := fmt.Fprintf(out, "  %s\n      %s\n", example, what); err != nil {
			return err
		}
	}
	return nil
}

// fill puts the range in that was not given.
func (o *options) fill(given map[string]bool) {
	low, high := o.standIn.Sensor.Range()
	if o.standIn.Sensor.Unit() == "°C" {
		low, high = max(low, 0), min(high, 100)
	}
	if !given["from"] {
		o.from = low
	}
	if !given["to"] {
		o.to = high
	}
	if !given["step"] {
		o.step = (o.to - o.from) / 10
	}
}

// ofTable reads the points of a sensor.
func ofTable(name string) (thermal.Sensor, error) {
	f, err := os.Open(name)
	if err != nil {
		return thermal.Sensor{}, err
	}
	defer f.Close()
	table, err := thermal.ReadTable(f)
	if err != nil {
		return thermal.Sensor{}, fmt.Errorf("%s: %w", name, err)
	}
	return table.Sensor()
}

// open reads the box of a file; the other is invented.
func open(name string) (*decade.Box, error) {
	if name == "" {
		return decade.New(decade.Spec{
			Name: "lesson box", Residual: 0.03, ResidualTolerance: 0.01,
			Decades: []decade.Decade{
				{Step: 10000, Tolerance: 0.0002}, {Step: 1000, Tolerance: 0.0002}, {Step: 100, Tolerance: 0.0002},
				{Step: 10, Tolerance: 0.0005}, {Step: 1, Tolerance: 0.002}, {Step: 0.1, Tolerance: 0.02},
			},
		})
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	b, err := decade.ReadBox(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return b, nil
}
