// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"encoding/json"
	"slices"

	"example.com/ohmwright/uncertainty/unit"
)

// This file reads the figures of a model file and converts their units.

// places are the figures that are values and not widths: 296 K is not 296 °C.
var places = []string{"estimate", "lower", "upper", "observations", "draws", "edges"}

// convert brings all figures to the unit of the input. Without one they are brought to
// SI units, which become the unit of the input.
func (in *modelInput) convert() error {
	u := modelUnit{symbol: in.Unit}
	if in.Unit != "" {
		u.Unit, _ = unit.ParseUnit(in.Unit)
	}
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
		converted := slices.Clone(*list.of)
		for i, f := range converted {
			var err error
			if converted[i], err = u.convert(list.name, f); err != nil {
				return err
			}
		}
		*list.of = converted
	}
	if in.CoverageProbability != nil {
		number := modelUnit{symbol: "1", Unit: pure()}
		p, err := number.convert("coverageProbability", *in.CoverageProbability)
		if err != nil {
			return err
		}
		in.CoverageProbability = &p
	}
	in.Unit = u.symbol
	return nil
}

// modelUnit is the unit of an input, which the first figure with one may still set.
type modelUnit struct {
	symbol string
	unit.Unit
}

func (u *modelUnit) convert(name string, f modelFigure) (modelFigure, error) {
	if f.unit == "" || f.unit == u.symbol {
		return f, nil
	}
	from, err := unit.ParseUnit(f.unit)
	if err != nil {
		return f, unit.Errorf(ErrUnit, "%s: %v; expected a unit that is known, or a number", name,
			unit.Cause(err))
	}
	refuse := func(text string) (modelFigure, error) {
		return f, unit.Errorf(ErrUnitMismatch, "%s is given in %s; expected %s", name, f.unit, text)
	}
	switch {
	case u.symbol == "" && isCelsius(f.unit):
		u.symbol, u.Unit = f.unit, from
	case u.symbol == "":
		u.symbol = from.Coherent()
		if u.symbol == "" {
			return refuse("a unit of the input to convert it to")
		}
		u.Unit, _ = unit.ParseUnit(u.symbol)
	case !u.SameKind(from):
		return refuse("the unit of the input, " + u.symbol)
	}
	if slices.Contains(places, name) && isCelsius(f.unit) != isCelsius(u.symbol) {
		return refuse(u.symbol + ": temperatures are not converted")
	}
	v, err := unit.Convert(f.number, from, u.Unit)
	if err != nil {
		return f, unit.Errorf(unit.Cause(err), "%s: %v", name, unit.Cause(err))
	}
	return modelFigure{value: v}, nil
}

func isCelsius(symbol string) bool { return symbol == "°C" || symbol == "degC" || symbol == "\u2103" }

// modelFigure is a number, or a string of a number and a unit.
type modelFigure struct {
	value  float64
	number string // as given with a unit
	unit   string
}

// UnmarshalJSON reads 0.02 or "20 mΩ".
func (f *modelFigure) UnmarshalJSON(text []byte) error {
	if len(text) == 0 || text[0] != '"' {
		if err := json.Unmarshal(text, &f.value); err != nil || string(text) == "null" {
			return &Error{Op: "uncertainty.ReadModel",
				Err: unit.Errorf(ErrSyntax, "%s; expected a number, or a string such as \"20 mΩ\"",
					text)}
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
