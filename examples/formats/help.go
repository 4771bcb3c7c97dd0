// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"regexp"
	"strings"
	"time"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/uncertainty"
)

// read opens one of the embedded files and reads it.
func read[T any](name string, from func(io.Reader) (T, error)) (T, error) {
	f, err := files.Open("files/" + name)
	if err != nil {
		var none T
		return none, err
	}
	defer f.Close()
	v, err := from(f)
	if err != nil {
		err = fmt.Errorf("%s: %w", name, err)
	}
	return v, err
}

// certified invents what the elements measured in a year, with one meter for all of them. Real
// ones come from readings: calibrate.NewCalibration.
func certified(box *decade.Box, year int) *decade.Calibration {
	record := fmt.Sprintf("S-3 %d-03-02", year)
	gain := uncertainty.Source{Name: "meter gain", Unit: "1", ID: "M-2231 2026/gain",
		Distribution: uncertainty.Rectangular(1, 20e-6)}.Input()
	value := func(name string, ohms, u float64) uncertainty.Quantity {
		ohms += float64(year-2026) * 4e-6 * ohms
		own := uncertainty.Source{
			Name: "rest of " + name, Unit: "Ω", ID: record + "/rest of " + name,
			Distribution: uncertainty.Normal(ohms, u),
		}.Input()
		return own.Mul(gain).Named(name)
	}
	return &decade.Calibration{
		Box: box.Name(), Serial: box.Serial(), Date: time.Date(year, 3, 2, 14, 6, 0, 0, time.UTC),
		Values: uncertainty.Record{ID: record, Quantities: []uncertainty.Quantity{
			value(decade.ResidualName, 0.0117, 0.0002), value(box.ElementName(0, 1), 1000.019,
				0.008),
			value(box.ElementName(0, 2), 1000.09, 0.03), value(box.ElementName(1, 1), 100.0055,
				0.0006),
		}},
	}
}

// innermost are objects without another one or a list in them, and lists of numbers.
var innermost = regexp.MustCompile(`\{[^{}\[\]]*\}|\[[^{}\[\]"]*\]`)

// writeJSON writes a value as JSON for a reader: indented, small objects on one line.
func writeJSON(w io.Writer, v any) error {
	text, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	text = innermost.ReplaceAllFunc(text, func(object []byte) []byte {
		line := strings.Join(strings.Fields(string(object)), " ")
		return []byte(strings.NewReplacer("{ ", "{", " }", "}", "[ ", "[", " ]", "]").Replace(line))
	})
	_, err = w.Write(append(bytes.TrimSpace(text), '\n'))
	return err
}
