// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"io"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// maxTableFile bounds a file in bytes.
const maxTableFile = 8 << 20

// ReadTable reads a sensor by points from JSON:
//
//	{"name": "level sender, tank 3", "unit": "%", "interpolation": "linear",
//	 "points": [{"value": 0, "resistance": "240 Ω"}, {"value": 100, "resistance": "33 Ω"}]}
//
// A value is a number in the unit of the file, a resistance a number of ohms or a string
// with its unit. Points are required, two or more; the rest may be left out. Unknown and
// doubled keys are refused with their place in the file, and so are points that make no
// sensor ([Table.Sensor]). See examples/formats/README.md.
func ReadTable(r io.Reader) (Table, error) {
	const op = "thermal.ReadTable"
	o, err := file.Read(op, r, maxTableFile)
	if err != nil {
		return Table{}, err
	}
	var t Table
	o.Text("name", &t.Name)
	o.Text("unit", &t.Unit)
	interpolations.Read(o, "interpolation", &t.Interpolation)
	o.Require("points")
	for _, p := range o.Objects("points", mostPoints) {
		var point TablePoint
		p.Require("value")
		p.Require("resistance")
		if p.IsText("value") {
			p.Fail("value", unit.Errorf(ErrSyntax, "a text; expected a number, in the unit of the file"))
		}
		p.Quantity("value", unit.Fraction, &point.Value)
		p.Quantity("resistance", unit.Ohm, &point.Resistance)
		t.Points = append(t.Points, point)
	}
	if err := o.Close(); err != nil {
		return Table{}, err
	}
	if _, err := t.Sensor(); err != nil {
		if e, ok := errors.AsType[*Error](err); ok {
			err = &Error{Op: op, Name: e.Name, Value: e.Value, Err: e.Err}
		}
		return Table{}, err
	}
	return t, nil
}
