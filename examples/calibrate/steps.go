// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"cmp"
	"fmt"
	"io"
	"path"
	"slices"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

// open reads a file of the demonstration.
func open[T any](name string, from func(io.Reader) (T, error)) (T, error) {
	f, err := demo.Open(path.Join("demo", name))
	if err != nil {
		var none T
		return none, err
	}
	defer f.Close()
	return from(f)
}

// measure goes from a file of readings to a calibration.
func measure(out io.Writer, title string, box *decade.Box, file, id string) (*decade.Calibration,
	error) {
	meter, err := open("meter.json", verify.ReadMeter)
	if err != nil {
		return nil, err
	}
	readings, err := open(file, func(r io.Reader) ([]verify.Reading,
		error) {
		return verify.ReadReadings(r, box)
	})
	if err != nil {
		return nil, err
	}
	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
	if err != nil {
		return nil, err
	}
	fit, err := calibrate.NewFit(report, verify.StageAsFound)
	if err != nil {
		return nil, err
	}
	fmt.Fprintf(out, "%s: %v.\n\n", title, fit)
	return calibrate.NewCalibration(report, id) // refuses readings that contradict each other
}

// explain prints the resistance of a setting and where most of its uncertainty comes from.
func explain(out io.Writer, title string, s decade.Setting) error {
	b, err := uncertainty.Evaluate(s.Resistance())
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "%s: %v, nominal %v Ω, is %s at the terminals. Largest shares of the "+
		"variance,\nand the IDs (meter, session, source) by which records share a source:\n",
		title, s, s.Nominal(), b.PlusMinus(2))
	slices.SortFunc(b.Components, func(a, c uncertainty.Component) int {
		return cmp.Compare(c.Share,
			a.Share)
	})
	for _, c := range b.Components[:4] {
		fmt.Fprintf(out, "  %4.1f %%  %-36s %s\n", 100*c.Share, c.Name, c.ID)
	}
	fmt.Fprintln(out)
	return nil
}
