// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Identify finds out what a box is whose plate is lost or cannot be trusted: from readings at
// the positions of its dials to a file that describes it, to be corrected by who looks at it.
//
//	go run ./examples/identify
//	go run ./examples/identify -meter mybox/meter.json -readings mybox/readings.csv
//	go run ./examples/identify -meter mybox/meter.json -readings mybox/readings.csv -out mybox
//
// -out writes box.txt (what was found), box.json (the box file) and box.csv (the readings at
// its settings) into a folder.
//
// Read all dials at zero, and every position of each dial with the others at zero; a few
// settings of several dials check that they add up. Note the numbers of the positions as they
// are on the knob, or counted from its zero: neither steps nor codes are needed.
//
// Without files it is a lesson on invented data: three knobs without a plate, of which one has
// two ranges, one has four resistors in a code, and one has a step that adds nothing.
//
// Readings need the box disconnected from everything, discharged, and a small test current,
// as nobody knows its rating: begin on a range of 1 mA or less. Local codes and licensed
// practice come first.
package main

import (
	"embed"
	"encoding/json"
	"fmt"
	"io"
	"os"

	"example.com/ohmwright/decade/calibrate"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/uncertainty/unit"
)

//go:embed demo
var demo embed.FS

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "identify:", unit.WithoutOp(err))
		os.Exit(1)
	}
}

func run(args []string, out io.Writer) error {
	p := files.New("identify", demo,
		"go run ./examples/identify -meter mybox/meter.json -readings mybox/readings.csv",
		"go run ./examples/identify -meter mybox/meter.json -readings mybox/readings.csv -out "+
			"mybox")
	meterFile, readingsFile := p.File("meter"), p.File("readings")
	p.Formats("text", "json", "csv")
	p.Explain(func(w io.Writer) error {
		_, err := fmt.Fprint(w, toRead)
		return err
	})
	if run, err := p.Parse(args, out); !run {
		return err
	}
	own, err := p.All("meter", "readings")
	if err != nil {
		return err
	}
	// 1. What the meter promises: a deviation is only as certain as its readings.
	meter, err := files.Open(p, *meterFile, "meter.json", verify.ReadMeter)
	if err != nil {
		return err
	}
	// 2. What it showed. No box is needed: each setting says how many dials there are.
	readings, err := files.Open(p, *readingsFile, "readings.csv", verify.ReadUnidentified)
	if err != nil {
		return err
	}
	// 3. What box shows that.
	found, err := calibrate.Identify(readings, meter)
	if err != nil {
		return err
	}
	text := found.WriteText
	if !own {
		text = func(w io.Writer) error { return lesson(w, found) }
	}
	// The box file, and the readings at its settings: a knob with two ranges is two dials there.
	table := func(w io.Writer) error { return verify.WriteReadings(w, found.Readings) }
	return p.Write(out, "box", files.Form{Format: "text", Write: text}, files.JSON(found.Box),
		files.Form{Format: "csv", Write: table})
}

// toRead is what a box without a plate is read at, for the help.
const toRead = `
What to read, in columns setting and value (a setting is the numbers on the knobs: 0-0-7-0):
  all dials at zero; every position of each dial with the others at zero; and a few settings
  of several dials, which show whether they add up.
  Begin on a range of 1 mA or less: nobody knows the rating of the box.
`

// lesson is the text for the demonstration.
func lesson(out io.Writer, found *calibrate.Identification) error {
	fmt.Fprint(out, `Three knobs, marked 0 to 18, 0 to 9 and 0 to 10, and no plate.

1. The step of a dial is the median of what its positions add. A shorted step hardly changes
   the median, but changes the sum a great deal. Where the values start again with another step,
   one switch has two ranges.

2. A code makes ten positions out of four resistors. The deviations show it: with equal steps
   each position adds an error of its own; in a code the same few errors recur.

3. Positions that do not fit are left out and listed. The class is that of the others.

`)
	if err := found.WriteText(out); err != nil {
		return err
	}
	box, err := json.MarshalIndent(found.Box, "", "  ")
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, `
4. The box file, for you to correct: add what you know from the inside of the box or its papers,
   such as the power of an element, a class on an old certificate, or a missing position.
   With this file and the readings at its settings (-format csv), boxcheck says what is wrong at
   the step that does not fit.

%s
`, box)
	return err
}
