// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package conformity

import (
	"math"
	"strconv"

	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

// LimitsIn converts limits from the unit of the symbol to that of a result, in which
// [Rule.Decide], [Probability] and the others take intervals that state no unit: 99 mΩ to 101 mΩ
// are no limits of a result in ohms as they stand. Those that state one they bring to that of
// the result themselves, as this does. Limits of another kind of quantity, in °C for K, in a
// unit that is not known unless the result has the same, and for a result that states no unit
// are refused ([uncertainty.ErrUnitMismatch]). An infinite limit stays so.
func LimitsIn(limits uncertainty.Interval, symbol string,
	b *uncertainty.Budget) (uncertainty.Interval, error) {
	if b == nil {
		return uncertainty.Interval{}, &Error{Op: "conformity.LimitsIn", Name: "limits",
			Value: symbol,
			Err:   unit.Errorf(ErrDomain, "budget is nil; expected the result of an evaluation")}
	}
	if limits.Unit != "" && limits.Unit != symbol {
		return uncertainty.Interval{}, &Error{Op: "conformity.LimitsIn", Name: "limits",
			Value: symbol, Err: unit.Errorf(uncertainty.ErrUnitMismatch,
				"the interval is in %s; expected the same symbol, not %q", limits.Unit, symbol)}
	}
	return limitsIn("LimitsIn", limits, symbol, b.Unit)
}

// stated returns the limits in the unit of a result, where they state one; else as they are.
func stated(op string, limits uncertainty.Interval, of string) (uncertainty.Interval, error) {
	if limits.Unit == "" || limits.Unit == of {
		return limits, nil
	}
	return limitsIn(op, limits, limits.Unit, of)
}

// limitsIn brings limits in the unit of a symbol to the unit of a result.
func limitsIn(op string, limits uncertainty.Interval, symbol, of string) (uncertainty.Interval,
	error) {
	refuse := func(err error) (uncertainty.Interval, error) {
		return uncertainty.Interval{}, &Error{Op: "conformity." + op, Name: "limits",
			Value: symbol, Err: err}
	}
	if err := checkInterval(op, limits); err != nil {
		return uncertainty.Interval{}, err
	}
	limits.Unit = of
	switch {
	case symbol == of:
		return limits, nil
	case of == "" || symbol == "":
		return refuse(unit.Errorf(uncertainty.ErrUnitMismatch,
			"limits in %q for a result in %q; expected both to state a unit", symbol, of))
	}
	from, err := unit.ParseUnit(symbol)
	to, wrong := unit.ParseUnit(of)
	// Degrees Celsius convert as differences do, and limits are none.
	if err != nil || wrong != nil || !from.SameKind(to) || celsius(symbol) != celsius(of) {
		return refuse(unit.Errorf(uncertainty.ErrUnitMismatch,
			"limits in %s for a result in %s; expected units of one kind", symbol, of))
	}
	for _, end := range []*float64{&limits.Lower, &limits.Upper} {
		if math.IsInf(*end, 0) {
			continue
		}
		// By the decimal text, so that 101 mΩ are the float64 next to 0.101 Ω.
		if *end, err = unit.Convert(strconv.FormatFloat(*end, 'g', -1, 64), from, to); err != nil {
			return refuse(unit.Cause(err))
		}
	}
	return limits, nil
}

// celsius knows the three spellings of the degree Celsius.
func celsius(symbol string) bool {
	return symbol == "°C" || symbol == "degC" || symbol == "\u2103"
}
