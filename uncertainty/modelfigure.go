// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// This file reads the figures of a model file and converts their units.

// places are the figures that are values and not widths: 296 K is not 296 °C.
var places = []string{"estimate", "lower", "upper", "observations"}

// convert brings all figures to the unit of the input. Without one they are brought to
// SI units, which become the unit of the input.
func (in *modelInput) convert() error {
	u := modelUnit{symbol: in.Unit}
	if in.Unit != "" {
		u.dimension = parseUnit(in.Unit)
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
	observations := slices.Clone(in.ObservationsList)
	for i, f := range observations {
		var err error
		if observations[i], err = u.convert("observations", f); err != nil {
			return err
		}
	}
	in.ObservationsList = observations
	if in.CoverageProbability != nil {
		number := modelUnit{symbol: "1", dimension: pure}
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
	dimension
}

func (u *modelUnit) convert(name string, f modelFigure) (modelFigure, error) {
	if f.unit == "" {
		return f, nil
	}
	refuse := func(text string) (modelFigure, error) {
		return f, because(ErrUnit, fmt.Sprintf("%s is given in %s; expected %s", name, f.unit, text))
	}
	d := parseUnit(f.unit)
	switch {
	case f.unit == u.symbol:
		return f, nil
	case !d.known:
		return refuse("a unit that is known, or a number")
	case u.symbol == "" && f.unit == "°C":
		u.symbol, u.dimension = f.unit, d
	case u.symbol == "":
		u.dimension = d
		u.factor = 1
		u.symbol = coherent()[d.power]
		if u.symbol == "" {
			return refuse("a unit of the input to convert it to")
		}
	case !u.known || u.power != d.power:
		return refuse("the unit of the input, " + u.symbol)
	}
	if slices.Contains(places, name) && (f.unit == "°C") != (u.symbol == "°C") {
		return refuse(u.symbol + ": temperatures are not converted")
	}
	// Dividing by the whole inverse of a prefix keeps decimal values: 20 mΩ is 0.02 Ω.
	if inverse := u.factor / d.factor; inverse > 1 && math.Abs(inverse-math.Round(inverse)) < 1e-9*inverse {
		f.value /= math.Round(inverse)
	} else {
		f.value *= d.factor / u.factor
	}
	f.unit = ""
	return f, nil
}

// modelFigure is a number, or a string of a number and a unit.
type modelFigure struct {
	value float64
	unit  string
}

// UnmarshalJSON reads 0.02 or "20 mΩ".
func (f *modelFigure) UnmarshalJSON(text []byte) error {
	if len(text) == 0 || text[0] != '"' {
		if err := json.Unmarshal(text, &f.value); err != nil || string(text) == "null" {
			return &Error{Op: "ReadModel", Err: because(ErrFile, fmt.Sprintf("%s; expected a number, or a string such as \"20 mΩ\"", text))}
		}
		return nil
	}
	var s string
	if err := json.Unmarshal(text, &s); err != nil {
		return err
	}
	end := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("+-.0123456789eE", r) })
	if end < 0 {
		end = len(s)
	}
	v, err := strconv.ParseFloat(s[:end], 64)
	if err != nil {
		return &Error{Op: "ReadModel", Err: because(ErrFile, fmt.Sprintf("%q; expected a number and a unit, such as \"20 mΩ\"", s))}
	}
	f.value, f.unit = v, strings.TrimSpace(s[end:])
	return nil
}
