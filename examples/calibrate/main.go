// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Calibrate turns readings of a decade box into a record of its elements, and uses it: the
// table of the certificate, as found and as left, the drift since earlier records, when a
// setting leaves its class, and the digital calibration certificate.
//
//	go run ./examples/calibrate
//
// go run ./examples/calibrate -box mybox/box.json -meter mybox/meter.json -readings
// mybox/readings.csv -out mybox
// go run ./examples/calibrate -box mybox/box.json -record mybox/record.json -earlier
// mybox/record-2025.json -date 2027-10-01
//
//	go run ./examples/calibrate -certificate certificate.xml
//
// Without flags it is a lesson. Its data are invented: a box of three dials, 1 Ω to 100 Ω per
// step (the middle one made of four resistors in the code 1-2-2-5), read four-wire in two
// years after the recommended plan. Between the two years someone overloaded the seventh
// 100 Ω step. With -certificate alone it writes the certificate of its second year.
//
// Readings need the box disconnected from everything, discharged, and a test current
// within the rating of its smallest dial. Local codes and licensed practice come first.
package main

import (
	"embed"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/uncertainty/unit"
)

//go:embed demo
var demo embed.FS

func main() {
	if err := run(os.Stdout, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "calibrate:", unit.WithoutOp(err))
		os.Exit(1)
	}
}

// options are what the flags say.
type options struct {
	box, meter, readings, record, parties, certificate string

	earlier []string
	date    time.Time // zero: none asked for
}

func run(out io.Writer, arguments []string) error {
	if len(arguments) == 0 {
		return lesson(out)
	}
	p := files.New("calibrate", demo,
		"go run ./examples/calibrate -box mybox/box.json -meter mybox/meter.json -readings "+
			"mybox/readings.csv -out mybox",
		"go run ./examples/calibrate -box mybox/box.json -record mybox/record.json -earlier "+
			"mybox/record-2025.json -date 2027-10-01")
	var o options
	box, meter, readings := p.File("box"), p.File("meter"), p.File("readings")
	record, earlier := p.File("record"), p.Files("earlier")
	parties, certificate := p.File("parties"), p.File("certificate")
	p.Flags.Func("date", "`day` for which values are predicted from the drift, such as 2027-10-01",
		func(text string) (err error) {
			if o.date, err = time.Parse(time.DateOnly, text); err != nil {
				err = errors.New("expected a day such as 2027-10-01")
			}
			return err
		})
	p.Formats("text", "markdown", "csv", "json")
	if run, err := p.Parse(arguments, out); !run {
		return err
	}
	o.box, o.meter, o.readings, o.record = *box, *meter, *readings, *record
	o.earlier, o.parties, o.certificate = *earlier, *parties, *certificate
	if err := o.check(); err != nil {
		return err
	}
	if o.box == "" {
		return writeCertificate(p, out, o, nil)
	}
	if err := readable(p, o); err != nil {
		return err
	}
	a, err := answered(p, o)
	if err != nil {
		return err
	}
	if err := a.write(p, out); err != nil || o.certificate == "" {
		return err
	}
	return writeCertificate(p, out, o, a.report)
}

// check says which flags belong together.
func (o *options) check() error {
	switch {
	case o.box == "" && o.certificate == "":
		return errors.New("no -box; expected -box with -meter and -readings or with -record, " +
			"-certificate alone for the demonstration, or no flag at all for the lesson")
	case o.box == "":
		if o.meter+o.readings+o.record+o.parties != "" || len(o.earlier) > 0 || !o.date.IsZero() {
			return errors.New("-certificate without -box is that of the demonstration; expected " +
				"no other files beside it")
		}
	case o.record != "" && o.meter+o.readings != "":
		return errors.New("-record beside -meter or -readings; expected one or the other: " +
			"readings make the record " +
			"(an earlier one is -earlier)")
	case o.record == "" && (o.meter == "" || o.readings == ""):
		return errors.New("-box without -meter and -readings; expected both, or a -record")
	case o.certificate != "" && o.record != "":
		return errors.New("-certificate with -record; expected -meter and -readings: a " +
			"certificate states what was read, and with what")
	case o.certificate != "" && o.parties == "":
		return errors.New("-certificate without -parties; expected the file that names " +
			"laboratory, persons and customer")
	case o.parties != "" && o.certificate == "":
		return errors.New("-parties without -certificate; expected the name of the certificate " +
			"to write")
	case !o.date.IsZero() && len(o.earlier) == 0:
		return errors.New("-date without -earlier; expected an earlier record: a drift takes two")
	}
	return nil
}
