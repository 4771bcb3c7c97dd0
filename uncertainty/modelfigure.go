// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"encoding/json"
	"slices"

	"example.com/ohmwright/uncertainty/unit"
)

// This file reads the figures of a model file and converts their units. A figure is a number or a
// text with a unit, and an input has one unit, which all of its figures come to:
//
//	unit stated   figure    becomes
//	Ω             0.02      0.02: a number is in the unit of the input
//	Ω             "20 mΩ"   0.02
//	none          "20 mΩ"   0.02, and the unit of the input is Ω
//	none          0.02      0.02 without a unit
//	°C            "1 K"     1 as a width; refused as an estimate, which would be −272.15 °C
//
// Factors between units are powers of ten and other decimals: the text of the number is converted,
// so that 20 mΩ is the float64 nearest to 0.02 and not 20 times that nearest to 0.001.

// places are the keys of figures that are values and not widths: a difference of 1 °C is 1 K,
// but 296 K is not 296 °C.
var places = []string{"estimate", "lower", "upper", "observations", "draws", "edges"}

// convert brings all figures to the unit of the input. Without one they are brought to
// SI units, which become the unit of the input. Counts and lists of counts, coverage factors,
// degrees of freedom and ratios are numbers already.
func (in *modelInput) convert() error {
	// A unit that is not known is a label: figures without a unit of their own may still use it.
	u := modelUnit{symbol: in.Unit}
	if in.Unit != "" {
		u.Unit, _ = unit.ParseUnit(in.Unit)
	}
	// In the order of the keys, so that the first complaint is always the same.
	names := slices.Sorted(func(yield func(string) bool) {
		for name := range in.figures() {
			if !yield(name) {
				return
			}
		}
	})
	for _, name := range names {
		f := in.figures()[name]
		if *f == nil {
			continue
		}
		converted, err := u.convert(name, **f)
		if err != nil {
			return err
		}
		*f = &converted
	}
	for _, list := range []struct {
		name string
		of   *[]modelFigure
	}{{"observations", &in.ObservationsList}, {"draws", &in.Draws}, {"edges", &in.Edges}} {
		// The caller's slice stays as it was decoded.
		converted := slices.Clone(*list.of)
		for i, f := range converted {
			var err error
			if converted[i], err = u.convert(list.name, f); err != nil {
				return err
			}
		}
		*list.of = converted
	}
	// A probability is a number, which may be written in per cent.
	if in.CoverageProbability != nil {
		number := modelUnit{symbol: "1", Unit: pure()}
		p, err := number.convert("coverageProbability", *in.CoverageProbability)
		if err != nil {
			return err
		}
		in.CoverageProbability = &p
	}
	// What the first figure decided becomes the unit of the input.
	in.Unit = u.symbol
	return nil
}

// modelUnit is the unit of an input, which the first figure with one may still set: symbol is
// empty until then. A symbol that is no unit, "div", leaves Unit zero; figures in units cannot be
// brought to it.
type modelUnit struct {
	symbol string
	unit.Unit
}

// convert brings a figure to the unit, or lets the first figure decide which unit that is. Name is
// the key of the figure, which decides whether it is a place on a scale or a width.
func (u *modelUnit) convert(name string, f modelFigure) (modelFigure, error) {
	// As it stands: no rounding by a factor of 1.
	if f.unit == "" || f.unit == u.symbol {
		return f, nil
	}
	from, err := unit.ParseUnit(f.unit)
	if err != nil {
		return f, unit.Errorf(ErrUnit, "%s: %v; expected a unit that is known, or a number", name,
			unit.Cause(err))
	}
	refuse := func(text string) (modelFigure, error) {
		return f, unit.Errorf(ErrUnitMismatch, "%s is given in %s; expected %s", name,
			unit.Shown(f.unit), text)
	}
	switch {
	// °C is kept: its figures cannot be converted to kelvins as differences can.
	case u.symbol == "" && isCelsius(f.unit):
		u.symbol, u.Unit = f.unit, from
	// 12 mΩ makes the input one in ohms.
	case u.symbol == "":
		u.symbol = from.Coherent()
		if u.symbol == "" {
			return refuse("a unit of the input to convert it to")
		}
		u.Unit, _ = unit.ParseUnit(u.symbol)
	case !u.SameKind(from):
		return refuse("the unit of the input, " + u.symbol)
	}
	// A place on one scale is another number on the other.
	if slices.Contains(places, name) && isCelsius(f.unit) != isCelsius(u.symbol) {
		return refuse(u.symbol + ": temperatures are not converted")
	}
	// From the text, so that 20 mΩ is 0.020 exactly rounded.
	v, err := unit.Convert(f.number, from, u.Unit)
	if err != nil {
		return f, unit.Errorf(unit.Cause(err), "%s: %v", name, unit.Cause(err))
	}
	return modelFigure{value: v}, nil
}

// isCelsius knows the three spellings of the degree Celsius.
func isCelsius(symbol string) bool {
	return symbol == "°C" || symbol == "degC" || symbol == "\u2103"
}

// modelFigure is a number, or a string of a number and a unit. Its value is in the unit that the
// file gives, until convert has brought it to that of the input.
type modelFigure struct {
	value  float64
	number string // as given with a unit, in decimal; empty for a number
	unit   string // as given; empty for a number
}

// UnmarshalJSON reads 0.02 or "20 mΩ".
func (f *modelFigure) UnmarshalJSON(text []byte) error {
	// Without quotes it is a plain number.
	if len(text) == 0 || text[0] != '"' {
		// null would leave a 0 that nobody wrote.
		if err := json.Unmarshal(text, &f.value); err != nil || string(text) == "null" {
			return &Error{Op: "uncertainty.ReadModel",
				Err: unit.Errorf(ErrSyntax, "%s; expected a number, or a string such as \"20 mΩ\"",
					unit.Shown(string(text)))}
		}
		return nil
	}
	var s string
	if err := json.Unmarshal(text, &s); err != nil {
		return err
	}
	number, symbol, err := unit.Split(s)
	if err != nil {
		return &Error{Op: "uncertainty.ReadModel", Err: unit.Errorf(ErrSyntax, "%v",
			unit.Cause(err))}
	}
	if f.value, err = unit.ParseNumber(number); err != nil {
		return &Error{Op: "uncertainty.ReadModel", Err: unit.Errorf(ErrSyntax, "%v",
			unit.Cause(err))}
	}
	f.number, f.unit = number, symbol
	return nil
}
