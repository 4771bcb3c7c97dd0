// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package models

import (
	"embed"
	"errors"
	"fmt"
	"path"
)

//go:embed files
var files embed.FS

// A Model is one file.
type Model struct {
	Name  string // of the file, without its ending
	Title string // what is measured, and where the figures come from
}

// All are the models in the order of a course.
var All = []Model{
	{"substitution", "A 10 kΩ resistor by substitution (invented figures)"},
	{"power", "Power in a resistor from voltage and resistance (invented figures)"},
	{"divider", "Ratio of a resistive divider (invented figures)"},
	{"quotient", "A current through a resistance that is known badly (invented figures)"},
	{"gum-h1", "Length of a gauge block (GUM H.1)"},
	{"gum-h2-resistance", "Resistance from joint readings of voltage, current and phase (GUM H.2)"},
	{"gum-h2-reactance", "Reactance from the same readings (GUM H.2)"},
	{"gum-h5", "A voltage from readings on ten days (GUM H.5)"},
	{"jcgm101-9-4", "Loss at a mismatch: the sum of two squares (JCGM 101, 9.4)"},
	{"jcgm101-9-4-correlated", "The same with correlated parts (JCGM 101, 9.4)"},
	{"jcgm102-9-3", "Magnitude of a complex quantity near 0 (JCGM 102, 9.3)"},
	{"jcgm102-9-5", "Temperature from the resistance of a thermometer (form of JCGM 102, 9.5; " +
		"invented figures)"},
}

// Text returns the file of a model.
func Text(name string) ([]byte, error) {
	text, err := files.ReadFile(path.Join("files", name+".json"))
	if err != nil {
		return nil, fmt.Errorf("model %q: %w", name, errors.New("not one of the models here"))
	}
	return text, nil
}
