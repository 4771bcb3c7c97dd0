// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Sensor is a lesson on a decade box that stands in for a resistance thermometer: the table
// of settings with the error of each in kelvins, and what steps, residual and leads add.
//
//	go run ./examples/sensor
//
// The box is invented: four dials, 100 Ω to 0.1 Ω per step, 30 mΩ with all dials at zero. Disconnect
// the instrument's sensor input from anything else before the box is put in its place.
package main

import (
	"context"
	"fmt"
	"io"
	"os"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/thermal"
)

func main() {
	if err := run(os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "sensor:", err)
		os.Exit(1)
	}
}

func run(out io.Writer) error {
	box, err := decade.New(decade.Spec{
		Name: "lesson box", Residual: 0.03, ResidualTolerance: 0.01,
		Decades: []decade.Decade{
			{Step: 100, Tolerance: 0.0002}, {Step: 10, Tolerance: 0.0005}, {Step: 1, Tolerance: 0.002}, {Step: 0.1, Tolerance: 0.02},
		},
	})
	if err != nil {
		return err
	}
	pt := thermal.Platinum(100)
	fmt.Fprintf(out, "Settings for a thermometer, %v. Error: how much too warm the instrument\nsees it, at the value of the box as described.\n\n", pt)
	rows, err := box.SensorTable(context.Background(), decade.Sensor{Thermometer: pt}, -50, 250, 25, decade.Search{})
	if err != nil {
		return err
	}
	print(out, rows)

	fmt.Fprintln(out, "\nWhat makes the error, at 100 °C:")
	for _, c := range []struct {
		text string
		ohms float64
	}{
		{"half of the smallest step, 50 mΩ", 0.05},
		{"the residual, 30 mΩ", 0.03},
		{"two-wire connection, 2 × 50 mΩ", 0.1},
		{"a contact that varies by 5 mΩ", 0.005},
	} {
		k, err := decade.TemperatureError(pt, 100, c.ohms)
		if err != nil {
			return err
		}
		fmt.Fprintf(out, "  %-34s %+.3f K\n", c.text, k)
	}
	return leads(out, box, pt)
}

func print(out io.Writer, rows []decade.SensorPoint) {
	fmt.Fprintln(out, "     °C         Ω  dials        error/K   U/K (95 %, the box alone)")
	for _, r := range rows {
		fmt.Fprintf(out, "%7.1f  %8.3f  %-10v   %+6.3f   %.3f\n", r.Temperature, r.Resistance, r.Setting, r.Error, r.U)
	}
}

// leads shows what the table does about them: they are part of what the instrument sees, so
// the setting makes up for them, as far as its steps allow.
func leads(out io.Writer, box *decade.Box, pt thermal.Thermometer) error {
	fmt.Fprintln(out, "\nIn two-wire connection with 2 × 150 mΩ the settings make up for the leads:")
	rows, err := box.SensorTable(context.Background(), decade.Sensor{Thermometer: pt, Leads: 0.3}, 0, 100, 50, decade.Search{})
	if err != nil {
		return err
	}
	print(out, rows)

	fmt.Fprintln(out, "\nAn instrument is often checked by differences, in which residual and leads drop out:")
	low, high := rows[0].Setting, rows[len(rows)-1].Setting
	change := low.ChangeTo(high)
	fmt.Fprintf(out, "  from %v to %v the resistance rises by %v\n", low, high, change)
	return nil
}
