// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Sensor puts a decade box in the place of a sensor: the table of settings, the error of
// each in the unit of the sensor, what the class of the box allows, and what leads, steps
// and the test current add.
//
//	go run ./examples/sensor
//	go run ./examples/sensor -sensor "Pt1000 0.00391" -from -20 -to 60 -step 10
//	go run ./examples/sensor -sensor "NTC 10 kΩ 3977 K" -from 0 -to 100 -step 20 \
//		-wires 2 -lead 0.15
//	go run ./examples/sensor -sensor "240 Ω at 0 %, 33 Ω at 100 %" -step 25
//	go run ./examples/sensor -curve examples/formats/files/sensor.json
//	go run ./examples/sensor -box mybox/box.json -record mybox/record.json -format csv
//	go run ./examples/sensor -box examples/sensor/testdata/box.json -wires 3 \
//		-unequal "20 mΩ" -current "1 mA" -rth "30 K/W"
//
// The box is invented unless -box names a file; sensor -h lists the flags and the
// sensors that it knows.
//
// Disconnect the instrument's sensor input from everything else before the box is put in
// its place, and never connect the box to mains. Where the instrument controls heat, put
// it out of action first: it will act on what the box shows. Local codes and licensed
// practice come first.
package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/uncertainty/unit"
)

func main() {
	if err := run(os.Stdout, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "sensor:", unit.WithoutOp(err))
		os.Exit(1)
	}
}

func writeText(out io.Writer, o options, rows []decade.SensorPoint) error {
	x := o.standIn
	p := &printer{out: out, unit: x.Sensor.DifferenceUnit()}
	known := "described"
	if c := o.box.Calibration(); c != nil {
		known = "calibrated on " + c.Date.Format(time.DateOnly)
	}
	p.printf("The box in place of the sensor: %s, as %s.\n", o.box.Name(), known)
	p.printf("The sensor: %v, %s.\n\n", x.Sensor, o.leads())
	p.table(x.Sensor.Unit(), rows)
	p.printf("\nError: by how much the instrument reads high%s, if the box is as %s.\n",
		withLeads(x.Leads), known)
	p.printf("Class: the largest error that the class of the box allows%s. U: 95 %%.\n",
		withUnequal(x.Leads))

	p.coarse(o.box, rows, o.step)

	mid := rows[len(rows)/2]
	p.printf("\nWhat causes the error, at %s:\n", p.value(mid.Value, x.Sensor.Unit()))
	for _, c := range []struct {
		text string
		ohms float64
	}{
		{"half of the smallest step", smallestStep(o.box) / 2},
		{"the residual of the box", o.box.Zero().Value()},
		{"two leads of 50 mΩ without compensation", 0.1},
		{"leads of three wires that differ by 10 mΩ", 0.01},
		{"a contact that varies by 5 mΩ", 0.005},
	} {
		e, err := decade.SensorError(x.Sensor, mid.Value, c.ohms)
		if err != nil {
			return unit.Cause(err)
		}
		p.printf("  %-44s %9s  %+.3g %s\n", c.text, files.Ohms(c.ohms, 3), e, p.unit)
	}
	p.heating(x, rows)

	p.printf("\nAn instrument is often checked by differences, where residual and leads cancel:\n")
	low, high := rows[0].Setting, rows[len(rows)-1].Setting
	p.printf("  from %v to %v the resistance changes by %v\n", low, high, low.ChangeTo(high))
	if !mid.RatingKnown {
		p.printf("\nNo rating is stated for every dial in use: keep the current of the " +
			"instrument small.\n")
	}
	p.printf("\nBefore you connect the box, disconnect the instrument's input from everything " +
		"else and disable the\n" +
		"heaters and valves that it controls. Never on mains; local codes and licensed practice " +
		"come first.\n")
	return p.err
}

// smallestStep of the dials.
func smallestStep(b *decade.Box) float64 {
	least := math.Inf(1)
	for _, d := range b.Spec().Decades {
		least = min(least, d.Step)
	}
	return least
}
