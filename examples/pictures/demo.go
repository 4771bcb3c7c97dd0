// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"embed"

	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/examples/pictures/internal/chart"
)

// The demonstration: a used box with an overloaded element and a dirty contact. All of
// it is invented.
//
//go:embed demo
var demo embed.FS

// pictures are those of the demonstration, each one to copy from.
var pictures = []picture{
	{"deviations", deviations},
	{"montecarlo", monteCarlo},
	{"trials", trials},
	{"budget", budget},
	{"alloys", chart.Alloys},
	{"impedance", impedance},
	{"drift", drift},
}

// deviations shows every position of every dial against its class, a panel for a dial.
func deviations() (*chart.Figure, error) {
	report, err := files.OpenReport(files.New("pictures", demo), "", "", "", "readings.csv")
	if err != nil {
		return nil, err
	}
	return chart.Deviations(report, "Deviations of a used decade box from nominal, against its "+
		"class",
		"Invented data. Bars: expanded uncertainty, 95 %. At an edge: off the scale, with values.")
}
