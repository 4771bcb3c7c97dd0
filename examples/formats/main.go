// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Formats reads one small file of each kind that the library reads, and writes one of each
// kind that it writes. They are the examples of README.md beside this file.
//
//	go run ./examples/formats              # lists the files
//	go run ./examples/formats -out files   # writes them into a folder
//
// The box, the meter and the readings are invented; files/box.json, files/meter.json,
// files/readings.csv, files/materials.json, files/sensor.json, files/probe.json and
// files/model.json are templates for your own.
package main

import (
	"bytes"
	"context"
	"embed"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/certificate"
	"example.com/ohmwright/decade/fault"
	"example.com/ohmwright/decade/inspect"
	"example.com/ohmwright/decade/verify"
	commandline "example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/thermal"
	"example.com/ohmwright/thermal/material"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/conformity"
)

//go:embed files
var files embed.FS

func main() {
	if err := run(os.Stdout, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "formats:", err)
		os.Exit(1)
	}
}

func run(out io.Writer, arguments []string) error {
	p := commandline.New("formats", nil, "go run ./examples/formats",
		"go run ./examples/formats -out mybox/templates")
	dir := p.Flags.String("out", "", "`folder` to write the files to (none: they are listed)")
	if run, err := p.Parse(arguments, out); !run {
		return err
	}
	return list(out, *dir)
}

// templates are the files that people write, to start from.
var templates = []struct{ name, what string }{
	{"box.json", "a box"},
	{"meter.json", "a meter"},
	{"readings.csv", "readings of the box, as found and as left"},
	{"parties.json", "laboratory, persons and customer of a certificate"},
	{"earlier.json", "the table of a certificate on paper"},
	{"model.json", "a model of a measurement, for its budget"},
	{"sensor.json", "a sensor by its points"},
	{"probe.json", "a sensor by its coefficients"},
	{"materials.json", "wire and alloys of your own"},
	{"distribution.csv", "what is known of an input by values"},
}

// list lists the files, those that people write first, and writes them into a folder.
func list(out io.Writer, dir string) error {
	made, err := write()
	if err != nil {
		return err
	}
	var all []written
	for _, t := range templates {
		text, err := files.ReadFile("files/" + t.name)
		if err != nil {
			return err
		}
		all = append(all, written{t.name, t.what, text})
	}
	all = append(all, made...)
	if dir != "" {
		if err := os.MkdirAll(dir, 0o777); err != nil {
			return err
		}
	}
	for _, f := range all {
		fmt.Fprintf(out, "%-16s %5d bytes  %s\n", f.name, len(f.text), f.what)
		if dir != "" {
			if err := os.WriteFile(filepath.Join(dir, f.name), f.text, 0o644); err != nil {
				return err
			}
		}
	}
	return nil
}

// A written file has a name, what it is, and its text.
type written struct {
	name, what string
	text       []byte
}

// write reads the files that people write and makes the others of them.
func write() (list []written, err error) {
	add := func(name, what string, to func(io.Writer) error) {
		var text bytes.Buffer
		if err == nil {
			err = to(&text)
		}
		list = append(list, written{name, what, text.Bytes()})
	}
	addJSON := func(name, what string, v any) {
		add(name, what, func(w io.Writer) error { return writeJSON(w, v) })
	}

	box, err := read("box.json", decade.ReadBox)
	if err != nil {
		return nil, err
	}
	meter, err := read("meter.json", verify.ReadMeter)
	if err != nil {
		return nil, err
	}
	readings, err := read("readings.csv",
		func(r io.Reader) ([]verify.Reading, error) { return verify.ReadReadings(r, box) })
	if err != nil {
		return nil, err
	}
	if _, err := read("materials.json", material.Read); err != nil { // nothing here is made of them
		return nil, err
	}
	for _, name := range []string{"sensor.json", "probe.json"} { // nor of these
		if _, err := read(name, thermal.ReadSensor); err != nil {
			return nil, err
		}
	}
	if _, err := read("distribution.csv", uncertainty.ReadEmpirical); err != nil { // nor of this
		return nil, err
	}
	result, err := read("model.json", uncertainty.ReadModel)
	if err != nil {
		return nil, err
	}

	plan, err := verify.NewPlan(box, verify.ExtentMinimal)
	if err != nil {
		return nil, err
	}
	add("plan.csv", "a sheet to fill in: what to read, in which order",
		func(w io.Writer) error { return plan.WriteCSV(w, 2) })

	report, err := verify.Evaluate(box, meter, readings, conformity.Guarded(1))
	if err != nil {
		return nil, err
	}
	add("report.csv", "what a check found, a line a reading", report.WriteCSV)
	short, err := verify.Evaluate(box, meter, readings[:2], conformity.Guarded(1))
	if err != nil {
		return nil, err
	}
	addJSON("report.json", "the same with every budget, here of two readings", short)
	asFound, err := verify.Evaluate(box, meter, slices.DeleteFunc(slices.Clone(readings),
		func(r verify.Reading) bool { return r.Stage != verify.StageAsFound }),
		conformity.Guarded(1))
	if err != nil {
		return nil, err
	}
	diagnosis, err := fault.Diagnose(context.Background(), asFound)
	if err != nil {
		return nil, err
	}
	addJSON("diagnosis.json", "what may be wrong inside, the next step and the repair", diagnosis)
	inspection, err := inspect.NewInspection(box, meter, conformity.Guarded(1),
		fault.Options{Faults: 1})
	if err != nil {
		return nil, err
	}
	known := verify.Known{Name: "standard 100 Ω, serial 7", Value: 100.0012, U: 0.0004, K: 2}
	if err := inspection.Add(append(readings[:2:2], verify.Reading{
		Known: &known, Values: []float64{100.003}, Range: meter.Ranges[0].Name,
		Session: readings[0].Session,
	})...); err != nil {
		return nil, err
	}
	addJSON("inspection.json", "an inspection to go on with: box, meter, rule and the readings "+
		"so far", inspection)
	adjustment, err := calibrate.NewAdjustment(report)
	if err != nil {
		return nil, err
	}
	add("adjustment.csv", "as found and as left side by side", adjustment.WriteCSV)

	parties, err := read("parties.json", certificate.ReadParties)
	if err != nil {
		return nil, err
	}
	digital, err := certificate.New(report, parties)
	if err != nil {
		return nil, err
	}
	add("certificate.xml", "the digital calibration certificate", digital.WriteXML)

	calibration := certified(box, 2026)
	addJSON("calibration.json", "measured values of the elements of a box", calibration)
	measured, err := box.With(calibration)
	if err != nil {
		return nil, err
	}
	table, err := calibrate.Deviations(measured, 0.95)
	if err != nil {
		return nil, err
	}
	add("deviations.csv", "the table of a certificate", table.WriteCSV)
	drift, err := calibrate.NewDrift(box, calibration, certified(box, 2027))
	if err != nil {
		return nil, err
	}
	add("drift.csv", "how the elements change from record to record", drift.WriteCSV)

	budget, err := uncertainty.Evaluate(result)
	if err != nil {
		return nil, err
	}
	addJSON("budget.json", "an uncertainty budget", budget)
	add("budget.csv", "the same as a table", budget.WriteCSV)
	addJSON("record.json", "results with what correlates them",
		uncertainty.Record{ID: "bench 2026-03-02", Quantities: []uncertainty.Quantity{result}})
	simulation, err := uncertainty.MonteCarlo{Trials: 10_000, Bins: 4}.Run(context.Background(),
		result)
	if err != nil {
		return nil, err
	}
	addJSON("simulation.json", "a Monte Carlo run", simulation)
	return list, err
}
