// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"errors"
	"io"

	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// maxSensorFile bounds a file in bytes.
const maxSensorFile = 8 << 20

// ReadSensor reads a sensor from JSON, by points:
//
//	{"name": "level sender, tank 3", "unit": "%", "interpolation": "linear",
//	 "points": [{"value": 0, "resistance": "240 Ω"}, {"value": 100, "resistance": "33 Ω"}]}
//
// or by the coefficients of its certificate:
//
//	{"name": "probe 7", "callendarVanDusen": {"r0": "100.021 Ω",
//	 "a": 3.90802e-3, "b": -5.8019e-7, "c": -4.2735e-12}}
//	{"name": "probe 8", "its90": {"r001": "25.51 Ω",
//	 "below": {"a": 1.2e-5}, "above": {"a": -2e-5, "b": 1e-6}}}
//	{"name": "bead 2", "steinhartHart": {"a": 1.129e-3, "b": 2.341e-4, "c": 8.775e-8}}
//	{"name": "bead 3", "beta": {"resistance": "10 kΩ", "at": 25, "beta": 3977}}
//
// The keys of coefficients are the fields of [CallendarVanDusen], [ITS90], [SteinhartHart] and
// [BetaThermistor] with small first letters, "low" and "high" in °C among them. The value of a
// point is a number in the unit of the file; a resistance is a number of ohms or a string with
// its unit. One of the five is required, points two or more; the rest may be left out. Unknown
// and doubled keys are refused with their place in the file, and so is a file that does not
// describe a sensor. See examples/formats/README.md.
func ReadSensor(r io.Reader) (Sensor, error) {
	const op = "thermal.ReadSensor"
	o, err := file.Read(op, r, maxSensorFile)
	if err != nil {
		return Sensor{}, err
	}
	var name string
	o.Text("name", &name)
	var given []string
	var makes func() (Sensor, error)
	for _, form := range sensorForms {
		if o.Has(form.key) {
			given = append(given, form.key)
			makes = form.read(o, name)
		}
	}
	switch len(given) {
	case 0:
		for _, form := range sensorForms { // so that a misspelt one is known for what it is
			form.read(o, name)
		}
		o.Require("points")
	case 1:
	default:
		o.Fail(given[1], unit.Errorf(ErrDomain, "beside %q; expected one of them", given[0]))
	}
	if err := o.Close(); err != nil {
		return Sensor{}, err
	}
	// Only now: what the file lacks has been said with its place.
	s, err := makes()
	if err != nil {
		if e, ok := errors.AsType[*Error](err); ok {
			// The reader of a file asked for no constructor: the error keeps its words, not its
			// operation.
			err = &Error{Op: op, Name: e.Name, Value: e.Value, Err: e.Err}
		}
		return Sensor{}, err
	}
	if name == "" || s.c.name == name {
		return s, nil
	}
	// Standard curves are shared: the name goes on a copy.
	c := *s.c
	c.name = name + " (" + c.name + ")"
	return Sensor{&c}, nil
}

// sensorForms are the ways in which a file describes a sensor. The function that read
// returns makes the sensor, once the whole file has been found in order.
var sensorForms = []struct {
	key  string
	read func(o *file.Object, name string) func() (Sensor, error)
}{
	{"points", readPoints},
	{"callendarVanDusen", readCallendarVanDusen},
	{"its90", readITS90},
	{"steinhartHart", readSteinhartHart},
	{"beta", readBeta},
}

// readPoints reads a table.
func readPoints(o *file.Object, name string) func() (Sensor, error) {
	t := Table{Name: name}
	o.Text("unit", &t.Unit)
	interpolations.Read(o, "interpolation", &t.Interpolation)
	for _, p := range o.Objects("points", mostPoints) {
		var point TablePoint
		p.Require("value")
		p.Require("resistance")
		if p.IsText("value") {
			p.Fail("value", unit.Errorf(ErrSyntax, "a text; expected a number, in the unit of "+
				"the file"))
		}
		p.Quantity("value", unit.Fraction, &point.Value)
		p.Quantity("resistance", unit.Ohm, &point.Resistance)
		t.Points = append(t.Points, point)
	}
	return t.Sensor
}

// readRange reads "low" and "high", temperatures in °C.
func readRange(o *file.Object, low, high *float64) {
	o.Quantity("low", unit.Celsius, low)
	o.Quantity("high", unit.Celsius, high)
}

// A coefficient is a number in the coherent unit of its formula.
type coefficient struct {
	key      string
	to       *float64
	required bool
}

// readCoefficients reads numbers without unit.
func readCoefficients(o *file.Object, list ...coefficient) {
	for _, c := range list {
		o.Quantity(c.key, unit.Fraction, c.to)
		if c.required {
			o.Require(c.key)
		}
	}
}

// readCallendarVanDusen reads the coefficients of a platinum thermometer.
func readCallendarVanDusen(o *file.Object, _ string) func() (Sensor, error) {
	var c CallendarVanDusen
	p := o.Object("callendarVanDusen")
	p.Require("r0")
	p.Quantity("r0", unit.Ohm, &c.R0)
	readCoefficients(p, coefficient{"a", &c.A, true}, coefficient{"b", &c.B, true},
		coefficient{"c", &c.C, false})
	readRange(p, &c.Low, &c.High)
	return func() (Sensor, error) { return c.Sensor() }
}

// readITS90 reads a standard platinum thermometer.
func readITS90(o *file.Object, _ string) func() (Sensor, error) {
	var s ITS90
	p := o.Object("its90")
	p.Require("r001")
	p.Quantity("r001", unit.Ohm, &s.R001)
	// readDeviation reads one set of coefficients of deviation; those left out are 0.
	readDeviation(p.Object("below"), &s.Below)
	readDeviation(p.Object("above"), &s.Above)
	readRange(p, &s.Low, &s.High)
	return func() (Sensor, error) { return s.Sensor() }
}

func readDeviation(o *file.Object, d *Deviation) {
	readCoefficients(o, coefficient{"a", &d.A, false}, coefficient{"b", &d.B, false},
		coefficient{"c", &d.C, false}, coefficient{"l", &d.L, false})
}

// readSteinhartHart reads the coefficients of a thermistor.
func readSteinhartHart(o *file.Object, _ string) func() (Sensor, error) {
	var s SteinhartHart
	p := o.Object("steinhartHart")
	p.Quantity("reference", unit.Ohm, &s.Reference)
	readCoefficients(p, coefficient{"a", &s.A, true}, coefficient{"b", &s.B, true},
		coefficient{"c", &s.C, true}, coefficient{"d", &s.D, false})
	readRange(p, &s.Low, &s.High)
	return func() (Sensor, error) { return s.Sensor() }
}

// readBeta reads a thermistor by its beta, stated at 25 °C unless the file says otherwise.
func readBeta(o *file.Object, _ string) func() (Sensor, error) {
	b := BetaThermistor{At: 25}
	p := o.Object("beta")
	p.Require("resistance")
	p.Quantity("resistance", unit.Ohm, &b.R)
	p.Quantity("at", unit.Celsius, &b.At)
	p.Require("beta")
	p.Quantity("beta", unit.Kelvin, &b.Beta)
	readRange(p, &b.Low, &b.High)
	return func() (Sensor, error) { return b.Sensor() }
}
