// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"bytes"
	_ "embed"

	"example.com/ohmwright/decade"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/uncertainty/conformity"
)

// The demonstration: a used box with an overloaded element and a dirty contact. All of
// it is invented.

//go:embed demo/box.json
var boxFile []byte

//go:embed demo/meter.json
var meterFile []byte

//go:embed demo/readings.csv
var readingsFile []byte

// checked is the report on the demonstration.
func checked() (*verify.Report, error) {
	box, err := decade.ReadBox(bytes.NewReader(boxFile))
	if err != nil {
		return nil, err
	}
	meter, err := verify.ReadMeter(bytes.NewReader(meterFile))
	if err != nil {
		return nil, err
	}
	readings, err := verify.ReadReadings(bytes.NewReader(readingsFile), box)
	if err != nil {
		return nil, err
	}
	return verify.Evaluate(box, meter, readings, conformity.Guarded(1))
}

type unit struct {
	symbol string
	ohms   float64
}

// inOhms is the unit in which a resistance is written.
func inOhms(r float64) unit {
	switch {
	case r >= 1000:
		return unit{"kΩ", 1000}
	case r >= 0.1:
		return unit{"Ω", 1}
	}
	return unit{"mΩ", 1e-3}
}
