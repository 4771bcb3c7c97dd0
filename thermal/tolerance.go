// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package thermal

import (
	"math"
	"slices"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/file"
	"example.com/ohmwright/uncertainty/unit"
)

// ToleranceClass is a class of industrial platinum thermometers by IEC 60751.
// The zero value means no class.
type ToleranceClass uint8

// The classes of thermometers. Resistors of the same tolerance are designated W 0.1,
// W 0.15, W 0.3 and W 0.6 if wire-wound and F 0.1 to F 0.6 if of film.
const (
	ClassAA ToleranceClass = iota + 1 // ±(0.1 + 0.0017 |t|) K
	ClassA                            // ±(0.15 + 0.002 |t|) K
	ClassB                            // ±(0.3 + 0.005 |t|) K
	ClassC                            // ±(0.6 + 0.01 |t|) K
)

// Construction is how a platinum resistor is made and whether it is in a
// thermometer: the tolerance holds in a range that depends on it.
type Construction uint8

// The constructions of IEC 60751. The zero value means that no construction is stated.
const (
	WireWoundResistor Construction = iota + 1
	FilmResistor
	WireWoundThermometer
	FilmThermometer
)

var constructions = file.Words[Construction]{Type: "thermal.Construction",
	Texts: []string{"none", "wire-wound resistor", "film resistor", "wire-wound thermometer",
		"film thermometer"}, First: 1}

// String returns "wire-wound resistor", "film resistor", "wire-wound thermometer" or
// "film thermometer".
func (c Construction) String() string { return constructions.String(c) }

// MarshalText returns the text of String; no construction is an error.
func (c Construction) MarshalText() ([]byte, error) { return constructions.Marshal(c) }

// UnmarshalText reads what MarshalText writes.
func (c *Construction) UnmarshalText(text []byte) error { return constructions.Unmarshal(text, c) }

// classRow is a class in the table of the standard.
type classRow struct {
	name             string
	constant, factor float64
	// ranges in °C by construction: IEC 60751:2008 and 2022, Tables 2 and 3, from
	// memory.
	ranges [4]uncertainty.Interval
}

var classes = [...]classRow{
	{"AA", 0.1, 0.0017, [4]uncertainty.Interval{{Lower: -100, Upper: 350}, {Lower: 0, Upper: 150},
		{Lower: -50, Upper: 250}, {Lower: 0, Upper: 150}}},
	{"A", 0.15, 0.002, [4]uncertainty.Interval{{Lower: -100, Upper: 450}, {Lower: -30, Upper: 300},
		{Lower: -100, Upper: 450}, {Lower: -30, Upper: 300}}},
	{"B", 0.3, 0.005, [4]uncertainty.Interval{{Lower: -196, Upper: 660}, {Lower: -50, Upper: 500},
		{Lower: -196, Upper: 600}, {Lower: -50, Upper: 500}}},
	{"C", 0.6, 0.01, [4]uncertainty.Interval{{Lower: -196, Upper: 660}, {Lower: -50, Upper: 600},
		{Lower: -196, Upper: 600}, {Lower: -50, Upper: 600}}},
}

// row is the line of the table of classes.
func (c ToleranceClass) row(op string) (classRow, error) {
	if c < 1 || int(c) > len(classes) {
		return classRow{}, refuse(op, "class", float64(c), ErrUnknown,
			"expected ClassAA, ClassA, ClassB or ClassC")
	}
	return classes[c-1], nil
}

// String returns the name of the class: "AA", "A", "B", "C".
func (c ToleranceClass) String() string {
	row, err := c.row("")
	if err != nil {
		return "no class"
	}
	return row.name
}

// MarshalText returns the text of String; no class is an error.
func (c ToleranceClass) MarshalText() ([]byte, error) {
	row, err := c.row("thermal.ToleranceClass.MarshalText")
	return []byte(row.name), err
}

// UnmarshalText reads "AA", "A", "B" or "C".
func (c *ToleranceClass) UnmarshalText(text []byte) error {
	i := slices.IndexFunc(classes[:], func(row classRow) bool { return row.name == string(text) })
	if i < 0 {
		return refuse("thermal.ToleranceClass.UnmarshalText", "class", string(text), ErrUnknown,
			"expected AA, A, B or C")
	}
	if c == nil {
		return refuse("thermal.ToleranceClass.UnmarshalText", "class", string(text),
			unit.ErrNotStated, "nil; expected the address of a class")
	}
	*c = ToleranceClass(i + 1)
	return nil
}

// Tolerance returns the limit of error in K at t in °C, a + b|t|, both signs. The
// formula answers over the whole range of the curve, −200 °C to 850 °C; a
// sensor keeps to it inside the smaller [ToleranceClass.Range] only.
func (c ToleranceClass) Tolerance(t float64) (float64, error) {
	const op = "thermal.ToleranceClass.Tolerance"
	row, err := c.row(op)
	if err != nil {
		return 0, err
	}
	if err := Platinum(1).checkValue(op, t); err != nil {
		return 0, err
	}
	// IEC 60751, Table 3: a + b|t|, the same on both sides of 0 °C.
	return row.constant + float64(row.factor*math.Abs(t)), nil
}

// Range returns the temperatures in °C between which a platinum resistor or
// thermometer of that construction keeps to the class. The figures are from
// memory of IEC 60751:2008 and 2022; a maker may state another range.
func (c ToleranceClass) Range(how Construction) (uncertainty.Interval, error) {
	const op = "thermal.ToleranceClass.Range"
	row, err := c.row(op)
	if err != nil {
		return uncertainty.Interval{}, err
	}
	if how < 1 || int(how) > len(row.ranges) {
		return uncertainty.Interval{}, refuse(op, "construction", float64(how), ErrUnknown,
			"expected WireWoundResistor, FilmResistor, WireWoundThermometer or FilmThermometer")
	}
	return row.ranges[how-1], nil
}

// ToleranceResistance returns the limit of error in ohms of a platinum
// thermometer at t in °C: the tolerance in K times |dR/dt|.
func (c ToleranceClass) ToleranceResistance(th Sensor, t float64) (float64, error) {
	tolerance, err := c.Tolerance(t)
	if err != nil {
		return 0, err
	}
	slope, err := th.Slope(t)
	if err != nil {
		return 0, err
	}
	return finiteResult("thermal.ToleranceClass.ToleranceResistance", "tolerance",
		tolerance*math.Abs(slope))
}

// Departure returns the unknown departure in K of one sensor of the class from
// the curve at t in °C: an input quantity, 0 ± tolerance, rectangular. Add it to
// what [Sensor.ValueOf] returns.
func (c ToleranceClass) Departure(name string, t float64) uncertainty.Quantity {
	tolerance, err := c.Tolerance(t)
	if err != nil {
		return uncertainty.Fail(err)
	}
	// A tolerance is a limit, of which nothing else is known (GUM 4.3.7).
	return uncertainty.Source{
		Name: name, Unit: "°C", Note: "class " + c.String(),
		Distribution: uncertainty.Rectangular(0, tolerance),
	}.Input()
}
